/** The clock: moves `time` while the life plays. */
import { restingTime } from '../actions.ts'
import { reducedMotion } from '../dom.ts'
import { playedTo } from '../spans.ts'
import { type Store, type View, watch } from '../store.ts'

/**
 * Drives the time while `playing`. The first life plays once from touch-down, then the clock rests at the largest
 * radius; whoever has asked for less motion gets the resting picture at once.
 */
export function runClock(store: Store): View {
  let handle = 0
  let last = 0
  let opening = true

  function step(now: number): void {
    const state = store.getState()
    const { playing, time, speed, life } = state
    handle = 0
    if (!playing || !life) return
    const next = time + ((now - last) / 1000) * speed
    last = now
    const end = playedTo(state)
    const over = next >= end && life.status !== 'growing'
    if (over) store.setState(opening ? rest() : { time: end, playing: false })
    else {
      store.setState({ time: Math.min(next, end) })
      handle = requestAnimationFrame(step)
    }
  }

  function rest() {
    opening = false
    const { life } = store.getState()
    return { playing: false, restAtMaximum: true, ...(life ? { time: restingTime(life) } : {}) }
  }

  const unwatch = watch(
    store,
    (state) => [state.playing],
    ([playing]) => {
      if (!playing || handle) return
      last = performance.now()
      handle = requestAnimationFrame(step)
    },
  )
  const unwatchFirst = store.subscribe((state, before) => {
    if (before.life || !state.life) return
    // Whoever came for a moment, or for something else, is not shown a film.
    if (!state.restAtMaximum || state.place !== 'watch') opening = false
    else if (reducedMotion()) store.setState(rest())
    else store.setState({ playing: true, time: 0 })
  })
  const unwatchChange = store.subscribe((state, before) => {
    if (opening && before.life && (state.preset !== before.preset || (before.playing && !state.playing)))
      opening = false
  })
  return {
    destroy() {
      cancelAnimationFrame(handle)
      for (const end of [unwatch, unwatchFirst, unwatchChange]) end()
    },
  }
}
