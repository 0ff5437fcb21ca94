/**
 * The budget of a place in the film. What it is held against: conservation of volume in a control volume whose sides move
 * (Reynolds' transport theorem) and continuity along the way of the liquid, D ln h/Dt = −div w − losses/h; both closed forms of
 * mechanics. The rates come from recorded fluxes and losses, what they must give from recorded thicknesses alone.
 */
import { describe, expect, it } from 'vitest'
import { followBack, leadingFace, ringBudget, seenRate, thinStretch } from '../../src/life/budget.ts'
import { setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life, LifeFrames, Preset } from '../../src/life/types.ts'
import { firstPreset, shippedPresets } from '../../src/page/presets.ts'

function lifeOf(preset: Preset): Life {
  const result = runLifeSync(preset)
  if (!result.ok) throw new Error(JSON.stringify(result.problems))
  return result.life
}
type Changes = Parameters<typeof setKeys>[1]
function changed(changes: Changes): Preset {
  const made = setKeys(firstPreset(), changes)
  if (!made.ok) throw new Error(JSON.stringify(made))
  return made.preset
}
const reference = shippedPresets.find(({ drop }) => drop.alcohol === 'reference')!

const drops: [string, Preset][] = [
  ['first drop', firstPreset()],
  ['without break-up', shippedPresets.find(({ title }) => /spreads/.test(title))!],
  ['reference liquids', reference],
  ['sunflower oil', changed([['bath.liquid', 'sunflower-oil']])],
  ['olive oil', changed([['bath.liquid', 'olive-oil']])],
  ['castor oil', changed([['bath.liquid', 'castor-oil']])],
  ['still air', changed([['air.mode', 'still']])],
  [
    'a layer of air',
    changed([
      ['air.mode', 'layer'],
      ['model.accuracy', 'fine'],
    ]),
  ],
  ['nothing evaporates', changed([['mechanisms.evaporation', false]])],
  [
    'the upper face keeps its tension',
    changed([
      ['mechanisms.tensionAbove', false],
      ['model.accuracy', 'fine'],
    ]),
  ],
  ['methanol', changed([['drop.alcohol', 'methanol']])],
]

/** Cell of the rim's top at a moment. */
const topOf = ({ frames, series }: Life, row: number): number => {
  const place = series.ringRadius[row]! / frames.R[row]!
  return Array.from(frames.sFaces).findIndex((s) => s > place) - 1
}

/** Moments with a rim, every fourth from a tenth of the time of the largest radius on. */
function moments({ series, summary, frames }: Life): number[] {
  const rows = Array.from({ length: frames.count - 2 }, (_, k) => k + 1)
  const { maxRadiusTime } = summary
  return rows.filter(
    (k) =>
      k % 4 === 0 &&
      series.t[k]! > 0.1 * maxRadiusTime &&
      series.t[k]! < 1.2 * maxRadiusTime &&
      series.ringHeight[k]! > 4 * series.thin[k]!,
  )
}

describe.each(drops)('the budget of the film: %s', (_name, preset) => {
  const life = lifeOf(preset)
  const { frames, series, summary } = life
  it('closes: what flows in and out, the growing of the ring, vapour, oil and child drops give the change of thickness', () => {
    const offOf = (k: number, from: number, to: number): number => {
      const budget = ringBudget(frames, k, from, to)
      const largest = Math.max(...[budget.inflow, budget.outflow, budget.widening].map(Math.abs))
      return Math.abs(budget.rate - seenRate(frames, k, from, to)) / largest
    }
    const rows = moments(life)
    const thin = (k: number) => thinStretch(frames, k, topOf(life, k))
    // What the page shows: the ring that leads up to the thinnest stretch.
    const shown = rows.map((k) => offOf(k, leadingFace(frames, k, thin(k), 2), thin(k) + 1))
    expect(shown.length).toBeGreaterThan(5)
    for (const off of shown) expect(off).toBeLessThan(0.05)
    // One about the thinnest stretch and a broad one. Where the steep foot of the rim passes, the slope of three moments is poor.
    const [near, far] = [Math.floor(0.2 * frames.inner), Math.floor(0.5 * frames.inner)]
    const others = rows.flatMap((k) => [offOf(k, thin(k) - 3, thin(k) + 4), offOf(k, near, far)])
    others.sort((p, q) => p - q)
    expect(others[Math.floor(0.5 * others.length)]!).toBeLessThan(0.01)
    expect(others[Math.floor(0.8 * others.length)]!).toBeLessThan(0.03)
  })
  it('closes along the way of the liquid: stretching, vapour and oil give how much thinner it has become', () => {
    const k = series.t.findIndex((t) => t >= summary.maxRadiusTime)
    const row = k < 0 ? frames.count - 1 : k
    const thin = thinStretch(frames, row, topOf(life, row))
    const place = 0.5 * (frames.sFaces[thin]! + frames.sFaces[thin + 1]!)
    const { start, end, stretched, vapour, oil, child } = followBack(frames, row, place, 10)
    expect(end.thickness).toBeCloseTo(frames.h[row * frames.inner + thin]!, 12)
    expect(start.thickness / end.thickness).toBeGreaterThan(9.9)
    expect(start.time).toBeLessThan(end.time)
    const thinner = Math.log(start.thickness / end.thickness)
    expect(Math.abs(stretched + vapour + oil + child - thinner) / thinner).toBeLessThan(0.02)
  })
  it('has the losses of the books: over the whole drop, all that evaporates and all that the oil takes', () => {
    const rows = moments(life)
    const last = rows.at(-1)!
    /** Sums over time by the trapezium rule, m³. */
    const sum = { vapour: 0, oil: 0 }
    let before = ringBudget(frames, rows[0]!, 0, frames.inner)
    for (let k = rows[0]! + 1; k <= last; k++) {
      const now = ringBudget(frames, k, 0, frames.inner)
      const half = 0.5 * (frames.t[k]! - frames.t[k - 1]!)
      for (const key of ['vapour', 'oil'] as const)
        sum[key] -= half * (before[key] * before.area + now[key] * now.area)
      before = now
    }
    // The vapour of a layer of air is laid for the middle of a step and kept at its end: half a step late.
    const part = preset.air.mode === 'layer' ? 0.03 : 0.015
    const booked = (of: Float64Array) => of[last]! - of[rows[0]!]!
    expect(Math.abs(sum.vapour - booked(series.evaporatedVolume))).toBeLessThanOrEqual(
      part * booked(series.evaporatedVolume),
    )
    expect(Math.abs(sum.oil - booked(series.inOil))).toBeLessThanOrEqual(part * booked(series.inOil))
  })
})

describe('the budget where it is known', () => {
  // An even film in a flow w = κ r loses thickness as h = h₀ exp(−(2κ + e/h) t): continuity. Here R stands still.
  const [rate, inner, count] = [0.3, 40, 200]
  const t = Float64Array.from({ length: count }, (_, k) => 0.01 * k)
  const sFaces = Float64Array.from({ length: inner + 1 }, (_, i) => i / inner)
  const R = 0.02
  const start = 1e-5
  const vapour = 4e-7
  // dh/dt = −2κh − e
  const height = (time: number) =>
    (start + vapour / (2 * rate)) * Math.exp(-2 * rate * time) - vapour / (2 * rate)
  const fill = (width: number, of: (time: number, i: number) => number) =>
    Float64Array.from({ length: count * width }, (_, k) => of(t[Math.floor(k / width)]!, k % width))
  const frames = {
    count,
    inner,
    outer: 0,
    sFaces,
    t,
    R: new Float64Array(count).fill(R),
    U: new Float64Array(count),
    h: fill(inner, (time) => height(time)),
    flux: fill(inner + 1, (time, f) => (R * sFaces[f]!) ** 2 * rate * height(time)),
    vapour: fill(inner, () => vapour),
    uptake: fill(inner, () => 0),
    shed: fill(inner, () => 0),
  } as unknown as LifeFrames
  it('gives the rates of a film that is stretched evenly', () => {
    const budget = ringBudget(frames, 100, 10, 20)
    expect(budget.stretching / (-2 * rate * height(1))).toBeCloseTo(1, 9)
    expect(budget.rate / (-2 * rate * height(1) - vapour)).toBeCloseTo(1, 9)
    expect(seenRate(frames, 100, 10, 20) / budget.rate).toBeCloseTo(1, 4)
  })
  it('finds the way back of its liquid: r = r₀ exp(κ t)', () => {
    const { start: from, stretched, vapour: lost } = followBack(frames, 150, 0.6, 1.6)
    const passed = 1.5 - from.time
    expect(from.place / (0.6 * Math.exp(-rate * passed))).toBeCloseTo(1, 3)
    expect(stretched / (2 * rate * passed)).toBeCloseTo(1, 9)
    expect((stretched + lost) / Math.log(height(from.time) / height(1.5))).toBeCloseTo(1, 4)
  })
  it('a dip of one cell is no stretch of film', () => {
    const h = fill(inner, (_, i) => (i === 30 ? 1e-8 : 1e-6 * (1 + Math.abs(i - 20))))
    expect(thinStretch({ ...frames, h }, 3, 35)).toBe(20)
  })
})
