/** What makes one doubt a fit, in sentences. */
import type { FitProblem } from './problem.ts'
import type { LifeFit } from './types.ts'
import { numberText, smallChance } from './words.ts'

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
    const shift = `${Math.abs(numerical).toPrecision(2)} ${unit}`.trimEnd()
    told.push(
      `${label}: the calculation itself adds about ${shift}, which is not in its error. A finer accuracy helps.`,
    )
  }
  for (const { name, before, after } of fit.curves) {
    if (before > 0) told.push(`${name}: ${counted(before)} before the contact; the start radius holds there.`)
    if (after > 0)
      told.push(`${name}: ${counted(after)} after the end of the life; its last radius holds there.`)
  }
  return told
}

const counted = (n: number): string => (n === 1 ? '1 point is' : `${n} points are`)
