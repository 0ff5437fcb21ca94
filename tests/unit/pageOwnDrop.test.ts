/**
 * A measured curve is compared with the life of the drop that it states, alike on the page, in the report and on the
 * command line. The data are invented; what both must come to is told by the other.
 */
import { beforeAll, describe, expect, it } from 'vitest'
import { changeOf } from '../../src/cli/command.ts'
import { main } from '../../src/cli/compare.ts'
import { loadCurves, loadPreset } from '../../src/cli/load.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life, Preset } from '../../src/life/types.ts'
import { percentByVolume } from '../../src/liquids/composition.ts'
import { mixtureNamed } from '../../src/liquids/own/resolve.ts'
import { fitLives } from '../../src/measured/fit/fitLives.ts'
import { courseOfDrop, dropName, lackingDrops } from '../../src/measured/fit/ownDrop.ts'
import type { Course } from '../../src/measured/fit/types.ts'
import type { MeasuredCurve } from '../../src/measured/types.ts'
import { addCurves, learnOwnLife, receiveLife, setPreset } from '../../src/page/actions.ts'
import { takeOver } from '../../src/page/fit/takeOver.ts'
import { besideIn, residualDetail, residualSentence, residualText } from '../../src/page/measured/residual.ts'
import { choiceOf } from '../../src/page/plots/traces.ts'
import { radiusPanel } from '../../src/page/plots/tracesModel.ts'
import { residualFigure } from '../../src/page/report/residualPart.ts'
import { createPageStore, type Store } from '../../src/page/store.ts'
import { measuredTable, residualTable } from '../../src/plan/measuredTables.ts'
import { cellText, type Table } from '../../src/plan/table.ts'
import { callOf } from '../fixtures/captured.ts'
import { closedLife, closedLifeOf, closedPreset, curveFrom, withKeys } from '../fixtures/fitCurves.ts'
import { expectClose } from '../matchers.ts'

const FILES = ['presets/harbour-lane-spreads.json', 'presets/harbour-lane-measured-50.csv'] as const

const demand = <T extends { ok: true }>(made: T | { ok: false; messages: string[] }): T => {
  if (!made.ok) throw new Error(made.messages.join(' '))
  return made
}

const lifeOf = (preset: Preset): Life => {
  const made = runLifeSync(preset)
  if (!made.ok) throw new Error('no life')
  return made.life
}

/** What the page does in idle time. */
async function learnLacking(store: Store, run: typeof closedLife): Promise<number> {
  const { measured, life, ownLives } = store.getState()
  const lacking = lackingDrops(measured, life!.preset, ownLives)
  for (const preset of lacking) learnOwnLife(store, dropName(preset), await courseOfDrop(preset, run))
  return lacking.length
}

/** A row of a table by the names of its columns, as it is printed. */
const printed = ({ columns, rows }: Table, i = 0) =>
  Object.fromEntries(columns.map((column, k) => [column.name, cellText(rows[i]![k]!, column)]))

describe('a curve that states 50 % beside a drop of 60 %', () => {
  let preset: Preset
  let curve: MeasuredCurve
  let store: Store
  let command: { rms_mm: number; bias_mm: number; worst_mm: number; chiSquared: number; points: number }
  beforeAll(async () => {
    preset = demand(loadPreset(FILES[0], [], [])).preset
    curve = demand(await loadCurves(FILES[1], {})).curves[0]!
    const { code, out } = await callOf((to) => main([...FILES, '--json'], to))
    expect(code).toBe(0)
    command = JSON.parse(out).curves[0]
    store = createPageStore(preset)
    addCurves(store, [curve])
    receiveLife(store, lifeOf(preset))
  })

  it('has no figure anywhere before its own life is there', () => {
    const state = store.getState()
    expect(residualText(besideIn(state, curve))).toBe('its own drop (50 % by mass) is being computed')
    expect(label(store)).toBe(`${curve.name} (other drop)`)
    const none = { rms_mm: '–', bias_mm: '–', compared_with: 'its own drop (50 % by mass) is being computed' }
    expect(printed(measuredTable([curve], state.life))).toMatchObject(none)
    expect(printed(residualTable([curve], state.life!))).toMatchObject({ ...none, worst_mm: '–' })
    const figure = residualFigure(state, state.life!)
    expect(figure.caption).toContain(`${curve.name}: its own drop (50 % by mass) is being computed.`)
    expect(figure.csv).not.toContain('residual_mm (')
  })

  it('has the figures of the command in list, legend and report', async () => {
    expect(await learnLacking(store, runLifeSync)).toBe(1)
    expect(await learnLacking(store, runLifeSync)).toBe(0)
    const state = store.getState()
    const beside = besideIn(state, curve)
    const two = command.rms_mm.toPrecision(2)
    expect(residualText(beside)).toBe(`r.m.s. ${two} mm against its own drop: 50 % by mass`)
    expect(residualDetail(beside)).toMatch(/wider than the life of its own drop$/)
    expect(label(store)).toBe(`${curve.name} (other drop, r.m.s. ${two} mm)`)
    // Beside the lines on the screen there is room for the mark only; the legend above the clock has the figure.
    expect(label(store, false)).toBe(`${curve.name} (other drop)`)
    const { table, caption, csv } = residualFigure(state, state.life!)
    const [row] = table!.rows
    expect(row!.slice(3, 6)).toEqual([command.rms_mm, command.bias_mm, command.worst_mm])
    expectClose(Number(row![6]), command.chiSquared / command.points, { rtol: 1e-12 })
    expect(row![7]).toBe('its own drop: 50 % by mass')
    expect(caption).toContain(`${curve.name}: compared with the life of its own drop: 50 % by mass.`)
    expect(csv).toContain('residual_mm (')
    const listed = measuredTable([curve], state.life, state.ownLives)
    expect(printed(listed)).toMatchObject({
      rms_mm: command.rms_mm.toPrecision(3),
      compared_with: 'its own drop: 50 % by mass',
    })
  })

  it('is computed anew when the drop changes otherwise, and compared with the shown life once that is its own', async () => {
    const thinner = withKeys(preset, { 'bath.viscosity_mPas': 45 })
    setPreset(store, thinner)
    receiveLife(store, lifeOf(thinner))
    expect(besideIn(store.getState(), curve)).toMatchObject({ own: true, state: 'computing', compared: null })
    expect(await learnLacking(store, runLifeSync)).toBe(1)
    const its = besideIn(store.getState(), curve)!.compared!.rms
    const own = withKeys(thinner, { 'drop.alcoholMassFraction': 0.5 })
    setPreset(store, own)
    receiveLife(store, lifeOf(own))
    const beside = besideIn(store.getState(), curve)!
    expect(beside).toMatchObject({ own: false, state: 'there', drop: '' })
    expect(beside.compared!.rms).toBe(its)
    expect(residualText(beside)).toMatch(/^r\.m\.s\. [\d.]+ mm$/)
    expect(label(store)).toBe(curve.name)
  })
})

const label = (store: Store, figures = true): string => {
  const state = store.getState()
  const lines = radiusPanel(state.life!, choiceOf(state, false, '#000000', figures)).lines
  return lines.find(({ kind }) => kind === 'points')!.label
}

describe('which drop is a curve’s own', () => {
  const base = closedLifeOf(closedPreset)
  const beside = (meta: MeasuredCurve['meta'], lives: ReadonlyMap<string, Course> = new Map()) =>
    besideIn({ life: base, ownLives: lives }, curveFrom(base, { to: 7, meta, name: 'c' }))

  it('one that states nothing, or the same, is of the shown drop', () => {
    const { volume_uL } = closedPreset.drop
    for (const meta of [{}, { volume_uL }, { depth_mm: closedPreset.bath.depth_mm, volume_uL }])
      expect(beside(meta), JSON.stringify(meta)).toMatchObject({ own: false, state: 'there' })
  })
  it('a strength by volume is compared as the mass fraction that it means', () => {
    const { preset } = demand(loadPreset(FILES[0], ['drop.alcoholMassFraction=0.487'].map(changeOf), []))
    const at = (alcoholFraction: number) => {
      const meta = { alcoholFraction, fractionBasis: 'volume' as const }
      return besideIn({ life: { ...base, preset }, ownLives: new Map() }, curveFrom(base, { to: 7, meta }))!
    }
    expect(at(percentByVolume(mixtureNamed('ethanol', undefined)!, 0.487) / 100).own).toBe(false)
    // OIML R 22 (1973): 48.7 % by mass is 56.5 % by volume at 20 °C. Both and the text shown are rounded by up to 0.05.
    const [, mass] = /^([\d.]+) % by mass$/.exec(at(0.565).drop)!
    expectClose(Number(mass), 48.7, { atol: 0.15 })
  })
  it('all that differs is told', () => {
    expect(beside({ volume_uL: 12, depth_mm: 8 })).toMatchObject({ drop: '12 µL, bath 8 mm deep' })
    const { preset } = demand(loadPreset(FILES[0], [], []))
    const meta = { oil: 'castor-oil', relativeHumidity: 0.25 }
    const state = { life: { ...base, preset }, ownLives: new Map() }
    expect(besideIn(state, curveFrom(base, { to: 7, meta }))).toMatchObject({
      own: true,
      drop: 'castor oil, humidity 25 %',
    })
    expect(residualSentence(beside({ oil: 'chip fat' }))).toMatch(
      /the oil “chip fat” is not that of the closed forms/,
    )
  })
  it('one that cannot be, or that breaks off, is told with the reason and has no figure', () => {
    const wide = beside({ volume_uL: 1e6 })!
    expect(wide).toMatchObject({ own: true, state: 'none', compared: null })
    expect(residualText(wide)).toBe('its own drop has no life')
    expect(residualSentence(wide)).toMatch(
      /^its own drop has no life \(drop\.volume_uL is 1000000\. Permitted: 0\.5 to 100 µL\)$/,
    )
    const own = withKeys(closedPreset, { 'drop.volume_uL': 12 })
    const nothing = new Float64Array(0)
    const failed: Course = { t: nothing, R: nothing, U: nothing, outcome: 'failed', failed: 'It stuck.' }
    const stuck = beside({ volume_uL: 12 }, new Map([[dropName(own), failed]]))!
    expect(residualText(stuck)).toBe('its own drop (12 µL) has no life')
    expect(residualSentence(stuck)).toBe('its own drop (12 µL) has no life (It stuck)')
  })
  it('one with no point within its life, or of an unknown alcohol, says so', () => {
    const own = withKeys(closedPreset, { 'drop.volume_uL': 12 })
    const short: Course = {
      t: Float64Array.of(0, 0.01),
      R: Float64Array.of(1e-3, 1.1e-3),
      U: new Float64Array(2),
      outcome: 'failed',
      failed: 'It stuck.',
    }
    expect(residualSentence(beside({ volume_uL: 12 }, new Map([[dropName(own), short]])))).toBe(
      'no point within the life of its own drop: 12 µL (It stuck)',
    )
    expect(residualSentence(beside({ alcohol: 'gin' }))).toMatch(
      /^r\.m\.s\. [\d.]+ mm \(the alcohol “gin” is not among the liquids; reference is used\)$/,
    )
  })
  it('the title of a drop does not matter', () => {
    expect(dropName({ ...closedPreset, title: 'x', note: 'y' })).toBe(dropName(closedPreset))
  })
})

it('after a fit is taken over, the report has the χ² of the fit', async () => {
  const truth = withKeys(closedPreset, { 'bath.viscosity_mPas': 64, 'drop.volume_uL': 16 })
  const curve = curveFrom(closedLifeOf(truth), { to: 8, seed: 3, meta: { volume_uL: 16 } })
  const made = await fitLives(
    { preset: closedPreset, curves: [curve], unknowns: ['bath.viscosity_mPas'] },
    closedLife,
  )
  if (!made.ok) throw new Error('no fit')
  const store = createPageStore(closedPreset)
  addCurves(store, [curve])
  expect(takeOver(store, made.fit)).toBe('')
  receiveLife(store, closedLifeOf(store.getState().preset))
  await learnLacking(store, closedLife)
  const { life, ownLives } = store.getState()
  const [row] = residualTable([curve], life!, ownLives).rows
  expectClose(Number(row![6]), made.fit.sumOfSquares / made.fit.points, { rtol: 1e-3 })
})
