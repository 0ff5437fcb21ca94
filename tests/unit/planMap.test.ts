/** The map of outcomes over two keys. */
import * as fc from 'fast-check'
import { describe, expect, it, test } from 'vitest'
import { defaultPreset, setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import { coarseToFine, emptyMap, type MapWish, type OutcomeMap } from '../../src/plan/mapGrid.ts'
import { outcomeMap } from '../../src/plan/outcomeMap.ts'
import { madeUpRun } from '../fixtures/planLives.ts'
import { expectClose } from '../matchers.ts'

const wish: MapWish = {
  x: { key: 'drop.alcoholMassFraction', from: 0.2, to: 0.8, count: 9 },
  y: { key: 'drop.volume_uL', from: 1, to: 100, count: 5, logarithmic: true },
}
const preset = defaultPreset()
async function made(
  w: MapWish,
  run: Parameters<typeof outcomeMap>[2],
  hooks: Parameters<typeof outcomeMap>[3] = {},
) {
  const result = await outcomeMap(preset, w, run, hooks)
  if (!result.ok) throw new Error(result.problems.map((p) => p.message).join(' '))
  return result.map
}

describe('order', () => {
  it('runs every point once, coarse grids first', () => {
    fc.assert(
      fc.property(fc.integer({ min: 2, max: 40 }), fc.integer({ min: 2, max: 40 }), (nx, ny) => {
        const order = coarseToFine(nx, ny)
        const steps = order.map(({ step }) => step)
        return (
          new Set(order.map(({ index }) => index)).size === nx * ny &&
          order.length === nx * ny &&
          steps.every((step, k) => k === 0 || step <= steps[k - 1]!)
        )
      }),
    )
  })
  it('begins with the corners', () => {
    expect(coarseToFine(5, 5).slice(0, 4)).toEqual([
      { index: 0, step: 4 },
      { index: 4, step: 4 },
      { index: 20, step: 4 },
      { index: 24, step: 4 },
    ])
  })
})

describe('map', () => {
  const { run } = madeUpRun(({ drop }) => {
    const spreads = drop.alcoholMassFraction > 0.5
    return { outcome: spreads ? 'recedes' : 'lens', maxRadius: 1e-3 * drop.volume_uL, collapseTime: 7 }
  })
  it('puts every life at its place', async () => {
    const map = await made(wish, run)
    expect(map).toMatchObject({ status: 'done', done: 45, total: 45 })
    expect([...map.y]).toEqual([1, expect.closeTo(10 ** 0.5), 10, expect.closeTo(10 ** 1.5), 100])
    for (let j = 0; j < 5; j++) {
      for (let i = 0; i < 9; i++) {
        const k = j * 9 + i
        expect(map.outcome[k]).toBe(map.x[i]! > 0.5 ? 'recedes' : 'lens')
        expectClose(map.values.maxRadius_mm![k]!, map.y[j]!, { rtol: 1e-12 })
        expect(map.values.life_s![k]).toBe(map.x[i]! > 0.5 ? 7 : Number.NaN)
        expect(map.standIn[k]).toBe(k)
      }
    }
  })
  it('is a whole picture after the first grid, and each point is stood for by a neighbour of it', async () => {
    for (const [nx, ny] of [
      [9, 5],
      [8, 8],
      [17, 3],
      [6, 21],
    ] as const) {
      const first = coarseToFine(nx, ny).filter(({ step }, _, all) => step === all[0]!.step)
      let seen: OutcomeMap | undefined
      const size = { x: { ...wish.x, count: nx }, y: { ...wish.y, count: ny } }
      await made(size, run, {
        grown: (map) => {
          if (map.done === first.length) seen = structuredClone(map)
        },
      })
      const { step } = first[0]!
      expect([...seen!.standIn].every((k) => k >= 0 && seen!.outcome[k] !== 'unknown')).toBe(true)
      seen!.standIn.forEach((k, at) => {
        expect(Math.abs((k % nx) - (at % nx))).toBeLessThan(step)
        expect(Math.abs(Math.floor(k / nx) - Math.floor(at / nx))).toBeLessThan(step)
      })
    }
  })
  it('reports its progress and stops with what is known', async () => {
    const progress: number[] = []
    const map = await made(wish, run, {
      progress: (done) => progress.push(done),
      cancelled: () => progress.length >= 10,
    })
    expect(map).toMatchObject({ status: 'stopped', done: 10 })
    expect(progress).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10])
    expect(map.outcome.filter((o) => o !== 'unknown')).toHaveLength(10)
  })
  it('shows failures and what presets do not permit, and goes on', async () => {
    const fragile = madeUpRun(({ drop }) =>
      drop.startRadius_mm > 8 ? { outcome: 'failed', cause: 'x' } : { outcome: 'recedes' },
    )
    const map = await made(
      {
        x: { key: 'drop.startRadius_mm', from: 1, to: 15, count: 3 },
        y: { key: 'bath.dishRadius_mm', from: 10, to: 100, count: 2 },
      },
      fragile.run,
    )
    expect(map.outcome).toEqual(['recedes', 'recedes', 'not-permitted', 'recedes', 'recedes', 'failed'])
    expect(map.status).toBe('done')
  })
  it('of the engine: weak mixtures stay lenses, strong ones spread farther over deeper oil', async () => {
    const map = await made(
      {
        x: { key: 'drop.alcoholMassFraction', from: 0.3, to: 0.7, count: 2 },
        y: { key: 'bath.depth_mm', from: 3, to: 12, count: 2 },
      },
      runLifeSync,
    )
    expect(map.outcome).toEqual(['lens', 'recedes', 'lens', 'recedes'])
    expect(map.values.maxRadius_mm![3]).toBeGreaterThan(map.values.maxRadius_mm![1]!)
    expect(map.values.life_s![0]).toBeNaN()
    expect(map.values.life_s![1]).toBeGreaterThan(0)
  })
  it('leaves the preset alone', async () => {
    const before = structuredClone(preset)
    await made(wish, run)
    expect(preset).toEqual(before)
  })
})

describe('axes are refused', () => {
  test.each([
    ['unknown key', { x: { ...wish.x, key: 'drop.colour' } }, 'x', /drop\.colour.*not a number/],
    ['a choice', { y: { ...wish.y, key: 'bath.liquid' } }, 'y', /bath\.liquid/],
    ['out of range', { y: { ...wish.y, to: 500 } }, 'y', /to 500\. Permitted: 0\.5 to 100 µL/],
    ['no number', { x: { ...wish.x, from: Number.NaN } }, 'x', /NaN/],
    ['no width', { x: { ...wish.x, to: 0.2 } }, 'x', /must differ/],
    ['powers of nothing', { x: { ...wish.x, from: 0, logarithmic: true } }, 'x', /above 0/],
    ['one value', { x: { ...wish.x, count: 1 } }, 'x', /2 to 401/],
    ['half a value', { x: { ...wish.x, count: 2.5 } }, 'x', /2\.5/],
    ['the same twice', { y: wish.x }, 'y', /two different/],
  ] as [string, Partial<MapWish>, string, RegExp][])('%s', (_, change, where, message) => {
    const start = emptyMap({ ...wish, ...change })
    expect(start).toMatchObject({ ok: false, problems: [{ where, message: expect.stringMatching(message) }] })
  })
  it('whole-number keys get whole numbers', () => {
    const cells = { key: 'model.innerCells', from: 20, to: 45, count: 6 }
    const start = emptyMap({ ...wish, x: cells })
    expect(start.ok && [...start.map.x]).toEqual([20, 25, 30, 35, 40, 45])
    const odd = emptyMap({ ...wish, x: { ...cells, to: 30, count: 4 } })
    expect(odd.ok && [...odd.map.x].every(Number.isInteger)).toBe(true)
    expect(setKeys(preset, [['model.innerCells', 23]]).ok).toBe(true)
  })
})
