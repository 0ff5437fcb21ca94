/** The fit of lives to measured curves: approach with quick lives, finish at the accuracy of the drop, check with a finer one. */
import type { Preset } from '../../life/types.ts'
import type { FitResult } from '../../numerics/fitTypes.ts'
import { budgetOf, pullsOf } from './budget.ts'
import type { Cause } from './causes.ts'
import { type Setup, setUp } from './parameters.ts'
import { FitProblem } from './problem.ts'
import { describe, type Ended } from './report.ts'
import { scanForStarts } from './scan.ts'
import { heldPresets, layErrors, lifeErrorsAt, type Shift, shiftsAt } from './shifts.ts'
import { FAR, fitStage, POOR, report, STAGES, type StageOptions } from './stage.ts'
import type { FitHooks, FitOutcome, FitWish, LifeRunner } from './types.ts'

type Accuracy = Preset['model']['accuracy']

/** The accuracy whose lives show what the calculation itself adds. */
const OTHER: Record<Accuracy, Accuracy> = { quick: 'normal', normal: 'fine', fine: 'normal' }

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
  problem.lifeErrors = wish.lifeErrors ?? problem.lifeErrors
  const ended = await stages(wish, problem, setup.causes, hooks)
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

async function stages(
  wish: FitWish,
  problem: FitProblem,
  causes: readonly Cause[],
  hooks: FitHooks,
): Promise<Ended | null> {
  const { accuracy } = wish.preset.model
  const warnings: string[] = []
  const quick: StageOptions = { ...STAGES.approach, accuracy: 'quick' }
  const near = await approach(wish, problem, quick, hooks)
  if (!near) return null
  const more = await withCauses(problem, causes, near, quick, hooks)
  let { result } = more
  let options: StageOptions = quick
  warnings.push(...more.warnings)
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
  return { result, options, other, otherAccuracy, shifts: more.shifts, warnings }
}

interface WithCauses {
  result: FitResult
  shifts: Shift[]
  warnings: string[]
}

/**
 * How far unknowns (in statistical errors) and conditions (in σ) may move before the derivatives by conditions are taken
 * anew: those of a steep fall belong to its own moment, and elsewhere would seem to tell causes apart that nothing does.
 */
const FAR_FROM_SHIFTS = 0.3
/** Most times that derivatives by conditions are taken. */
const ROUNDS = 6

/**
 * The fit once more with all that is stated beside the points. Derivatives by conditions are taken at the minimum without
 * them, and anew where that or the conditions move far; the lives then have the conditions as the fit puts them. Where no
 * uncertainties are stated the scatter about the minimum stands for them.
 */
async function withCauses(
  problem: FitProblem,
  causes: readonly Cause[],
  near: FitResult,
  quick: StageOptions,
  hooks: FitHooks,
): Promise<WithCauses> {
  const any = causes.length > 0 || problem.parameters.some(({ prior }) => prior)
  const none: WithCauses = { result: near, shifts: [], warnings: [] }
  if (!any || problem.isStopped()) return none
  const stated = problem.presets
  const costly = causes.some(({ keyValue }) => keyValue)
  const scatter = scatterOf(problem, near)
  let held = new Map<Cause, number>()
  let best: WithCauses = none
  let before: readonly Preset[] = stated
  for (let round = 0; round < ROUNDS; round++) {
    const start = best.result.parameters
    const presets = heldPresets(stated, causes, held)
    if (!presets.every((one) => one !== null)) break
    problem.presets = presets
    if (costly) await report(problem, 'conditions', 'quick', start, best.result.sumOfSquares, hooks)
    const made = await shiftsAt(problem, stated, causes, held, start, 'quick')
    if (!made) return best
    const lives = await lifeErrorsAt(problem, start)
    layErrors(problem, made.known, scatter, lives)
    const result = await fitStage(problem, start, quick, hooks)
    if (isOver(result)) {
      problem.presets = before
      layErrors(problem, best.shifts, scatter, lives)
      return best
    }
    before = presets
    const { statistical } = budgetOf(problem, result, made.known)
    const moved = Math.max(...result.parameters.map((p, j) => Math.abs(p - start[j]!) / statistical[j]! || 0))
    best = { result, shifts: made.known, warnings: made.lost.map(lostWords) }
    const pulls = pullsOf(problem, result.residuals, made.known)
    const off = Math.max(
      0,
      ...made.known.map(({ cause, at }, k) => (cause.keyValue ? Math.abs(pulls[k]! - at) : 0)),
    )
    if ((moved <= FAR_FROM_SHIFTS && off <= FAR_FROM_SHIFTS) || problem.isStopped()) break
    held = new Map(
      made.known.flatMap(({ cause, at }, k) => {
        // No more than three σ at once: beyond them a straight line says little.
        const step = Math.min(Math.max(pulls[k]! - at, -3), 3)
        return cause.keyValue ? [[cause, at + step] as const] : []
      }),
    )
  }
  return best
}

const lostWords = ({ label, sigma, unit }: Cause): string =>
  `${label}: the lives with it ± ${`${sigma} ${unit}`.trimEnd()} fail; its error is in no number.`

/** Root mean square of life − measured per degree of freedom, m. */
function scatterOf(problem: FitProblem, { residuals }: FitResult): number {
  const freedom = Math.max(1, problem.total - problem.parameters.length)
  return Math.sqrt(problem.sum(problem.differencesOf(residuals)) / freedom)
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
