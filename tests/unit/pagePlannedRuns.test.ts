/** Planned runs: rows without a curve, until one takes their data over. */
import { describe, expect, it, vi } from 'vitest'
import { defaultPreset } from '../../src/life/preset.ts'
import { curvePreset } from '../../src/measured/fit/curvePreset.ts'
import { offerOf } from '../../src/measured/nameReading.ts'
import type { CurveMeta, MeasuredCurve } from '../../src/measured/types.ts'
import { undo } from '../../src/page/actions.ts'
import { changeMetas } from '../../src/page/measured/changes.ts'
import { addPlanned, plannedMeta, removePlanned, takePlanned } from '../../src/page/measured/plannedRuns.ts'
import { keepQueuedRuns, runsOf } from '../../src/page/measured/queuedRuns.ts'
import { createPageStore } from '../../src/page/store.ts'
import { Storage } from '../fixtures/storage.ts'

const curve = (meta: CurveMeta): MeasuredCurve => ({
  id: 'c1',
  name: 'clip',
  time: Float64Array.of(0, 1),
  radius: Float64Array.of(1e-3, 2e-3),
  meta,
  file: 'clip.csv',
})
const metas: CurveMeta[] = [
  { alcoholFraction: 0.5, fractionBasis: 'mass', volume_uL: 5 },
  { alcoholFraction: 0.7, fractionBasis: 'mass', volume_uL: 20 },
]
const names = (store: ReturnType<typeof createPageStore>) => runsOf(store.getState()).map(({ name }) => name)

describe('planned runs', () => {
  it('stand behind the curves in their order, a second plan behind the first, and go with Undo', () => {
    const store = createPageStore(defaultPreset())
    addPlanned(store, metas)
    expect(names(store)).toEqual(['Planned run 1 of 2', 'Planned run 2 of 2'])
    addPlanned(store, metas)
    expect(names(store).slice(2)).toEqual(['Planned run 1 of 2 (2)', 'Planned run 2 of 2 (2)'])
    expect(new Set(runsOf(store.getState()).map(({ id }) => id)).size).toBe(4)
    undo(store)
    undo(store)
    expect(names(store)).toEqual([])
  })

  it('give their data to a curve, which then has the planned drop; what it states itself stays', () => {
    const store = createPageStore(defaultPreset())
    store.setState({ measured: [curve({ volume_uL: 19.5 })] })
    addPlanned(store, metas)
    const [own, , second] = runsOf(store.getState())
    takePlanned(store, second!.id, own!)
    expect(names(store)).toEqual(['clip', 'Planned run 1 of 2'])
    const [taken] = store.getState().measured
    expect(taken!.meta).toEqual({ alcoholFraction: 0.7, fractionBasis: 'mass', volume_uL: 19.5 })
    const made = curvePreset(defaultPreset(), taken!)
    expect(made.ok && [made.preset.drop.alcoholMassFraction, made.preset.drop.volume_uL]).toEqual([0.7, 19.5])
    expect(store.getState().messages.at(-1)!.text).toContain('states something else')
    undo(store)
    expect(names(store)).toEqual(['clip', 'Planned run 1 of 2', 'Planned run 2 of 2'])
    expect(store.getState().measured[0]!.meta).toEqual({ volume_uL: 19.5 })
  })

  it('a strength that a curve states keeps its own basis', () => {
    const store = createPageStore(defaultPreset())
    store.setState({ measured: [curve({ alcoholFraction: 0.6 })] })
    addPlanned(store, [{ ...metas[0]!, fractionBasis: 'volume' }])
    const [own, planned] = runsOf(store.getState())
    takePlanned(store, planned!.id, own!)
    expect(store.getState().measured[0]!.meta).toEqual({ alcoholFraction: 0.6, volume_uL: 5 })
  })

  it('give their data to a recording in the queue, can be edited, and taken out', () => {
    const store = createPageStore(defaultPreset())
    store.setState({ queued: [{ id: 'q1', name: 'clip.webm', curve: '' }] })
    addPlanned(store, metas)
    const [recording, first, second] = runsOf(store.getState())
    changeMetas(store, new Map([[first!.id, { volume_uL: 7 }]]))
    takePlanned(store, runsOf(store.getState())[1]!.id, recording!)
    expect(runsOf(store.getState())[0]).toMatchObject({ name: 'clip.webm', meta: { volume_uL: 7 } })
    removePlanned(store, second!.id)
    expect(names(store)).toEqual(['clip.webm'])
  })

  it('are there after a reload', ({ onTestFinished }) => {
    onTestFinished(() => void vi.unstubAllGlobals())
    vi.stubGlobal('localStorage', new Storage())
    const first = createPageStore(defaultPreset())
    const end = keepQueuedRuns(first)
    addPlanned(first, metas)
    end()
    const second = createPageStore(defaultPreset())
    keepQueuedRuns(second)()
    expect(runsOf(second.getState())).toEqual(runsOf(first.getState()))
  })

  it('state what all runs share beside what is their own, and their names say nothing', () => {
    const preset = defaultPreset()
    expect(plannedMeta(preset, metas[1]!)).toMatchObject({
      alcohol: preset.drop.alcohol,
      alcoholFraction: 0.7,
      volume_uL: 20,
      depth_mm: preset.bath.depth_mm,
      oil: preset.bath.liquid,
    })
    expect(offerOf({ name: 'Planned run 1 of 2', meta: {} } as never).change).toEqual({})
  })
})
