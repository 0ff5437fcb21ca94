/** Undo in the editor of one curve belongs to that curve. Common practice, no source. */
import { describe, expect, it } from 'vitest'
import { defaultPreset } from '../../src/life/preset.ts'
import { addCurves, redo, undo } from '../../src/page/actions.ts'
import { changeKey } from '../../src/page/controls/change.ts'
import { changeMeta, moveCurve, rebase } from '../../src/page/measured/changes.ts'
import { historyOf, redoCurve, undoCurve } from '../../src/page/measured/curveHistory.ts'
import { createPageStore, type Store } from '../../src/page/store.ts'

const curve = (id: string) => ({
  id,
  name: id,
  file: `${id}.csv`,
  meta: {},
  time: Float64Array.of(0, 4),
  radius: Float64Array.of(0.002, 0.01),
})

const volume = (store: Store, id: string, value: number) => {
  changeMeta(store, id, { volume_uL: value })
  // Another change in between: the next one of the same entry is a step of its own, not one drag.
  changeKey(store, 'bath.depth_mm', 10 + value)
}
const notes = (store: Store) =>
  Object.fromEntries(store.getState().measured.map(({ id, meta }) => [id, meta.volume_uL]))

describe('undo in the editor of a curve', () => {
  const begun = (): Store => {
    const store = createPageStore(defaultPreset())
    addCurves(store, [curve('a'), curve('b')])
    for (const [id, value] of [
      ['a', 1],
      ['b', 2],
      ['a', 3],
      ['b', 4],
    ] as const) {
      volume(store, id, value)
    }
    return store
  }

  it('goes back through the changes of that curve only, to what it was when it came', () => {
    const store = begun()
    moveCurve(store, 'b', -1)
    const drop = store.getState().preset
    undoCurve(store, 'a')
    expect(notes(store)).toEqual({ a: 1, b: 4 })
    undoCurve(store, 'a')
    expect(notes(store)).toEqual({ a: undefined, b: 4 })
    expect(historyOf(store.getState(), 'a').before).toBeUndefined()
    undoCurve(store, 'a')
    expect(notes(store)).toEqual({ a: undefined, b: 4 })
    expect(store.getState().measured.map(({ id }) => id)).toEqual(['b', 'a'])
    expect(store.getState().preset).toBe(drop)
  })
  it('can be redone, until the curve is changed anew', () => {
    const store = begun()
    undoCurve(store, 'a')
    undoCurve(store, 'a')
    redoCurve(store, 'a')
    expect(notes(store)).toEqual({ a: 1, b: 4 })
    redoCurve(store, 'a')
    expect(notes(store)).toEqual({ a: 3, b: 4 })
    expect(historyOf(store.getState(), 'a').after).toBeUndefined()
    undoCurve(store, 'a')
    volume(store, 'a', 7)
    expect(historyOf(store.getState(), 'a').after).toBeUndefined()
    undoCurve(store, 'a')
    expect(notes(store).a).toBe(1)
  })
  it('is itself a step of the undo of the page', () => {
    const store = begun()
    undoCurve(store, 'a')
    undo(store)
    expect(notes(store)).toEqual({ a: 3, b: 4 })
    redo(store)
    expect(notes(store)).toEqual({ a: 1, b: 4 })
  })
  it('does not take back what another tab did', () => {
    const store = begun()
    const theirs = { ...curve('a'), meta: { volume_uL: 9 } }
    rebase(store, (curves) => curves.map((one) => (one.id === 'a' ? theirs : one)))
    expect(historyOf(store.getState(), 'a')).toEqual({ before: undefined, after: undefined })
    undoCurve(store, 'a')
    expect(notes(store).a).toBe(9)
  })
})
