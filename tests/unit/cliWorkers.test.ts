/** Several threads: the same results to the last bit for any number of them; threads that end are no loss. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Output } from '../../src/cli/command.ts'
import { main as scaling } from '../../src/cli/scaling.ts'
import { main as sheet } from '../../src/cli/sheet.ts'
import { Threads, usualThreads } from '../../src/cli/threads.ts'
import { main as threshold } from '../../src/cli/threshold.ts'
import { estimateErrors } from '../../src/life/errors.ts'
import { runHere } from '../../src/life/hands.ts'
import type { LifeRunner } from '../../src/life/lives.ts'
import { defaultPreset } from '../../src/life/preset.ts'
import type { LifeResult, Preset } from '../../src/life/types.ts'
import { fitLives } from '../../src/measured/fit/fitLives.ts'
import type { FitWish } from '../../src/measured/fit/types.ts'
import type { MeasuredCurve } from '../../src/measured/types.ts'
import { atStrengths, familyOf } from '../../src/plan/family.ts'
import type { MapWish } from '../../src/plan/mapGrid.ts'
import { bandOf } from '../../src/plan/neighbours.ts'
import { outcomeMap } from '../../src/plan/outcomeMap.ts'
import { sensitivityOf } from '../../src/plan/sensitivity.ts'
import { usualVariation } from '../../src/plan/sensitivityInputs.ts'
import { outcomesAlong } from '../../src/plan/stretches.ts'
import { surely } from '../../src/plan/sureness.ts'
import { callOf } from '../fixtures/captured.ts'
import { digestOf as digestOfLife, digestOfPreset } from '../fixtures/lifeDigest.ts'
import { launch } from '../fixtures/spawned.ts'

const spreads = 'presets/harbour-lane-spreads.json'
const wish: MapWish = {
  x: { key: 'drop.alcoholMassFraction', from: 0.2, to: 0.8, count: 7 },
  y: { key: 'drop.volume_uL', from: 1, to: 100, count: 7, logarithmic: true },
}

const OIL = 'bath.viscosity_mPas'

/** Numbers as texts with all their bits; JSON itself knows no NaN. */
const bits = (one: unknown): unknown =>
  ArrayBuffer.isView(one)
    ? Array.from(one as Float64Array, String)
    : typeof one === 'number'
      ? String(one)
      : one
const digest = (result: LifeResult): string => (result.ok ? digestOfLife(result.life) : result.reason)

const quick = (volume_uL: number): Preset => {
  const preset = defaultPreset()
  return { ...preset, drop: { ...preset.drop, volume_uL }, model: { ...preset.model, accuracy: 'quick' } }
}

/** Lives until so many threads take part. */
async function fill({ pool }: Threads, count: number): Promise<void> {
  while (pool.computed.size < count) {
    await Promise.all(Array.from({ length: 4 * count }, (_, n) => pool.run(quick(5 + n))))
  }
}

/** Points of the life of another drop, invented, for a fit of two unknowns and a condition. */
function invented(): FitWish {
  const made = runHere(quick(11)) as LifeResult & { ok: true }
  const { t, R } = made.life.series
  const at = [...t.keys()].filter((k) => k % 9 === 4)
  const curve: MeasuredCurve = {
    id: 'one',
    name: 'invented',
    time: Float64Array.from(at, (k) => t[k]!),
    radius: Float64Array.from(at, (k) => R[k]!),
    uncertainty: new Float64Array(at.length).fill(2e-4),
    meta: {},
    file: '',
  }
  return {
    preset: quick(10),
    curves: [curve],
    unknowns: [OIL, 'air.filmCoefficient_mmPerS'],
    priors: { 'bath.depth_mm': { value: 6, sigma: 0.3 } },
  }
}

const KINDS: Record<string, (run: LifeRunner) => Promise<unknown>> = {
  'map of outcomes': (run) => outcomeMap(defaultPreset(), wish, run),
  band: (run) => bandOf(defaultPreset(), run),
  'drawn lives': (run) => surely(defaultPreset(), run, { count: 24 }),
  sensitivity: (run) =>
    sensitivityOf(defaultPreset(), run, {
      inputs: usualVariation(defaultPreset()).inputs.slice(0, 4),
      base: 16,
    }),
  stretches: (run) =>
    outcomesAlong(
      defaultPreset(),
      { key: 'drop.alcoholMassFraction', values: Array.from({ length: 33 }, (_, i) => i / 32), coarse: 4 },
      run,
    ),
  scaling: (run) => {
    const row = atStrengths(defaultPreset(), [0.4, 0.5, 0.6, 0.7, 0.8])
    if (!row.ok) throw new Error('no drops')
    return familyOf(row.wanted, run, (life, by) => estimateErrors(life, {}, by))
  },
  fit: async (run) => {
    const made = await fitLives(invented(), run)
    expect(made.ok && made.fit.lives).toBeGreaterThan(10)
    return made
  },
}

/** The clock of a life is none of its results. */
const told = (value: unknown) =>
  JSON.parse(JSON.stringify(value, (key, one) => (key === 'wall_ms' ? 0 : bits(one))))

describe('one and four threads', () => {
  const threads = new Threads(4, { patience: 0 })
  const { pool } = threads
  beforeAll(() => fill(threads, 4), 120_000)
  afterAll(() => threads.end())
  it.each(Object.keys(KINDS))(
    'give the same %s to the last bit, and all of the four take part',
    async (kind) => {
      const alone = await KINDS[kind]!(runHere)
      const before = [...pool.computed.values()]
      expect(told(await KINDS[kind]!(pool.run))).toEqual(told(alone))
      const computed = [...pool.computed.values()].map((lives, i) => lives - before[i]!)
      expect(computed).toHaveLength(4)
      expect(Math.min(...computed)).toBeGreaterThan(0)
    },
  )
  it.each([
    ['scaling', 'presets/reference.json', '--strengths', '0.4,0.5,0.6,0.7', '--json'],
    [
      'compare',
      spreads,
      'presets/harbour-lane-measured-60.csv',
      '--accuracy',
      'quick',
      '--json',
      '--fit',
      OIL,
    ],
  ])('make the command %s write the same bytes', async (...argv) => {
    const [one, four] = [await launch([...argv, '--workers', '1']), await launch([...argv, '--workers', '4'])]
    expect(one.code).toBe(0)
    expect(one.out.length).toBeGreaterThan(500)
    expect(four).toEqual(one)
  })
})

describe('a thread that ends', () => {
  it('is replaced, and what it had is computed again', async () => {
    const threads = new Threads(2, { patience: 0 })
    await fill(threads, 2)
    const asked = Array.from({ length: 8 }, (_, n) => threads.pool.run(quick(5 + n)))
    await threads.lose()
    const lives = await Promise.all(asked)
    expect(lives.map(digest)).toEqual(Array.from({ length: 8 }, (_, n) => digestOfPreset(quick(5 + n))))
    await fill(threads, 3)
    await threads.end()
  })
  it('with every life leaves the others to this one, and a life that it takes with it is told', async () => {
    const program = new URL('../fixtures/shortLivedThread.mjs', import.meta.url)
    const threads = new Threads(2, { patience: 0, program })
    const lives = await Promise.all(Array.from({ length: 40 }, (_, n) => threads.pool.run(quick(5 + n))))
    await threads.end()
    for (const [n, life] of lives.entries()) {
      if (life.ok) expect(digest(life)).toBe(digestOfPreset(quick(5 + n)))
      else expect(life).toMatchObject({ reason: 'crashed', problems: [{ message: /broke off 2 times/ }] })
    }
    expect(lives.filter(({ ok }) => ok).length).toBeGreaterThan(30)
  })
  it('before it begins leaves all to this one', async () => {
    const threads = new Threads(3, { patience: 0, program: new URL('file:///no/such/program.mjs') })
    const lives = await Promise.all(Array.from({ length: 20 }, (_, n) => threads.pool.run(quick(5 + n))))
    await threads.end()
    expect(lives.every(({ ok }) => ok)).toBe(true)
  })
})

describe('a stop', () => {
  it('ends a map with what is known, and the threads are of use again', async () => {
    const threads = new Threads(2, { patience: 0 })
    await fill(threads, 2)
    let over = false
    const made = await outcomeMap(defaultPreset(), wish, threads.pool.run, {
      cancelled: () => over,
      grown: ({ done }) => {
        over = done >= 10
      },
    })
    expect(made.ok && made.map).toMatchObject({ status: 'stopped', done: 10 })
    const next = await outcomeMap(defaultPreset(), wish, threads.pool.run)
    expect(told(next)).toEqual(told(await outcomeMap(defaultPreset(), wish, runHere)))
    await threads.end()
  })
})

describe('the number of threads', () => {
  it('is that of all cores but one, of two both, unless it is given', () => {
    expect([1, 2, 3, 8].map(usualThreads)).toEqual([1, 2, 2, 7])
  })
  it.each(['0', '2.5', 'all', '257'])('%s is refused', async (workers) => {
    for (const main of [
      threshold,
      scaling,
      (argv: string[], to: Output) => sheet([...argv, '--stock', '96%vol'], to),
    ]) {
      const { code, err } = await callOf((to) => main([spreads, '--workers', workers], to))
      expect({ code, err }).toMatchObject({
        code: 2,
        err: /--workers is ".*"\. Permitted: (whole numbers from )?1 to 256/,
      })
    }
  })
})
