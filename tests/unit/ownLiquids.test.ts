/** Liquids that the user gives: tables and constants, kept with the preset, the same life again. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  defaultPreset,
  parseLiquid,
  parsePreset,
  presetFromLink,
  presetToLink,
  serialiseLiquid,
  serialisePreset,
  setKeys,
  withLiquid,
} from '../../src/life/preset.ts'
import { problemOf } from '../../src/life/problemOf.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Preset } from '../../src/life/types.ts'
import { buildMixture, buildOil } from '../../src/liquids/own/build.ts'
import { checkOwn } from '../../src/liquids/own/check.ts'
import { copyOf } from '../../src/liquids/own/copy.ts'
import { tableCurve } from '../../src/liquids/own/curve.ts'
import type { OwnKind, OwnLiquid } from '../../src/liquids/own/types.ts'
import { mixtures, oils, water } from '../../src/liquids/registry.ts'
import { cautionRows } from '../../src/plan/sheet/cautions.ts'

const folder = join(import.meta.dirname, '../../presets/liquids')
const sample = (name: string): string => readFileSync(join(folder, name), 'utf8')

const said = { source: 'a test', quality: 'measured' } as const

function checked(kind: OwnKind, liquid: unknown): OwnLiquid {
  const result = checkOwn(kind, liquid)
  if (!result.ok) throw new Error(result.problems.map(({ message }) => message).join(' '))
  return result.liquid
}

function presetWith(kind: OwnKind, liquid: OwnLiquid, changes: [string, string | number][] = []): Preset {
  const made = withLiquid(defaultPreset(), kind, liquid)
  if (!made.ok) throw new Error(made.problems[0]!.message)
  const changed = setKeys(made.preset, changes)
  if (!changed.ok) throw new Error(changed.problems[0]!.message)
  return changed.preset
}

function lifeOf(preset: Preset) {
  const result = runLifeSync(preset)
  if (!result.ok) throw new Error(result.problems[0]!.message)
  return result.life
}

const quick: [string, string][] = [['model.accuracy', 'quick']]

describe('a pair with the tables of a library liquid', () => {
  // The library's own curves are what the copy must meet; cubic pieces between 26 strengths err by under half a percent.
  it.each(Object.keys(mixtures))('%s: every curve within 0.5 % at any strength and temperature', (id) => {
    const [own, library] = [buildMixture(checked('mixture', copyOf('mixture', id))), mixtures[id]!]
    const curves = ['density', 'viscosity', 'surfaceTension', 'liquidDiffusivity', 'refractiveIndex'] as const
    for (const T of [283.15, 291, 295.15, 301, 308.15]) {
      for (let w = 0; w <= 1; w += 0.0037) {
        for (const name of curves)
          expect(Math.abs(own[name](w, T) / library[name](w, T) - 1)).toBeLessThan(5e-3)
      }
      expect(own.vapourPressure(T) / library.vapourPressure(T)).toBeCloseTo(1, 3)
      expect(own.vapourDiffusivity(T) / library.vapourDiffusivity(T)).toBeCloseTo(1, 3)
      expect(own.activity(0.3, T)[0] / library.activity(0.3, T)[0]).toBeCloseTo(1, 5)
    }
  })

  it.each(Object.keys(oils))('%s: every curve within 0.1 %%', (id) => {
    const [own, library] = [buildOil(checked('oil', copyOf('oil', id))), oils[id]!]
    for (const T of [283.15, 291, 295.15, 301, 308.15]) {
      for (const name of ['density', 'viscosity', 'surfaceTension', 'waterTension'] as const)
        expect(Math.abs(own[name](T) / library[name](T) - 1)).toBeLessThan(1e-3)
    }
  })

  it('ethanol: the life of the library within the error of interpolation', () => {
    // Finely: quick lives whose inputs differ in the last digits end up to 1e-3 of the radius apart.
    const fine: [string, number | string][] = [
      ['drop.alcoholMassFraction', 0.6],
      ['model.accuracy', 'fine'],
    ]
    const built = setKeys(defaultPreset(), fine)
    if (!built.ok) throw new Error('preset')
    const library = lifeOf(built.preset)
    const own = lifeOf(presetWith('mixture', copyOf('mixture', 'ethanol'), fine))
    expect(own.summary.outcome).toBe(library.summary.outcome)
    expect(own.summary.maxRadius / library.summary.maxRadius).toBeCloseTo(1, 3)
    expect(own.summary.collapseTime / library.summary.collapseTime).toBeCloseTo(1, 2)
    expect(own.facts.criticalMassFraction).toBeCloseTo(library.facts.criticalMassFraction, 4)
  })
})

describe('what is kept', () => {
  const both = (): Preset => {
    const mixture = parseLiquid(sample('harbour-lane-spirit.json'))
    const oil = parseLiquid(sample('harbour-lane-oil.json'))
    if (!mixture.ok || !oil.ok) throw new Error('samples')
    const made = withLiquid(presetWith('mixture', mixture.liquid, quick), 'oil', oil.liquid)
    if (!made.ok) throw new Error(made.problems[0]!.message)
    return made.preset
  }

  it.each(['harbour-lane-spirit.json', 'harbour-lane-oil.json'])(
    '%s is valid and says that it is invented',
    (name) => {
      const read = parseLiquid(sample(name))
      expect(read).toMatchObject({ ok: true })
      expect(JSON.parse(sample(name)).note).toMatch(/^Invented demo/)
      if (read.ok)
        expect(JSON.parse(serialiseLiquid(read.kind, read.liquid))).toEqual(JSON.parse(sample(name)))
    },
  )

  it('a preset with own liquids, saved and read again, gives the same life bit by bit', () => {
    const preset = both()
    const again = parsePreset(serialisePreset(preset))
    if (!again.ok) throw new Error(again.problems[0]!.message)
    expect(again.preset).toEqual(preset)
    const [first, second] = [lifeOf(preset), lifeOf(again.preset)]
    expect(second.series).toEqual(first.series)
    expect(second.frames).toEqual(first.frames)
    expect({ ...second.summary, wall_ms: 0 }).toEqual({ ...first.summary, wall_ms: 0 })
  })

  it('a link carries them', () => {
    const preset = both()
    expect(presetFromLink(presetToLink(preset))).toEqual({ ok: true, preset })
    const cut = presetToLink(preset).slice(0, -40)
    expect(presetFromLink(cut)).toMatchObject({ ok: false })
  })

  it('changing another key keeps them, and so does turning to a library liquid', () => {
    const preset = both()
    const made = setKeys(preset, [
      ['drop.volume_uL', 12],
      ['drop.alcohol', 'methanol'],
    ])
    expect(made.ok && made.preset.liquids).toEqual(preset.liquids)
  })

  it('any tables come back from the text as they were', () => {
    const number = fc.double({ min: 500, max: 1500, noNaN: true })
    fc.assert(
      fc.property(fc.array(number, { minLength: 2, maxLength: 30 }), (values) => {
        const density = {
          massFraction: values.map((_, i) => i / (values.length - 1)),
          values_kgPerM3: values,
          ...said,
        }
        const liquid = checked('mixture', { name: 'any', like: 'ethanol', density })
        const read = parseLiquid(serialiseLiquid('mixture', liquid))
        expect(read).toEqual({ ok: true, kind: 'mixture', liquid })
      }),
    )
  })
})

describe('how values are used', () => {
  const mixture = (quantities: object) =>
    buildMixture(checked('mixture', { name: 'x', like: 'ethanol', ...quantities }))
  const { ethanol } = mixtures

  it('a single value holds at every strength and temperature', () => {
    const { viscosity } = mixture({ viscosity: { value_mPas: 2, ...said } })
    for (const w of [0, 0.3, 1]) expect(viscosity(w, 300)).toBe(2e-3)
  })

  it('with at_C it follows the library liquid to other temperatures', () => {
    const { vapourPressure } = mixture({ vapourPressure: { value_Pa: 5900, at_C: 20, ...said } })
    expect(vapourPressure(293.15)).toBeCloseTo(5900, 6)
    const ratio = ethanol!.vapourPressure(303.15) / ethanol!.vapourPressure(293.15)
    expect(vapourPressure(303.15) / 5900).toBeCloseTo(ratio, 10)
  })

  it('Antoine constants are those of log10(p/Pa) = A − B/(T + C)', () => {
    const constants = { antoineA_log10Pa: 10.33675, antoineB_K: 1648.22, antoineC_K: -42.232 }
    const { vapourPressure } = mixture({ vapourPressure: { ...constants, ...said } })
    expect(vapourPressure(295)).toBe(ethanol!.vapourPressure(295))
  })

  it('a tension table that begins above 0 goes up to pure water, without a bump', () => {
    // IAPWS R1-76(2014): 71.99 mN/m at 25 °C.
    const table = { massFraction: [0.2, 0.5, 1], values_mNperM: [38, 28, 22], at_C: 25 }
    const { surfaceTension } = mixture({ surfaceTension: { ...table, ...said } })
    expect(1e3 * surfaceTension(0, 298.15)).toBeCloseTo(71.99, 1)
    expect(surfaceTension(0, 298.15)).toBeCloseTo(water.surfaceTension(298.15), 9)
    for (let w = 0.01; w <= 1; w += 0.01)
      expect(surfaceTension(w, 298.15)).toBeLessThanOrEqual(surfaceTension(w - 0.01, 298.15) + 1e-15)
  })

  it('the flash point and the cautions are those of the file, and say what is not known', () => {
    const preset = presetWith('mixture', checked('mixture', { name: 'x', like: 'methanol' }))
    expect(preset.drop.alcohol).toBe('own')
    const rows = (liquid: OwnLiquid) => cautionRows('own', 50, 96, 22, { mixture: liquid })
    const flashPoint = { percentByVolume: [40, 96], values_C: [30, 20], ...said }
    const told = rows(checked('mixture', { name: 'x', like: 'methanol', flashPoint, safetyNote: 'Smells.' }))
    expect(told.find(({ label }) => label === 'Flash point, bottle')).toMatchObject({
      value: 'about 20',
      unit: '°C',
    })
    expect(told.map(({ value }) => value).join()).toMatch(
      /Smells\..*hazards are not known here.*Like methanol: .*toxic/,
    )
    const silent = rows(checked('mixture', { name: 'x', like: 'ethanol' }))
    expect(silent.find(({ label }) => label === 'Flash point, bottle')?.value).toBe('not known here')
    expect(problemOf(preset).facts.sources.some(({ source }) => /^taken from methanol/.test(source))).toBe(
      true,
    )
  })

  it('tells when the room or the strength is outside the tables', () => {
    const viscosity = { temperature_C: [18, 24], values_mPas: [70, 55], ...said }
    const warm = presetWith('oil', checked('oil', { name: 'my oil', like: 'olive-oil', viscosity }), [
      ['air.temperature_C', 28],
    ])
    expect(problemOf(warm).facts.warnings.join()).toMatch(
      /28\.0 °C is outside the data of my oil \(18–24 °C\)/,
    )
    const tension = { massFraction: [0, 0.3, 0.6], values_mNperM: [72, 33, 26], ...said }
    const strong = checked('mixture', { name: 'my spirit', like: 'ethanol', surfaceTension: tension })
    const preset = presetWith('mixture', strong, [['drop.alcoholMassFraction', 0.8]])
    expect(problemOf(preset).facts.warnings.join()).toMatch(
      /80 % by mass is outside the data of my spirit \(up to 60 %\)/,
    )
  })

  it('a curve through any falling table falls', () => {
    const rows = fc.array(fc.double({ min: 0.01, max: 5, noNaN: true }), { minLength: 2, maxLength: 12 })
    fc.assert(
      fc.property(rows, (drops) => {
        const points = drops.map(
          (_, i) => [i, drops.slice(0, i + 1).reduce((y, drop) => y - drop, 100)] as const,
        )
        const curve = tableCurve(points, true)
        for (const [x, value] of points) expect(curve(x)).toBeCloseTo(value, 9)
        for (let x = 0.05; x <= points.length - 1; x += 0.05)
          expect(curve(x)).toBeLessThanOrEqual(curve(x - 0.05) + 1e-9)
      }),
    )
  })
})
