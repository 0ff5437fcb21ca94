/**
 * Non-linear least squares: Levenberg–Marquardt in scaled parameters, with bounds.
 * Scaling by column norms of the derivatives: after Moré, Lecture Notes in Mathematics 630, 105 (1978).
 * Damping: Nielsen, IMM-REP-1999-05, Technical University of Denmark (1999).
 * Second-order correction of the step: Transtrum & Sethna, arXiv:1201.5885 (2012).
 */
import {
  bentStep,
  dampedStep,
  gradientIsZero,
  type LinearModel,
  PROBE,
  relativeOffset,
  type Step,
} from './dampedStep.ts'
import { column, norm } from './denseSolve.ts'
import { type Derivative, differencePoints, fromDifferences } from './differences.ts'
import { describeFit } from './fitStatistics.ts'
import type {
  FitAnswer,
  FitHooks,
  FitModel,
  FitOptions,
  FitProgress,
  FitRequest,
  FitResult,
  Residuals,
  StopReason,
} from './fitTypes.ts'

export type * from './fitTypes.ts'

/** Fits; points of one derivative are asked for together, so a pool of workers may share them. Model errors pass through. */
export async function fitAsync(
  model: FitModel,
  options: FitOptions,
  hooks: FitHooks = {},
): Promise<FitResult> {
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

/** As `fitAsync`, for a model that answers at once. */
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
interface State extends LinearModel {
  options: FitOptions
  analytic: boolean
  n: number
  typical: Float64Array
  cost: number
  /** False when the point has moved since the Jacobian was made. */
  current: boolean
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
  const r = first[0]
  if (!r) return emptyResult(options, 'start-failed')
  if (r.length < s.n) return emptyResult(options, 'too-few-data')
  s.r = r
  s.cost = sumOfSquares(r)
  const reason = yield* iterate(s)
  if (!s.current && reason !== 'stopped') yield* derivative(s)
  return finish(s, reason)
}

/** From point to better point until there is a reason to stop. */
function* iterate(s: State): Steps<StopReason> {
  for (;;) {
    if (!s.current) {
      const failed = yield* derivative(s)
      if (failed) return failed
    }
    if (s.cost === 0) return 'exact'
    if (gradientIsZero(s, s.options.gradientTolerance ?? 1e-10)) return 'gradient-zero'
    const reason = yield* improve(s)
    if (reason) return reason
    const said = yield { kind: 'progress', progress: progressOf(s) }
    if (said === 'stop') return 'stopped'
  }
}

/** Raises the damping until a step is better; moves there. A reason when the fit is at its end. */
function* improve(s: State): Steps<StopReason | undefined> {
  const { costTolerance = 1e-14, mostIterations = 2000, mostEvaluations = 50_000 } = s.options
  const settled = () => relativeOffset(s, smallestOf(s)) <= (s.options.offsetTolerance ?? 1e-6)
  for (; ; s.damping *= s.growth, s.growth *= 2) {
    if (s.iterations >= mostIterations) return 'most-iterations'
    if (s.evaluations >= mostEvaluations) return 'most-evaluations'
    s.iterations++
    const step = Number.isFinite(s.damping) ? dampedStep(s, s.damping) : null
    if (!step) return settled() ? 'step-settled' : 'no-progress'
    if (stepIsTiny(s, step.delta)) return s.damping < 1 || settled() ? 'step-settled' : 'no-progress'
    const small = step.predicted <= costTolerance * s.cost
    const trial = yield* tryStep(s, step)
    if (trial === 'stop') return 'stopped'
    const fall = trial ? s.cost - trial.cost : -1
    if (small && fall <= costTolerance * s.cost && settled()) {
      if (fall > 0) accept(s, trial!, fall / step.predicted)
      return 'cost-settled'
    }
    if (fall > 0) {
      accept(s, trial!, fall / step.predicted)
      return undefined
    }
  }
}

interface Trial {
  p: Float64Array
  r: Float64Array
  cost: number
}

/** Where the step with its second-order correction leads; null when the model bends too much or has no answer. */
function* tryStep(s: State, step: Step): Steps<Trial | null | 'stop'> {
  const ahead = (delta: Float64Array, part: number) =>
    clipped(
      s,
      s.p.map((value, j) => value + part * delta[j]!),
    )
  let delta: Float64Array | null = step.delta
  if (s.options.curvature ?? s.options.differenceStep === undefined) {
    const probe = yield* evaluate(s, [ahead(delta, PROBE)])
    if (probe === 'stop') return 'stop'
    delta = probe[0] ? bentStep(s, s.damping, step, probe[0]) : null
  }
  if (!delta) return null
  const p = ahead(delta, 1)
  const answer = yield* evaluate(s, [p])
  if (answer === 'stop') return 'stop'
  const r = answer[0]
  return r ? { p, r, cost: sumOfSquares(r) } : null
}

function accept(s: State, trial: Trial, gain: number): void {
  s.p = trial.p
  s.r = trial.r
  s.cost = trial.cost
  s.current = false
  s.damping *= Math.max(1 / 3, 1 - (2 * Math.min(Math.max(gain, 0), 1) - 1) ** 3)
  s.growth = 2
}

/** Default for the smallest size that matters, relative to the start value. */
const FLOOR = 1e-3

function initialState(options: FitOptions, analytic: boolean): State | null {
  const p = Float64Array.from(options.start)
  const n = p.length
  const lower = Float64Array.from(options.lower ?? new Array(n).fill(-Infinity))
  const upper = Float64Array.from(options.upper ?? new Array(n).fill(Infinity))
  const typical = p.map((value, j) => Math.abs(options.typical?.[j] ?? 0) || FLOOR * Math.abs(value) || 1)
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
    current: false,
    weight: new Float64Array(n),
    damping: options.damping ?? 1e-3,
    growth: 2,
    iterations: 0,
    evaluations: 0,
  }
}

const sumOfSquares = (r: Float64Array) => norm(r) ** 2

const clipped = (s: State, p: Float64Array) =>
  p.map((value, j) => Math.min(Math.max(value, s.lower[j]!), s.upper[j]!))

/** Asks for residuals; answers that are not finite count as none. */
function* evaluate(s: State, points: Float64Array[]): Steps<Residuals[] | 'stop'> {
  const answer = yield { kind: 'residuals', points: points.map((point) => point.slice()) }
  if (answer === 'stop') return 'stop'
  if (!Array.isArray(answer) || answer.length !== points.length) {
    throw new Error('One answer for each point is wanted.')
  }
  s.evaluations += points.length
  return answer.map((r) => {
    if (r && s.r.length && r.length !== s.r.length)
      throw new Error('The number of residuals must not change.')
    return r?.every(Number.isFinite) ? r : null
  })
}

/** Renews the Jacobian and the weights; a reason when that cannot be done. */
function* derivative(s: State): Steps<StopReason | undefined> {
  const found = s.analytic ? yield* analyticJacobian(s) : yield* differencedJacobian(s)
  if (found === 'stop') return 'stopped'
  if (!found) return 'derivative-failed'
  s.jacobian = found
  s.current = true
  for (let j = 0; j < s.n; j++) {
    const length = norm(column(found, s.r.length, s.n, j))
    s.weight[j] = Math.max(FADE * s.weight[j]!, length) || 1 / Math.max(s.typical[j]!, Math.abs(s.p[j]!))
  }
  return undefined
}

/** Weights remember large derivatives for a while: enough against jumps onto plateaus, short enough for long valleys. */
const FADE = 0.7

function* analyticJacobian(s: State): Steps<Float64Array | null | 'stop'> {
  const answer = yield { kind: 'jacobian', point: s.p.slice() }
  if (answer === 'stop') return 'stop'
  if (!(answer instanceof Float64Array) || answer.length !== s.r.length * s.n) return null
  return answer.every(Number.isFinite) ? answer : null
}

function* differencedJacobian(s: State): Steps<Float64Array | null | 'stop'> {
  const { differences, differenceStep } = s.options
  const rule: Derivative = {
    p: s.p,
    lower: s.lower,
    upper: s.upper,
    typical: s.typical,
    forward: differences === 'forward',
    ...(differenceStep ? { step: differenceStep } : {}),
  }
  const points = differencePoints(rule)
  const answers = yield* evaluate(s, points)
  return answers === 'stop' ? 'stop' : fromDifferences(rule, points, answers, s.r)
}

/** Relative singular value that the errors of the derivatives can hide. */
function smallestOf({ analytic, options }: Pick<State, 'analytic' | 'options'>): number {
  const step = options.differenceStep ?? 0
  if (analytic) return 1e-11
  return options.differences === 'forward' ? Math.max(1e-6, step) : Math.max(1e-7, step ** 2)
}

function stepIsTiny(s: State, delta: Float64Array): boolean {
  const size = (d: Float64Array) => norm(d.map((x, j) => x * s.weight[j]!))
  return size(delta) <= (s.options.stepTolerance ?? 1e-13) * size(s.p)
}

const progressOf = (s: State): FitProgress => ({
  iteration: s.iterations,
  evaluations: s.evaluations,
  parameters: s.p.slice(),
  sumOfSquares: s.cost,
})

const MINIMUM: readonly StopReason[] = ['cost-settled', 'step-settled', 'gradient-zero', 'exact']

function finish(s: State, reason: StopReason): FitResult {
  const jacobian = s.current ? s.jacobian : new Float64Array(0)
  return {
    converged: MINIMUM.includes(reason),
    reason,
    parameters: s.p,
    residuals: s.r,
    jacobian,
    iterations: s.iterations,
    evaluations: s.evaluations,
    ...describeFit({
      jacobian,
      residuals: s.r,
      parameters: s.p,
      held: Array.from(s.p, (value, j) => value <= s.lower[j]! || value >= s.upper[j]!),
      names: s.options.names ?? [],
      absoluteWeights: s.options.absoluteWeights === true,
      smallest: smallestOf(s),
    }),
  }
}

/** The result of a fit that could not begin: the start values, and NaN for all that is not known. */
function emptyResult(options: FitOptions, reason: StopReason): FitResult {
  const parameters = Float64Array.from(options.start)
  const none = new Float64Array(0)
  const empty = { residuals: none, jacobian: none, iterations: 0, evaluations: 0 }
  const base = { converged: false, reason, parameters, ...empty }
  const held = Array.from(parameters, () => false)
  const names = options.names ?? []
  const statistics = {
    jacobian: none,
    residuals: none,
    parameters,
    held,
    names,
    absoluteWeights: false,
    smallest: 1,
  }
  return { ...base, ...describeFit(statistics) }
}
