/**
 * Non-linear least squares: Levenberg–Marquardt in scaled parameters, with bounds.
 * Scaling by the largest column norms seen so far: Moré, Lecture Notes in Mathematics 630, 105 (1978).
 * Damping: Nielsen, IMM-REP-1999-05, Technical University of Denmark (1999).
 */
import { column, norm, qr, solveUpper } from './denseSolve.ts'
import { type Derivative, differencePoints, fromDifferences } from './differences.ts'
import { describeFit, type FitStatistics } from './fitStatistics.ts'

/** Weighted residuals at a point, (model − datum)/σ for each datum; null where the model has no answer. */
export type Residuals = Float64Array | null

export interface FitOptions {
  /** Start values, all finite and within the bounds. */
  start: ArrayLike<number>
  lower?: ArrayLike<number>
  upper?: ArrayLike<number>
  /** Sizes that matter for each parameter; needed where a start value is 0. Default |start|, or 1. */
  typical?: ArrayLike<number>
  names?: readonly string[]
  /** Step of the finite differences relative to max(|p|, typical). Default 6e-6 (central) or 1.5e-8 (forward);
   *  larger for models with numerical noise: about the cube root (square root) of the relative noise. */
  differenceStep?: number
  differences?: 'central' | 'forward'
  /** Relative fall of the sum of squares that counts as none. Default 1e-14. */
  costTolerance?: number
  /** Relative change of the scaled parameters that counts as none. Default 1e-10. */
  stepTolerance?: number
  /** Cosine between residuals and derivative columns that counts as none. Default 1e-10. */
  gradientTolerance?: number
  mostIterations?: number
  mostEvaluations?: number
  /** First damping, relative to the scaled problem. Default 1e-3. */
  damping?: number
  /** True when the weights are known standard errors: the covariance is then not scaled by χ² per degree of freedom. */
  absoluteWeights?: boolean
}

export type StopReason =
  /** The sum of squares no longer falls. */
  | 'cost-settled'
  /** The parameters no longer move. */
  | 'step-settled'
  /** The residuals are orthogonal to all derivatives. */
  | 'gradient-zero'
  /** The model meets every datum. */
  | 'exact'
  /** No smaller sum of squares was found even for tiny steps, although the gradient is not zero. */
  | 'no-progress'
  | 'most-iterations'
  | 'most-evaluations'
  /** The caller asked for it. */
  | 'stopped'
  /** The model has no answer at the start values. */
  | 'start-failed'
  /** The model has no answer on either side of a point where derivatives are needed. */
  | 'derivative-failed'
  /** Fewer data than parameters. */
  | 'too-few-data'
  /** Start values or bounds are not usable. */
  | 'bad-start'

export interface FitProgress {
  iteration: number
  evaluations: number
  parameters: Float64Array
  sumOfSquares: number
}

export interface FitResult extends FitStatistics {
  /** True for the four reasons that end at a minimum. */
  converged: boolean
  reason: StopReason
  parameters: Float64Array
  residuals: Float64Array
  iterations: number
  evaluations: number
}

/** What the stepwise fit asks for. Answer 'residuals' with one entry per point, 'jacobian' with ∂r/∂p, data × parameters. */
export type FitRequest =
  | { kind: 'residuals'; points: Float64Array[] }
  | { kind: 'jacobian'; point: Float64Array }
  | { kind: 'progress'; progress: FitProgress }

/** Answer to a request; 'stop' ends the fit with the best point so far. */
export type FitAnswer = Residuals[] | Float64Array | null | undefined | 'stop'

export interface FitModel {
  residuals(p: Float64Array): Residuals | Promise<Residuals>
  /** ∂r/∂p, row-major, data × parameters. Finite differences if missing. */
  jacobian?(p: Float64Array): Float64Array | null | Promise<Float64Array | null>
}

export interface FitHooks {
  progress?(progress: FitProgress): void
  /** True ends the fit with the best point so far. */
  stopped?(): boolean
}

/** Fits; points of one derivative are asked for together, so a pool of workers may share them. Model errors pass through. */
export async function fit(model: FitModel, options: FitOptions, hooks: FitHooks = {}): Promise<FitResult> {
  const steps = fitSteps(options, model.jacobian !== undefined)
  let next = steps.next()
  while (!next.done) {
    const request = next.value
    if (hooks.stopped?.()) next = steps.next('stop')
    else if (request.kind === 'progress') {
      hooks.progress?.(request.progress)
      next = steps.next()
    } else if (request.kind === 'jacobian') next = steps.next(await model.jacobian!(request.point))
    else next = steps.next(await Promise.all(request.points.map((point) => model.residuals(point))))
  }
  return next.value
}

/** As `fit`, for a model that answers at once. */
export function fitSync(
  model: { residuals(p: Float64Array): Residuals; jacobian?(p: Float64Array): Float64Array | null },
  options: FitOptions,
): FitResult {
  const steps = fitSteps(options, model.jacobian !== undefined)
  let next = steps.next()
  while (!next.done) {
    const request = next.value
    if (request.kind === 'progress') next = steps.next()
    else if (request.kind === 'jacobian') next = steps.next(model.jacobian!(request.point))
    else next = steps.next(request.points.map((point) => model.residuals(point)))
  }
  return next.value
}

type Steps<T> = Generator<FitRequest, T, FitAnswer>

/** Everything that changes during a fit. */
interface State {
  options: FitOptions
  analytic: boolean
  n: number
  lower: Float64Array
  upper: Float64Array
  typical: Float64Array
  p: Float64Array
  r: Float64Array
  cost: number
  jacobian: Float64Array
  /** Largest column norms so far. */
  scale: Float64Array
  damping: number
  growth: number
  iterations: number
  evaluations: number
}

/** The fit as a generator: it asks, the caller answers; nothing is computed behind the caller's back. */
export function* fitSteps(options: FitOptions, analytic: boolean): Steps<FitResult> {
  const s = initialState(options, analytic)
  if (!s) return emptyResult(options, 'bad-start')
  const first = yield* evaluate(s, [s.p])
  if (first === 'stop') return emptyResult(options, 'stopped')
  const r = usable(first[0])
  if (!r) return emptyResult(options, 'start-failed')
  if (r.length < s.n) return emptyResult(options, 'too-few-data')
  s.r = r
  s.cost = sumOfSquares(r)
  const reason = yield* iterate(s)
  if (reason === 'stopped' || reason === 'derivative-failed') return finish(s, reason)
  const last = yield* derivative(s)
  if (typeof last === 'string') return finish(s, reason)
  return finish(s, reason)
}

function* iterate(s: State): Steps<StopReason> {
  const { costTolerance = 1e-14, mostIterations = 500, mostEvaluations = 20_000 } = s.options
  for (;;) {
    const failed = yield* derivative(s)
    if (failed) return failed
    if (s.cost === 0) return 'exact'
    if (gradientIsZero(s)) return 'gradient-zero'
    for (;;) {
      if (s.iterations >= mostIterations) return 'most-iterations'
      if (s.evaluations >= mostEvaluations) return 'most-evaluations'
      s.iterations++
      const step = dampedStep(s)
      if (!step || stepIsTiny(s, step.delta)) return step ? 'step-settled' : 'no-progress'
      const answer = yield* evaluate(s, [s.p.map((value, j) => value + step.delta[j]!)])
      if (answer === 'stop') return 'stopped'
      const r = usable(answer[0])
      const cost = r ? sumOfSquares(r) : Infinity
      const gain = (s.cost - cost) / step.predicted
      if (r && cost < s.cost) {
        const fall = s.cost - cost
        const settled = fall <= costTolerance * s.cost && step.predicted <= costTolerance * s.cost
        accept(s, step.delta, r, cost, gain)
        const said = yield { kind: 'progress', progress: progressOf(s) }
        if (said === 'stop') return 'stopped'
        if (settled) return 'cost-settled'
        break
      }
      if (step.predicted <= costTolerance * s.cost) return 'cost-settled'
      s.damping *= s.growth
      s.growth *= 2
      if (!Number.isFinite(s.damping)) return 'no-progress'
    }
  }
}

function accept(s: State, delta: Float64Array, r: Float64Array, cost: number, gain: number): void {
  s.p = clipped(
    s.p.map((value, j) => value + delta[j]!),
    s,
  )
  s.r = r
  s.cost = cost
  s.damping *= Math.max(1 / 3, 1 - (2 * Math.min(gain, 1) - 1) ** 3)
  s.growth = 2
}

function initialState(options: FitOptions, analytic: boolean): State | null {
  const p = Float64Array.from(options.start)
  const n = p.length
  const lower = Float64Array.from(options.lower ?? new Array(n).fill(-Infinity))
  const upper = Float64Array.from(options.upper ?? new Array(n).fill(Infinity))
  const typical = Float64Array.from(
    p,
    (value, j) => Math.abs(options.typical?.[j] ?? 0) || Math.abs(value) || 1,
  )
  const good = p.every((value, j) => Number.isFinite(value) && value >= lower[j]! && value <= upper[j]!)
  if (!n || lower.length !== n || upper.length !== n || !good) return null
  return {
    options,
    analytic,
    n,
    lower,
    upper,
    typical,
    p,
    r: new Float64Array(0),
    cost: Number.NaN,
    jacobian: new Float64Array(0),
    scale: new Float64Array(n),
    damping: options.damping ?? 1e-3,
    growth: 2,
    iterations: 0,
    evaluations: 0,
  }
}

const usable = (r: Residuals | undefined): Float64Array | null => (r?.every(Number.isFinite) ? r : null)

const sumOfSquares = (r: Float64Array) => norm(r) ** 2

const clipped = (p: Float64Array, s: State) =>
  p.map((value, j) => Math.min(Math.max(value, s.lower[j]!), s.upper[j]!))

function* evaluate(s: State, points: Float64Array[]): Steps<Residuals[] | 'stop'> {
  const answer = yield { kind: 'residuals', points: points.map((point) => clipped(point, s)) }
  if (answer === 'stop') return 'stop'
  if (!Array.isArray(answer) || answer.length !== points.length) {
    throw new Error('One answer for each point is wanted.')
  }
  s.evaluations += points.length
  return answer
}

/** Renews the Jacobian and the scale; a reason when that cannot be done. */
function* derivative(s: State): Steps<StopReason | undefined> {
  const found = s.analytic ? yield* analyticJacobian(s) : yield* differencedJacobian(s)
  if (found === 'stop') return 'stopped'
  if (!found) return 'derivative-failed'
  s.jacobian = found
  for (let j = 0; j < s.n; j++) s.scale[j] = Math.max(s.scale[j]!, norm(column(found, s.r.length, s.n, j)))
  return undefined
}

function* analyticJacobian(s: State): Steps<Float64Array | null | 'stop'> {
  const answer = yield { kind: 'jacobian', point: s.p.slice() }
  if (answer === 'stop') return 'stop'
  if (!(answer instanceof Float64Array) || answer.length !== s.r.length * s.n) return null
  return answer.every(Number.isFinite) ? answer : null
}

function* differencedJacobian(s: State): Steps<Float64Array | null | 'stop'> {
  const rule: Derivative = {
    p: s.p,
    lower: s.lower,
    upper: s.upper,
    typical: s.typical,
    forward: s.options.differences === 'forward',
    ...(s.options.differenceStep ? { step: s.options.differenceStep } : {}),
  }
  const points = differencePoints(rule)
  const answers = yield* evaluate(s, points)
  return answers === 'stop' ? 'stop' : fromDifferences(rule, points, answers.map(usable), s.r)
}

/** Gradient of half the sum of squares along parameter j. */
function slope(s: State, j: number): number {
  let sum = 0
  for (let i = 0; i < s.r.length; i++) sum += s.jacobian[i * s.n + j]! * s.r[i]!
  return sum
}

/** True where a parameter sits at a bound and the sum of squares falls only beyond it. */
function held(s: State, j: number): boolean {
  const g = slope(s, j)
  return (s.p[j]! <= s.lower[j]! && g > 0) || (s.p[j]! >= s.upper[j]! && g < 0)
}

function gradientIsZero(s: State): boolean {
  const tolerance = s.options.gradientTolerance ?? 1e-10
  const size = norm(s.r)
  for (let j = 0; j < s.n; j++) {
    const length = norm(column(s.jacobian, s.r.length, s.n, j))
    if (!held(s, j) && Math.abs(slope(s, j)) > tolerance * length * size) return false
  }
  return true
}

function stepIsTiny(s: State, delta: Float64Array): boolean {
  const tolerance = s.options.stepTolerance ?? 1e-10
  const weight = (j: number) => s.scale[j] || 1
  const moved = norm(delta.map((d, j) => d * weight(j)))
  return moved <= tolerance * norm(s.p.map((value, j) => value * weight(j))) * 1e-3
}

/**
 * Damped step within the bounds and the fall of the sum of squares that the linear model promises for it.
 * A parameter whose step would leave its range goes to the bound and the others are solved for again.
 */
function dampedStep(s: State): { delta: Float64Array; predicted: number } | null {
  const { r, qtb } = qr(s.jacobian, s.r.length, s.n, s.r)
  const delta = new Float64Array(s.n)
  let free = Array.from({ length: s.n }, (_, j) => j).filter((j) => !held(s, j))
  while (free.length) {
    const part = solveFree(s, r, qtb, delta, free)
    if (!part) return null
    const out = free.filter((j, k) => s.p[j]! + part[k]! < s.lower[j]! || s.p[j]! + part[k]! > s.upper[j]!)
    free.forEach((j, k) => {
      delta[j] = out.includes(j) ? (part[k]! < 0 ? s.lower[j]! : s.upper[j]!) - s.p[j]! : part[k]!
    })
    if (!out.length) break
    free = free.filter((j) => !out.includes(j))
  }
  let after = 0
  let before = 0
  for (let i = 0; i < s.n; i++) {
    let sum = qtb[i]!
    before += sum * sum
    for (let j = i; j < s.n; j++) sum += r[i * s.n + j]! * delta[j]!
    after += sum * sum
  }
  return { delta, predicted: before - after }
}

/** Solves the damped problem for the free parameters, the others moving by their `delta`. */
function solveFree(
  s: State,
  r: Float64Array,
  qtb: Float64Array,
  delta: Float64Array,
  free: readonly number[],
): Float64Array | null {
  const { n } = s
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
    a[(n + c) * k + c] = Math.sqrt(s.damping) * (s.scale[j] || 1 / s.typical[j]!)
  })
  const square = qr(a, n + k, k, b)
  return solveUpper(square.r, k, square.qtb)
}

const progressOf = (s: State): FitProgress => ({
  iteration: s.iterations,
  evaluations: s.evaluations,
  parameters: s.p.slice(),
  sumOfSquares: s.cost,
})

const MINIMUM: readonly StopReason[] = ['cost-settled', 'step-settled', 'gradient-zero', 'exact']

function finish(s: State, reason: StopReason): FitResult {
  return {
    converged: MINIMUM.includes(reason),
    reason,
    parameters: s.p,
    residuals: s.r,
    iterations: s.iterations,
    evaluations: s.evaluations,
    ...describeFit({
      jacobian: s.jacobian,
      residuals: s.r,
      parameters: s.p,
      held: Array.from({ length: s.n }, (_, j) => s.p[j]! <= s.lower[j]! || s.p[j]! >= s.upper[j]!),
      names: s.options.names ?? [],
      absoluteWeights: s.options.absoluteWeights === true,
      smallest: s.analytic ? 1e-11 : 1e-7,
    }),
  }
}

function emptyResult(options: FitOptions, reason: StopReason): FitResult {
  const parameters = Float64Array.from(options.start)
  const none = new Float64Array(0)
  return {
    converged: false,
    reason,
    parameters,
    residuals: none,
    iterations: 0,
    evaluations: 0,
    ...describeFit({
      jacobian: none,
      residuals: none,
      parameters,
      held: Array.from(parameters, () => false),
      names: options.names ?? [],
      absoluteWeights: false,
      smallest: 1e-11,
    }),
  }
}
