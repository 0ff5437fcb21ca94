/** A fit on the page, as data: plots, units, names, and what taking over changes. */
import { beforeAll, describe, expect, it } from 'vitest'
import type { Preset } from '../../src/life/types.ts'
import { withExcluded } from '../../src/measured/edit.ts'
import { fitLives } from '../../src/measured/fit/fitLives.ts'
import type { FitWish, LifeFit } from '../../src/measured/fit/types.ts'
import type { MeasuredCurve } from '../../src/measured/types.ts'
import { startOf } from '../../src/measured/usable.ts'
import { redo, undo } from '../../src/page/actions.ts'
import {
  type FitCurve,
  keptName,
  livesOfFit,
  radiusPanel,
  residualPanel,
  shownUnknown,
} from '../../src/page/fit/fitViews.ts'
import { figuresOf, valuesTable } from '../../src/page/fit/reportPart.ts'
import { changedSince } from '../../src/page/fit/since.ts'
import { stillStated, takeOver, withFit } from '../../src/page/fit/takeOver.ts'
import { csvText } from '../../src/page/plots/dataTable.ts'
import { svgText } from '../../src/page/plots/svgText.ts'
import { createPageStore } from '../../src/page/store.ts'
import { curveStyle } from '../../src/page/theme.ts'
import { closedLife, closedLifeOf, closedPreset, curveFrom, withKeys } from '../fixtures/fitCurves.ts'
import { expectClose } from '../matchers.ts'

const OIL = 'bath.viscosity_mPas'
const truth = withKeys(closedPreset, { [OIL]: 64 })
const curves = [
  curveFrom(closedLifeOf(truth), { to: 7, seed: 3, clock: 1.2, meta: { startTime_s: 1 }, name: 'bench <3>' }),
  curveFrom(closedLifeOf(truth), { to: 7, seed: 4, name: 'second' }),
]
const styled: FitCurve[] = curves.map((curve, i) => ({ curve, style: curveStyle(curve, i) }))
let fit: LifeFit
beforeAll(async () => {
  const made = await fitLives(
    { preset: closedPreset, curves, unknowns: [OIL, 'drop.alcoholMassFraction', 'startTime'] },
    closedLife,
  )
  if (!made.ok) throw new Error('no fit')
  fit = made.fit
})

describe('plots of a fit', () => {
  it('hold points with their errors and the lives, in mm and s', () => {
    const panel = radiusPanel(styled, livesOfFit(fit))
    expect(panel.lines.map(({ kind }) => kind)).toEqual(['line', 'line', 'points', 'points'])
    const points = panel.lines[2]!
    expectClose(points.y[4]!, 1e3 * curves[0]!.radius[4]!, { rtol: 1e-12 })
    expectClose(points.base![4]!, 1e3 * curves[0]!.uncertainty![4]!, { rtol: 1e-12 })
    expectClose(points.x[4]!, curves[0]!.time[4]! - 1, { rtol: 1e-12 })
    expect(points.marker).not.toBe(panel.lines[3]!.marker)
    expect(panel.xMax).toBeGreaterThanOrEqual(7)
    Array.from(points.y, (v, i) => expect(v + points.base![i]!).toBeLessThan(panel.yMax))
  })
  it('residuals are measured minus life with ± 1 σ about a line at 0', () => {
    const panel = residualPanel(fit, styled, '#222222')
    expect(panel.lines.map(({ key }) => key)).toEqual(['zero', curves[0]!.id, curves[1]!.id])
    expect(panel.yMin).toBe(-panel.yMax)
    const [, first] = panel.lines
    expectClose(first!.y[7]!, 1e3 * fit.curves[0]!.residual[7]!, { rtol: 1e-12 })
    expectClose(first!.base![7]!, 1e3 * curves[0]!.uncertainty![7]!, { rtol: 1e-12 })
  })
  it('without uncertainties the bars are the scatter', () => {
    const plain = { ...fit, weights: 'scatter' as const, scatter: 3e-4 }
    const bars = residualPanel(plain, styled, '#222222').lines[1]!.base!
    expect([...new Set(Array.from(bars))]).toEqual([0.3])
  })
  it('are saved as picture and table', () => {
    const panel = residualPanel(fit, styled, '#222222')
    const picture = svgText([panel], { title: 'Residuals', subtitle: '' })
    expect(picture).toContain('bench &#60;3&#62;')
    const [header] = csvText([panel]).split('\n')
    expect(header).toContain('residual_mm (second)')
  })
})

describe('values of a fit', () => {
  it('are shown in the units of the page', () => {
    const [oil, strength] = fit.unknowns.map(shownUnknown)
    expect(oil).toMatchObject({ unit: 'mPa·s', value: fit.unknowns[0]!.value })
    expect(strength!.unit).toBe('%')
    expectClose(strength!.value, 100 * fit.unknowns[1]!.value, { rtol: 1e-12 })
    expectClose(strength!.upper, 100, { rtol: 1e-12 })
    expect(shownUnknown(fit.unknowns[2]!)).toBe(fit.unknowns[2])
  })
  it('what is not determined has no number in the report', () => {
    // The closed-form life does not depend on the strength.
    const { rows } = valuesTable(fit)
    expect(rows[1]!.slice(0, 2)).toEqual(['Strength (by mass)', 'not determined'])
    expect(rows[0]![1]).toMatch(/^\d+\.\d+ ± \d+\.\d+ mPa·s$/)
  })
  it('kept fits are told apart by their names', () => {
    expect(keptName(0, fit)).toBe('A: Oil viscosity, Strength (by mass), Contact (constant rate)')
    expect(keptName(1, { ...fit, unknowns: fit.unknowns.slice(0, 1) })).toBe(
      'B: Oil viscosity (constant rate)',
    )
  })
})

describe('a fit made before something changed', () => {
  const unknowns = [OIL, 'drop.alcoholMassFraction', 'startTime']
  const wish = { preset: closedPreset, curves, unknowns }
  const [first, second] = curves as [MeasuredCurve, MeasuredCurve]
  const since = (
    change: { preset?: Preset; measured?: MeasuredCurve[] },
    of: Pick<FitWish, 'preset' | 'curves' | 'unknowns'> = wish,
  ) => changedSince(of, { preset: closedPreset, measured: curves, ...change })

  it('is still of the drop when only its unknowns, words or places in the list differ', () => {
    expect(since({})).toBe('')
    expect(since({ preset: withKeys(closedPreset, { [OIL]: 70, title: 'x' }) })).toBe('')
    expect(since({ measured: [second, first] })).toBe('')
    const moved = { ...first, meta: { ...first.meta, startTime_s: 1.1, colour: 'green' as const } }
    expect(since({ measured: [moved, second] })).toBe('')
    // Ticked off and on again: the same points.
    expect(since({ measured: [withExcluded(withExcluded(first, 3, true), 3, false), second] })).toBe('')
  })
  it('tells what has changed', () => {
    expect(since({ preset: withKeys(closedPreset, { 'drop.volume_uL': 12 }) })).toBe('“Volume”')
    const four = { 'drop.volume_uL': 12, 'bath.depth_mm': 9, 'air.temperature_C': 25, 'ring.breakUp': true }
    expect(since({ preset: withKeys(closedPreset, four) })).toBe('4 values of the drop')
    const name = first.name
    const with1 = (curve: MeasuredCurve) => since({ measured: [curve, second] })
    expect(with1(withExcluded(first, 3, true))).toBe(`the points set aside of “${name}”`)
    expect(with1({ ...first, radius: first.radius.map((r) => 1.1 * r) })).toBe(`the points of “${name}”`)
    // A contact that is fitted must not hide a changed statement.
    expect(with1({ ...first, meta: { ...first.meta, volume_uL: 12 } })).toBe(
      `what “${name}” states of its drop`,
    )
    expect(since({ measured: [second] })).toBe(`the curve “${name}” (removed)`)
    const later = { ...first, meta: { startTime_s: 1.1 } }
    expect(since({ measured: [later, second] }, { ...wish, unknowns: [OIL] })).toBe(
      `the contact of “${name}”`,
    )
  })
  it('is printed with a mark in titles, captions and table, and without one while it holds', () => {
    const marked = figuresOf({ fit, curves: styled, since: '“Volume”' })
    for (const { title, caption } of marked) {
      expect(title).toMatch(/ \(stale\)$/)
      expect(caption).toMatch(/^Stale: this fit was made before these changed: “Volume”\. /)
    }
    expect(marked[0]!.table!.title).toBe('Fitted values (stale: made before a change of “Volume”)')
    const sound = figuresOf({ fit, curves: styled, since: '' })
    expect(JSON.stringify(sound.map(({ title, caption, table }) => [title, caption, table]))).not.toMatch(
      /stale/i,
    )
    expect(sound[0]!.table).toEqual(marked[0]!.table && { ...marked[0]!.table, title: 'Fitted values' })
  })
})

describe('taking a fit over', () => {
  it('sets the values of the drop and the contacts of the curves, in one step of undo', () => {
    const store = createPageStore(closedPreset)
    const other = curveFrom(closedLifeOf(truth), { to: 5, seed: 9, name: 'not fitted' })
    store.setState({ measured: [...curves, other] })
    expect(takeOver(store, fit)).toBe('')
    const now = store.getState()
    expectClose(now.preset.bath.viscosity_mPas!, fit.unknowns[0]!.value, { rtol: 1e-4 })
    expect(now.preset.drop.volume_uL).toBe(closedPreset.drop.volume_uL)
    expect(now.stale).toBe(true)
    expectClose(startOf(now.measured[0]!), fit.unknowns[2]!.value, { rtol: 1e-4 })
    expect(now.measured[2]).toBe(other)
    undo(store)
    expect(store.getState().preset).toBe(closedPreset)
    expect(store.getState().measured).toEqual([...curves, other])
    redo(store)
    expect(store.getState().preset).toBe(now.preset)
  })
  it('tells of curves that go on stating a fitted input', () => {
    const volume = { ...fit.unknowns[0]!, path: 'drop.volume_uL', label: 'Volume', value: 12 }
    const taken = withKeys(closedPreset, { 'drop.volume_uL': 12 })
    const stating = { ...curves[1]!, meta: { volume_uL: 10 } }
    expect(stillStated(taken, [curves[0]!, stating], { unknowns: [volume] })).toBe(
      ' “second” states its own “Volume”: it is compared with that, not with the fitted value.',
    )
    expect(stillStated(taken, curves, { unknowns: [volume] })).toBe('')
    expect(stillStated(taken, [stating], fit)).toBe('')
  })
  it('that breaks a rule of presets is refused with the reason', () => {
    const narrow = withKeys(closedPreset, { 'bath.dishRadius_mm': 12 })
    const wide = { ...fit.unknowns[0]!, path: 'drop.startRadius_mm', value: 13 }
    expect(withFit(narrow, [], { unknowns: [wide] })).toMatchObject({ ok: false })
    const store = createPageStore(narrow)
    expect(takeOver(store, { unknowns: [wide] })).toMatch(/less than bath\.dishRadius_mm/)
    expect(store.getState().preset).toBe(narrow)
  })
})
