/** Quantities that are given by constants: van Laar's and Antoine's. */
import { antoinePressure } from '../antoine.ts'
import { ZERO_CELSIUS } from '../constants.ts'
import { complaint, numberProblem } from './complaints.ts'
import { rangeWords, shown } from './messageWords.ts'
import { type QuantityRule, valueKey, valuesKey } from './rules.ts'
import type { OwnProblem } from './types.ts'

function constantProblems(where: string, given: Record<string, unknown>, rule: QuantityRule): OwnProblem[] {
  return Object.entries(rule.constants ?? {}).flatMap(([name, range]) =>
    name in given
      ? numberProblem(`${where}.${name}`, given[name], range)
      : [complaint(`${where}.${name}`, `is missing. Permitted: ${rangeWords(range)}.`)],
  )
}

/** Activity coefficients: "ideal", or "van-laar" with both constants. */
export function checkActivity(
  where: string,
  given: Record<string, unknown>,
  rule: QuantityRule,
): OwnProblem[] {
  const names = Object.keys(rule.constants ?? {})
  if (given.model === 'ideal') {
    const beside = names.find((name) => name in given)
    return beside
      ? [complaint(`${where}.${beside}`, 'is given beside the model "ideal", which has no constants.')]
      : []
  }
  if (given.model !== 'van-laar')
    return [complaint(`${where}.model`, `is ${shown(given.model)}. Permitted: van-laar, ideal.`)]
  const wrong = constantProblems(where, given, rule)
  if (wrong.length > 0) return wrong
  const { vanLaarA: A, vanLaarB: B } = given as Record<string, number>
  if (A! * B! > 0) return []
  return [
    complaint(
      where,
      `has vanLaarA ${A} and vanLaarB ${B}. Permitted: both above 0, or both below; for an ideal mixture the model "ideal".`,
    ),
  ]
}

/** The room temperatures at which Antoine's constants must make sense, °C. */
const ROOM = [10, 35] as const

/** Antoine constants: all three, and a pressure at room temperature that a volatile liquid can have. */
export function checkConstants(
  where: string,
  given: Record<string, unknown>,
  rule: QuantityRule,
): OwnProblem[] {
  const also = [valueKey(rule), valuesKey(rule), ...rule.axes, 'at_C'].find((name) => name in given)
  if (also) return [complaint(`${where}.${also}`, 'is given beside constants; keep one of the two.')]
  const wrong = constantProblems(where, given, rule)
  if (wrong.length > 0) return wrong
  const { antoineA_log10Pa: A, antoineB_K: B, antoineC_K: C } = given as Record<string, number>
  return ROOM.flatMap((celsius) => {
    const pressure = antoinePressure({ A: A!, B: B!, C: C! }, celsius + ZERO_CELSIUS)
    if (pressure >= rule.min && pressure <= rule.max) return []
    const form = 'The constants are those of log10(p/Pa) = A − B/(T + C), T in K'
    return [
      complaint(
        where,
        `comes to ${pressure.toPrecision(3)} Pa at ${celsius} °C. Permitted: ${rangeWords(rule)}. ${form}.`,
      ),
    ]
  }).slice(0, 1)
}
