/** Scaling of series: what is used, what is left out and why, lines, scales, tables. */
import { csvParseRows } from 'd3-dsv'
import { describe, expect, it } from 'vitest'
import { defaultPreset, setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life, Preset } from '../../src/life/types.ts'
import { curvePreset } from '../../src/measured/fit/curvePreset.ts'
import { COLLAPSE_RULES } from '../../src/measured/scaling.ts'
import type { MeasuredCurve } from '../../src/measured/types.ts'
import { atStrengths, evenStrengths, familyOf } from '../../src/plan/family.ts'
import { withError } from '../../src/plan/figures.ts'
import { itemOfCurve, itemOfLife, presetOfCurve, strengthOfCurve } from '../../src/plan/scalingItem.ts'
import { scalingReport } from '../../src/plan/scalingReport.ts'
import { inputsTable, meansTable, ratiosTable } from '../../src/plan/scalingTables.ts'
import { spreadWords, trendWords } from '../../src/plan/scalingWords.ts'
import { tableCsv } from '../../src/plan/table.ts'
import { expectClose } from '../matchers.ts'

const base = defaultPreset()
const wish = { rule: COLLAPSE_RULES[0]!, by: 'mass' as const }

const changed = (changes: [string, number | string][]): Preset => {
  const made = setKeys(base, changes)
  if (!made.ok) throw new Error(made.problems.map(({ message }) => message).join(' '))
  return made.preset
}

/** A curve of one shape: rises to `most` (m) at half its time and falls to a tenth of it at `end` (s). */
function curve(name: string, most: number, end: number, more: Partial<MeasuredCurve> = {}): MeasuredCurve {
  const x = Array.from({ length: 41 }, (_, i) => i / 40)
  const radius = x.map((v) => most * (0.1 + 3.6 * v * (1 - v)))
  return {
    id: name,
    name,
    time: Float64Array.from(x, (v) => v * end),
    radius: Float64Array.from(radius),
    meta: {},
    file: `${name}.csv`,
    ...more,
  }
}

const quick = (strength: number): Life => {
  const preset = changed([
    ['drop.alcoholMassFraction', strength],
    ['model.accuracy', 'quick'],
  ])
  const result = runLifeSync(preset)
  if (!result.ok) throw new Error('no life')
  return result.life
}

describe('strength of a curve', () => {
  // OIML R 22 (1973), International alcoholometric tables, 20 °C: w = 0.5 is 57.889 %vol; 50 %vol is w = 0.42426.
  it('by mass and by volume, ethanol', () => {
    const byMass = strengthOfCurve({ meta: { alcohol: 'ethanol', alcoholFraction: 0.5 } }, null)
    expectClose(byMass.volume, 57.889, { atol: 1e-3 })
    const byVolume = strengthOfCurve({ meta: { alcoholFraction: 0.5, fractionBasis: 'volume' } }, base)
    expectClose(byVolume.mass, 42.426, { atol: 1e-3 })
    expect(byVolume.volume).toBe(50)
  })
  it('is told by its own measure only where the alcohol is not known', () => {
    const meta = { alcohol: 'gin', alcoholFraction: 0.4, fractionBasis: 'volume' as const }
    expect(strengthOfCurve({ meta }, base)).toEqual({ mass: Number.NaN, volume: 40 })
    expect(strengthOfCurve({ meta: {} }, base).mass).toBeNaN()
    expect(strengthOfCurve({ meta: { alcoholFraction: 40 } }, base).mass).toBeNaN()
  })
})

describe('one life asked for several times', () => {
  const lives = [0.5, 0.6, 0.7].map((strength) =>
    itemOfLife(quick(strength), { id: `${strength}`, name: `${strength}` }),
  )
  it('counts once: repeating a point with itself changes no line and no scatter', () => {
    const again = [1, 2, 3, 4].map((k) => ({ ...lives[0]!, id: `again ${k}`, name: `again ${k}` }))
    const once = scalingReport(lives, wish)
    const often = scalingReport([...lives, ...again], wish)
    expect(often.trend.points).toEqual(once.trend.points)
    expect(often.trend.line).toEqual(once.trend.line)
    expect(often.groups.bath).toEqual(once.groups.bath)
    expect(often.trend.left.map(({ name, reason }) => `${name}: ${reason}`)).toEqual(
      again.map(({ name }) => `${name}: its life is that of 0.5, which counts once`),
    )
  })
  it('stays in the row of strengths', () => {
    const report = scalingReport([lives[0]!, { ...lives[0]!, id: 'row', inRow: true }], wish)
    expect(report.trend.points.map(({ id, inRow }) => [id, inRow])).toEqual([['0.5', true]])
  })
})

describe('the drop that a curve was measured on', () => {
  it('takes over what the curve tells', () => {
    const meta = {
      alcoholFraction: 0.55,
      volume_uL: 7,
      depth_mm: 12,
      temperature_C: 19,
      alcohol: '2-propanol',
    }
    const made = presetOfCurve({ name: 'a', meta }, base)
    expect(made).toMatchObject({
      ok: true,
      preset: {
        drop: { alcohol: '2-propanol', alcoholMassFraction: 0.55, volume_uL: 7 },
        bath: { depth_mm: 12, liquid: base.bath.liquid },
        air: { temperature_C: 19 },
      },
    })
  })
  it('is the same as in a comparison and in a fit, to the last digit', () => {
    // 56.5 % by volume at 20 °C is 48.7 % by mass (OIML R 22, 1973), and some digits more.
    const meta = { alcoholFraction: 0.565, fractionBasis: 'volume' as const, volume_uL: 7 }
    const one = curve('a', 0.02, 8, { meta })
    expect(presetOfCurve(one, base)).toEqual(curvePreset({ ...base, title: 'a' }, one))
  })
  it('says what is missing or not permitted', () => {
    const why = (meta: MeasuredCurve['meta']) => {
      const made = presetOfCurve({ name: 'a', meta }, base)
      return made.ok ? '' : made.problems.map(({ message }) => message).join(' ')
    }
    expect(why({})).toMatch(/fraction is not known/)
    expect(why({ alcoholFraction: 0.5, alcohol: 'gin' })).toMatch(/gin/)
    expect(why({ alcoholFraction: 0.5, alcohol: 'reference' })).toBe(
      'its alcohol (reference) does not go with a drop of ethanol',
    )
    expect(why({ alcoholFraction: 0.5, volume_uL: 9000 })).toMatch(/volume_uL is 9000.*0\.5 to 100/)
  })
})

describe('the largest radius against alcohol', () => {
  const measured = [0.4, 0.5, 0.6, 0.8].map((w) =>
    itemOfCurve(curve(`${w}`, 0.004 + 0.03 * w, 8, { meta: { alcoholFraction: w } }), base),
  )
  it('points on a straight line give that line', () => {
    const { line, left } = scalingReport(measured, wish).trend
    expectClose(line.measured!.slope, 0.03e-2, { rtol: 1e-12 })
    expectClose(line.measured!.intercept, 0.004, { rtol: 1e-12 })
    expect(line.measured!.slopeError).toBeLessThan(1e-15)
    expect([line.simulated, left]).toEqual([null, []])
  })
  it('by volume: the same line as through the percentages of the alcohol tables', () => {
    // % by volume at w = 0.4, 0.5, 0.6, 0.8: OIML R 22 (1973). Slope: Σ(x−x̄)(y−ȳ)/Σ(x−x̄)².
    const x = [47.395, 57.889, 67.744, 85.489]
    const y = [0.016, 0.019, 0.022, 0.028]
    const [xm, ym] = [x, y].map((values) => values.reduce((a, b) => a + b) / 4) as [number, number]
    const sxy = x.reduce((sum, v, i) => sum + (v - xm) * (y[i]! - ym), 0)
    const sxx = x.reduce((sum, v) => sum + (v - xm) ** 2, 0)
    const { line } = scalingReport(measured, { ...wish, by: 'volume' }).trend
    expectClose(line.measured!.slope, sxy / sxx, { rtol: 1e-4 })
  })
  it('lists what has no place in it', () => {
    const items = [...measured, itemOfCurve(curve('unknown', 0.01, 5), base)]
    const report = scalingReport(items, wish)
    expect(report.trend.left).toEqual([
      { id: 'unknown', name: 'unknown', reason: expect.stringMatching(/not known/) },
    ])
    expect(report.collapse.series).toHaveLength(5)
    expect(trendWords(report)[0]).toMatch(
      /^measured: R_max = \(4\.00 mm\) \+ \(0\.300 mm\) per 1 % by mass, 4 points/,
    )
  })
})

describe('one curve?', () => {
  it('copies of one shape have no spread, whatever their size, start and points set aside', () => {
    const start = curve('late', 0.02, 9, { meta: { startTime_s: 2 } })
    const late = { ...start, time: start.time.map((t) => t + 2) }
    const broken = {
      ...curve('broken', 0.03, 5),
      excluded: Uint8Array.from({ length: 41 }, (_, i) => (i === 20 ? 0 : i === 7 ? 1 : 0)),
    }
    broken.radius[7] = 0.5
    const items = [curve('a', 0.01, 4), late, broken].map((one) => itemOfCurve(one, base))
    const { collapse } = scalingReport(items, wish)
    expect(collapse.spread!.count).toBe(3)
    expect(collapse.spread!.spread).toBeLessThan(2e-4)
  })
  it('names those that do not show their collapse', () => {
    const whole = curve('whole', 0.01, 4)
    const early = {
      ...whole,
      id: 'early',
      name: 'early',
      time: whole.time.slice(0, 25),
      radius: whole.radius.slice(0, 25),
    }
    const report = scalingReport([itemOfCurve(whole, base), itemOfCurve(early, base)], wish)
    expect(report.collapse.left).toMatchObject([
      { name: 'early', reason: expect.stringContaining('does not show') },
    ])
    expect(report.collapse.spread).toBeNull()
    expect(spreadWords(report)).toMatch(
      /^Only one drop shows its collapse: choose another one.*0\.3 of its largest value/,
    )
  })
})

describe('lives', () => {
  const lives = [0.55, 0.65, 0.75].map(quick)
  const items = lives.map((life, i) => itemOfLife(life, { id: `${i}`, name: `${i}`, inRow: true }))
  const report = scalingReport(items, wish)

  it('have the scales of their own summary, made of the inputs that are shown', () => {
    report.groups.rows.forEach(({ scales, item, bath, film }, i) => {
      const { scale, maxRadius } = lives[i]!.summary
      expectClose(scales.radius, scale.radius, { rtol: 1e-12 })
      expectClose(scales.filmTime, scale.filmTime, { rtol: 1e-12 })
      expectClose(bath.radius, scale.ratio, { rtol: 1e-12 })
      expectClose(film.radius, maxRadius / scale.filmRadius, { rtol: 1e-12 })
      // The definitions by hand: R*⁴ = φ0 Ω0 S H/(4 ηo j_v), film: φ0 h0 Ω0 S/(η j_v).
      const q = item.inputs!
      const rate = q.startFlux / q.phi0
      const bathR = ((q.phi0 * q.volume * q.spreading * q.depth) / (4 * q.oilViscosity * rate)) ** 0.25
      const filmR = ((q.phi0 * q.thickness * q.volume * q.spreading) / (q.viscosity * rate)) ** 0.25
      expectClose(scales.radius, bathR, { rtol: 1e-12 })
      expectClose(scales.filmRadius, filmR, { rtol: 1e-12 })
    })
  })
  it('spread: the same number from straight pieces between the raw points', () => {
    const raw = items.map(({ series, maxRadius }, i) => {
      const { collapse } = report.collapse.series[i]!
      return (x: number) => {
        const t = x * collapse
        let k = 1
        while (k < series.time.length - 1 && series.time[k]! < t) k++
        const [ta, tb] = [series.time[k - 1]!, series.time[k]!]
        const [ra, rb] = [series.radius[k - 1]!, series.radius[k]!]
        return (ra + ((t - ta) / (tb - ta)) * (rb - ra)) / maxRadius
      }
    })
    let sum = 0
    for (let k = 0; k <= 1000; k++) {
      const values = raw.map((at) => at(k / 1000))
      const mean = values.reduce((a, b) => a + b) / values.length
      sum += values.reduce((s, v) => s + (v - mean) ** 2, 0) / (values.length - 1)
    }
    expectClose(report.collapse.spread!.spread, Math.sqrt(sum / 1001), { rtol: 0.02 })
  })
  it('a lens is named and stays out of lines and means', () => {
    const lens = itemOfLife(quick(0.3), { id: 'weak', name: 'weak' })
    const mixed = scalingReport([...items, lens], wish)
    for (const { left } of [mixed.collapse, mixed.trend, mixed.groups])
      expect(left).toMatchObject([{ name: 'weak', reason: expect.stringMatching(/lens/) }])
    expect(mixed.groups.bath.all).toEqual(report.groups.bath.all)
  })
  it('a measured drop has the inputs of its preset', () => {
    const item = itemOfCurve(curve('m', 0.02, 8, { meta: { alcoholFraction: 0.65 } }), base)
    const life = items[1]!.inputs!
    for (const name of ['phi0', 'spreading', 'startFlux', 'oilViscosity', 'viscosity'] as const)
      expectClose(item.inputs![name], life[name], { rtol: 1e-12 }, name)
    // Parabolic cap: Ω = π R0² h/2.
    expectClose(item.inputs!.thickness, 2e-8 / (Math.PI * 2.5e-3 ** 2), { rtol: 1e-12 })
  })
  it('tables hold every input and every ratio; CSV has the unit in each name', () => {
    const rows = csvParseRows(tableCsv(inputsTable(report)))
    expect(rows[0]).toEqual([
      'series',
      'kind',
      'alcohol_percent_mass',
      'phi0',
      'volume_uL',
      'spreading_mN_per_m',
      'depth_mm',
      'oil_viscosity_mPa_s',
      'evaporation_um_per_s',
      'drop_viscosity_mPa_s',
      'thickness_mm',
    ])
    expect(rows).toHaveLength(4)
    expect(rows.slice(1).every((row) => row.slice(2).every((text) => Number(text) > 0))).toBe(true)
    expect(ratiosTable(report).rows).toHaveLength(3)
    expect(meansTable(report).rows.map(([grouping]) => grouping)).toEqual(['bath', 'film (a reconstruction)'])
  })
})

describe('rows of lives', () => {
  it('evenly spaced strengths, both ends exactly', () => {
    expect(evenStrengths(0.4, 0.8, 5)).toEqual({ ok: true, strengths: [0.4, 0.5, 0.6, 0.7, 0.8] })
    expect(evenStrengths(0.4, 1.2, 1)).toMatchObject({
      ok: false,
      problems: [{ where: 'to' }, { where: 'count' }],
    })
    expect(evenStrengths(0.4, 0.4, 3).ok).toBe(false)
  })
  it('are run one by one, with error, progress and stop', async () => {
    const row = atStrengths(changed([['model.accuracy', 'quick']]), [0.5, 0.6, 0.7])
    if (!row.ok) throw new Error('refused')
    const seen: number[] = []
    const errors = { maxRadiusError: 1e-4, collapseTimeError: 0.1, otherOutcome: '' as const }
    const run = (preset: Preset) => runLifeSync(preset)
    const family = await familyOf(row.wanted, run, () => errors, { progress: (done) => void seen.push(done) })
    expect(family.items.map(({ name, maxRadiusError }) => [name, maxRadiusError])).toEqual([
      ['50 %', 1e-4],
      ['60 %', 1e-4],
      ['70 %', 1e-4],
    ])
    expect([family.status, seen]).toEqual(['done', [1, 2, 3]])
    const stopped = await familyOf(row.wanted, run, () => errors, { cancelled: () => seen.length > 0 })
    expect([stopped.status, stopped.items]).toEqual(['stopped', []])
  })
  it('a life that fails is named with its cause', async () => {
    const row = atStrengths(base, [0.5])
    if (!row.ok) throw new Error('refused')
    const problems = [{ where: '', message: 'stuck' }]
    const family = await familyOf(
      row.wanted,
      () => ({ ok: false, reason: 'crashed', problems }),
      () => null,
    )
    expect(family.failures).toEqual([{ name: '50 %', reason: 'stuck' }])
  })
  it('a strength that is not permitted is told', () => {
    expect(atStrengths(base, [0.5, 1.4])).toMatchObject({
      ok: false,
      problems: [{ message: expect.stringContaining('1.4') }],
    })
  })
})

it('a value with its error ends at the same place', () => {
  expect(withError(0.4091, 0.103, 'mm')).toBe('0.41 ± 0.10 mm')
  expect(withError(-22.14, 3.4, '')).toBe('−22 ± 3')
})
