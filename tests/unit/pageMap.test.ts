/** The picture of a map as far as it needs no document: lines, words, colours, what is kept, what the button does next. */
import * as fc from 'fast-check'
import { describe, expect, it, test } from 'vitest'
import { CALCULATION } from '../../src/life/calculation.ts'
import { defaultPreset, setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import { cssColour } from '../../src/page/colour.ts'
import { ticksAlong } from '../../src/page/map/frame.ts'
import { type Disc, labelLines, type PixelLine } from '../../src/page/map/lineLabels.ts'
import { borderLines, contourLines, type Grid } from '../../src/page/map/lines.ts'
import { pointWords, runWords, STATES } from '../../src/page/map/mapData.ts'
import { isMapRecord } from '../../src/page/map/mapShelf.ts'
import { type Made, stepFor } from '../../src/page/map/mapSteps.ts'
import { outputScale, placeIn, roundRatios } from '../../src/page/map/outputScale.ts'
import { fillOf, NONE, paintedOf } from '../../src/page/map/painted.ts'
import { fitsAbout, regionsOf } from '../../src/page/map/regions.ts'
import { axisFor } from '../../src/plan/mapAxes.ts'
import { AGREES, emptyMap, type MapWish, RUN } from '../../src/plan/mapGrid.ts'
import { outcomeMap } from '../../src/plan/outcomeMap.ts'
import { outputOf } from '../../src/plan/outputs.ts'
import { madeUpRun } from '../fixtures/planLives.ts'

const plain = (nx: number, ny: number): Grid => ({ nx, ny, kinds: new Int16Array(nx * ny) })
const valuesOn = ({ nx, ny }: Grid, of: (i: number, j: number) => number) =>
  Float64Array.from({ length: nx * ny }, (_, k) => of(k % nx, Math.floor(k / nx)))

describe('contours (closed forms)', () => {
  it('of a plane are straight lines from edge to edge, exactly', () => {
    const grid = plain(9, 7)
    const lines = contourLines(
      grid,
      valuesOn(grid, (i, j) => 2 * i + j),
      7.5,
    )
    expect(lines).toHaveLength(1)
    for (const [i, j] of lines[0]!) expect(2 * i + j).toBeCloseTo(7.5, 12)
    const ends = [lines[0]![0]!, lines[0]!.at(-1)!].map(([, j]) => j).sort()
    expect(ends).toEqual([0, 6])
  })
  it('of a cone are one closed ring, its radius right to the square of a step', () => {
    const grid = plain(41, 41)
    const lines = contourLines(
      grid,
      valuesOn(grid, (i, j) => Math.hypot(i - 20, j - 20)),
      12.3,
    )
    expect(lines).toHaveLength(1)
    expect(lines[0]![0]).toEqual(lines[0]!.at(-1))
    for (const [i, j] of lines[0]!) {
      const radius = Math.hypot(i - 20, j - 20)
      // The chord of one step across a circle of radius r lies at most 1/(8 r) within it, 1/(4 r) across a diagonal.
      expect(Math.abs(radius - 12.3)).toBeLessThan(1 / (4 * 12.3))
    }
  })
  it('leave out holes and end where the outcome is another', () => {
    const grid = { ...plain(11, 5), kinds: Array.from({ length: 55 }, (_, k) => (k % 11 < 5 ? 0 : 1)) }
    const values = valuesOn(grid, (i, j) => (i === 9 ? Number.NaN : j))
    const lines = contourLines(grid, values, 2.5)
    const spans = lines.map((line) => line.map(([i]) => i).sort((a, b) => a - b))
    expect(spans.map((all) => [all[0], all.at(-1)]).sort()).toEqual([
      [0, 4],
      [5, 8],
    ])
  })
  it('part a saddle by the mean of its corners', () => {
    const grid = plain(2, 2)
    for (const [corners, joins] of [
      [[1, -0.5, -0.5, 1], true],
      [[0.5, -1, -1, 0.5], false],
    ] as const) {
      const lines = contourLines(grid, Float64Array.from(corners), 0)
      expect(lines).toHaveLength(2)
      // Where the high corners (0, 0) and (1, 1) hang together, each line goes round a low corner.
      const about = (i: number, j: number) =>
        lines.some((line) => line.every(([a, b]) => Math.hypot(a - i, b - j) < 0.9))
      expect([about(1, 0), about(0, 1)]).toEqual([joins, joins])
      expect([about(0, 0), about(1, 1)]).toEqual([!joins, !joins])
    }
  })
})

describe('borders between outcomes', () => {
  it('run half way between points of different kinds, and part every such pair', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 2, max: 9 }),
        fc.integer({ min: 2, max: 9 }),
        fc.array(fc.nat(2), { minLength: 81, maxLength: 81 }),
        (nx, ny, kinds) => {
          const lines = borderLines({ nx, ny, kinds })
          const places = new Set(lines.flat().map(([i, j]) => `${i} ${j}`))
          for (let j = 0; j < ny; j++) {
            for (let i = 0; i < nx; i++) {
              const k = j * nx + i
              if (i + 1 < nx) expect(places.has(`${i + 0.5} ${j}`)).toBe(kinds[k] !== kinds[k + 1])
              if (j + 1 < ny) expect(places.has(`${i} ${j + 0.5}`)).toBe(kinds[k] !== kinds[k + nx])
            }
          }
        },
      ),
      { numRuns: 60 },
    )
  })
})

describe('labels', () => {
  it('stand on their line, upright, and touch neither one another nor what is taken', () => {
    const circle = (r: number): PixelLine =>
      Array.from({ length: 200 }, (_, k) => [
        300 + r * Math.cos((k * Math.PI) / 99),
        200 + r * Math.sin((k * Math.PI) / 99),
      ])
    const rays = Array.from(
      { length: 30 },
      (_, k): PixelLine => [
        [10, 10 + 5 * k],
        [600, 10 + 9 * k],
      ],
    )
    const lines = [...[60, 70, 90, 140, 190].map(circle), ...rays].map((line, k) => ({
      line,
      text: `${k}.5`,
    }))
    const taken: Disc[] = [{ x: 360, y: 200, r: 30 }]
    const labels = labelLines(lines, taken)
    expect(labels.length).toBeGreaterThan(8)
    for (const { text, x, y, angle } of labels) {
      const { line } = lines[Number.parseFloat(text) - 0.5]!
      const away = Math.min(...line.map(([a, b]) => Math.hypot(a - x, b - y)))
      if (line.length > 2) expect(away).toBeLessThan(4)
      expect(Math.abs(angle)).toBeLessThanOrEqual(90)
      expect(Math.hypot(x - 360, y - 200)).toBeGreaterThan(38)
    }
    labels.forEach((a, k) => {
      for (const b of labels.slice(k + 1)) expect(Math.hypot(a.x - b.x, a.y - b.y)).toBeGreaterThan(16)
    })
  })
  it('are left out where a line is too short or too bent', () => {
    expect(
      labelLines(
        [
          {
            line: [
              [0, 0],
              [20, 0],
            ],
            text: '12.5',
          },
        ],
        [],
      ),
    ).toEqual([])
    const zigzag: PixelLine = Array.from({ length: 80 }, (_, k) => [3 * k, k % 2 ? 9 : 0])
    expect(labelLines([{ line: zigzag, text: '12.5' }], [])).toEqual([])
  })
  it('of outcomes stand inside each connected piece', () => {
    fc.assert(
      fc.property(fc.array(fc.nat(2), { minLength: 48, maxLength: 48 }), (kinds) => {
        const grid = { nx: 8, ny: 6, kinds }
        const regions = regionsOf(grid, 10, 7)
        expect(regions.flatMap(({ points }) => points).sort((a, b) => a - b)).toEqual(kinds.map((_, k) => k))
        for (const { kind, points, middle } of regions) {
          expect(points).toContain(middle)
          expect(points.every((k) => kinds[k] === kind)).toBe(true)
        }
      }),
      { numRuns: 60 },
    )
    const whole = plain(9, 9)
    expect(regionsOf(whole, 10, 10)).toMatchObject([{ middle: 40, room: 45 }])
    expect([fitsAbout(whole, 40, 4, 4), fitsAbout(whole, 40, 5, 4), fitsAbout(whole, 0, 0.4, 0.4)]).toEqual([
      true,
      false,
      true,
    ])
  })
})

describe('colours', () => {
  const radius = outputOf('maxRadius_mm')!
  it('have round limits about all values; even steps, ratios over wide spans, two hues about 0', () => {
    expect(outputScale(radius, [Number.NaN], false)).toBeNull()
    expect(outputScale(radius, [3, 24, Number.NaN], false)).toMatchObject({
      span: { low: 0, high: 25, ratios: false },
      signed: false,
    })
    const signed = outputScale(outputOf('startSpreading_mNperM')!, [-18, 9], false)!
    expect(signed).toMatchObject({ span: { low: -20, high: 20 }, signed: true })
    expect(placeIn(signed, 0)).toBe(0.5)
    const wide = outputScale(radius, [0.2, 180], false)!
    expect(wide.span).toEqual({ low: 0.2, high: 180, ratios: true })
    expect(placeIn(wide, 6)).toBeCloseTo(0.5, 12)
    expect(wide.levels).toEqual([0.5, 1, 2, 5, 10, 20, 50, 100])
    expect(outputScale(radius, [7, 7], true)).toMatchObject({ levels: [] })
  })
  it('number ratios by 1, 2, 5, or fewer', () => {
    expect(roundRatios(1, 50, 9)).toEqual([1, 2, 5, 10, 20, 50])
    expect(roundRatios(0.01, 1000, 9)).toEqual([0.01, 0.1, 1, 10, 100, 1000])
  })
  it('come from preset and wish: each point that is painted has the number of its life', async () => {
    const preset = defaultPreset()
    const wish: MapWish = {
      x: { ...axisFor('drop.alcoholMassFraction', 5), from: 0.4, to: 0.8 },
      y: axisFor('bath.depth_mm', 5),
      refine: { coarse: 4, by: 'life_s' },
    }
    const made = await outcomeMap(preset, wish, runLifeSync)
    if (!made.ok) throw new Error('no map')
    const painted = paintedOf(made.map, 'life_s', false)
    const scale = painted.scale!
    let [lenses, lives] = [0, 0]
    for (const k of [0, 4, 12, 20, 24]) {
      const [i, j] = [k % 5, Math.floor(k / 5)]
      if (made.map.run[k] !== RUN) continue
      const changed = setKeys(preset, [
        ['drop.alcoholMassFraction', made.map.x[i]!],
        ['bath.depth_mm', made.map.y[j]!],
        ['model.accuracy', 'quick'],
      ])
      const result = changed.ok ? runLifeSync(changed.preset) : undefined
      if (!result?.ok) throw new Error('no life')
      const { outcome, collapseTime, lifeEnd } = result.life.summary
      expect(STATES[painted.grid.kinds[k]!]).toBe(outcome)
      const fill = fillOf(painted, k, '#ffffff')
      if (outcome === 'lens') {
        lenses++
        expect(fill).toBe(NONE)
        continue
      }
      lives++
      const time = Number.isNaN(collapseTime) ? lifeEnd : collapseTime
      const { low, high, ratios } = scale.span
      expect(ratios).toBe(false)
      expect(fill).toBe(cssColour(scale.table, (time - low) / (high - low)))
      expect(pointWords(made.map, i, j, 'life_s')).toContain(`life ${time.toPrecision(3)} s`)
    }
    expect([lenses > 0, lives > 0]).toEqual([true, true])
  }, 120_000)
})

describe('axes', () => {
  it('have round numbers, in ratios where the steps are', () => {
    const start = emptyMap({ x: axisFor('drop.alcoholMassFraction', 33), y: axisFor('drop.volume_uL', 25) })
    if (!start.ok) throw new Error('no map')
    expect(ticksAlong(start.map, 0, 900, 100)).toEqual([0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1])
    expect(ticksAlong(start.map, 1, 380, 30)).toEqual([1, 2, 5, 10, 20, 50])
  })
})

describe('what is next', () => {
  const wish: MapWish = {
    x: axisFor('drop.alcoholMassFraction', 17),
    y: axisFor('drop.volume_uL', 13),
    refine: { coarse: 2, by: undefined },
  }
  const start = emptyMap(wish)
  if (!start.ok) throw new Error('no map')
  const made = (status: 'done' | 'stopped'): Made => ({
    map: { ...start.map, status, done: 40 },
    wish,
    madeFor: 'a',
  })
  const finer = { ...wish, x: { ...wish.x, count: 33 }, y: { ...wish.y, count: 25 } }
  test.each([
    ['nothing is there', null, 'a', wish, 'Work out the map', false, /^$/],
    ['another drop', made('done'), 'b', wish, 'Work it out anew', false, /earlier drop/],
    ['it was stopped', made('stopped'), 'a', wish, 'Go on', true, /^$/],
    ['it is whole', made('done'), 'a', wish, 'Work it out again', false, /^$/],
    ['finer', made('done'), 'a', finer, 'Go on with these points', true, /40 points are known/],
    ['finer, of another drop', made('done'), 'b', finer, 'Work it out anew', false, /earlier drop/],
    [
      'another end',
      made('stopped'),
      'a',
      { ...wish, x: { ...wish.x, to: 0.9 } },
      'Work it out anew',
      false,
      /none of the lives of this map can be kept/,
    ],
    [
      'another colour',
      made('done'),
      'a',
      { ...wish, refine: { coarse: 2, by: 'life_s' } },
      'Refine for this colour',
      true,
      /^$/,
    ],
    [
      'every point',
      made('done'),
      'a',
      { ...wish, refine: undefined },
      'Go on with these points',
      true,
      /known/,
    ],
  ] as const)('%s', (_, there, now, wanted, label, keeps, says) => {
    const step = stepFor(there, now, wanted as MapWish)
    expect(step).toMatchObject({ label, keeps })
    expect(step.says).toMatch(says)
  })
})

describe('what is kept', () => {
  const wish: MapWish = {
    x: axisFor('drop.alcoholMassFraction', 9),
    y: axisFor('drop.volume_uL', 9),
    refine: { coarse: 4 },
  }
  it('is read back as it was, goes on, and is refused where it does not fit', async () => {
    const { run } = madeUpRun(({ drop }) => ({ outcome: drop.alcoholMassFraction > 0.5 ? 'sheds' : 'lens' }))
    const made = await outcomeMap(defaultPreset(), wish, run)
    if (!made.ok) throw new Error('no map')
    const { map } = made
    expect(runWords(map)).toBe(`${map.done} of 81 points were run; at the others the neighbours agree.`)
    expect(map.run).toContain(AGREES)
    const record = structuredClone({
      format: 2,
      calculation: CALCULATION,
      map,
      wish,
      madeFor: 'a',
      by: 'outcome',
    })
    expect(isMapRecord(record)).toBe(true)
    const again = await outcomeMap(defaultPreset(), wish, run, { known: record.map })
    expect(again).toEqual(made)
    const without = structuredClone(record)
    delete (without.map.values as Record<string, unknown>).beads
    for (const wrong of [
      null,
      { ...record, format: 3 },
      { ...record, calculation: 'another' },
      { ...record, by: 3 },
      { ...record, wish: { ...wish, x: { ...wish.x, key: 'drop.colour' } } },
      { ...record, wish: { ...wish, x: { ...wish.x, count: 11 } } },
      { ...record, map: { ...map, run: [1, 2] } },
      { ...record, map: { ...map, outcome: map.outcome.slice(1) } },
      without,
    ])
      expect(isMapRecord(wrong)).toBe(false)
  })
})
