/** One quantity of a user's liquid as a function of mass fraction and temperature (K), in SI units. */
import { exp, log, log1p } from '../../numerics/elementary.ts'
import { clampFraction, ZERO_CELSIUS } from '../constants.ts'
import type { Point } from '../smoothCurve.ts'
import { tableCurve } from './curve.ts'
import { type QuantityRule, valueKey, valuesKey } from './rules.ts'
import type { OwnQuantity } from './types.ts'

export type Surface = (w: number, T: number) => number

/** Small where traces of alcohol act strongly, so that a table of few rows still bends where the liquid does. */
const STRETCH = 0.05
const stretched = (w: number): number => log1p(clampFraction(w) / STRETCH)

/** Ordinate in which the table is joined; it is undone by `back`. */
function scaleOf(rule: QuantityRule) {
  return rule.logarithmic ? { to: log, back: exp } : { to: (y: number) => y, back: (y: number) => y }
}

/** The w-curve of one temperature; a table that begins above 0 gets pure water (`water`, SI) where that fits its slope. */
function alongStrength(
  w: readonly number[],
  values: readonly number[],
  rule: QuantityRule,
  water: number | undefined,
) {
  const { to, back } = scaleOf(rule)
  const monotone = rule.slope?.massFraction !== undefined
  const points: Point[] = w.map((x, i) => [stretched(x), to(values[i]! * rule.si)])
  const fits = water !== undefined && w[0]! > 0 && (!monotone || to(water) > points[0]![1])
  if (fits) points.unshift([0, to(water)])
  const curve = tableCurve(points, monotone)
  const [low, high] = [points[0]![0], points.at(-1)![0]]
  return (fraction: number) => back(curve(Math.min(Math.max(stretched(fraction), low), high)))
}

/** Joins values at several temperatures: straight lines, of logarithms over 1/T where the quantity is logarithmic. */
function alongTemperature(
  kelvin: readonly number[],
  values: (i: number) => number,
  rule: QuantityRule,
  T: number,
) {
  const { to, back } = scaleOf(rule)
  const place = (t: number) => (rule.logarithmic ? -1 / t : t)
  let i = 0
  while (i < kelvin.length - 2 && T > kelvin[i + 1]!) i++
  const [from, until] = [place(kelvin[i]!), place(kelvin[i + 1]!)]
  const part = (place(T) - from) / (until - from)
  const [first, second] = [to(values(i)), to(values(i + 1))]
  return back(first + part * (second - first))
}

/** Values beyond a table stay physical. */
const within = (rule: QuantityRule, y: number): number =>
  Math.min(Math.max(y, rule.min * rule.si), rule.max * rule.si)

/**
 * The quantity as given. `base` is that of the library liquid: it carries a value that is given at one temperature
 * (`at_C`) to others, and is pure water where a table begins above a strength of 0 (`startsAtWater`).
 */
export function surfaceOf(
  given: OwnQuantity,
  rule: QuantityRule,
  base: Surface,
  startsAtWater = false,
): Surface {
  const at = typeof given.at_C === 'number' ? given.at_C + ZERO_CELSIUS : undefined
  const carried = (plain: (w: number) => number): Surface =>
    at === undefined
      ? (w) => within(rule, plain(w))
      : (w, T) => within(rule, plain(w) * (base(w, T) / base(w, at)))
  const single = given[valueKey(rule)]
  if (typeof single === 'number') return carried(() => single * rule.si)
  const w = given.massFraction as number[] | undefined
  const kelvin = (given.temperature_C as number[] | undefined)?.map((t) => t + ZERO_CELSIUS)
  const table = given[valuesKey(rule)] as number[] | number[][]
  const water = (T: number) => (startsAtWater ? base(0, T) : undefined)
  if (!kelvin) return carried(alongStrength(w!, table as number[], rule, water(at ?? T_REFERENCE)))
  if (!w) {
    const values = table as number[]
    return (_, T) =>
      within(
        rule,
        alongTemperature(kelvin, (i) => values[i]! * rule.si, rule, T),
      )
  }
  const columns = kelvin.map((t, j) =>
    alongStrength(
      w,
      (table as number[][]).map((row) => row[j]!),
      rule,
      water(t),
    ),
  )
  return (fraction, T) =>
    within(
      rule,
      alongTemperature(kelvin, (i) => columns[i]!(fraction), rule, T),
    )
}

/** Where a table names no temperature, water stands in it at 20 °C. */
const T_REFERENCE = ZERO_CELSIUS + 20
