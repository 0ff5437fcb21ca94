/**
 * The history of one curve, read out of the page's steps of undo: what its editor takes back and brings again.
 * Changes of other curves, of the drop and of the order are no part of it.
 */
import type { MeasuredCurve } from '../../measured/types.ts'
import type { State, Store } from '../store.ts'
import { changeCurve } from './changes.ts'

/** What this curve was before its last change, and what it was before the last return; undefined = nothing. */
export interface CurveHistory {
  before: MeasuredCurve | undefined
  after: MeasuredCurve | undefined
}

/** A return to what was there before is a change like any other; here it counts as a step back. */
export function historyOf({ past, measured }: Pick<State, 'past' | 'measured'>, id: string): CurveHistory {
  const behind: MeasuredCurve[] = []
  const ahead: MeasuredCurve[] = []
  for (const step of [...past, { measured }]) {
    const version = step.measured.find((one) => one.id === id)
    if (!version || version === behind.at(-1)) continue
    if (version === behind.at(-2)) {
      ahead.push(behind.pop()!)
      continue
    }
    if (version === ahead.at(-1)) ahead.pop()
    else ahead.length = 0
    behind.push(version)
  }
  return { before: behind.at(-2), after: ahead.at(-1) }
}

const to =
  (way: keyof CurveHistory) =>
  (store: Store, id: string): void => {
    const version = historyOf(store.getState(), id)[way]
    if (version) changeCurve(store, version)
  }

/** Takes back the last change of this curve, and nothing else. A step of undo of the page, like every change. */
export const undoCurve = to('before')
/** Brings back what was taken back last of this curve. */
export const redoCurve = to('after')
