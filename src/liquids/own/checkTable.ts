/** Tables of a user's liquid: axes that rise, as many numbers as rows, physical slopes. */
import { complaint, numberProblem } from './complaints.ts'
import { shown } from './messageWords.ts'
import { AXES, type AxisName, LIMITS, type QuantityRule } from './rules.ts'
import type { OwnProblem } from './types.ts'

const count = (n: number, what: string): string => `${n} ${what}${n === 1 ? '' : 's'}`

/** A list that rises, within the range of its axis. */
export function axisProblems(where: string, value: unknown, name: AxisName): OwnProblem[] {
  if (!Array.isArray(value)) return [complaint(where, `is ${shown(value)}; it must be a list of numbers.`)]
  if (value.length < 2 || value.length > LIMITS.rows) {
    return [complaint(where, `has ${count(value.length, 'row')}. Permitted: 2 to ${LIMITS.rows}.`)]
  }
  const wrong = value.flatMap((x, i) => numberProblem(`${where}.${i}`, x, AXES[name]))
  if (wrong.length > 0) return wrong
  const at = value.findIndex((x, i) => i > 0 && !(x > value[i - 1]))
  if (at < 0) return []
  return [complaint(`${where}.${at}`, `is ${value[at]} after ${value[at - 1]}; the numbers must rise.`)]
}

/** Compares neighbours along one axis; `rows` are lists of values along it. */
function slopeProblems(
  where: string,
  rows: number[][],
  rule: QuantityRule,
  axis: AxisName,
  along: number[],
): OwnProblem[] {
  const sign = rule.slope?.[axis]
  if (!sign) return []
  for (const row of rows) {
    const at = row.findIndex((y, i) => i > 0 && (sign > 0 ? y <= row[i - 1]! : y > row[i - 1]!))
    if (at < 0) continue
    const unit = rule.unit && ` ${rule.unit}`
    const went = `goes from ${row[at - 1]}${unit} at ${axis} ${along[at - 1]} to ${row[at]}${unit} at ${along[at]}`
    const must = sign > 0 ? 'It must rise' : 'It must not rise'
    return [complaint(where, `${went}. ${must}: ${rule.because}. Smooth the table or leave a row out.`)]
  }
  return []
}

const listOf = (count: number, axis: string): string => `a list of ${count} numbers, one for each ${axis}`

/** Values over one axis (a list) or two (a list of lists), and their slopes. */
export function tableProblems(
  where: string,
  value: unknown,
  rule: QuantityRule,
  axes: [AxisName, number[]][],
): OwnProblem[] {
  const [first, second] = axes as [[AxisName, number[]], [AxisName, number[]]?]
  const [name, rows] = first
  if (!Array.isArray(value) || value.length !== rows.length) {
    const is = Array.isArray(value) ? `has ${count(value.length, 'row')}` : `is ${shown(value)}`
    return [
      complaint(
        where,
        `${is}. Permitted: ${second ? `${rows.length} lists, one for each ${name}` : listOf(rows.length, name)}.`,
      ),
    ]
  }
  if (!second) {
    const wrong = value.flatMap((y, i) => numberProblem(`${where}.${i}`, y, rule))
    return wrong.length > 0 ? wrong : slopeProblems(where, [value], rule, name, rows)
  }
  const [other, columns] = second
  const wrong = value.flatMap((row: unknown, i) => {
    if (!Array.isArray(row) || row.length !== columns.length) {
      const is = Array.isArray(row) ? `has ${count(row.length, 'number')}` : `is ${shown(row)}`
      return [complaint(`${where}.${i}`, `${is}. Permitted: ${listOf(columns.length, other)}.`)]
    }
    return row.flatMap((y, j) => numberProblem(`${where}.${i}.${j}`, y, rule))
  })
  if (wrong.length > 0) return wrong
  const turned = columns.map((_, j) => value.map((row: number[]) => row[j]!))
  return [
    ...slopeProblems(where, turned, rule, name, rows),
    ...slopeProblems(where, value, rule, other, columns),
  ]
}
