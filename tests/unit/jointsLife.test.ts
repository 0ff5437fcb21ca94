/** What a life tells of itself, held against closed forms: from preset to summary and books, nothing in between is copied. */
import { describe, expect, it } from 'vitest'
import { accuracyOf } from '../../src/life/accuracy.ts'
import { takeEngine } from '../../src/life/engines.ts'
import { defaultPreset } from '../../src/life/preset.ts'
import { problemOf } from '../../src/life/problemOf.ts'
import type { Life, LifeSeries, Preset } from '../../src/life/types.ts'
import { bathSpeedAt, createFields, moveTo } from '../../src/life/view.ts'
import { water } from '../../src/liquids/water.ts'
import { type Change, lifeOf, presetWith, referencePreset } from '../fixtures/presetLives.ts'
import { expectClose } from '../matchers.ts'

const reference = referencePreset()
const quick: Change = ['model.accuracy', 'quick']
const strength = (w: number): Change => ['drop.alcoholMassFraction', w]

/** A series at a time between two kept moments, linear. */
function between({ t }: LifeSeries, values: Float64Array, time: number): number {
  const k = Math.max(
    0,
    t.findLastIndex((one) => one <= time && one < t.at(-1)!),
  )
  return values[k]! + ((time - t[k]!) / (t[k + 1]! - t[k]!)) * (values[k + 1]! - values[k]!)
}

/**
 * Radius of a lens at rest that holds this much at this strength, m: parabola whose edge slope is √(−2S/γ_eff) (Neumann's
 * triangle for small slopes). Tensions of the closed-form liquids, γ_eff 5 mN/m.
 */
function restingLens(volume: number, phi: number): number {
  const above = 27.6 - 6.4 * phi + 44.4 * Math.exp(-phi / 0.085)
  const below = 0.4 + 24.5 * Math.exp(-3.6 * phi)
  const slope = Math.sqrt((2 * (above + below - 33)) / 5)
  return Math.cbrt((4 * volume) / (Math.PI * slope))
}

/** The definition that users are given: below 30 % of the largest radius, or within a fifth of a resting lens. */
describe('collapse', () => {
  const levelAt = ({ summary, series }: Life) => {
    const [R, volume, alcohol] = [series.R, series.volume, series.alcohol].map((values) =>
      between(series, values, summary.collapseTime),
    ) as [number, number, number]
    return { byLargest: R / summary.maxRadius, byLens: R / restingLens(volume, alcohol / volume) }
  }
  it('is told when the radius passes 30 % of the largest', () => {
    for (const w of [0.45, 0.6]) {
      const { byLargest, byLens } = levelAt(lifeOf(reference, quick, strength(w)))
      expectClose(byLargest, 0.3, { rtol: 1e-3 })
      expect(byLens).toBeGreaterThan(1.2)
    }
  })
  it('or 1.2 times that of the lens that its liquid would come to rest as', () => {
    const { byLargest, byLens } = levelAt(lifeOf(reference, quick, strength(0.37)))
    expectClose(byLens, 1.2, { rtol: 3e-3 })
    expect(byLargest).toBeGreaterThan(0.31)
  })
})

/** The definition of the summary: while the drop grows from 0.8 of its largest radius to that. */
describe('the thinnest film', () => {
  it.each([0.5, 0.7])('is not that of the early drop, though it is thinner (strength %s)', (w) => {
    const { series, summary } = lifeOf(reference, quick, strength(w))
    const { thinnest, maxRadius, maxRadiusTime } = summary
    const growing = [...series.t.keys()].filter((k) => series.t[k]! <= maxRadiusTime && series.thin[k]! >= 0)
    const least = (part: number) =>
      Math.min(...growing.filter((k) => series.R[k]! >= part * maxRadius).map((k) => series.thin[k]!))
    expect(least(0.5)).toBeLessThan(0.8 * thinnest.thickness)
    expect(between(series, series.R, thinnest.time)).toBeGreaterThanOrEqual(0.8 * maxRadius * (1 - 1e-9))
    expect(thinnest.time).toBeLessThanOrEqual(maxRadiusTime)
    expectClose(thinnest.thickness, least(0.8), { rtol: 1e-12 })
    expectClose(between(series, series.thinRadius, thinnest.time), thinnest.radius, { rtol: 1e-9 })
  })
})

/**
 * Waves begin with 1 µm (common practice, no source) and break the ring when they have grown to its base; liquid leaves from one
 * e-folding before that: not before a wave has come to 1/e of the base, and from there on at once.
 */
describe('the ring', () => {
  it('sheds from one e-folding before its waves are as large as its base', () => {
    const shares = { whole: [] as number[], shedding: [] as number[] }
    for (const volume of [10, 30]) {
      const { frames, series } = lifeOf(
        reference,
        quick,
        strength(0.45),
        ['drop.volume_uL', volume],
        ['ring.breakUp', true],
      )
      for (let k = 0; k < frames.count; k++) {
        const share = series.beadAmplitude[k]! / series.ringBase[k]!
        const shed = frames.shed.subarray(k * frames.inner, (k + 1) * frames.inner).some((rate) => rate > 0)
        if (share > 0) shares[shed ? 'shedding' : 'whole'].push(share)
      }
    }
    expectClose(Math.max(...shares.whole), Math.exp(-1), { rtol: 0.03 })
    expectClose(Math.min(...shares.shedding), Math.exp(-1), { rtol: 0.03 })
    expect(Math.max(...shares.whole)).toBeLessThan(Math.min(...shares.shedding))
  })
})

describe('the child drops', () => {
  it('hold what the ring has lost: as many balls between the smallest and the largest radius', () => {
    const { series, summary } = lifeOf(reference, quick, strength(0.5), ['ring.breakUp', true])
    const { count, volume, medianRadius } = summary.childDrops
    const radii = [...series.childRadius].filter((r) => r > 0)
    const ball = (radius: number) => (4 / 3) * Math.PI * radius ** 3
    expect(volume).toBeGreaterThan(0.1 * series.volume[0]!)
    expect(count * ball(Math.min(...radii))).toBeLessThan(volume)
    expect(count * ball(Math.max(...radii))).toBeGreaterThan(volume)
    expect(medianRadius).toBeGreaterThan(Math.min(...radii))
    expect(medianRadius).toBeLessThan(Math.max(...radii))
    // The first that anyone sees are a thousandth of the drop.
    const share = between(series, series.childVolume, summary.firstBreakUp) / (1e-3 * series.volume[0]!)
    expectClose(share, 1, { rtol: 1e-6 })
  })
})

/** The same flow on another mesh: a speed at a place does not know of cells. */
describe('the surface of the oil beside the drop', () => {
  const lives = (['quick', 'normal'] as const).map((level) => lifeOf(reference, ['model.accuracy', level]))
  const speeds = (time: number, beside: number) =>
    lives.map(({ frames }) => {
      const fields = createFields()
      moveTo(fields, frames, 0.07, time)
      return bathSpeedAt(fields, beside * fields.R) / fields.U
    }) as [number, number]
  it.each([0.3, 1])('has the same speed with 12 and with 20 cells at %s s, and rests at the wall', (time) => {
    for (const beside of [1.02, 1.05, 1.1, 1.3, 1.6]) {
      const [quickly, normally] = speeds(time, beside)
      expectClose(quickly, normally, { atol: 0.04 }, `at ${beside} R`)
    }
    expect(speeds(time, 1.05)[1]).toBeGreaterThan(0.6)
    expect(Math.abs(speeds(time, 3)[1])).toBeLessThan(1e-3)
  })
})

/**
 * A drop of water in dry still air has lost c (4 D R t + 2 π R² √(D t/π)) by time t: disc (R. D. Deegan et al., Nature 389, 827,
 * 1997, from memory) and start-up over a plane (J. Crank, The Mathematics of Diffusion, from memory). Saturation pressure
 * of water at 22 °C: 2645 Pa; density 997.8 kg/m³ (steam tables, from memory).
 */
describe('still air', () => {
  const vapour = (2645 * 0.0180153) / (8.31446 * 295.15) / 997.8
  const { series } = lifeOf(
    defaultPreset(),
    quick,
    strength(0),
    ['drop.volume_uL', 1],
    ['drop.startRadius_mm', 0.86],
    ['air.mode', 'still'],
    ['air.relativeHumidity', 0],
    ['mechanisms.cooling', false],
    ['model.horizon_s', 2],
  )
  it('takes its first vapour as into a half-space and its last as from a disc', () => {
    const D = water.vapourDiffusivity(295.15)
    const { t, R, evaporatedVolume } = series
    const lost = (k: number) =>
      4 * D * R[k]! * t[k]! + 2 * Math.PI * R[k]! ** 2 * Math.sqrt((D * t[k]!) / Math.PI)
    const early = t.findIndex((time) => time > 5e-8)
    expect(R[early]).toBeGreaterThan(0.85e-3)
    expectClose(evaporatedVolume[early]! / lost(early), vapour, { rtol: 0.005 }, 'at first')
    const late = t.length - 1
    expectClose(evaporatedVolume[late]! / lost(late), vapour, { rtol: 0.005 }, 'after 2 s')
  })
})

/** The equations of a preset, laid for a film of one thickness (m) and composition. */
function laid(preset: Preset, thickness: number, phi: number) {
  const accuracy = accuracyOf(preset)
  const { problem } = problemOf(preset, accuracy.fields)
  const { sys, stepper } = takeEngine(accuracy, problem.uptake !== null)
  sys.setProblem(problem)
  sys.rtol = accuracy.rtol
  sys.thicknessFloor = accuracy.thicknessFloor
  sys.fillStart(
    stepper.y,
    problem.startRadius,
    () => thickness,
    () => phi,
  )
  return { sys, y: stepper.y, accuracy }
}

describe('a film from which a step took more alcohol than it had', () => {
  it.each([1e-3, 1e-6, 1e-8])('gets it back, at any thickness: %s m', (thickness) => {
    const { sys, y } = laid(presetWith(reference, quick), thickness, -1e-3)
    const rates = sys.vector()
    sys.beginStep(0, 1e-3, y)
    sys.rates(y, rates)
    const evaporated = rates.subarray(sys.booksAt, sys.booksAt + 2)
    for (const book of evaporated) expect(book).toBeLessThan(0)
  })
})

/**
 * Norm of a step's error, √(mean of (error/permitted)²) over the components: E. Hairer, S. P. Nørsett & G. Wanner, Solving
 * Ordinary Differential Equations I, eq. (II.4.11), from memory. Errors all as large as permitted make 1.
 */
describe('the error of a step', () => {
  it('is 1 where every quantity of every cell is off by what is permitted', () => {
    const { sys, y, accuracy } = laid(presetWith(reference, quick), 1e-4, 0.5)
    const R2 = reference.drop.startRadius_mm ** 2 * 1e-6
    const fields = sys.block - 2
    for (let i = 0; i < sys.mesh.cells; i++) y.fill(0.01, i * sys.block + 2, (i + 1) * sys.block)
    const error = sys.vector()
    for (let i = 0; i < sys.mesh.cells; i++) {
      const at = i * sys.block
      error.fill(R2 * (accuracy.rtol * 1e-4 + accuracy.thicknessFloor), at, at + 2)
      error.fill(accuracy.rtol * 0.01, at + 2, at + 2 + fields)
    }
    expectClose(sys.errorNorm(y, y, error), 1, { rtol: 1e-9 })
  })
})
