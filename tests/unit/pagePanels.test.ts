/** What the panels below the frame are made of, as far as it needs no document. Common practice, no source. */
import { describe, expect, it } from 'vitest'
import { defaultPreset, setKeys } from '../../src/life/preset.ts'
import { problemOf } from '../../src/life/problemOf.ts'
import { scaleFor } from '../../src/page/explain/plot.ts'
import { storyOf } from '../../src/page/explain/story.ts'
import { numberIn } from '../../src/page/fields.ts'
import { withoutInput } from '../../src/page/lives/neighbours.ts'
import { cellAt, frameFor, placeAlong } from '../../src/page/map/frame.ts'
import { pointValues, pointWords, thinned, withoutInputs } from '../../src/page/map/mapData.ts'
import { plainBottle, shortStrength, wantOf } from '../../src/page/recipe/bottle.ts'
import { along, assumedLaw, spreadingPanel, tensionsPanel } from '../../src/page/threshold/thresholdPlot.ts'
import { axisFor } from '../../src/plan/mapAxes.ts'
import { emptyMap, RUN } from '../../src/plan/mapGrid.ts'
import { mapCsv } from '../../src/plan/mapTable.ts'
import { thresholdOf } from '../../src/plan/threshold.ts'
import { syntheticLife } from '../fixtures/syntheticLife.ts'

const preset = defaultPreset()
const { facts } = problemOf(preset)
const colours = { dark: false, ink: '#000', life: '#00f' }

describe('threshold plots', () => {
  it('reads the assumed curve back from its points, whatever its three numbers are', () => {
    const given = setKeys(preset, [
      ['interface.water_mNperM', 18.5],
      ['interface.end_mNperM', 2.25],
      ['interface.decay', 2.9],
    ])
    if (!given.ok) throw new Error('not permitted')
    const law = assumedLaw(problemOf(given.preset).facts)
    expect([1e3 * law.water, 1e3 * law.end, law.decay].map((v) => Number(v.toFixed(6)))).toEqual([
      18.5, 2.25, 2.9,
    ])
  })
  it('puts the mark of the threshold on the zero line and the drop on the curve', () => {
    const threshold = thresholdOf(preset, facts)
    const { marks, lines } = spreadingPanel(preset, threshold, null, colours)
    const S = lines.find(({ key }) => key === 'S')!
    const onCurve = (x: number) => along(Float64Array.from(S.x), Float64Array.from(S.y), x / 100)
    for (const { x, y } of marks) expect(Math.abs(onCurve(x) - y)).toBeLessThan(0.02)
    expect(marks[1]!.y).toBe(0)
  })
  it('shades the reach of the threshold over the whole height', () => {
    const reach = { low: 0.46, central: 0.48, high: 0.51, most: undefined }
    const panel = spreadingPanel(preset, thresholdOf(preset, facts), reach, colours)
    const shade = panel.lines.find(({ kind }) => kind === 'area')!
    expect([...Array.from(shade.x), shade.y[0], shade.base![0]]).toEqual([46, 51, panel.yMax, panel.yMin])
  })
  it('draws the tensions whose difference is S', () => {
    const { lines } = tensionsPanel(preset, facts, colours)
    const of = (key: string) => Array.from(lines.find((line) => line.key === key)!.y)
    const S = of('air').map((a, i) => of('oil')[0]! - a - of('below')[i]!)
    // The facts' S goes through a fine table of curves, the tensions do not.
    for (const [i, value] of S.entries()) expect(value).toBeCloseTo(1e3 * facts.curve.S[i]!, 5)
  })
})

describe('bottle and fields', () => {
  it('takes a decimal comma and refuses what is no number', () => {
    expect([numberIn(' 12,5 '), numberIn('0.5'), numberIn('1e3')]).toEqual([12.5, 0.5, 1000])
    for (const text of ['', '1,2,3', '12 mL', 'NaN', '-', '0x10']) expect(numberIn(text), text).toBeNaN()
  })
  it('wants the strength of the drop unless another is given', () => {
    expect(wantOf(plainBottle, preset)).toEqual({ by: 'mass', value: preset.drop.alcoholMassFraction })
    const want = { by: 'volume', value: 40 } as const
    expect(wantOf({ ...plainBottle, want }, preset)).toBe(want)
    expect([shortStrength(plainBottle.stock), shortStrength({ by: 'mass', value: 0.937 })]).toEqual([
      '96 %vol',
      '93.7 % by mass',
    ])
  })
})

describe('tracks', () => {
  it('names the same drop for every value of the input itself, and for its words', () => {
    const other = { ...preset, title: 'x', drop: { ...preset.drop, volume_uL: 33 } }
    expect(withoutInput(other, 'drop.volume_uL')).toBe(withoutInput(preset, 'drop.volume_uL'))
    expect(withoutInput(other, 'drop.alcoholMassFraction')).not.toBe(
      withoutInput(preset, 'drop.alcoholMassFraction'),
    )
  })
})

describe('why a rim forms', () => {
  const life = syntheticLife({ largest: 0.024, end: 8 })
  const whole = { ...life, facts }
  it('speaks of moments and places inside the life, in order', () => {
    const { steps } = storyOf(whole)
    expect(steps.length).toBeGreaterThanOrEqual(6)
    expect(steps.length).toBeLessThanOrEqual(10)
    const times = steps.map(({ time }) => time)
    expect(times.every((time, i) => time >= (times[i - 1] ?? 0))).toBe(true)
    expect(times.at(-1)!).toBeLessThanOrEqual(8)
    for (const { text, radius, curve } of steps) {
      expect(text).not.toMatch(/NaN|undefined|Infinity/)
      expect(radius).toBeLessThanOrEqual(0.0241)
      expect(curve.y.every((value) => Number.isFinite(value))).toBe(true)
    }
  })
  it('tells how the rim beads with the numbers of the calculation', () => {
    const fingers = {
      verdict: 'beads' as const,
      appear_s: { low: 0.8, value: 0.9, high: 1.1 },
      count: 180,
      wavelength_mm: 0.62,
      gainAtLargest: 20,
      countAtLargest: 120,
      dropRadius_um: 60,
      table: { wavelength_mm: [1.3] },
    }
    const breaks = storyOf(whole, fingers).steps.find(({ id }) => id === 'breaks')!
    expect(breaks.text).toMatch(/Plateau–Rayleigh.*bulges as high as the rim from 0\.90 s on/)
    expect(breaks.facts.map(({ value }) => value)).toEqual(['about 0.7 million', '12 µm'])
    // A rim that sheds nothing beads all the same.
    const { childDrops } = life.summary
    const kept = { ...whole, summary: { ...life.summary, childDrops: { ...childDrops, count: 0 } } }
    const beads = storyOf(kept, fingers).steps.find(({ id }) => id === 'beads')!
    const { question } = beads
    if (question.kind !== 'number') throw new Error('no number is asked')
    expect([beads.title, question.right]).toEqual(['The rim beads', 120])
    expect(`${beads.text} ${beads.answer}`).toMatch(
      /Plateau–Rayleigh.*from 0\.90 s on: about 180 beads, later about 120, 1\.3 mm apart at the largest radius \(an estimate by linear stability; between 0\.80 and 1\.1 s/,
    )
    const titles = (verdict: 'none' | 'depends') =>
      storyOf(kept, { ...fingers, verdict }).steps.map(({ title }) => title)
    expect(titles('none')).toContain('The rim stays even')
    expect(titles('depends')).toContain('The rim may bead')
    // Before the calculation the life's own estimate is told; without any nothing is claimed.
    expect(storyOf(kept).steps.map(({ title }) => title)).toContain('The rim beads')
    const { series } = whole
    const even = { ...kept, series: { ...series, beadAmplitude: series.beadAmplitude.map(() => 0) } }
    expect(storyOf(even).steps.map(({ title }) => title)).not.toContain('The rim beads')
  })
  it('tells a lens that it is one, and nothing of a life that is still growing', () => {
    const lens = {
      ...whole,
      facts: { ...facts, S0: -0.003 },
      summary: { ...life.summary, outcome: 'lens' as const },
    }
    const { steps } = storyOf(lens)
    expect(steps.map(({ id }) => id)).toEqual(['pull', 'end'])
    expect(steps[0]!.text).toMatch(/stays a lens/)
    expect(storyOf({ ...whole, status: 'growing' }).steps).toEqual([])
  })
  it('draws differences that do not matter as a flat line', () => {
    const flat = {
      over: 'radius' as const,
      label: '',
      x: [0, 0.5, 1],
      y: [70, 70.001, 70.002],
      logarithmic: false,
    }
    const scale = scaleFor(flat)
    const heights = flat.y.map((value) => scale.y(value))
    expect(Math.max(...heights) - Math.min(...heights)).toBeLessThan(1)
  })
})

describe('the map', () => {
  const made = emptyMap({ x: axisFor('drop.alcoholMassFraction', 5), y: axisFor('drop.volume_uL', 3) })
  if (!made.ok) throw new Error('no map')
  const { map } = made
  it('places values along even and along ratio axes', () => {
    for (const axis of [map.x, map.y]) {
      axis.forEach((value, i) => {
        expect(placeAlong(axis, value)).toBeCloseTo(i, 9)
      })
    }
    expect([map.y[0], map.y[2], map.y[1]! ** 2 / (map.y[0]! * map.y[2]!)]).toEqual([
      1,
      50,
      expect.closeTo(1, 12),
    ])
  })
  it('finds the cell under a point, lowest row at the bottom', () => {
    const frame = frameFor(map, 572, 154)
    expect(cellAt(map, frame, 60, 105)).toEqual({ i: 0, j: 0 })
    expect(cellAt(map, frame, 555, 12)).toEqual({ i: 4, j: 2 })
    expect(cellAt(map, frame, 20, 50)).toBeNull()
  })
  it('says what is known of a point and puts it into the table', () => {
    map.outcome[6] = 'sheds'
    map.run[6] = RUN
    map.values.maxRadius_mm![6] = 24.6
    map.values.life_s![6] = 6.2
    expect(pointWords(map, 1, 1, 'outcome')).toBe('40 %, 7.07 µL: sheds')
    expect(pointWords(map, 1, 1, 'life_s')).toBe('40 %, 7.07 µL: sheds, life 6.20 s')
    expect(pointWords(map, 1, 1, 'beads')).toBe('40 %, 7.07 µL: sheds, beads none')
    expect(pointWords(map, 0, 0, 'life_s')).toBe('20 %, 1 µL: not run yet')
    expect(pointValues(map, 0, 0)).toEqual([])
    expect(pointValues(map, 1, 1).slice(0, 3)).toEqual([
      { label: 'largest radius', text: '24.6 mm' },
      { label: 'time of the largest radius', text: 'none' },
      { label: 'life', text: '6.20 s' },
    ])
    const lines = mapCsv(map).trim().split('\n')
    expect(lines.length).toBe(16)
    expect(lines[0]).toMatch(
      /^drop\.alcoholMassFraction,drop\.volume_uL,outcome,run,maxRadius_mm,maxRadiusTime_s,life_s,/,
    )
    expect(lines[7]).toMatch(/^0\.4,7\.071068,sheds,yes,24\.6,,6\.2,/)
    expect(lines[1]).toMatch(/^0\.2,1,unknown,no: not yet,,/)
  })
  it('depends on everything but its two inputs', () => {
    const wish = { x: axisFor('drop.alcoholMassFraction', 5), y: axisFor('drop.volume_uL', 3) }
    const moved = { ...preset, drop: { ...preset.drop, volume_uL: 3, alcoholMassFraction: 0.2 } }
    expect(withoutInputs(moved, wish)).toBe(withoutInputs(preset, wish))
    const deeper = { ...preset, bath: { ...preset.bath, depth_mm: 3 } }
    expect(withoutInputs(deeper, wish)).not.toBe(withoutInputs(preset, wish))
  })
  it('mixes colours with paper', () => {
    expect([thinned('#0072b2', '#ffffff', 1), thinned('#000000', '#ffffff', 0.5)]).toEqual([
      '#0072b2',
      '#808080',
    ])
  })
})
