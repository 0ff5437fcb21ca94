/** The fit of lives to measured curves: approach with quick lives, finish at the accuracy of the drop, check with a finer one. */
import type { Preset } from '../../life/types.ts'
import type { FitResult } from '../../numerics/fitTypes.ts'
import { type Setup, setUp } from './parameters.ts'
import { FitProblem } from './problem.ts'
import { describe } from './report.ts'
import { scanForStarts } from './scan.ts'
import { FAR, fitStage, POOR, report, STAGES, type StageOptions } from './stage.ts'
import type { FitHooks, FitOutcome, FitWish, LifeRunner } from './types.ts'

type Accuracy = Preset['model']['accuracy']

/** The accuracy whose lives show what the calculation itself adds. */
const OTHER: Record<Accuracy, Accuracy> = { quick: 'normal', normal: 'fine', fine: 'normal' }

/** What is known at the end of the stages. */
export interface Ended {
  result: FitResult
  options: StageOptions
  /** Residuals of the lives at another accuracy, at the same values; null if there are none. */
  other: Float64Array | null
  otherAccuracy: Accuracy
  warnings: string[]
}

/**
 * Fits. Problems of the wish, a first life without an end and a stop before the first life are answers, not exceptions.
 * Lives that fail during the fit count as no answer there: the fitter then goes shorter steps.
 */
export async function fitLives(wish: FitWish, run: LifeRunner, hooks: FitHooks = {}): Promise<FitOutcome> {
  const setup = setUp(wish)
  if (!setup.ok) return { ok: false, reason: 'invalid', problems: setup.problems }
  const problem = new FitProblem(
    wish.curves,
    setup.presets,
    setup.parameters,
    run,
    () => hooks.cancelled?.() ?? false,
  )
  const ended = await stages(wish, problem, hooks)
  if (!ended) return withoutResult(problem)
  return { ok: true, fit: await describe(wish, setup as Setup & { ok: true }, problem, ended) }
}

function withoutResult(problem: FitProblem): FitOutcome {
  if (problem.stopped) {
    return {
      ok: false,
      reason: 'stopped',
      problems: [{ where: 'fit', message: 'Stopped before there was a result.' }],
    }
  }
  const cause = problem.failure || 'the rules of presets forbid these values'
  return {
    ok: false,
    reason: 'failed',
    problems: [{ where: 'life', message: `No life to start from: ${cause}` }],
  }
}

async function stages(wish: FitWish, problem: FitProblem, hooks: FitHooks): Promise<Ended | null> {
  const { accuracy } = wish.preset.model
  const warnings: string[] = []
  let options: StageOptions = { ...STAGES.approach, accuracy: 'quick' }
  let result = await approach(wish, problem, options, hooks)
  if (!result) return null
  if (accuracy !== 'quick' && !problem.isStopped()) {
    const finish: StageOptions = { ...STAGES.finish, accuracy }
    const final = await fitStage(problem, result.parameters, finish, hooks)
    if (!isOver(final)) {
      result = final
      options = finish
    } else if (!problem.stopped) {
      warnings.push(
        `At accuracy "${accuracy}" the lives fail where the quick ones do not: the result is of quick lives.`,
      )
    }
  }
  if (problem.misfit(result.residuals) > POOR) {
    warnings.push(
      'Even the best life is far from the points: the drop, the clock or the unknowns are not the right ones.',
    )
  }
  const { other, otherAccuracy } = await checked(problem, result, options, hooks, wish.check ?? true)
  return { result, options, other, otherAccuracy, warnings }
}

/** True when a stage could not begin. */
const isOver = (result: FitResult): boolean => result.residuals.length === 0

const isFar = (problem: FitProblem, { residuals }: FitResult): boolean => problem.misfit(residuals) > FAR.end

/** Quick lives from the drop itself, or from what a scan finds; from several starts while the end stays far off. */
async function approach(
  wish: FitWish,
  problem: FitProblem,
  options: StageOptions,
  hooks: FitHooks,
): Promise<FitResult | null> {
  const zero = new Float64Array(problem.parameters.length)
  const first = await problem.residuals(zero, 'quick')
  const sum = first ? problem.sum(first) : Number.POSITIVE_INFINITY
  if (first) await report(problem, 'approach', 'quick', zero, sum, hooks)
  let best: FitResult | null = null
  const attempt = async (start: Float64Array) => {
    const result = await fitStage(problem, start, options, hooks)
    if (!isOver(result) && !(result.sumOfSquares >= (best?.sumOfSquares ?? Infinity))) best = result
  }
  const { scan = 'auto' } = wish
  const near = first !== null && problem.misfit(first) <= FAR.start
  if (near && scan !== 'always') await attempt(zero)
  const enough = () => problem.isStopped() || (best !== null && !isFar(problem, best))
  if (scan !== 'never' && !enough()) {
    for (const start of await scanForStarts(problem, sum, hooks)) {
      await attempt(start)
      if (enough()) break
    }
  }
  if (!enough() && (best === null || !near)) await attempt(zero)
  return best
}

/** Residuals of finer lives at the end of the fit (of coarser ones if it was "fine"). */
async function checked(
  problem: FitProblem,
  result: FitResult,
  { accuracy }: StageOptions,
  hooks: FitHooks,
  wanted: boolean,
) {
  const otherAccuracy = OTHER[accuracy]
  if (!wanted || problem.isStopped()) return { other: null, otherAccuracy }
  await report(problem, 'check', accuracy, result.parameters, result.sumOfSquares, hooks)
  const other = await problem.residuals(result.parameters, otherAccuracy)
  return { other, otherAccuracy }
}
