/** Preset changes → lives, through the worker. */
import { dismiss, receiveLife, say } from '../actions.ts'
import { type Store, type View, watch } from '../store.ts'
import { ADVICE } from './alive.ts'
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

/** The first life is spoken of when it takes longer than this, ms. */
const slowAfter = 10_000
const SLOW =
  'The first drop is still on its way: the calculation has not answered yet. If it does not begin, this will say so.'

const AGAIN = 'The calculation broke off and was started again'

/** Without WebAssembly and its SIMD; `npm run bench` tells how much slower. */
const PLAIN =
  'This browser does not run the compiled calculation (WebAssembly is switched off, or too old): lives take two to three times as long.'

/** Takes messages back that a later one replaces: those that begin with `start`. */
function takeBack(store: Store, start: string): void {
  for (const { id, text } of store.getState().messages) if (text.startsWith(start)) dismiss(store, id)
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
      if (store.getState().trouble) store.setState({ trouble: '' })
      receiveLife(store, life, current)
      const first = Number.isNaN(life.summary.maxRadiusError)
      if (life.status === 'done' && first) mark(took, life.summary.wall_ms)
    },
    refused(result) {
      const [first] = result.problems
      const text = `This drop could not be computed: ${first ? first.message : 'no reason was given'}`
      say(store, 'error', text, 'The last life is still shown, greyed. Undo brings the last drop back.')
    },
    plain() {
      say(store, 'warning', PLAIN, 'The results are the same.')
    },
    died(reason, again) {
      if (again) {
        const text = `${AGAIN} (${reason}).`
        if (store.getState().stale) store.setState({ trouble: text })
        say(store, 'warning', text, 'Nothing of yours is lost.')
        return
      }
      takeBack(store, AGAIN)
      const text = `The calculation does not run (${reason}).`
      if (store.getState().stale) store.setState({ trouble: `${text} What you can do: ${ADVICE}` })
      const kept = `Your settings, files and curves are kept, and can be saved. What you can do: ${ADVICE} Any change of the drop tries once more.`
      say(store, 'error', text, kept)
    },
  })
  const slow = setTimeout(() => {
    const { life, trouble } = store.getState()
    if (!life && !trouble) store.setState({ trouble: SLOW })
  }, slowAfter)
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
      clearTimeout(slow)
      client.destroy()
    },
  }
}
