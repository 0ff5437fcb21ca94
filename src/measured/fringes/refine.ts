/**
 * The phase at each step, from all steps within about half a fringe: the brightness is
 * level + b0 + b1 x + amplitude ((1 + a) cos φ0 − g sin φ0), with φ0 the phase so far; g/(1 + a) is what φ0 lacks. Level and
 * amplitude may stray from those of the fringes beside by what the priors allow. Linear least squares; error from the
 * steps' own errors, widened where the scatter is larger.
 */
import { invert } from '../../numerics/invert.ts'

export interface Signal {
  y: Float64Array
  error: Float64Array
  /** True where level and amplitude are those of the nearest fringes on one side only. */
  beyond(i: number): boolean
  level(i: number): number
  amplitude(i: number): number
}

export interface Phase {
  phase: Float64Array
  /** Standard error, rad. */
  sigma: Float64Array
}

/** Prior deviations of level and slope (shares of the amplitude) and of the amplitude. */
const PRIOR = [0.03, 0.05, 0.03, 1.5] as const
/** Outside the fringes that give them, level and amplitude may stray this much more: the lamp goes on changing. */
const BEYOND = 3
/** Steps count with a Gaussian of this width in phase, rad. */
const WIDTH = 0.5
/**
 * The brightness is no perfect cosine of the phase: by about this share of the amplitude, and alike in neighbouring steps, so
 * that a window has this many free deviations whatever the number of its steps.
 */
const MISFIT = 0.02
const FREE = 6
/** Least and most steps on either side. */
const LEAST = 2
const MOST = 400

interface Local {
  change: number
  sigma: number
}

function local(signal: Signal, phase: Float64Array, from: number, i: number): Local {
  const { y, error, level, amplitude } = signal
  const even = from === 0
  const [low, high] = [reach(phase, i - from, -1, even), reach(phase, i - from, 1, even)]
  const half = Math.max(1, high - i + from, i - from - low)
  const a = new Float64Array(16)
  const b = new Float64Array(4)
  const wider = signal.beyond(i) ? BEYOND : 1
  for (let k = 0; k < 4; k++) a[5 * k] = 1 / (PRIOR[k]! * (k < 3 ? wider : 1)) ** 2
  const rows: number[][] = []
  for (let j = low; j <= high; j++) {
    const at = from + mirrored(j)
    const scale = amplitude(at)
    const phi = phase[mirrored(j)]!
    const near = Math.exp(-0.5 * ((phi - phase[i - from]!) / WIDTH) ** 2)
    const noise = Math.hypot(error[at]! / scale, MISFIT * Math.sqrt((high - low + 1) / FREE))
    const weight = near / noise ** 2
    const row = [1, (from + j - i) / half, Math.cos(phi), -Math.sin(phi)]
    const left = (y[at]! - level(at)) / scale - row[2]!
    rows.push([...row, left, weight])
    for (let p = 0; p < 4; p++) {
      b[p]! += weight * row[p]! * left
      for (let q = 0; q < 4; q++) a[4 * p + q]! += weight * row[p]! * row[q]!
    }
  }
  invert(a, 0, 4)
  const x = [0, 1, 2, 3].map(
    (p) => a[4 * p]! * b[0]! + a[4 * p + 1]! * b[1]! + a[4 * p + 2]! * b[2]! + a[4 * p + 3]! * b[3]!,
  )
  let [chi, sum, square] = [0, 0, 0]
  for (const [r0, r1, r2, r3, left, weight] of rows as [number, number, number, number, number, number][]) {
    chi += weight * (left - x[0]! * r0 - x[1]! * r1 - x[2]! * r2 - x[3]! * r3) ** 2
    sum += weight
    square += weight * weight
  }
  const freedom = Math.max(1, (sum * sum) / square - 3)
  const wide = Math.max(1, (chi / sum) * meanNoise(rows) * ((freedom + 3) / freedom))
  const gain = Math.max(0.4, 1 + x[2]!)
  return { change: x[3]! / gain, sigma: (Math.sqrt(a[15]!) * Math.sqrt(wide)) / gain }
}

/** Mean of weight·noise² is the Gaussian alone; its inverse turns χ² per weight into χ² per degree of freedom. */
function meanNoise(rows: readonly number[][]): number {
  let [weights, count] = [0, 0]
  for (const row of rows) {
    weights += row[5]!
    count++
  }
  return weights / count
}

/** Steps before the first stand for those beyond the centre. */
const mirrored = (j: number): number => (j < 0 ? -j - 1 : j)

/** Last step in one direction whose phase lies within half a fringe. */
function reach(phase: Float64Array, j: number, by: 1 | -1, even: boolean): number {
  let k = j
  for (let n = 0; n < MOST; n++) {
    const next = k + by
    if ((next < 0 && !even) || next >= phase.length || -next - 1 >= phase.length) break
    if (Math.abs(phase[mirrored(next)]! - phase[j]!) > Math.PI && n >= LEAST) break
    k = next
  }
  return k
}

/** @param start phase of the steps `from` … `to` so far, rad */
export function refinePhase(signal: Signal, from: number, to: number, start: (i: number) => number): Phase {
  let phase = Float64Array.from({ length: to - from + 1 }, (_, j) => start(from + j))
  let sigma = new Float64Array(phase.length)
  for (let round = 0; round < 4; round++) {
    const locals = Array.from(phase, (_, j) => local(signal, phase, from, from + j))
    phase = phase.map((phi, j) => phi + Math.min(0.7, Math.max(-0.7, locals[j]!.change)))
    sigma = Float64Array.from(locals, ({ sigma: s }, j) => {
      const stray = signal.beyond(from + j)
        ? (BEYOND * PRIOR[0]) / Math.max(0.4, Math.abs(Math.sin(phase[j]!)))
        : 0
      return Math.hypot(s, stray)
    })
  }
  return { phase, sigma }
}
