/** Alcohol taken up by the oil under a drop: the engine's description of it against closed forms and a fine depth grid. */
import { describe, expect, it } from 'vitest'
import { commitLayer, contentOf, emptyLayer, layLayer, OilLayer } from '../../src/engine/oilLayer.ts'
import { layMotion, layMotionMesh, OilMotion, restMotion, seeMotion } from '../../src/engine/oilMotion.ts'
import { makeFilmMesh } from '../../src/model/filmMesh.ts'
import { expectClose } from '../matchers.ts'

const D = 2e-10
const cells = 30
const mesh = makeFilmMesh(cells, 4)

interface Course {
  /** Surface concentration at t (s) above the cell, volume by volume. */
  c(t: number): number
  /** Speed of the oil's surface, m/s, at r (m) with the edge at R. */
  u?(r: number, R: number, t: number): number
  times: number[]
  R0?: number
}

/** Carries the oil through the times; content per area (m) of every cell after each, and what has been booked in all. */
function course({ c, u = () => 0, times, R0 = 0.01 }: Course) {
  const motion = new OilMotion(cells)
  layMotionMesh(motion, mesh.s, mesh.area, mesh.zc)
  restMotion(motion)
  const oil = new OilLayer(cells)
  emptyLayer(oil, D, Number.POSITIVE_INFINITY)
  const y = new Float64Array(cells)
  const speed = new Float64Array(cells + 1)
  let R = R0
  const after: number[][] = []
  for (let n = 1; n < times.length; n++) {
    const t = times[n - 1]!
    const h = times[n]! - t
    for (let f = 0; f <= cells; f++) speed[f] = u(mesh.s[f]! * R, R, t)
    seeMotion(motion, speed, R, speed[cells]!)
    layMotion(motion, h)
    layLayer(oil, motion, h)
    const held = n === 1 ? c(0) : 0.5 * (c(t) + c(times[n]!))
    for (let i = 0; i < cells; i++) y[i]! += h * (oil.take[i]! * held - oil.back[i]!)
    const U = speed[cells]! / R
    R *= Math.exp(h * U)
    commitLayer(oil, motion, y, 0)
    after.push(Array.from({ length: cells }, (_, i) => contentOf(oil, i, R)))
  }
  let booked = 0
  for (let i = 0; i < cells; i++) booked += mesh.area[i]! * y[i]!
  let held = 0
  for (let i = 0; i < cells; i++) held += mesh.area[i]! * after.at(-1)![i]! * R * R
  return { after, R, booked, held }
}

/** Short steps at first, as a life takes them, then even ones of a hundredth. */
function stepsTo(end: number, parts = 150): number[] {
  const times = [0]
  let h = 1e-7
  while (times.at(-1)! < end) {
    times.push(Math.min(end, times.at(-1)! + h))
    h = Math.min(end / parts, 1.6 * h)
  }
  return times
}

/**
 * Diffusion into a half space at rest by a fine grid in depth (implicit Euler extrapolated to second order, layers from
 * 0.05 µm growing by 4 %): amount in µm by time, at the given times.
 */
function fineGrid(c: (t: number) => number, times: number[]): number[] {
  const layers = 130
  const z = [0]
  for (let k = 0, d = 5e-8; k < layers; k++, d *= 1.04) z.push(z[k]! + d)
  const width = (k: number) => z[k + 1]! - z[k]!
  const middle = (k: number) => 0.5 * (z[k]! + z[k + 1]!)
  const implicit = (from: Float64Array, t: number, h: number): Float64Array => {
    const value = Float64Array.from(from)
    const up = new Float64Array(layers)
    let before = 0
    for (let k = 0; k < layers; k++) {
      const low = (D * h) / (k === 0 ? middle(0) : middle(k) - middle(k - 1)) / width(k)
      const high = k === layers - 1 ? 0 : (D * h) / (middle(k + 1) - middle(k)) / width(k)
      const diagonal = 1 + low + high - low * (k === 0 ? 0 : up[k - 1]!)
      value[k] = (value[k]! + low * (k === 0 ? c(t + h) : before)) / diagonal
      up[k] = high / diagonal
      before = value[k]!
    }
    for (let k = layers - 2; k >= 0; k--) value[k]! += up[k]! * value[k + 1]!
    return value
  }
  let profile = new Float64Array(layers)
  const amounts: number[] = []
  for (let n = 1; n < times.length; n++) {
    const h = (times[n]! - times[n - 1]!) / 4
    for (let k = 0; k < 4; k++) {
      const t = times[n - 1]! + k * h
      const whole = implicit(profile, t, h)
      const half = implicit(implicit(profile, t, h / 2), t + h / 2, h / 2)
      profile = half.map((value, i) => 2 * value - whole[i]!)
    }
    amounts.push(profile.reduce((sum, value, k) => sum + value * width(k), 0))
  }
  return amounts
}

describe('uptake by the oil', () => {
  it('follows 2c√(Dt/π) behind a constant concentration at rest (Crank, The Mathematics of Diffusion, half space)', () => {
    const times = stepsTo(4)
    const { after } = course({ c: () => 0.05, times })
    times.slice(1).forEach((t, n) => {
      for (const m of after[n]!) expectClose(m, 0.1 * Math.sqrt((D * t) / Math.PI), { rtol: 1e-9 })
    })
  })

  it.each([1.5, 0.4, -0.5])(
    'under an even stretch of %s/s follows d(m²)/dt + 2 m² div u = 4 D c²/π (derived for this project)',
    (rate) => {
      const times = stepsTo(2)
      const { after, R } = course({ c: () => 0.05, u: (r) => rate * r, times })
      expectClose(R, 0.01 * Math.exp(2 * rate), { rtol: 1e-9 })
      const div = 2 * rate
      times.slice(1).forEach((t, n) => {
        if (t < 0.02) return
        const exact = Math.sqrt(((2 * D * 0.05 ** 2) / (Math.PI * div)) * (1 - Math.exp(-2 * div * t)))
        for (const m of after[n]!) expectClose(m, exact, { rtol: 0.01 })
      })
    },
  )

  /** u = a r (1 − (r/b)²) inside a fixed circle b: elements move as r² = r0² e^{2at}/(1 + (r0/b)²(e^{2at} − 1)). */
  it('carries what was taken up: an uneven flow against the same law along the paths of the oil', () => {
    const a = 0.8
    const b = 0.01
    const times = stepsTo(1.5, 300)
    const { after, R, booked, held } = course({
      c: () => 0.05,
      u: (r) => a * r * (1 - (r / b) ** 2),
      times,
      R0: b,
    })
    expect(R).toBe(b)
    expectClose(held, booked, { rtol: 1e-12 })
    const end = 1.5
    /** m at the element that is at s b at the end: m² = (4Dc²/π) ∫ (A(t)/A(end))² dt, A its area. */
    const exact = (s: number) => {
      const q = s * s
      const back = (t: number) => q / (q + (1 - q) * Math.exp(2 * a * (end - t)))
      // dA/dA0 by d(r²): derivative of r²(end) by r²(t)
      const widening = (t: number) => {
        const e = Math.exp(2 * a * (end - t))
        const w = back(t)
        return e / (1 + w * (e - 1)) ** 2
      }
      let sum = 0
      const parts = 2000
      for (let k = 0; k < parts; k++) sum += (end / parts) * widening(((k + 0.5) * end) / parts) ** -2
      return Math.sqrt(((4 * D * 0.05 ** 2) / Math.PI) * sum)
    }
    for (let i = 0; i < cells - 8; i++) {
      expectClose(after.at(-1)![i]!, exact(Math.sqrt(mesh.zc[i]!)), { rtol: 0.02 })
    }
    let total = 0
    for (let k = 0; k < 4000; k++) total += exact(Math.sqrt((k + 0.5) / 4000)) / 4000
    expectClose((2 * held) / b ** 2, total, { rtol: 0.02 })
  })

  it.each<[string, (t: number) => number]>([
    ['falling to nothing', (t) => 0.05 * Math.max(0, 1 - t / 3)],
    ['dying out', (t) => 0.05 * Math.exp(-t / 0.7)],
    ['falling fast and late', (t) => 0.05 / (1 + Math.exp((t - 2.5) / 0.1))],
    ['taken away and brought back', (t) => 0.05 * (0.5 + 0.5 * Math.cos(2.5 * t))],
    ['rising', (t) => 0.05 * Math.min(1, 0.2 + t / 4)],
  ])(
    'with a concentration $0 agrees with a fine depth grid within 2 percent of the most that it held',
    (_, c) => {
      const times = stepsTo(4, 200)
      const fine = fineGrid(c, times)
      const most = Math.max(...fine)
      const { after } = course({ c, times })
      let worst = 0
      fine.forEach((m, n) => {
        if (times[n + 1]! < 0.05) return
        worst = Math.max(worst, Math.abs(after[n]![3]! - m) / most)
      })
      expect(worst).toBeLessThan(0.02)
      // Alcohol comes back where the concentration has fallen.
      if (c(4) < 0.002) expect(after.at(-1)![3]!).toBeLessThan(0.9 * most)
    },
  )

  it('gives nothing back that it has not taken', () => {
    const { after } = course({ c: (t) => (t < 0.5 ? 0.05 : 0), times: stepsTo(60, 400) })
    const last = after.at(-1)![5]!
    expect(last).toBeGreaterThan(0)
    expect(last).toBeLessThan(0.06 * Math.max(...after.map((row) => row[5]!)))
  })
})
