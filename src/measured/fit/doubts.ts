/** What makes one doubt a fit, in sentences. */
import { errorParts } from '../independent.ts'
import type { MeasuredCurve } from '../types.ts'
import type { FitProblem } from './problem.ts'
import type { Shift } from './shifts.ts'
import { type FittedUnknown, type LifeFit, START_TIME } from './types.ts'
import { numberText, smallChance, wholeError } from './words.ts'

/** z from which runs of one sign are told as too long: chance 1 % on that side. */
const FEW_RUNS = -2.33
/** Chance below which χ² is told as too large. Common practice, no source. */
const TOO_LARGE = 0.01
/** Share of a standard error from which the calculation's own part is told. */
const VISIBLE = 0.5

/** Warnings of a fit; none if there is nothing to doubt. */
export function doubts(fit: Omit<LifeFit, 'warnings'>, problem: FitProblem): string[] {
  const told: string[] = []
  const partly = problem.points.some(({ uncertainty }) => uncertainty?.some((sigma) => sigma > 0))
  if (!fit.converged && !fit.stopped) told.push(`The fit ${fit.ending}.`)
  if (!problem.weighted) {
    const some = partly
      ? 'Some points have no uncertainty, so all count alike and'
      : 'There are no uncertainties:'
    told.push(`${some} the errors come from the scatter about the fit; χ² is then no test of the model.`)
  }
  if (fit.chance < TOO_LARGE && fit.reduced > 1) {
    const factor = Math.sqrt(fit.reduced).toPrecision(2)
    told.push(
      `The points lie further off than their uncertainties allow (χ² per degree of freedom ${numberText(fit.reduced, 3)}, chance ${smallChance(fit.chance)}): the uncertainties are too small by about ${factor}, or the model misses something; then so are the errors.`,
    )
  }
  const { z, runs, expected } = fit.randomness
  if (z < FEW_RUNS) {
    told.push(
      `The residuals are not like chance: ${runs} runs of one sign where about ${Math.round(expected)} are expected. The model misses part of the shape; the errors do not contain that.`,
    )
  }
  for (const { label, error, numerical, verdict, unit } of fit.unknowns) {
    if (verdict !== 'determined' || !(Math.abs(numerical) > VISIBLE * error)) continue
    const whole = `${wholeError({ error, numerical }).toPrecision(2)} ${unit}`.trimEnd()
    const shift = `${Math.abs(numerical).toPrecision(2)} ${unit}`.trimEnd()
    told.push(
      `${label}: the calculation itself adds about ${shift}, which is not in its σ: ± ${whole} in all. A finer accuracy helps.`,
    )
  }
  told.push(...pullDoubts(fit), ...problem.curves.flatMap(flooredWords))
  for (const { name, before, after } of fit.curves) {
    if (before > 0) told.push(`${name}: ${counted(before)} before the contact; the start radius holds there.`)
    if (after > 0)
      told.push(`${name}: ${counted(after)} after the end of the life; its last radius holds there.`)
  }
  return told
}

/** Pulls from which something that was stated is said not to go with the points: chance 1 %. */
const FAR_OFF = 2.58

/** What was known beforehand and does not go with the points. */
function pullDoubts({ causes, unknowns }: Pick<LifeFit, 'causes' | 'unknowns'>): string[] {
  const stated = [
    ...causes.map(({ label, unit, prior, pull, value }) => ({ label, unit, ...prior, pull, found: value })),
    ...unknowns.flatMap(({ label, unit, prior, value }) =>
      prior ? [{ label, unit, ...prior, found: value }] : [],
    ),
  ]
  return stated
    .filter(({ pull }) => Math.abs(pull) > FAR_OFF)
    .map(({ label, unit, value, sigma, pull, found }) => {
      const known = `${numberText(value)} ± ${numberText(sigma, 2)} ${unit}`.trimEnd()
      return `${label}: stated as ${known}; the fit puts it at ${numberText(found, 3)}, ${numberText(Math.abs(pull), 2)} σ off. One of the two is wrong, or the model misses something.`
    })
}

function flooredWords(curve: MeasuredCurve): string[] {
  const { floored } = errorParts(curve)
  if (floored === 0) return []
  const of = floored === 1 ? 'one point' : `${floored} points`
  return [
    `${curve.name}: at ${of} the errors that all points share are as large as the whole uncertainty; a tenth of it counts as the point’s own.`,
  ]
}

/** What an error of the scale would do where none is stated; none if every curve states one. */
export function scaleNotes(unknowns: readonly FittedUnknown[], curves: number): string[] {
  const parts = unknowns
    .filter(({ verdict, perScalePercent }) => verdict === 'determined' && Number.isFinite(perScalePercent))
    .map(({ label, unit, value, perScalePercent: move, path }) => {
      const side = move < 0 ? 'too small' : 'too large'
      const relative = path === START_TIME ? Number.NaN : Math.abs((100 * move) / value)
      const size =
        relative >= 0.01
          ? `${numberText(relative, 2)} %`
          : `${numberText(Math.abs(move), 2)} ${unit}`.trimEnd()
      return `${label} ${size} ${side}`
    })
  if (parts.length === 0) return []
  const whose = curves === 1 ? 'The curve states' : 'Some or all curves state'
  return [
    `${whose} no error of the scale of the radius, and χ² hardly shows a wrong one. Were the radii 1 % too large, there would come out: ${parts.join('; ')}.`,
  ]
}

/** Conditions that the lives hold elsewhere than they are stated. */
export function heldNotes(shifts: readonly Shift[]): string[] {
  const held = shifts
    .filter(({ at }) => at !== 0)
    .map(({ cause: { label, value, sigma, unit }, at }) =>
      `${label} ${numberText(value + at * sigma, 3)} ${unit}`.trimEnd(),
    )
  return held.length === 0
    ? []
    : [`The lives have conditions about where the fit puts them, off what is stated: ${held.join('; ')}.`]
}

/** Unknowns of which the points tell next to nothing beyond what was known. */
export const priorNotes = (unknowns: readonly FittedUnknown[]): string[] =>
  unknowns
    .filter(({ prior, error }) => prior && error > LITTLE * prior.sigma)
    .map(({ label }) => `${label}: the points add next to nothing to what was known of it beforehand.`)

/** Share of a prior's σ from which an error counts as the prior's own. */
const LITTLE = 0.9

const counted = (n: number): string => (n === 1 ? '1 point is' : `${n} points are`)
