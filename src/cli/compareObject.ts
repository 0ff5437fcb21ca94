/** Comparison and fits as JSON object and CSV. Units in the names. Pure. */
import { csvFormatRows } from 'd3-dsv'
import type { OutcomeName, Preset } from '../life/types.ts'
import type { Comparison } from '../measured/compare.ts'
import { compareFits } from '../measured/fit/hypotheses.ts'
import type { Profile } from '../measured/fit/profile.ts'
import type { FittedCause, FittedUnknown, LifeFit } from '../measured/fit/types.ts'
import { wideningOf } from '../measured/fit/widened.ts'
import type { MeasuredCurve } from '../measured/types.ts'
import { startOf } from '../measured/usable.ts'
import { guardText } from '../measured/write.ts'

/** A curve beside the life of its drop; life and residual (m) NaN beyond the life's span. */
export interface Compared {
  curve: MeasuredCurve
  preset: Preset
  far: Comparison
  life: Float64Array
  residual: Float64Array
  outcome: OutcomeName
  failed: string
}

export interface Fitted {
  name: string
  fit: LifeFit | null
  /** Why there is no fit. */
  cause: string
  /** The statistical errors are multiplied by √χ²ν where that is above 1. */
  wide?: boolean
  /** Profiles that were asked for, or why there is none. */
  profiles?: { label: string; profile: Profile | null; cause: string }[]
}

/** One point of a table; SI. */
export interface PointRow {
  fit: string
  curve: string
  t: number
  R: number
  sigma: number
  life: number
  residual: number
}

const known = (value: number): number | null => (Number.isFinite(value) ? value : null)
const list = (values: Float64Array, factor = 1) => Array.from(values, (value) => known(value * factor))

function comparedObject({ curve, preset, far, life, residual, outcome, failed }: Compared) {
  return {
    name: curve.name,
    file: curve.file,
    contact_s: startOf(curve),
    drop: dropObject(preset),
    outcome,
    ...(failed ? { cause: failed } : {}),
    points: far.residual.length,
    used: far.used,
    before: far.before,
    after: far.after,
    rms_mm: known(1e3 * far.rms),
    bias_mm: known(1e3 * far.bias),
    worst_mm: known(1e3 * far.worst),
    chiSquared: known(far.chiSquared),
    weighted: far.weighted,
    life_mm: list(life, 1e3),
    residual_mm: list(residual, 1e3),
  }
}

const dropObject = ({ drop, bath, air }: Preset) => ({
  alcohol: drop.alcohol,
  alcoholMassFraction: drop.alcoholMassFraction,
  volume_uL: drop.volume_uL,
  depth_mm: bath.depth_mm,
  temperature_C: air.temperature_C,
})

/** What is not determined has no value: only where the fit ended is told. */
function unknownObject(unknown: FittedUnknown, fit: LifeFit) {
  const { path, curve, unit, start, value, error, lower, upper, verdict, why, numerical } = unknown
  const { statistical, systematic, prior, perScalePercent } = unknown
  const open = verdict === 'not-determined'
  return {
    key: path,
    ...(curve === undefined ? {} : { curve: fit.curves.find(({ id }) => id === curve)?.name }),
    unit,
    verdict,
    value: open ? null : value,
    error: verdict === 'determined' ? known(error) : null,
    statistical: verdict === 'determined' ? known(statistical) : null,
    systematic: verdict === 'determined' ? known(systematic) : null,
    ...(prior ? { prior } : {}),
    perScalePercent: known(perScalePercent),
    ended: value,
    start,
    limits: [lower, upper],
    ...(why ? { why } : {}),
    numerical: known(numerical),
  }
}

function causeObject(
  { label, path, curves, unit, prior, value, error, pull, shifts }: FittedCause,
  fit: LifeFit,
) {
  const names = curves.map((id) => fit.curves.find((curve) => curve.id === id)?.name ?? id)
  return { label, path, curves: names, unit, prior, value, error, pull, shifts: shifts.map(known) }
}

function profileObject({ label, profile, cause }: NonNullable<Fitted['profiles']>[number]) {
  if (!profile) return { label, cause }
  const { path, unit, best, lower, upper, points, lives } = profile
  return { label, key: path, unit, best, lower, upper, points, lives }
}

function fitObject({ name, fit, cause, wide = false, profiles = [] }: Fitted) {
  if (!fit) return { name, outcome: 'failed', cause }
  const n = fit.unknowns.length
  const given = fit.weights === 'given'
  return {
    name,
    outcome: fit.converged ? 'done' : 'not at its end',
    ending: fit.ending,
    unknowns: fit.unknowns.map((unknown) => unknownObject(unknown, fit)),
    correlation: fit.unknowns.map((_, i) => list(fit.correlation.slice(i * n, (i + 1) * n))),
    condition: known(fit.condition),
    causes: fit.causes.map((one) => causeObject(one, fit)),
    ...(profiles.length > 0 ? { profiles: profiles.map(profileObject) } : {}),
    widened: wide ? known(wideningOf(fit)) : null,
    weights: fit.weights,
    ...(given ? { chiSquared: fit.sumOfSquares } : { sumOfSquares_mm2: 1e6 * fit.sumOfSquares }),
    points: fit.points,
    degreesOfFreedom: fit.degreesOfFreedom,
    ...(given
      ? { reducedChiSquared: known(fit.reduced), chance: known(fit.chance) }
      : { scatter_mm: known(1e3 * fit.scatter) }),
    runs: {
      count: fit.randomness.runs,
      expected: known(fit.randomness.expected),
      z: known(fit.randomness.z),
      neighbours: known(fit.randomness.neighbours),
    },
    accuracy: fit.accuracy,
    lives: fit.lives,
    warnings: fit.warnings,
    notes: fit.notes,
    curves: fit.curves.map((curve) => ({
      name: curve.name,
      contact_s: curve.startTime,
      drop: dropObject(curve.preset),
      outcome: curve.outcome,
      before: curve.before,
      after: curve.after,
      rms_mm: known(1e3 * curve.rms),
      bias_mm: known(1e3 * curve.bias),
      chiSquared: known(curve.chiSquared),
      t_s: list(curve.time),
      R_mm: list(curve.radius, 1e3),
      residual_mm: list(curve.residual, 1e3),
    })),
    preset: fit.preset,
  }
}

/** The fits that there are, ranked. */
export const hypothesesOf = (fits: readonly Fitted[]) =>
  compareFits(fits.flatMap(({ name, fit }) => (fit ? [{ name, fit }] : [])))

/** The object of --json. */
export function compareObject(
  preset: Preset,
  compared: readonly Compared[],
  fits: readonly Fitted[],
): Record<string, unknown> {
  const hypotheses = fits.length > 1 ? hypothesesOf(fits) : null
  return {
    title: preset.title,
    accuracy: preset.model.accuracy,
    curves: compared.map(comparedObject),
    ...(fits.length > 0 ? { fits: fits.map(fitObject) } : {}),
    ...(hypotheses
      ? {
          hypotheses: hypotheses.ok
            ? { ranked: hypotheses.ranked, words: hypotheses.words }
            : { cause: hypotheses.reason },
        }
      : {}),
  }
}

/** Every point with the lives beside it, as CSV; the first rows, without a name of a fit, are of the drop as it stands. */
export function compareCsv(rows: readonly PointRow[]): string {
  const cell = (value: number) => (Number.isFinite(value) ? String(Number(value.toPrecision(9))) : '')
  const header = ['fit', 'curve', 't_s', 'R_mm', 'uncertainty_mm', 'life_mm', 'residual_mm']
  const body = rows.map(({ fit, curve, t, R, sigma, life, residual }) => [
    guardText(fit),
    guardText(curve),
    cell(t),
    ...[R, sigma, life, residual].map((value) => cell(1e3 * value)),
  ])
  return `${csvFormatRows([header, ...body])}\n`
}
