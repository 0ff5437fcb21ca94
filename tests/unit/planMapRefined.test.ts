/** The refined map: the same borders as the whole grid, nothing run twice, told apart what was not run; the table it becomes. */
import * as fc from 'fast-check'
import { parquetMetadata, parquetReadObjects } from 'hyparquet'
import { describe, expect, it } from 'vitest'
import { defaultPreset } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { LifeResult, OutcomeName, Preset, Summary } from '../../src/life/types.ts'
import { nextPoints, noteAgreement, shownValues } from '../../src/plan/mapCells.ts'
import { AGREES, emptyMap, type MapWish, OPEN, type OutcomeMap, RUN } from '../../src/plan/mapGrid.ts'
import { mapColumns, mapCsv, mapParquet } from '../../src/plan/mapTable.ts'
import { outcomeMap } from '../../src/plan/outcomeMap.ts'
import { OUTPUTS } from '../../src/plan/outputs.ts'
import { madeUpRun } from '../fixtures/planLives.ts'

const preset = defaultPreset()

/** A wish whose points are at whole numbers of both axes: cells under the drop 100 …, seconds of the longest life 100 …. */
const whole = (nx: number, ny: number, refine?: MapWish['refine']): MapWish => ({
  x: { key: 'bath.dishRadius_mm', from: 100, to: 99 + nx, count: nx },
  y: { key: 'model.horizon_s', from: 100, to: 99 + ny, count: ny },
  refine,
})

/** Lives whose outcome is a rule of the place (i, j) on such a grid. */
const byPlace = (rule: (i: number, j: number) => Partial<Summary>) =>
  madeUpRun(({ bath, model }: Preset) =>
    rule(Math.round(bath.dishRadius_mm - 100), Math.round(model.horizon_s! - 100)),
  )

async function made(
  wish: MapWish,
  run: Parameters<typeof outcomeMap>[2],
  hooks: Parameters<typeof outcomeMap>[3] = {},
): Promise<OutcomeMap> {
  const result = await outcomeMap(preset, wish, run, hooks)
  if (!result.ok) throw new Error(result.problems.map((p) => p.message).join(' '))
  return result.map
}

/** Connected pieces (by rows and columns) of one outcome. */
function pieces(outcome: readonly string[], nx: number): number[][] {
  const seen = new Set<number>()
  return outcome.flatMap((_, start) => {
    if (seen.has(start)) return []
    const piece = [start]
    seen.add(start)
    for (const k of piece) {
      const i = k % nx
      for (const other of [i > 0 ? k - 1 : -1, i + 1 < nx ? k + 1 : -1, k - nx, k + nx]) {
        if (outcome[other] !== outcome[k] || seen.has(other)) continue
        seen.add(other)
        piece.push(other)
      }
    }
    return [piece]
  })
}

const NAMES: readonly OutcomeName[] = ['lens', 'recedes', 'sheds']

describe('refinement', () => {
  it('misses nothing of any picture but islands that no run point has touched, none of which holds a corner of the first grid', async () => {
    const pictures = fc.record({
      nx: fc.integer({ min: 5, max: 34 }),
      ny: fc.integer({ min: 5, max: 26 }),
      coarse: fc.constantFrom(2, 4, 8),
      // Bars and discs: tongues that pass between the corners of cells.
      shapes: fc.array(
        fc.record({
          x: fc.integer({ min: 0, max: 34 }),
          y: fc.integer({ min: 0, max: 26 }),
          a: fc.integer({ min: 1, max: 12 }),
          b: fc.integer({ min: 1, max: 12 }),
          round: fc.boolean(),
          kind: fc.nat(2),
        }),
        { maxLength: 5 },
      ),
    })
    let [missed, inferred] = [0, 0]
    await fc.assert(
      fc.asyncProperty(pictures, async ({ nx, ny, coarse, shapes }) => {
        const covers = ({ x, y, a, b, round }: (typeof shapes)[number], i: number, j: number) =>
          round ? Math.hypot((i - x) / a, (j - y) / b) < 1 : Math.abs(i - x) < a && Math.abs(j - y) < b
        const at = (i: number, j: number) =>
          NAMES[shapes.findLast((shape) => covers(shape, i, j))?.kind ?? 0]!
        const { run, asked } = byPlace((i, j) => ({ outcome: at(i, j) }))
        const map = await made(whole(nx, ny, { coarse }), run)
        const truth = Array.from({ length: nx * ny }, (_, k) => at(k % nx, Math.floor(k / nx)))
        const right = (k: number) => map.outcome[k] === truth[k]
        expect(asked).toHaveLength(map.done)
        expect(new Set(asked.map(({ bath, model }) => `${bath.dishRadius_mm} ${model.horizon_s}`)).size).toBe(
          map.done,
        )
        for (const piece of pieces(truth, nx)) {
          const touched = piece.some((k) => map.run[k] === RUN)
          if (touched) expect(piece.every(right)).toBe(true)
          else {
            missed += piece.length
            for (const k of piece)
              expect((k % nx) % coarse === 0 && Math.floor(k / nx) % coarse === 0).toBe(false)
          }
        }
        inferred += map.run.filter((how) => how === AGREES).length
      }),
      { numRuns: 200, seed: 5 },
    )
    // The cases are worth something: points were left out, and some islands were missed.
    expect(inferred).toBeGreaterThan(3000)
    expect(missed).toBeGreaterThan(0)
  }, 300_000)

  it('runs a fraction of the points of a large map', async () => {
    const { run } = byPlace((i, j) => ({ outcome: Math.hypot(i, j) < 80 ? 'lens' : 'recedes' }))
    const map = await made(whole(129, 97, { coarse: 16 }), run)
    expect(map.done).toBeLessThan(0.1 * map.total)
    for (let k = 0; k < map.total; k++)
      expect(map.outcome[k]).toBe(Math.hypot(k % 129, Math.floor(k / 129)) < 80 ? 'lens' : 'recedes')
  })

  it('refines where the coloured output bends, so that what lies between is right to 2 % of its span, and where it is missing', async () => {
    // tanh: straight at both ends, bent about the middle; the largest radius in m. Bends are told from second differences
    // (aim 1 %), so that where they change within a cell the rest is somewhat more.
    const radius = (i: number) => 2e-3 * (1 + Math.tanh((i - 32) / 6))
    const { run } = byPlace((i) => ({ maxRadius: i < 5 ? Number.NaN : radius(i) }))
    const by = 'maxRadius_mm'
    const map = await made(whole(65, 49, { coarse: 8, by }), run)
    const shown = shownValues(map, by)
    const span = 1e3 * (radius(64) - radius(5))
    shown.forEach((value, k) => {
      const i = k % 65
      if (i < 5) expect(value).toBeNaN()
      else expect(Math.abs(value - 1e3 * radius(i))).toBeLessThan(0.02 * span)
    })
    const plain = await made(whole(65, 49, { coarse: 8 }), run)
    expect(plain.done).toBe(9 * 7)
    expect(map.done).toBeGreaterThan(plain.done)
    expect(map.done).toBeLessThan(0.5 * map.total)
  })

  it('has nothing left to run when it is done, and tells apart what was not run', async () => {
    const { run } = byPlace((i, j) => ({ outcome: i + j < 30 ? 'lens' : 'recedes' }))
    const map = await made(whole(33, 25, { coarse: 4 }), run)
    expect(map).toMatchObject({ status: 'done', share: 1 })
    expect(nextPoints(map, undefined).points).toEqual([])
    const how = new Set(map.run)
    expect([...how].sort()).toEqual([RUN, AGREES])
    map.run.forEach((one, k) => {
      if (one === AGREES) for (const { id } of OUTPUTS) expect(map.values[id]![k]).toBeNaN()
    })
  })

  it('grows as a whole picture, its share of the work never falling', async () => {
    const { run } = byPlace((i, j) => ({ outcome: i > j ? 'lens' : 'recedes' }))
    const shares: number[] = []
    let whole_ = 0
    await made(whole(33, 25, { coarse: 8 }), run, {
      grown: ({ share, standIn, done }) => {
        shares.push(share)
        if (done > 2 && standIn.every((k) => k >= 0)) whole_++
      },
    })
    expect(shares.every((share, k) => share >= (shares[k - 1] ?? 0))).toBe(true)
    expect(shares.at(-1)).toBeLessThanOrEqual(1)
    // From the first corners on there is a whole picture.
    expect(whole_).toBe(shares.length - 2)
  })
})

describe('a map that goes on', () => {
  const rule = (i: number, j: number): Partial<Summary> => ({
    outcome: Math.hypot(i - 10, j - 8) < 9 ? 'lens' : 'recedes',
    maxRadius: 1e-4 * (i + j),
  })
  const fine = whole(33, 25, { coarse: 4, by: 'maxRadius_mm' })

  it('comes, wherever it was stopped, to the same map without running a point twice', async () => {
    const once = await made(fine, byPlace(rule).run)
    for (const after of [3, 40, 90, once.done - 1]) {
      let done = 0
      const stopped = await made(fine, byPlace(rule).run, {
        grown: (map) => {
          done = map.done
        },
        cancelled: () => done >= after,
      })
      expect(stopped).toMatchObject({ status: 'stopped', done: after })
      expect(stopped.run.filter((how) => how === RUN)).toHaveLength(after)
      const rest = byPlace(rule)
      const whole_ = await made(fine, rest.run, { known: structuredClone(stopped) })
      expect(rest.asked).toHaveLength(once.done - after)
      expect(whole_).toEqual(once)
    }
  })
  it('keeps its points for a finer grid, another colour, or every point; keeps none when an end moves', async () => {
    const known = await made(whole(17, 13, { coarse: 2 }), byPlace(rule).run)
    const other = async (wish: MapWish, from: OutcomeMap) => {
      const lives = byPlace(rule)
      const map = await made(wish, lives.run, { known: from })
      return map.done - lives.asked.length
    }
    const ends = { x: { from: 100, to: 116 }, y: { from: 100, to: 112 } }
    const refined = (count: [number, number], more: MapWish['refine']): MapWish => {
      const wish = whole(...count, more)
      return { ...wish, x: { ...wish.x, ...ends.x }, y: { ...wish.y, ...ends.y } }
    }
    expect(await other(refined([33, 25], { coarse: 4 }), known)).toBe(known.done)
    expect(await other(refined([17, 13], { coarse: 2, by: 'maxRadius_mm' }), known)).toBe(known.done)
    expect(await other(refined([17, 13], undefined), known)).toBe(known.done)
    const moved = refined([17, 13], { coarse: 2 })
    expect(await other({ ...moved, x: { ...moved.x, to: 115 } }, known)).toBe(0)
    expect(await other({ ...moved, x: { ...moved.x, key: 'drop.volume_uL', from: 1, to: 50 } }, known)).toBe(
      0,
    )
  })
  it('after a stop says "its neighbours agree" only where they do', async () => {
    const { run } = byPlace(rule)
    let done = 0
    const map = await made(fine, run, {
      grown: (so) => {
        done = so.done
      },
      cancelled: () => done >= 70,
    })
    const kinds = new Set(map.run)
    expect([...kinds].sort()).toEqual([OPEN, RUN, AGREES])
    map.run.forEach((how, k) => {
      expect(map.outcome[k] === 'unknown').toBe(how === OPEN)
    })
    // What is open is shown as the point that stands for it, and nothing is made up between points.
    const shown = shownValues(map, 'maxRadius_mm')
    map.run.forEach((how, k) => {
      if (how === OPEN) expect(shown[k]).toBe(map.values.maxRadius_mm![map.standIn[k]!])
    })
    // Marks laid while it grew do not outlast what is learned later.
    const again = structuredClone(map)
    noteAgreement(again, 'maxRadius_mm')
    expect(again).toEqual(map)
  })
})

describe('of the engine', () => {
  it('a refined map has the outcomes of the whole grid, and their outputs where it was run', async () => {
    const wish: MapWish = {
      x: { key: 'drop.alcoholMassFraction', from: 0.3, to: 0.9, count: 9 },
      y: { key: 'drop.volume_uL', from: 1, to: 30, count: 7, logarithmic: true },
    }
    const full = await made(wish, runLifeSync)
    let lives = 0
    const counted = (...asked: Parameters<typeof runLifeSync>): LifeResult => {
      lives++
      return runLifeSync(...asked)
    }
    const refined = await made({ ...wish, refine: { coarse: 4 } }, counted)
    expect(new Set(full.outcome).size).toBeGreaterThan(1)
    expect(refined.outcome).toEqual(full.outcome)
    expect(lives).toBe(refined.done)
    expect(lives).toBeLessThan(full.total)
    refined.run.forEach((how, k) => {
      if (how !== RUN) return
      for (const { id } of OUTPUTS) expect(refined.values[id]![k]).toBe(full.values[id]![k])
    })
    // The outputs are those of the life itself.
    const life = runLifeSync({
      ...preset,
      drop: { ...preset.drop, alcoholMassFraction: 0.9, volume_uL: 30 },
      model: { ...preset.model, accuracy: 'quick' },
    })
    if (!life.ok) throw new Error('no life')
    for (const { id, of } of OUTPUTS) expect(full.values[id]![62]).toBe(of(life.life))
  }, 120_000)
})

describe('the table', () => {
  const { run } = byPlace((i, j) => ({
    outcome: i + j < 12 ? 'lens' : 'recedes',
    maxRadius: (0.1 + i / 3) * 1e-3,
  }))
  it('tells what was run in a column of its own', async () => {
    const map = await made(whole(17, 13, { coarse: 4 }), run)
    const lines = mapCsv(map).trim().split('\n')
    expect(lines).toHaveLength(1 + 17 * 13)
    const rows = lines.slice(1).map((line) => line.split(','))
    expect(rows.filter((row) => row[3] === 'yes')).toHaveLength(map.done)
    for (const row of rows.filter((one) => one[3] === 'no: its neighbours agree')) {
      expect(row[2]).toMatch(/^(lens|recedes)$/)
      expect(row.slice(4).every((cell) => cell === '')).toBe(true)
    }
  })
  it('is read back from Parquet by another library, with all bits, and null where there is no number', async () => {
    const map = await made(whole(17, 13, { coarse: 4 }), run)
    // hyparquet, a reader of Apache Parquet that shares only the format with the writer.
    const file = await mapParquet(map)
    const columns = mapColumns(map)
    expect(
      parquetMetadata(file)
        .schema.slice(1)
        .map(({ name }) => name),
    ).toEqual(columns.map(({ name }) => name))
    const rows = await parquetReadObjects({ file })
    expect(rows).toHaveLength(map.total)
    rows.forEach((row, k) => {
      expect(row['bath.dishRadius_mm']).toBe(100 + (k % 17))
      expect(row['model.horizon_s']).toBe(100 + Math.floor(k / 17))
      if (row.run === 'yes') expect(row.maxRadius_mm).toBeCloseTo(0.1 + (k % 17) / 3, 12)
      for (const one of columns) {
        const value = 'texts' in one ? one.texts[k]! : one.numbers[k]!
        const expected = typeof value === 'number' && !Number.isFinite(value) ? null : value
        expect(Object.is(row[one.name] ?? null, expected)).toBe(true)
      }
    })
  })
})

describe('wishes', () => {
  it.each([
    [{ coarse: 0 }, /steps of 0/],
    [{ coarse: 2.5 }, /steps of 2\.5/],
    [{ coarse: 4, by: 'colour' }, /"colour" is no output.*maxRadius_mm/],
  ])('%j is refused', (refine, message) => {
    expect(emptyMap(whole(9, 9, refine))).toMatchObject({
      ok: false,
      problems: [{ where: 'refine', message: expect.stringMatching(message) }],
    })
  })
})
