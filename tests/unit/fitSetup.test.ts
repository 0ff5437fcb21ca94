/** From presets and curves to the unknowns of a fit: what is permitted, where it starts, what a curve's own drop is. */
import { describe, expect, it } from 'vitest'
import { defaultPreset } from '../../src/life/preset.ts'
import type { Preset } from '../../src/life/types.ts'
import { radiusAt } from '../../src/measured/fit/course.ts'
import { curvePreset, notTaken } from '../../src/measured/fit/curvePreset.ts'
import { setUp } from '../../src/measured/fit/parameters.ts'
import { halton } from '../../src/measured/fit/scan.ts'
import type { FitWish } from '../../src/measured/fit/types.ts'
import { FITTABLE, presentValue, unknownsOf, whyNotFitted } from '../../src/measured/fit/unknowns.ts'
import type { CurveMeta, MeasuredCurve } from '../../src/measured/types.ts'
import { closedLifeOf, closedPreset, curveFrom, withKeys } from '../fixtures/fitCurves.ts'
import { expectClose } from '../matchers.ts'

const curve = (meta: CurveMeta = {}, seed = 1): MeasuredCurve =>
  curveFrom(closedLifeOf(closedPreset), { to: 7, seed, meta })
const parts = (changes: Partial<FitWish>) =>
  setUp({ preset: closedPreset, curves: [curve()], unknowns: ['bath.viscosity_mPas'], ...changes })
const messages = (changes: Partial<FitWish>): string => {
  const made = parts(changes)
  return made.ok ? '' : made.problems.map((p) => p.message).join(' ')
}

describe('unknowns', () => {
  it('are those of the evaporation that the drop uses', () => {
    const airs: Record<string, number | string>[] = [
      { 'air.mode': 'constant' },
      { 'air.mode': 'moving' },
      { 'air.mode': 'moving', 'air.speed_mPerS': 0.3 },
      { 'air.mode': 'still' },
    ]
    const offered = airs.map((air) =>
      unknownsOf(withKeys(defaultPreset(), air)).filter((path) => path.startsWith('air.')),
    )
    expect(offered).toEqual([
      ['air.constantRate_umPerS'],
      ['air.filmCoefficient_mmPerS'],
      ['air.speed_mPerS'],
      ['air.enhancement'],
    ])
    const blown = withKeys(defaultPreset(), airs[2]!)
    expect(whyNotFitted('air.filmCoefficient_mmPerS', blown)).toMatch(
      /no effect with air\.mode "moving" and an air speed.*air\.speed_mPerS/,
    )
    for (const path of unknownsOf(blown)) expect(whyNotFitted(path, blown)).toBe('')
  })
  it('begin with the value of the drop, its own or that of the liquids', () => {
    const plain: Preset = withKeys(defaultPreset(), { 'air.speed_mPerS': 0.2 })
    for (const path of FITTABLE) expect(presentValue(plain, path), path).toBeGreaterThan(0)
    const own = withKeys(plain, {
      'interface.water_mNperM': 27,
      'interface.end_mNperM': 0.7,
      'interface.decay': 4.4,
    })
    expect(presentValue(own, 'interface.decay')).toBe(4.4)
    // What is read off the curve is what was put into it.
    const free = withKeys(own, { 'interface.end_mNperM': null })
    expectClose(presentValue(free, 'interface.end_mNperM'), 0.4, { rtol: 1e-6 })
    const decayless = withKeys(own, { 'interface.decay': null })
    expectClose(presentValue(decayless, 'interface.decay'), 3.6, { rtol: 1e-6 })
  })
  it.each<[Partial<FitWish>, RegExp]>([
    [{ unknowns: [] }, /0 unknowns are chosen\. Permitted: 1 to 4/],
    [{ unknowns: ['bath.viscosity_mPas', 'bath.viscosity_mPas'] }, /named twice/],
    [
      { unknowns: ['drop.colour'] },
      /"drop\.colour" cannot be fitted\. Permitted: bath\.solubility, air\.constantRate/,
    ],
    [{ unknowns: ['model.filmCutoff_nm'] }, /cannot be fitted/],
    [
      { unknowns: ['air.enhancement'] },
      /no effect with air\.mode "constant"; the unknown of its evaporation is air\.constantRate_umPerS/,
    ],
    [{ curves: [] }, /at least one measured curve/],
    [
      { limits: { 'bath.viscosity_mPas': [0.1, 50] } },
      /limits 0\.1 to 50 are not usable\. Permitted: 1 to 5000 mPa·s/,
    ],
    [{ limits: { 'bath.viscosity_mPas': [60, 50] } }, /the lower one first/],
    [
      { unknowns: ['drop.volume_uL'], curves: [curve({ volume_uL: 5 }), curve({ volume_uL: 8 }, 2)] },
      /the curves state different values \(5, 8 µL\)/,
    ],
    [{ curves: [curve({ volume_uL: 500 })] }, /series 1: drop\.volume_uL is 500\. Permitted: 0\.5 to 100 µL/],
  ])('case %# is refused', (changes, pattern) => expect(messages(changes)).toMatch(pattern))
  it('need more points than numbers', () => {
    const few = { ...curve(), excluded: new Uint8Array(40).fill(1, 2) }
    expect(messages({ curves: [few], unknowns: ['bath.viscosity_mPas', 'bath.depth_mm'] })).toMatch(
      /2 points for 2 unknown numbers: at least 3/,
    )
    const none = { ...curve(), excluded: new Uint8Array(40).fill(1) }
    expect(messages({ curves: [none] })).toMatch(/all its points are set aside/)
  })
  it('are scaled so that 0 is the start and the limits are those of the key', () => {
    const made = parts({
      unknowns: ['bath.viscosity_mPas', 'drop.alcoholMassFraction', 'startTime'],
      curves: [curve(), curve({}, 2)],
    })
    if (!made.ok) throw new Error('not set up')
    expect(made.parameters.map(({ path, curve: of }) => `${path} ${of}`)).toEqual([
      'bath.viscosity_mPas -1',
      'drop.alcoholMassFraction -1',
      'startTime 0',
      'startTime 1',
    ])
    for (const one of made.parameters) {
      expect(one.toValue(0)).toBe(one.start)
      for (const value of [one.lower, one.upper])
        expectClose(one.toValue(one.toParameter(value)), value, { rtol: 1e-12, atol: 1e-12 })
      const [a, b] = [one.toValue(1e-6), one.toValue(-1e-6)]
      expectClose((a - b) / 2e-6, one.slope(one.start), { rtol: 1e-6 })
    }
    expect(made.parameters[0]).toMatchObject({ lower: 1, upper: 5000 })
  })
})

describe("a curve's own drop", () => {
  const rapeseed = withKeys(defaultPreset(), { 'drop.alcoholMassFraction': 0.3 })
  it('has the strength, volume, depth and temperature that the curve states', () => {
    const made = curvePreset(
      rapeseed,
      curve({ alcoholFraction: 0.45, volume_uL: 7, depth_mm: 4, temperature_C: 19 }),
    )
    expect(made).toMatchObject({
      ok: true,
      preset: {
        drop: { alcoholMassFraction: 0.45, volume_uL: 7 },
        bath: { depth_mm: 4 },
        air: { temperature_C: 19 },
      },
    })
    expect(curvePreset(rapeseed, curve())).toEqual({ ok: true, preset: rapeseed })
  })
  it('is converted where the strength is by volume', () => {
    // Densities of OIML R 22 (1973) at 20 °C: 913.771 kg/m³ at w = 0.5, 789.239 kg/m³ pure.
    const alcoholFraction = (0.5 * 913.771) / 789.239
    const made = curvePreset(rapeseed, curve({ alcoholFraction, fractionBasis: 'volume' }))
    if (!made.ok) throw new Error('no preset')
    expectClose(made.preset.drop.alcoholMassFraction, 0.5, { atol: 2e-5 })
    expect(curvePreset(closedPreset, curve({ alcoholFraction: 0.5, fractionBasis: 'volume' }))).toMatchObject(
      { ok: true, preset: { drop: { alcoholMassFraction: 0.5 } } },
    )
  })
  it('takes an alcohol that is known and tells of one that is not', () => {
    expect(curvePreset(rapeseed, curve({ alcohol: '2-propanol' }))).toMatchObject({
      preset: { drop: { alcohol: '2-propanol' } },
    })
    expect(notTaken(curve({ alcohol: '2-propanol' }), rapeseed)).toBe('')
    expect(curvePreset(rapeseed, curve({ alcohol: 'moonshine' }))).toMatchObject({
      preset: { drop: { alcohol: 'ethanol' } },
    })
    expect(notTaken(curve({ alcohol: 'moonshine' }), rapeseed)).toMatch(
      /“moonshine” is not among the liquids; ethanol is used/,
    )
  })
  it('rests on the oil and in the humidity that the curve states; another oil comes with its own values', () => {
    const own = withKeys(rapeseed, { 'bath.viscosity_mPas': 80, 'bath.solubility': 0.05 })
    const made = curvePreset(own, curve({ oil: 'castor-oil', relativeHumidity: 0.3 }))
    if (!made.ok) throw new Error('no preset')
    expect(made.preset.bath.liquid).toBe('castor-oil')
    expect(made.preset.bath.viscosity_mPas).toBeUndefined()
    expect(made.preset.bath.solubility).toBeUndefined()
    expect(made.preset.air.relativeHumidity).toBe(0.3)
    const same = curvePreset(own, curve({ oil: 'rapeseed-oil' }))
    expect(same).toEqual({ ok: true, preset: own })
    expect(notTaken(curve({ oil: 'castor-oil', relativeHumidity: 0.3 }), own)).toBe('')
  })
  it('tells of an oil that is not known, and of what closed forms cannot take', () => {
    const words = curve({ oil: 'chip fat' })
    expect(curvePreset(rapeseed, words)).toEqual({ ok: true, preset: rapeseed })
    expect(notTaken(words, rapeseed)).toMatch(/“chip fat” is not among the oils; rapeseed-oil is used/)
    const closed = curve({ oil: 'castor-oil', relativeHumidity: 0.3, temperature_C: 30 })
    expect(curvePreset(closedPreset, closed)).toEqual({ ok: true, preset: closedPreset })
    expect(notTaken(closed, closedPreset)).toMatch(/“castor-oil” is not that of the closed forms.*30 °C/)
  })
})

describe('the radius of a life at any moment', () => {
  const course = { t: Float64Array.of(0, 1, 2), R: Float64Array.of(1, 2, 1), U: Float64Array.of(2, 0, -2) }
  it('is the cubic between the moments and holds beyond them', () => {
    // R = 1 + 2t − t² has these radii and speeds.
    for (const t of [0, 0.2, 0.7, 1, 1.4, 2])
      expectClose(radiusAt(course, t), 1 + 2 * t - t * t, { rtol: 1e-12 })
    expect(radiusAt(course, -3)).toBe(1)
    expect(radiusAt(course, 9)).toBe(1)
    expect(radiusAt(course, Number.NaN)).toBeNaN()
    expect(radiusAt({ t: new Float64Array(0), R: new Float64Array(0), U: new Float64Array(0) }, 1)).toBeNaN()
  })
})

it('the points of a scan are those of the Halton sequence', () => {
  expect([1, 2, 3, 4, 5].map((n) => halton(n, 2))).toEqual([1 / 2, 1 / 4, 3 / 4, 1 / 8, 5 / 8])
  expectClose(halton(5, 3), 2 / 3 + 1 / 9, { rtol: 1e-12 })
})
