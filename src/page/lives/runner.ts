/** Preset changes → lives, through the worker. */
import { receiveLife, say } from '../actions.ts'
import { type Store, type View, watch } from '../store.ts'
import { createLifeClient } from './workerClient.ts'

/** Writes the state of the shown life on the document once it is painted, for whoever measures or checks the page. */
function publish(store: Store): void {
  requestAnimationFrame(() => {
    const { life, stale } = store.getState()
    const { dataset } = document.documentElement
    dataset.state = !life || stale ? 'waiting' : life.status
    if (!life || life.status === 'growing') return
    dataset.outcome = life.summary.outcome
    dataset.maxRadius = String(life.summary.maxRadius)
  })
}

/** Counts finished lives and keeps how long they took since the change, ms. */
function mark(took: number, wall: number): void {
  requestAnimationFrame(() => {
    const { dataset } = document.documentElement
    dataset.lives = String(Number(dataset.lives ?? 0) + 1)
    performance.mark('life-shown', { detail: { took, wall } })
  })
}

/** Asks for a life whenever the preset changes, the newest first. */
export function followPreset(store: Store): View {
  const client = createLifeClient({
    life(life, took, current) {
      receiveLife(store, life, current)
      const first = Number.isNaN(life.summary.maxRadiusError)
      if (life.status === 'done' && first) mark(took, life.summary.wall_ms)
    },
    refused(result) {
      const [first] = result.problems
      const text = `No life came of this drop: ${first ? first.message : 'no reason was given'}`
      say(store, 'error', text, 'The last life is still shown, greyed. Undo brings the last drop back.')
    },
    died(reason, again) {
      const text = again
        ? 'The calculation broke off and was started again.'
        : 'The calculation broke off repeatedly.'
      const kept = again
        ? 'Nothing of yours is lost.'
        : 'Your settings are kept. Change any of them to try once more.'
      say(store, again ? 'warning' : 'error', `${text} (${reason})`, kept)
    },
  })
  const unwatchLife = watch(
    store,
    (state) => [state.life, state.stale],
    () => publish(store),
  )
  const unwatch = watch(
    store,
    (state) => [state.preset],
    ([preset]) => {
      if (store.getState().stale) client.request(preset)
    },
  )
  return {
    destroy() {
      unwatch()
      unwatchLife()
      client.destroy()
    },
  }
}
