/** From a wish to the parameters of the fitter: checks, start values, limits, scaling. */
import { keyOf, type NumberKey } from '../../life/keys.ts'
import type { Preset, Problem } from '../../life/types.ts'
import type { MeasuredCurve } from '../types.ts'
import { startOf, usedPoints } from '../usable.ts'
import { type Cause, causesOf, conditionProblems, statedPrior, withConditions } from './causes.ts'
import { curvePreset } from './curvePreset.ts'
import { type FitWish, MOST_UNKNOWNS, type Prior, START_TIME } from './types.ts'
import { presentValue, scalingOf, whyNotFitted } from './unknowns.ts'

/** One number of the fitter, p, around 0 at the start; values in the unit of the key. */
export interface Parameter {
  path: string
  /** Index of the curve whose start time this is; −1 = shared by all curves. */
  curve: number
  label: string
  unit: string
  start: number
  lower: number
  upper: number
  logarithmic: boolean
  /** What is known of it beforehand, in the unit of the key. */
  prior?: Prior
  toValue(p: number): number
  toParameter(value: number): number
  /** Change of the value per change of p. */
  slope(value: number): number
}

export type Setup =
  | { ok: true; presets: Preset[]; parameters: Parameter[]; causes: Cause[]; warnings: string[] }
  | { ok: false; problems: Problem[] }

const wrong = (where: string, message: string): Problem => ({ where, message })

/** Presets of the curves, parameters and causes; all problems at once. */
export function setUp(wish: FitWish): Setup {
  const { curves, unknowns, preset } = wish
  const problems = [
    ...listProblems(wish),
    ...unknowns.flatMap((path) => asProblem(path, preset)),
    ...conditionProblems(wish),
  ]
  const based = problems.length === 0 ? withConditions(withoutHorizon(preset), wish) : null
  if (based && !based.ok) problems.push(...based.problems)
  const base = based?.ok ? based.preset : withoutHorizon(preset)
  const presets: Preset[] = []
  for (const curve of curves) {
    const made = curvePreset(base, curve)
    if (made.ok) presets.push(made.preset)
    else problems.push(...made.problems)
  }
  if (problems.length > 0) return { ok: false, problems }
  const made = parametersOf({ ...wish, preset: base }, presets)
  const points = curves.reduce((sum, curve) => sum + usedPoints(curve).time.length, 0)
  const known = points + made.parameters.filter(({ prior }) => prior).length
  if (made.problems.length === 0 && known <= made.parameters.length)
    made.problems.push(tooFew(points, made.parameters.length))
  if (made.problems.length > 0) return { ok: false, problems: made.problems }
  const causes = causesOf({ ...wish, preset: base }, presets)
  return { ok: true, presets, parameters: made.parameters, causes, warnings: made.warnings }
}

function parametersOf(wish: FitWish, presets: readonly Preset[]) {
  const problems: Problem[] = []
  const warnings: string[] = []
  const parameters: Parameter[] = []
  for (const path of wish.unknowns) {
    if (path === START_TIME) {
      parameters.push(...wish.curves.map(startParameter))
      continue
    }
    const made = sharedParameter(path, wish, presets)
    if ('message' in made) problems.push(made)
    else parameters.push(made)
    if (isSpread(presets.map((one) => presentValue(one, path))) && !('message' in made)) {
      warnings.push(
        `${made.label}: the curves' drops differ in what it starts from, but it is fitted as one value for all.`,
      )
    }
  }
  return { problems, warnings, parameters }
}

/** The end of the life is decided by the engine, or by the last measured point: an own longest life would cut it off. */
const withoutHorizon = (preset: Preset): Preset => {
  const { horizon_s: _, ...model } = preset.model
  return { ...preset, model }
}

const tooFew = (points: number, unknowns: number): Problem =>
  wrong(
    'points',
    `${points} ${points === 1 ? 'point' : 'points'} for ${unknowns} unknown ${unknowns === 1 ? 'number' : 'numbers'}: at least ${unknowns + 1} are needed.`,
  )

function listProblems({ curves, unknowns }: FitWish): Problem[] {
  const problems: Problem[] = []
  if (curves.length === 0) problems.push(wrong('curves', 'Choose at least one measured curve.'))
  for (const curve of curves) {
    if (usedPoints(curve).time.length > 0) continue
    problems.push(wrong('curves', `${curve.name}: all its points are set aside; at least one is needed.`))
  }
  const count = new Set(unknowns).size
  if (count < 1 || count > MOST_UNKNOWNS) {
    problems.push(wrong('unknowns', `${count} unknowns are chosen. Permitted: 1 to ${MOST_UNKNOWNS}.`))
  }
  if (count < unknowns.length) problems.push(wrong('unknowns', 'An unknown is named twice.'))
  return problems
}

function asProblem(path: string, preset: Preset): Problem[] {
  const why = whyNotFitted(path, preset)
  return why ? [wrong(path, why)] : []
}

const isSpread = (values: readonly number[]): boolean =>
  values.some((value) => Math.abs(value - values[0]!) > 1e-9 * Math.abs(value))

/** Keys that a curve can state for itself: they cannot be one unknown for curves that state different values. */
const STATED = ['drop.alcoholMassFraction', 'drop.volume_uL', 'bath.depth_mm']

function sharedParameter(path: string, wish: FitWish, presets: readonly Preset[]): Parameter | Problem {
  const key = keyOf(path) as NumberKey
  const values = presets.map((one) => presentValue(one, path))
  if (STATED.includes(path) && isSpread(values)) {
    const list = [...new Set(values.map((value) => Number(value.toPrecision(4))))].join(', ')
    const message =
      `${key.label} cannot be one unknown: the curves state different values (${list} ${key.unit}`.trimEnd()
    return wrong(path, `${message}). Fit the curves one by one, or take it from the unknowns.`)
  }
  const scaling = scalingOf(path)
  const [low, high] = wish.limits?.[path] ?? [scaling.lower, scaling.upper]
  const lower = Math.max(low, scaling.lower)
  const upper = Math.min(high, scaling.upper)
  if (!(low >= key.min && high <= key.max && lower < upper)) {
    return wrong(
      path,
      `${key.label}: the limits ${low} to ${high} are not usable. Permitted: ${key.min} to ${key.max} ${key.unit}`.trimEnd() +
        ', the lower one first.',
    )
  }
  const prior = wish.priors?.[path] ?? statedPrior(path, wish)
  const known = prior?.value ?? values[0]!
  const present = known > 0 || !scaling.logarithmic ? known : (key.fallback ?? lower)
  const start = Math.min(Math.max(present, lower), upper)
  const common = {
    path,
    curve: -1,
    label: key.label,
    unit: key.unit,
    start,
    lower,
    upper,
    logarithmic: scaling.logarithmic,
    ...(prior ? { prior } : {}),
  }
  if (!scaling.logarithmic) return { ...common, ...linear(start, scaling.unit) }
  return {
    ...common,
    toValue: (p) => within(start * Math.exp(p), lower, upper),
    toParameter: (value) => Math.log(value / start),
    slope: (value) => value,
  }
}

/** Rounding must not carry a value out of its limits. */
const within = (value: number, lower: number, upper: number) => Math.min(Math.max(value, lower), upper)

const linear = (start: number, unit: number): Pick<Parameter, 'toValue' | 'toParameter' | 'slope'> => ({
  toValue: (p) => start + unit * p,
  toParameter: (value) => (value - start) / unit,
  slope: () => unit,
})

/**
 * Contact of one curve on its own clock: at the earliest as long before its first point as it lasts, at the latest
 * when it is widest.
 */
function startParameter(curve: MeasuredCurve, index: number): Parameter {
  const { time, radius } = usedPoints(curve)
  const stated = startOf(curve)
  const span = time.at(-1)! - time[0]! || 1
  const widest = time[radius.indexOf(Math.max(...radius))]!
  const lower = stated + Math.min(time[0]! - span, 0)
  const upper = stated + Math.max(widest, 0)
  const label = `Contact, ${curve.name}`
  const sigma = curve.meta.sigma?.startTime_s
  const common = {
    path: START_TIME,
    curve: index,
    label,
    unit: 's',
    start: stated,
    lower,
    upper,
    logarithmic: false,
    ...(sigma !== undefined && sigma > 0 ? { prior: { value: stated, sigma } } : {}),
  }
  return { ...common, ...linear(stated, 0.1 * span) }
}
