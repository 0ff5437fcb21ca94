/** Work over all measured points that need not be done in the same moment as the drawing of the curves. */
import type { State, Store } from '../store.ts'

/** Of so many points on, the work gets a moment of its own, apart from the drawing. */
const manyPoints = 300_000

/** Calls `work` at once where there is little to do, otherwise right after what is under way, with the state of then. */
export function inTurn(store: Store, work: (state: State) => void): void {
  const count = store.getState().measured.reduce((sum, curve) => sum + curve.time.length, 0)
  if (count < manyPoints) work(store.getState())
  else setTimeout(() => work(store.getState()))
}
