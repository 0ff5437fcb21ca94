/** Repetitions drawn as one: what the plots show of the measured curves. */
import { groupedCurves } from '../../measured/replicates.ts'
import type { MeasuredCurve } from '../../measured/types.ts'
import { type State, type Store, shownCurves } from '../store.ts'

export interface Drawn {
  curve: MeasuredCurve
  /** Place in the list of curves that gives its style; that of the first of a group. */
  index: number
}

type Asked = Pick<State, 'measured' | 'hidden' | 'grouped'>
let known: { of: Asked; drawn: readonly Drawn[] } | null = null

/** The curves to be drawn: those shown, or with groups as one their means. The same state gives the same objects. */
export function drawnCurves(state: State): readonly Drawn[] {
  const { measured, hidden, grouped } = state
  if (known && known.of.measured === measured && known.of.hidden === hidden && known.of.grouped === grouped)
    return known.drawn
  const shown = shownCurves(state)
  const list = grouped ? groupedCurves(shown) : shown
  const placeOf = (curve: MeasuredCurve): number => {
    const own = measured.indexOf(curve)
    return own >= 0
      ? own
      : measured.findIndex(({ id, meta }) => !hidden.has(id) && meta.group === curve.meta.group)
  }
  const drawn = list.map((curve) => ({ curve, index: placeOf(curve) }))
  known = { of: { measured, hidden, grouped }, drawn }
  return drawn
}

const key = 'rimtide.grouped'

/** Draws groups of repetitions as one, or each run; kept for the next visit. */
export function setGrouped(store: Store, grouped: boolean): void {
  store.setState({ grouped })
  try {
    localStorage.setItem(key, grouped ? 'yes' : '')
  } catch {
    // A refused storage only means that the choice is asked for again next time.
  }
}

export function rememberedGrouped(): boolean {
  try {
    return localStorage.getItem(key) === 'yes'
  } catch {
    return false
  }
}
