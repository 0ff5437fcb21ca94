/**
 * What a life keeps of its film, held against mechanics: from preset to what is shown, nothing in between is copied.
 * Lubrication: the speed across a thin layer is a parabola, so that its mean follows from bath speed, surface speed and pull
 * alone (G. K. Batchelor, An Introduction to Fluid Dynamics, 1967, section 4.8, from memory; derived again here).
 */
import { describe, expect, it } from 'vitest'
import { followBack } from '../../src/life/budget.ts'
import { defaultPreset } from '../../src/life/preset.ts'
import type { Life } from '../../src/life/types.ts'
import { createFields, moveTo, pullsAt } from '../../src/life/view.ts'
import { massFractionOfAdditive } from '../../src/liquids/composition.ts'
import { mixtureFor } from '../../src/liquids/own/resolve.ts'
import { stirred } from '../fixtures/aris.ts'
import { type Change, faceOf, lifeOf, quantile, referencePreset } from '../fixtures/presetLives.ts'
import { expectClose } from '../matchers.ts'

const lensChanges: Change[] = [
  ['drop.alcoholMassFraction', 0.2],
  ['drop.volume_uL', 1],
  ['drop.startRadius_mm', 2],
  ['air.mode', 'constant'],
  ['air.constantRate_umPerS', 0.1],
  ['bath.viscosity_mPas', 10],
  ['mechanisms.uptake', false],
  ['mechanisms.cooling', false],
]

/**
 * Speeds of the film, all against the larger of what tension and pressure make: mean speed by the volume that passes less the
 * mean u_b/3 + 2 u_s/3 − h τ/(6 η) of the parabola with bath speed u_b, surface speed u_s and shear τ at the surface. Faces
 * where the pressure pushes at least a third as hard as the tension pulls, so that both count.
 */
function meanSpeedErrors(life: Life, viscosity: number): number[] {
  const { count, inner } = life.frames
  const errors: number[] = []
  for (let k = 5; k < count; k++) {
    for (let f = 4; f < inner - 2; f++) {
      const { r, h, bath, surface, mesh, pull, flux } = faceOf(life, k, f)
      const pushed = pull - ((surface - bath) * viscosity) / h
      if (!(Math.abs(pushed) > 0.3 * Math.abs(pull))) continue
      const size = (h / viscosity) * (Math.abs(pull) / 2 + (2 * Math.abs(pushed)) / 3)
      const parabola = bath / 3 + (2 * surface) / 3 - (h * pull) / (6 * viscosity)
      errors.push((flux / (r * h) + mesh - parabola) / size)
    }
  }
  return errors
}

describe('speed of the upper surface', () => {
  it.each([
    ['a spreading drop', lifeOf(referencePreset(), ['model.accuracy', 'quick']), 2.5e-3],
    ['a lens', lifeOf(defaultPreset(), ...lensChanges, ['drop.viscosity_mPas', 2]), 2e-3],
  ])('and the volume that passes belong to one parabola: %s', (_, life, viscosity) => {
    const errors = meanSpeedErrors(life, viscosity)
    expect(errors.length).toBeGreaterThan(1000)
    expectClose(quantile(errors), 0, { atol: 0.005 })
    expectClose(quantile(errors, 0.25), 0, { atol: 0.02 })
    expectClose(quantile(errors, 0.75), 0, { atol: 0.02 })
  })
})

describe('a lens at rest', () => {
  const life = lifeOf(defaultPreset(), ...lensChanges, ['mechanisms.evaporation', false])
  const { facts, frames, preset } = life
  it('has an edge where the curved surface pulls as hard as the tensions do (Neumann)', () => {
    const fields = createFields()
    expect(moveTo(fields, frames, preset.bath.dishRadius_mm * 1e-3, frames.t.at(-1)!)).toBe(true)
    const { above, below, capillary, drag, edge, place } = pullsAt(fields, fields.R)
    expect(place).toBe('edge')
    expect(above).toBeLessThan(0)
    expect(below).toBeGreaterThan(0)
    expectClose(capillary, -(above + below), { rtol: 0.01 })
    expectClose(drag, 0, { atol: 0.01 * capillary })
    expectClose(edge, 0, { atol: 1e-3 * -facts.S0 })
    // The tensions alone are what the liquids say: −S along the edge's share of the mesh.
    expectClose((above + below) / above, facts.S0 / -facts.gammaA0, { rtol: 0.01 })
  })
})

/**
 * A floating puddle much wider than its rim: e = √(−2 S ρo/(ρ (ρo − ρ) g)), I. Langmuir, J. Chem. Phys. 1, 756 (1933), from
 * memory; derived again in tests/verification/puddle.test.ts. The rim (0.17 mm) rounds it off: 3 % are left to it.
 */
describe('weight', () => {
  it('presses a wide puddle to the thickness at which it balances the tensions', () => {
    const liquids: Change[] = [
      ['drop.alcoholMassFraction', 0.2],
      ['drop.volume_uL', 100],
      ['drop.startRadius_mm', 11],
      ['bath.density_kgPerM3', 1500],
      ['bath.viscosity_mPas', 20],
      ['interface.end_mNperM', 5],
      ['model.gammaEff_mNperM', 0.1],
      ['mechanisms.evaporation', false],
      ['model.gravity', true],
    ]
    const puddle = (tension: number) =>
      lifeOf(referencePreset(), ...liquids, ['bath.tension_mNperM', tension], ['model.horizon_s', 12])
    // Tensions of the closed-form liquids at 20 %, mN/m; the bare oil lacks 0.1 of their sum.
    const air = 27.6 - 6.4 * 0.2 + 44.4 * Math.exp(-0.2 / 0.085)
    const oil = 5 + (24.9 - 5) * Math.exp(-3.6 * 0.2)
    const life = puddle(air + oil - 0.1)
    expectClose(life.facts.S0, -1e-4, { rtol: 1e-3 })
    const rho = 998 - 209 * 0.2
    const thickness = Math.sqrt((2 * 1e-4 * 1500) / (rho * (1500 - rho) * 9.80665))
    expectClose(life.series.centre.at(-1)!, thickness, { rtol: 0.03 })
    expectClose(life.series.R.at(-1)!, Math.sqrt(1e-7 / (Math.PI * thickness)), { rtol: 0.03 })
  })
})

/**
 * Dispersion in a lens that loses alcohol, out of the life alone: what the cells within a face lose of alcohol, beyond what
 * evaporates and what the volume carries, runs down the gradient of φ. Returns (D_eff/D − 1)/(s²/D²) by face.
 */
function dispersionFactors(life: Life, least: number): number[] {
  const { frames, preset } = life
  const { inner, R, t, h, phi, vapour, sFaces } = frames
  const T = preset.air.temperature_C + 273.15
  const liquid = mixtureFor(preset)
  const weight = (φ: number) => massFractionOfAdditive(liquid, φ, T)
  const mean = (of: (w: number) => number, [a, b]: [number, number]) => (of(weight(a)) + of(weight(b))) / 2
  const factors: number[] = []
  for (let k = Math.floor(frames.count / 2); k + 1 < frames.count; k++) {
    let lost = 0
    for (let f = 1; f < inner - 1; f++) {
      const cell = (m: number) => m * inner + f - 1
      const amount = (m: number) => h[cell(m)]! * phi[cell(m)]! * R[m]! ** 2
      const gone = (m: number) => vapour[cell(m)]! * R[m]! ** 2
      const rate = (amount(k + 1) - amount(k)) / (t[k + 1]! - t[k]!) + (gone(k) + gone(k + 1)) / 2
      lost += ((sFaces[f]! ** 2 - sFaces[f - 1]! ** 2) / 2) * rate
      const ends = [k, k + 1].map((m) => faceOf(life, m, f))
      const carried = ends.map(({ phi: [a, b], flux }) => (flux * (a + b)) / 2)
      const slope = ends.map(({ r, h: depth, phi: [a, b], across }) => (r * depth * (b - a)) / across)
      const D = (carried[0]! + carried[1]! + 2 * lost) / (slope[0]! + slope[1]!)
      const { h: depth, phi: pair, pull, surface, bath } = ends[0]!
      const molecular = mean((w) => liquid.liquidDiffusivity(w, T), pair)
      const viscosity = mean((w) => liquid.viscosity(w, T), pair)
      // Mean speeds of the two flows, of which the second opposes the first.
      const pulled = (depth * pull) / (2 * viscosity)
      const pushed = (2 / 3) * (surface - bath - (depth * pull) / viscosity)
      const wanted = stirred(pulled, pushed) * (depth / molecular) ** 2
      // Weak stirring: the mesh's own dispersion shows. Strong: the bound of 1e-6 m²/s.
      if (wanted > least && D < 9e-7) factors.push((D / molecular - 1) / wanted)
    }
  }
  return factors
}

describe('shear dispersion', () => {
  it('moves the alcohol of a resting lens as Taylor and Aris have it', () => {
    const life = lifeOf(defaultPreset(), ...lensChanges, ['model.accuracy', 'fine'])
    const factors = dispersionFactors(life, 100)
    expect(factors.length).toBeGreaterThan(2000)
    expectClose(quantile(factors), 1, { rtol: 0.008 })
  })
})

/** Continuity along a way of the liquid, D ln h/Dt = −div w − losses/h (mechanics), from the parabolic cap that is set down. */
describe('the liquid at a place of the widest drop', () => {
  const { frames, series, summary } = lifeOf(referencePreset())
  const row = series.t.findIndex((t) => t >= summary.maxRadiusTime)
  it.each([0.2, 0.5, 0.7, 0.9])('is followed back to touch-down: r/R = %s', (place) => {
    const { start, end, stretched, vapour, oil, child } = followBack(
      frames,
      row,
      place,
      Number.POSITIVE_INFINITY,
    )
    expect(start.time).toBe(0)
    const top = (2 * 10e-9) / (Math.PI * 2.5e-3 ** 2)
    expectClose(start.thickness, top * (1 - start.place ** 2), { rtol: 0.01 })
    expectClose(stretched + vapour + oil + child, Math.log(start.thickness / end.thickness), { rtol: 0.01 })
    expect(Math.min(stretched, vapour)).toBeGreaterThan(0)
    expect([oil, child]).toEqual([0, 0])
  })
})
