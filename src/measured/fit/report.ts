/** What a fit found, in the units of the keys, with all that makes one doubt it. */
import { setKeys } from '../../life/preset.ts'
import type { Preset } from '../../life/types.ts'
import { chiSquaredTail, neighbourCorrelation, runsOf } from '../../numerics/chance.ts'
import type { FitResult, StopReason } from '../../numerics/fitTypes.ts'
import { startOf } from '../usable.ts'
import { type Budget, budgetOf, causesAfter, scaleMoves } from './budget.ts'
import { endOf, radiusAt } from './course.ts'
import { notTaken } from './curvePreset.ts'
import { doubts, heldNotes, priorNotes, scaleNotes } from './doubts.ts'
import type { Setup } from './parameters.ts'
import type { FitProblem } from './problem.ts'
import type { Shift } from './shifts.ts'
import { isSettled, type StageOptions } from './stage.ts'
import {
  type Course,
  type FittedCurve,
  type FittedUnknown,
  type FitWish,
  type LifeFit,
  START_TIME,
} from './types.ts'
import { judge, movedBy } from './verdicts.ts'

/** What is known at the end of the stages. */
export interface Ended {
  result: FitResult
  options: StageOptions
  /** Residuals of the lives at another accuracy, at the same values; null if there are none. */
  other: Float64Array | null
  otherAccuracy: Preset['model']['accuracy']
  /** Causes with their effect on the radii; none where nothing is stated. */
  shifts: Shift[]
  warnings: string[]
}

/** A fit in the units of the keys. Lives at its values are known already, so that this asks for none. */
export async function describe(
  wish: FitWish,
  setup: Setup & { ok: true },
  problem: FitProblem,
  ended: Ended,
): Promise<LifeFit> {
  const { result, options } = ended
  const values = problem.valuesAt(result.parameters)
  const courses = (await problem.courses(values, options.accuracy)) ?? []
  const curves = courses.map((course, i) => curveOf(problem, values, course, i, options.accuracy))
  const budget = budgetOf(problem, result, ended.shifts)
  const unknowns = unknownsOf(problem, values, ended, budget)
  const slopes = problem.parameters.map(({ slope }, j) => slope(values[j]!))
  const randomness = chanceOf(curves)
  const { weighted, total } = problem
  const { degreesOfFreedom } = result
  const squares = problem.sum(problem.differencesOf(result.residuals))
  const sumOfSquares = weighted ? result.sumOfSquares : squares
  const fit: Omit<LifeFit, 'warnings'> = {
    preset: fittedPreset(wish.preset, unknowns),
    unknowns,
    correlation: result.correlation,
    curves: curves.map((curve, i) => ({
      ...curve,
      chiSquared: weighted ? shareOf(problem, result, i) : Number.NaN,
    })),
    causes: causesAfter(problem, result, ended.shifts, budget.moves, slopes),
    weights: weighted ? 'given' : 'scatter',
    sumOfSquares,
    points: total,
    degreesOfFreedom,
    reduced: weighted && degreesOfFreedom > 0 ? sumOfSquares / degreesOfFreedom : Number.NaN,
    chance: weighted ? chiSquaredTail(sumOfSquares, degreesOfFreedom) : Number.NaN,
    scatter: weighted || degreesOfFreedom === 0 ? Number.NaN : Math.sqrt(squares / degreesOfFreedom),
    randomness,
    condition: result.condition,
    converged: isSettled(problem, result, options.within),
    stopped: problem.stopped || result.reason === 'stopped',
    ending: endingOf(problem, result, options.within),
    accuracy: options.accuracy,
    lives: problem.lives,
    data: dataOf(problem, ended.shifts),
    notes: [
      ...heldNotes(ended.shifts),
      ...scaleNotes(unknowns, problem.curves.length),
      ...priorNotes(unknowns),
    ],
  }
  const untaken = wish.curves.map((curve) => notTaken(curve, wish.preset)).filter((text) => text !== '')
  return { ...fit, warnings: [...setup.warnings, ...untaken, ...ended.warnings, ...doubts(fit, problem)] }
}

function curveOf(
  problem: FitProblem,
  values: readonly number[],
  course: Course,
  i: number,
  accuracy: Preset['model']['accuracy'],
): Omit<FittedCurve, 'chiSquared'> {
  const curve = problem.curves[i]!
  const { time, radius, uncertainty } = problem.points[i]!
  const delay = problem.delay(values, i)
  const residual = radius.map((R, k) => R - radiusAt(course, time[k]! - delay))
  const mean = (list: Float64Array) => list.reduce((a, b) => a + b, 0) / list.length
  return {
    id: curve.id,
    name: curve.name,
    time,
    radius,
    residual,
    sigma: uncertainty ?? new Float64Array(time.length).fill(Number.NaN),
    rms: Math.sqrt(mean(residual.map((r) => r * r))),
    bias: mean(residual),
    before: time.filter((t) => t < delay).length,
    after: time.filter((t) => t - delay > endOf(course)).length,
    startTime: startOf(curve) + delay,
    preset: problem.presetWith(problem.presets[i]!, values, accuracy)!,
    outcome: course.outcome,
    lifeTime: course.t.map((t) => t + delay),
    lifeRadius: course.R,
  }
}

/** A curve's share of χ². */
function shareOf({ points }: FitProblem, { residuals }: FitResult, i: number): number {
  const from = points.slice(0, i).reduce((sum, { time }) => sum + time.length, 0)
  return residuals.subarray(from, from + points[i]!.time.length).reduce((sum, r) => sum + r * r, 0)
}

function unknownsOf(
  problem: FitProblem,
  values: readonly number[],
  { result, other }: Ended,
  { statistical, systematic }: Budget,
): FittedUnknown[] {
  const { parameters } = problem
  const judged = judge(result, parameters, values)
  const change = other?.map((r, i) => r - result.residuals[i]!)
  const moved = change ? movedBy(result, change) : null
  const perPercent = scaleMoves(problem, result)
  return parameters.map((parameter, j) => {
    const { path, curve, label, unit, start, lower, upper, slope, prior } = parameter
    const inUnits = (dp: number) => Math.abs(slope(values[j]!)) * dp
    return {
      path,
      ...(curve >= 0 ? { curve: problem.curves[curve]!.id } : {}),
      label,
      unit,
      start,
      value: values[j]!,
      error: inUnits(result.standardErrors[j]!),
      statistical: inUnits(statistical[j]!),
      systematic: inUnits(systematic[j]!),
      ...(prior ? { prior: { ...prior, pull: (values[j]! - prior.value) / prior.sigma } } : {}),
      perScalePercent: perPercent ? inUnits(perPercent[j]!) : Number.NaN,
      lower,
      upper,
      ...judged[j]!,
      numerical: moved ? inUnits(moved[j]!) : Number.NaN,
    }
  })
}

/** The drop with the shared unknowns that were fitted; its own accuracy and cells stay. */
function fittedPreset(preset: Preset, unknowns: readonly FittedUnknown[]): Preset {
  const changes = unknowns
    .filter(({ path }) => path !== START_TIME)
    .map(({ path, value }) => [path, value] as const)
  const changed = setKeys(preset, changes)
  return changed.ok ? changed.preset : preset
}

function chanceOf(curves: readonly Omit<FittedCurve, 'chiSquared'>[]): LifeFit['randomness'] {
  const rows = curves.map(({ residual, sigma }) =>
    residual.map((r, i) => (sigma[i]! > 0 ? r / sigma[i]! : r)),
  )
  const { runs, expected, deviation } = runsOf(rows)
  const z = deviation > 0 ? (runs - expected) / deviation : Number.NaN
  return { runs, expected, deviation, z, neighbours: neighbourCorrelation(rows) }
}

const ENDINGS: Partial<Record<StopReason, string>> = {
  'most-iterations': 'ended after the greatest number of steps, not yet at the best values',
  'most-evaluations': 'ended after the greatest number of lives, not yet at the best values',
  'no-progress': 'ended where no step made it better, though the derivatives promise more',
  'derivative-failed': 'ended where the lives beside the best one fail',
  stopped: 'stopped by hand; the values are the best so far',
}

function endingOf(problem: FitProblem, result: FitResult, within: number): string {
  if (problem.stopped) return ENDINGS.stopped!
  if (isSettled(problem, result, within)) return 'the sum of squares does not fall any further'
  return ENDINGS[result.reason] ?? result.reason
}

/** Points, weights and all that is known beside them as a short text (FNV-1a over the numbers): fits of other data are not compared. */
function dataOf({ curves, points, weighted, parameters }: FitProblem, shifts: readonly Shift[]): string {
  let hash = 0x811c9dc5
  const text = curves.map(({ id }, i) => {
    const start = startOf(curves[i]!)
    const { time, radius, uncertainty } = points[i]!
    const clock = Array.from(time, (t) => (t + start).toPrecision(9))
    return [id, clock, radius.join(), weighted ? uncertainty!.join() : ''].join(';')
  })
  const known = [
    ...parameters.flatMap(({ path, prior }) => (prior ? [`${path} ${prior.value} ${prior.sigma}`] : [])),
    ...shifts.map(({ cause }) => `${cause.label} ${cause.value} ${cause.sigma}`),
  ]
  for (const char of [...text.sort(), ...known.sort()].join('|'))
    hash = Math.imul(hash ^ char.codePointAt(0)!, 0x01000193)
  return `${points.reduce((sum, { time }) => sum + time.length, 0)}-${(hash >>> 0).toString(16)}`
}
