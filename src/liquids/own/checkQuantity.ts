/** One quantity of a user's liquid against its rule: form, axes, numbers. Everything that is wrong is reported at once. */
import type { Quality } from '../types.ts'
import { checkActivity, checkConstants } from './checkConstants.ts'
import { axisProblems, tableProblems } from './checkTable.ts'
import { complaint, numberProblem, textProblem } from './complaints.ts'
import { didYouMean, isGroup, shown } from './messageWords.ts'
import { AXES, type AxisName, LIMITS, type QuantityRule, valueKey, valuesKey } from './rules.ts'
import type { OwnProblem, OwnQuantity } from './types.ts'

const QUALITIES: readonly Quality[] = ['measured', 'correlated', 'derived', 'assumed', 'from memory']

const AXIS_NAMES = Object.keys(AXES) as AxisName[]

function valueProblems(where: string, given: Record<string, unknown>, rule: QuantityRule): OwnProblem[] {
  const [single, many] = [valueKey(rule), valuesKey(rule)]
  const axes = AXIS_NAMES.filter((name) => name in given)
  const forms = rule.axes.length > 0 ? `${single}, or ${many} with ${rule.axes.join(' and/or ')}` : single
  if (single in given === many in given) {
    const is = single in given ? `holds both ${single} and ${many}` : 'holds no value'
    return [complaint(where, `${is}. Give ${forms}.`)]
  }
  if (single in given) {
    const wrong = numberProblem(`${where}.${single}`, given[single], rule)
    if (axes.length > 0)
      wrong.push(complaint(`${where}.${axes[0]}`, `is given beside ${single}; a table has ${many}.`))
    if (rule.needsTemperature && !('at_C' in given))
      wrong.push(complaint(where, 'holds a single value; say with at_C at which temperature.'))
    return wrong
  }
  if (axes.length === 0)
    return [complaint(`${where}.${many}`, `stands alone; a table needs ${rule.axes.join(' and/or ')}.`)]
  const wrong = axes.flatMap((name) => axisProblems(`${where}.${name}`, given[name], name))
  if (axes.includes('temperature_C') && 'at_C' in given)
    wrong.push(complaint(`${where}.at_C`, 'is given beside temperature_C; keep one of them.'))
  const { massFraction } = given
  if (rule.needsPure && wrong.length === 0 && axes.includes('massFraction')) {
    const last = (massFraction as number[]).at(-1)
    if (last !== 1)
      wrong.push(
        complaint(
          `${where}.massFraction`,
          `ends at ${last}; it must end at 1: the ${rule.words} of the pure liquid is needed.`,
        ),
      )
  }
  if (wrong.length > 0) return wrong
  const known = axes.map((name) => [name, given[name]] as [AxisName, number[]])
  return tableProblems(`${where}.${many}`, given[many], rule, known)
}

/** Keys that a quantity may have. */
function keysOf(rule: QuantityRule): string[] {
  const own =
    rule.name === 'activity'
      ? ['model']
      : [valueKey(rule), ...(rule.axes.length > 0 ? [valuesKey(rule)] : [])]
  const at = rule.axes.includes('temperature_C') ? ['at_C'] : []
  return [...own, ...rule.axes, ...at, ...Object.keys(rule.constants ?? {}), 'source', 'quality', 'range']
}

/** What is wrong with a quantity; nothing if it can be used. `where` is its dotted path. */
export function quantityProblems(where: string, given: unknown, rule: QuantityRule): OwnProblem[] {
  if (!isGroup(given)) return [complaint(where, `is ${shown(given)}; it must be a group of keys in { }.`)]
  const known = keysOf(rule)
  const strange = Object.keys(given).filter((name) => !known.includes(name))
  const problems = strange.map((name) =>
    complaint(`${where}.${name.slice(0, 60)}`, `is not a key of ${rule.name}.${didYouMean(name, known)}`),
  )
  problems.push(...textProblem(`${where}.source`, given.source, LIMITS.source, true))
  if (!QUALITIES.includes(given.quality as Quality))
    problems.push(
      complaint(`${where}.quality`, `is ${shown(given.quality)}. Permitted: ${QUALITIES.join(', ')}.`),
    )
  problems.push(...textProblem(`${where}.range`, given.range, LIMITS.range, false))
  if ('at_C' in given) problems.push(...numberProblem(`${where}.at_C`, given.at_C, AXES.temperature_C))
  if (strange.length > 0) return problems
  if (rule.name === 'activity') return [...problems, ...checkActivity(where, given, rule)]
  const constants = Object.keys(rule.constants ?? {}).some((name) => name in given)
  return [
    ...problems,
    ...(constants ? checkConstants(where, given, rule) : valueProblems(where, given, rule)),
  ]
}

/** A checked quantity with its keys in a fixed order. */
export const tidyQuantity = (given: Record<string, unknown>, rule: QuantityRule): OwnQuantity =>
  Object.fromEntries(
    keysOf(rule).flatMap((key) => (key in given ? [[key, given[key]]] : [])),
  ) as unknown as OwnQuantity
