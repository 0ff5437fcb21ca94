/** Linear algebra of one Levenberg–Marquardt step: damped, within bounds, with the curvature of the model along it. */
import { column, norm, qr, solveUpper, svd } from './denseSolve.ts'

/** The point a step starts from, and the model's linear part there. */
export interface LinearModel {
  p: Float64Array
  lower: Float64Array
  upper: Float64Array
  /** Residuals and their derivatives (data × parameters, row-major). */
  r: Float64Array
  jacobian: Float64Array
  /** Weight of each parameter in the damping, above 0. */
  weight: Float64Array
}

export interface Step {
  delta: Float64Array
  /** Fall of the sum of squares that the linear model promises. */
  predicted: number
  /** Parameters that were solved for; the others stand at, or go to, a bound. */
  free: number[]
}

/** Gradient of half the sum of squares along parameter j. */
function slope({ jacobian, r, p }: LinearModel, j: number): number {
  let sum = 0
  for (let i = 0; i < r.length; i++) sum += jacobian[i * p.length + j]! * r[i]!
  return sum
}

/** True where a parameter stands at a bound and the sum of squares falls only beyond it. */
function held(model: LinearModel, j: number): boolean {
  const g = slope(model, j)
  return (model.p[j]! <= model.lower[j]! && g > 0) || (model.p[j]! >= model.upper[j]! && g < 0)
}

const indices = (n: number) => Array.from({ length: n }, (_, j) => j)

/** True when the residuals are orthogonal to every derivative that matters, to within `tolerance` (a cosine). */
export function gradientIsZero(model: LinearModel, tolerance: number): boolean {
  const size = norm(model.r)
  return indices(model.p.length).every((j) => {
    const length = norm(column(model.jacobian, model.r.length, model.p.length, j))
    return held(model, j) || Math.abs(slope(model, j)) <= tolerance * length * size
  })
}

/**
 * The largest fall of the sum of squares that the linear model still promises, relative to the sum of squares:
 * the square of Bates & Watts' relative offset (Technometrics 23, 179, 1981) up to the degrees of freedom.
 * Directions with singular values below `smallest` (relative) do not count.
 */
export function relativeOffset(model: LinearModel, smallest: number): number {
  const n = model.p.length
  const free = indices(n).filter((j) => !held(model, j))
  const { r, qtb } = qr(model.jacobian, model.r.length, n, model.r)
  const k = free.length
  const a = new Float64Array(n * k)
  free.forEach((j, c) => {
    const length = norm(column(r, n, n, j)) || 1
    for (let i = 0; i < n; i++) a[i * k + c] = r[i * n + j]! / length
  })
  const { values, v } = svd(a, n, k)
  let fall = 0
  for (let c = 0; c < k && values[c]! > smallest * values[0]!; c++) {
    let dot = 0
    for (let i = 0; i < n; i++) for (let b = 0; b < k; b++) dot += qtb[i]! * a[i * k + b]! * v[b * k + c]!
    fall += (dot / values[c]!) ** 2
  }
  return fall / norm(model.r) ** 2
}

/**
 * Damped step within the bounds. A parameter whose step would leave its range goes to the bound and the others
 * are solved for again. Null when the damped system is singular.
 */
export function dampedStep(model: LinearModel, damping: number): Step | null {
  const n = model.p.length
  const triangle = qr(model.jacobian, model.r.length, n, model.r)
  const delta = new Float64Array(n)
  let free = indices(n).filter((j) => !held(model, j))
  while (free.length) {
    const part = solveFree(model, damping, triangle, delta, free)
    if (!part) return null
    const target = (k: number) => model.p[free[k]!]! + part[k]!
    const out = free.filter((j, k) => target(k) < model.lower[j]! || target(k) > model.upper[j]!)
    free.forEach((j, k) => {
      const bound = part[k]! < 0 ? model.lower[j]! : model.upper[j]!
      delta[j] = out.includes(j) ? bound - model.p[j]! : part[k]!
    })
    if (!out.length) break
    free = free.filter((j) => !out.includes(j))
  }
  return { delta, predicted: promisedFall(triangle, delta), free }
}

function promisedFall({ r, qtb }: { r: Float64Array; qtb: Float64Array }, delta: Float64Array): number {
  const n = delta.length
  let fall = 0
  for (let i = 0; i < n; i++) {
    let moved = 0
    for (let j = i; j < n; j++) moved += r[i * n + j]! * delta[j]!
    fall -= moved * (2 * qtb[i]! + moved)
  }
  return fall
}

/** Solves the damped problem for the free parameters, the others moving by their `delta`. */
function solveFree(
  model: LinearModel,
  damping: number,
  { r, qtb }: { r: Float64Array; qtb: Float64Array },
  delta: Float64Array,
  free: readonly number[],
): Float64Array | null {
  const n = model.p.length
  const k = free.length
  const a = new Float64Array((n + k) * k)
  const b = new Float64Array(n + k)
  for (let i = 0; i < n; i++) {
    b[i] = -qtb[i]!
    for (let j = i; j < n; j++) if (!free.includes(j)) b[i]! -= r[i * n + j]! * delta[j]!
    free.forEach((j, c) => {
      a[i * k + c] = r[i * n + j]!
    })
  }
  free.forEach((j, c) => {
    a[(n + c) * k + c] = Math.sqrt(damping) * model.weight[j]!
  })
  const square = qr(a, n + k, k, b)
  return solveUpper(square.r, k, square.qtb)
}

/** How far along a step the model is probed for its curvature. */
export const PROBE = 0.1

/** Largest bend of a step, relative to the step, up to which the model counts as smooth enough for it. */
const MOST_BEND = 0.75

/**
 * The step with its second-order (geodesic) correction; null when the model bends too much for a step this long.
 * `probe` are the residuals at p + PROBE·delta.
 * Transtrum & Sethna, arXiv:1201.5885 (2012), sections 3 and 4.
 */
export function bentStep(
  model: LinearModel,
  damping: number,
  step: Step,
  probe: Float64Array,
): Float64Array | null {
  const n = model.p.length
  const curved = new Float64Array(model.r.length)
  for (let i = 0; i < curved.length; i++) {
    let linear = 0
    for (let j = 0; j < n; j++) linear += model.jacobian[i * n + j]! * step.delta[j]!
    curved[i] = (2 / PROBE) * ((probe[i]! - model.r[i]!) / PROBE - linear)
  }
  if (!step.free.length) return step.delta
  const triangle = qr(model.jacobian, model.r.length, n, curved)
  const part = solveFree(model, damping, triangle, new Float64Array(n), step.free)
  if (!part) return step.delta
  const bend = new Float64Array(n)
  step.free.forEach((j, k) => {
    bend[j] = part[k]!
  })
  const size = (d: Float64Array) => norm(d.map((x, j) => x * model.weight[j]!))
  if (2 * size(bend) > MOST_BEND * size(step.delta)) return null
  return step.delta.map((d, j) => d + bend[j]! / 2)
}
