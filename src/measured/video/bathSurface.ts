/** A smooth surface of low order through the blocks that look like bath, by weighted least squares. */
import { qr, solveUpper } from '../../numerics/denseSolve.ts'
import { type Coarse, spreadAbout } from './light.ts'

/** A polynomial of both coordinates (−1 … 1 over the picture) for each colour. */
export type Coefficients = [Float64Array, Float64Array, Float64Array]

/** Most blocks used for one surface. */
const mostSamples = 1500

const termsOf = (degree: number): number => ((degree + 1) * (degree + 2)) / 2

function fillTerms(into: Float64Array, degree: number, u: number, v: number): void {
  let at = 0
  for (let j = 0, vj = 1; j <= degree; j++, vj *= v) {
    for (let i = 0, ui = vj; i + j <= degree; i++, ui *= u) into[at++] = ui
  }
}

/** Where a block's centre lies, −1 … 1. */
export const placeOf = (index: number, count: number): number => (2 * (index + 0.5)) / count - 1

export interface Fit {
  coefficients: Coefficients
  /** Robust standard deviation of the blocks about the surface, by colour. */
  spread: [number, number, number]
}

/** Evenly thinned list of the blocks that are set. */
function pick(mask: Uint8Array): Int32Array {
  const all: number[] = []
  for (let i = 0; i < mask.length; i++) if (mask[i]) all.push(i)
  const step = Math.max(1, Math.floor(all.length / mostSamples))
  return Int32Array.from(all.filter((_, k) => (k * 7919) % step === 0))
}

/**
 * Weighted least squares repeated with Tukey's biweight (cut at 4.685 robust standard deviations), so that the drop,
 * child drops and reflections among the samples lose their say. Null if there are too few samples.
 */
export function fitSurface(coarse: Coarse, mask: Uint8Array, degree: number, rounds: number): Fit | null {
  const samples = pick(mask)
  const terms = termsOf(degree)
  if (samples.length < 3 * terms) return null
  const design = new Float64Array(samples.length * terms)
  samples.forEach((index, s) => {
    const u = placeOf(index % coarse.width, coarse.width)
    const v = placeOf(Math.floor(index / coarse.width), coarse.height)
    fillTerms(design.subarray(s * terms, (s + 1) * terms), degree, u, v)
  })
  const weights = new Float64Array(samples.length).fill(1)
  let fit: Fit | null = null
  for (let round = 0; round < rounds; round++) {
    const next = solveWeighted(coarse, samples, design, weights, terms)
    if (!next) return fit
    fit = { coefficients: next.coefficients, spread: next.spread }
    reweigh(weights, next.residuals, next.spread)
  }
  return fit
}

function reweigh(weights: Float64Array, residuals: Float64Array[], spread: readonly number[]): void {
  for (let s = 0; s < weights.length; s++) {
    let worst = 0
    for (let k = 0; k < 3; k++) worst = Math.max(worst, Math.abs(residuals[k]![s]!) / (4.685 * spread[k]!))
    weights[s] = worst < 1 ? (1 - worst * worst) ** 2 : 0
  }
}

/** Normal equations of all three colours at once (the same weights for all). */
function solveWeighted(
  coarse: Coarse,
  samples: Int32Array,
  design: Float64Array,
  weights: Float64Array,
  terms: number,
): (Fit & { residuals: Float64Array[] }) | null {
  const normal = new Float64Array(terms * terms)
  const right = [0, 1, 2].map(() => new Float64Array(terms))
  for (let s = 0; s < samples.length; s++) {
    const w = weights[s]!
    if (w === 0) continue
    const row = design.subarray(s * terms, (s + 1) * terms)
    for (let i = 0; i < terms; i++) {
      const wi = w * row[i]!
      for (let j = i; j < terms; j++) normal[i * terms + j]! += wi * row[j]!
      for (let k = 0; k < 3; k++) right[k]![i]! += wi * coarse.light[k]![samples[s]!]!
    }
  }
  for (let i = 0; i < terms; i++) for (let j = 0; j < i; j++) normal[i * terms + j] = normal[j * terms + i]!
  const residuals: Float64Array[] = []
  const coefficients: Float64Array[] = []
  for (let k = 0; k < 3; k++) {
    const { r, qtb } = qr(normal, terms, terms, right[k]!)
    const solved = solveUpper(r, terms, qtb)
    if (!solved) return null
    coefficients.push(solved)
    residuals.push(
      Float64Array.from(samples, (index, s) => {
        let value = coarse.light[k]![index]!
        for (let i = 0; i < terms; i++) value -= design[s * terms + i]! * solved[i]!
        return value
      }),
    )
  }
  const spread = residuals.map((list) => Math.max(spreadAbout(list, 0), 1e-5)) as Fit['spread']
  return { coefficients: coefficients as Coefficients, spread, residuals }
}
