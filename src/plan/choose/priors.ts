/** What is known of the unknowns beforehand, and places of it. */
import { keyOf, type NumberKey } from '../../life/keys.ts'
import type { Preset } from '../../life/types.ts'
import { presentValue, scalingOf } from '../../measured/fit/unknowns.ts'
import { normalQuantile } from '../../numerics/sampling/normal.ts'
import { Sobol } from '../../numerics/sampling/sobol.ts'
import type { ChooseWish, Unknown } from './types.ts'

/** Taken where nothing is stated, 1 σ: this share of a value above zero, … */
const USUAL_SHARE = 0.3
/** … and this much of a strength. */
const USUAL_STRENGTH = 0.03

/** No place lies further off than this many σ: what is less likely than one in seven does not decide. */
const REACH = 1.5

/** An unknown where it stands. Its path is one that can be fitted. */
export function unknownOf(path: string, { preset, priors = {} }: ChooseWish): Unknown {
  const { label, unit } = keyOf(path) as NumberKey
  const prior = priors[path]
  const value = prior?.value ?? presentValue(preset, path)
  const usual = scalingOf(path).logarithmic ? USUAL_SHARE * value : USUAL_STRENGTH
  return { path, label, unit, value, sigma: prior?.sigma ?? usual, stated: prior !== undefined }
}

/**
 * Values of the unknowns at each place: the middle, then points of a Sobol sequence laid on normal distributions (of the
 * logarithm where the value is above zero), not beyond `REACH` σ and within what is permitted.
 */
export function drawsOf(unknowns: readonly Unknown[], count: number): number[][] {
  const sobol = new Sobol(unknowns.length)
  return Array.from({ length: count }, (_, d) => {
    const point = d === 0 ? null : sobol.point(d + 1)
    return unknowns.map(({ path, value, sigma }, j) => {
      if (!point) return value
      const z = Math.min(Math.max(normalQuantile(point[j]!), -REACH), REACH)
      const { logarithmic, lower, upper } = scalingOf(path)
      const { min, max } = keyOf(path) as NumberKey
      const moved = logarithmic ? value * Math.exp((z * sigma) / value) : value + z * sigma
      return Math.min(Math.max(moved, lower, min), upper, max)
    })
  })
}

/** Steps of the slopes, as a share of the value: a third of what is known beforehand, within these bounds. */
const STEPS = { part: 1 / 3, least: 0.02, most: 0.12 }

/** Values above and below at which lives are compared; one-sided where a limit is near. */
export function stepsOf({ path, value, sigma }: Unknown, at: number): [number, number] {
  const share = Math.min(Math.max((STEPS.part * sigma) / value, STEPS.least), STEPS.most)
  const { lower, upper } = scalingOf(path)
  const { min, max } = keyOf(path) as NumberKey
  return [Math.min(at * (1 + share), upper, max), Math.max(at * (1 - share), lower, min)]
}

/** Whether a drop has the value at all, and above 0: errors are shares of it. */
export const isAboveZero = (path: string, preset: Preset): boolean => presentValue(preset, path) > 0
