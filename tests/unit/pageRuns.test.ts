/** Runs that are no curves yet, curves that are renewed from their recordings, and what a run leaves to the page's drop. */
import { describe, expect, it } from 'vitest'
import { defaultPreset } from '../../src/life/preset.ts'
import { curvePreset } from '../../src/measured/fit/curvePreset.ts'
import type { CurveMeta, MeasuredCurve } from '../../src/measured/types.ts'
import { unstatedWords } from '../../src/measured/unstated.ts'
import { undo } from '../../src/page/actions.ts'
import { changeMetas, putCurves } from '../../src/page/measured/changes.ts'
import { runsOf } from '../../src/page/measured/queuedRuns.ts'
import { createPageStore } from '../../src/page/store.ts'
import { isChanged, madeOf, metaToRenew, wayOf } from '../../src/page/video/renewing.ts'

const curve = (id: string, radii: number[], more: Partial<MeasuredCurve> = {}): MeasuredCurve => ({
  id,
  name: 'run',
  time: Float64Array.from(radii, (_, i) => i),
  radius: Float64Array.from(radii),
  meta: {},
  file: 'run.webm',
  provenance: { sha256: 'ab' },
  ...more,
})

describe('a recording that becomes a curve once more', () => {
  const old = curve('a', [1, 2, 3])
  const made = madeOf(old)
  const fresh = curve('b', [1, 2, 4])
  const way = (one: MeasuredCurve, given: MeasuredCurve, known = true) =>
    wayOf(given, known ? { old: one, made } : null, [one]).kind
  it('renews what it gave, however that is called now', () => {
    expect(way(old, fresh)).toBe('renew')
    expect(way({ ...old, name: 'other' }, fresh)).toBe('renew')
    expect(way({ ...old, meta: { volume_uL: 3 } }, fresh)).toBe('renew')
  })
  it('asks where points were changed by hand, set aside or given another error', () => {
    expect(way({ ...old, radius: Float64Array.of(1, 2, 3.5) }, fresh)).toBe('ask')
    expect(way({ ...old, excluded: Uint8Array.of(0, 1, 0) }, fresh)).toBe('ask')
    expect(way({ ...old, uncertainty: Float64Array.of(1, 1, 1) }, fresh)).toBe('ask')
    expect(isChanged(old, null)).toBe(true)
  })
  it('asks where a curve of the same recording is from another visit', () => {
    expect(way(old, fresh, false)).toBe('ask')
    expect(way({ ...old, provenance: {} }, fresh, false)).toBe('ask')
    expect(way({ ...old, provenance: { sha256: 'cd' } }, fresh, false)).toBe('new')
    expect(way({ ...old, provenance: {}, file: 'another.webm' }, fresh, false)).toBe('new')
  })
  it('does nothing where it is here already, and puts in a new name or new conditions', () => {
    expect(way(old, curve('b', [1, 2, 3]))).toBe('same')
    expect(way(old, curve('b', [1, 2, 3], { name: 'other' }))).toBe('renew')
    expect(way(old, curve('b', [1, 2, 3], { meta: { volume_uL: 2 } }))).toBe('renew')
  })
  it('forgets the error of the touch-down that it found itself, not one that was typed', () => {
    const found = curve('a', [1, 2], { meta: { sigma: { startTime_s: 0.1, volume_uL: 0.2 } } })
    expect(metaToRenew(found, madeOf(found))).toEqual({ sigma: { volume_uL: 0.2 } })
    const typed = { ...found, meta: { sigma: { startTime_s: 0.3 } } }
    expect(metaToRenew(typed, madeOf(found))).toEqual({ sigma: { startTime_s: 0.3 } })
    expect(metaToRenew({ ...found, meta: { sigma: { startTime_s: 0.1 } } }, madeOf(found))).toEqual({})
  })
})

describe('runs', () => {
  const store = () => {
    const made = createPageStore(defaultPreset())
    made.setState({
      measured: [curve('a', [1, 2])],
      keeping: { state: 'kept', reason: '' },
      queued: [
        { id: 'q1', name: 'x', curve: 'a' },
        { id: 'q2', name: 'y', curve: '' },
        { id: 'q3', name: 'z', curve: 'gone' },
      ],
    })
    return made
  }
  it('are curves and recordings without one, each once', () => {
    const ids = (state: 'kept' | 'opening') => {
      const made = store()
      made.setState({ keeping: { state, reason: '' } })
      return runsOf(made.getState()).map(({ id }) => id)
    }
    expect(ids('kept')).toEqual(['a', 'q2', 'q3'])
    expect(ids('opening')).toEqual(['a', 'q2'])
  })
  it('take data in one step of undo, whatever they are', () => {
    const made = store()
    const meta: CurveMeta = { volume_uL: 5 }
    changeMetas(
      made,
      new Map([
        ['a', meta],
        ['q2', meta],
      ]),
    )
    expect(runsOf(made.getState()).map((run) => run.meta)).toEqual([meta, meta, {}])
    undo(made)
    expect(runsOf(made.getState()).map((run) => run.meta)).toEqual([{}, {}, {}])
  })
  it('come to their places: renewed where the old one was, else behind', () => {
    const made = store()
    const [old] = made.getState().measured
    made.setState({ measured: [old!, curve('c', [5, 6])] })
    putCurves(made, [
      { old: old!, curve: curve('b', [1, 3]) },
      { old: null, curve: curve('d', [1, 4]) },
      { old: curve('nowhere', [1, 2]), curve: curve('e', [1, 5]) },
    ])
    expect(made.getState().measured.map(({ id }) => id)).toEqual(['b', 'c', 'd', 'e'])
    undo(made)
    expect(made.getState().measured.map(({ id }) => id)).toEqual(['a', 'c'])
  })
})

describe('what a run leaves to the page’s drop', () => {
  it('is said, and is what the fit does', () => {
    const base = defaultPreset()
    expect(unstatedWords({})).toBe('conditions not stated: the page’s drop is used')
    expect(unstatedWords({ note: 'x', date: '2026-11-29', startTime_s: 1 })).toBe(unstatedWords({}))
    const made = curvePreset(base, curve('a', [1, 2]))
    expect(made.ok && made.preset).toEqual(base)
    expect(unstatedWords({ alcoholFraction: 0.5 })).toBe('volume not stated: that of the page’s drop is used')
    expect(unstatedWords({ oil: 'x' })).toBe(
      'strength and volume not stated: those of the page’s drop are used',
    )
    expect(unstatedWords({ alcoholFraction: 0.5, volume_uL: 3 })).toBe('')
  })
})
