/** One fit at one accuracy. Lives of a derivative are foreseen, so that they may be computed at the same time. */
import type { Preset } from '../../life/types.ts'
import { relativeOffset } from '../../numerics/dampedStep.ts'
import { differencePoints, fromDifferences } from '../../numerics/differences.ts'
import type { FitAnswer, FitRequest, FitResult } from '../../numerics/fitTypes.ts'
import { fitSteps } from '../../numerics/leastSquares.ts'
import type { Parameter } from './parameters.ts'
import type { FitProblem } from './problem.ts'
import type { FitHooks, FitStep } from './types.ts'

type Accuracy = Preset['model']['accuracy']

export interface StageOptions {
  stage: FitStep['stage']
  accuracy: Accuracy
  /** How near the minimum the stage ends, in standard errors (all unknowns together). */
  within: number
  mostIterations: number
  damping: number
}

export const STAGES: Record<'approach' | 'finish', Omit<StageOptions, 'accuracy'>> = {
  approach: { stage: 'approach', within: 0.6, mostIterations: 40, damping: 1e-2 },
  finish: { stage: 'finish', within: 0.2, mostIterations: 15, damping: 1e-4 },
}

/**
 * Step of the derivatives: 1 = a factor e of a logarithmic value, the unit of a linear one. The noise of quick lives
 * (about 3e-4 of R) is then 2 to 3 % of what the step shows.
 */
const STEP = 0.02

/** What a stage needs of a problem. */
export interface Staged {
  readonly parameters: readonly Parameter[]
  readonly total: number
  readonly absolute: boolean
  stopped: boolean
  isStopped(): boolean
  /** The residuals at these points will be asked for next. */
  foresee(points: readonly ArrayLike<number>[], accuracy: Accuracy): void
  residuals(p: ArrayLike<number>, accuracy: Accuracy): Promise<Float64Array | null>
}

/** Told of every better point of a stage. */
type Told = (p: ArrayLike<number>, sumOfSquares: number) => Promise<void>

/** Degrees of freedom as far as they are known before the fit. */
const freedom = ({ total, parameters }: Staged) =>
  Math.max(1, total + parameters.filter(({ prior }) => prior).length - parameters.length)

/** Fall of the sum of squares, relative, that still may be missing when the fit ends `within` standard errors. */
const fallWithin = (problem: Staged, within: number) => Math.min(5e-3, within ** 2 / freedom(problem))

/** One stage of a fit, told step by step. */
export const fitStage = (
  problem: FitProblem,
  start: ArrayLike<number>,
  options: StageOptions,
  hooks: FitHooks,
): Promise<FitResult> =>
  minimise(problem, start, options, (p, sum) =>
    report(problem, options.stage, options.accuracy, p, sum, hooks),
  )

/** The minimum from a start. */
export async function minimise(
  problem: Staged,
  start: ArrayLike<number>,
  options: Omit<StageOptions, 'stage'>,
  told: Told = async () => {},
): Promise<FitResult> {
  const { parameters } = problem
  const tolerance = fallWithin(problem, options.within)
  const steps = fitSteps(
    {
      start,
      ...bounds(problem),
      typical: parameters.map(() => 1),
      names: parameters.map(({ label }) => label),
      differenceStep: STEP,
      costTolerance: tolerance,
      offsetTolerance: tolerance,
      mostIterations: options.mostIterations,
      damping: options.damping,
      absoluteWeights: problem.absolute,
    },
    true,
  )
  let next = steps.next()
  while (!next.done) next = steps.next(await answer(problem, next.value, options.accuracy, told))
  return next.value
}

async function answer(
  problem: Staged,
  request: FitRequest,
  accuracy: Accuracy,
  told: Told,
): Promise<FitAnswer> {
  if (problem.isStopped()) return 'stop'
  if (request.kind === 'jacobian') {
    const found =
      (await derivative(problem, request.point, 'quick')) ??
      (await derivative(problem, request.point, accuracy))
    return problem.stopped ? 'stop' : found
  }
  if (request.kind === 'progress') {
    const { parameters, sumOfSquares } = request.progress
    await told(parameters, sumOfSquares)
    return undefined
  }
  const answers = []
  problem.foresee(request.points, accuracy)
  for (const point of request.points) {
    answers.push(await problem.residuals(point, accuracy))
    if (problem.stopped) return 'stop'
  }
  return answers
}

/**
 * ∂r/∂p by central differences, one-sided at limits; null where lives are missing. Always of quick lives if they go:
 * their common error drops out of the differences, and most lives of a fit are these.
 */
async function derivative(
  problem: Staged,
  p: Float64Array,
  accuracy: Accuracy,
): Promise<Float64Array | null> {
  const { lower, upper } = bounds(problem)
  const rule = { p, lower, upper, typical: new Float64Array(p.length).fill(1), forward: false, step: STEP }
  const points = differencePoints(rule)
  problem.foresee([p, ...points], accuracy)
  const base = await problem.residuals(p, accuracy)
  if (!base) return null
  const values: (Float64Array | null)[] = []
  for (const point of points) {
    if (problem.isStopped()) return null
    values.push(await problem.residuals(point, accuracy))
  }
  return fromDifferences(rule, points, values, base)
}

/** Limits of the fitter's parameters. */
const bounds = ({ parameters }: Pick<Staged, 'parameters'>) => ({
  lower: Float64Array.from(parameters, ({ toParameter, lower }) => toParameter(lower)),
  upper: Float64Array.from(parameters, ({ toParameter, upper }) => toParameter(upper)),
})

/** Tells of a better point; its lives are known already. */
export async function report(
  problem: FitProblem,
  stage: FitStep['stage'],
  accuracy: Accuracy,
  p: ArrayLike<number>,
  sumOfSquares: number,
  hooks: FitHooks,
): Promise<void> {
  if (!hooks.progress) return
  const values = problem.valuesAt(p)
  const courses = await problem.courses(values, accuracy)
  if (!courses) return
  const shown = courses.map(({ t, R }, i) => {
    const delay = problem.delay(values, i)
    return { id: problem.curves[i]!.id, t: t.map((time) => time + delay), R: R.slice() }
  })
  hooks.progress({ stage, lives: problem.lives, sumOfSquares, values, courses: shown })
}

/** True when the fit is as near its minimum as `within` asks, whatever made it end. */
export function isSettled(problem: FitProblem, result: FitResult, within: number): boolean {
  if (result.converged) return true
  if (result.jacobian.length === 0) return false
  const { parameters: p, residuals: r, jacobian } = result
  const offset = relativeOffset({ p, ...bounds(problem), r, jacobian, weight: p }, 1e-3)
  return offset <= 2 * fallWithin(problem, within) || problem.misfit(r) < NOISE
}

/** Misfit below which lives and points differ by no more than the calculation itself is right. */
const NOISE = 1e-3

/** Misfit from which the first life gives no good start, and from which the end of a fit may be a lesser minimum. */
export const FAR = { start: 0.2, end: 0.08 }

/** Misfit from which even the best life is called far off. */
export const POOR = 0.15
