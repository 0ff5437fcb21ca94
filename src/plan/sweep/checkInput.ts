/** One input of a sweep's plan: what it may be, and what is wrong with it. Pure. */
import { keyOf, type NumberKey } from '../../life/keys.ts'
import { problem, unknownKey } from '../../life/presetCheck.ts'
import { checkLeaf } from '../../life/presetLeaf.ts'
import type { Problem } from '../../life/types.ts'
import { didYouMean, isGroup, shown } from '../../liquids/own/messageWords.ts'
import { type Design, type InputValue, type Listed, MOST_ROWS, type Span, type SweepInput } from './types.ts'

const PARTS = ['from', 'to', 'count', 'logarithmic', 'values']
const FORMS = '{ "from": …, "to": … } or { "values": […] }'

/** A whole number within a range, or what is wrong. */
export function wholeProblem(where: string, value: unknown, min: number, max: number): Problem[] {
  if (Number.isInteger(value) && (value as number) >= min && (value as number) <= max) return []
  return [problem(where, `${where} is ${shown(value)}. Permitted: whole numbers from ${min} to ${max}.`)]
}

/** One value of an input; null is its default. */
export function valueProblem(where: string, path: string, value: unknown): Problem[] {
  const key = keyOf(path)
  if (!key || value === null) return []
  const checked = checkLeaf(key, value)
  return checked.ok ? [] : [problem(where, `${where}: ${checked.message}`)]
}

function checkValues(where: string, key: string, values: unknown): Problem[] {
  if (!Array.isArray(values))
    return [problem(where, `${where}, values is ${shown(values)}; it must be a list in [ ].`)]
  if (values.length < 1 || values.length > MOST_ROWS)
    return [problem(where, `${where}, values has ${values.length} entries. Permitted: 1 to ${MOST_ROWS}.`)]
  return values.flatMap((value, i) => valueProblem(`${where}, value ${i + 1}`, key, value))
}

/** The least and greatest value of a span. */
function checkEnds(where: string, key: NumberKey, given: Record<string, unknown>): Problem[] {
  const ends = ['from', 'to'].flatMap((end) => {
    const checked = checkLeaf(key, given[end])
    return checked.ok ? [] : [problem(where, `${where}, ${end}: ${checked.message}`)]
  })
  if (ends.length > 0) return ends
  const { from, to, logarithmic } = given as { from: number; to: number; logarithmic?: unknown }
  const wrong: Problem[] = []
  if (!(from < to))
    wrong.push(problem(where, `${where}: from is ${from}, to is ${to}. Permitted: from below to.`))
  if (logarithmic !== undefined && typeof logarithmic !== 'boolean')
    wrong.push(
      problem(
        where,
        `${where}, logarithmic is ${shown(logarithmic)}. Permitted: true, false (without quotes).`,
      ),
    )
  if (logarithmic === true && !(from > 0))
    wrong.push(problem(where, `${where}, logarithmic: from is ${from}. Permitted: above 0.`))
  return wrong
}

function checkSpan(where: string, path: string, given: Record<string, unknown>, design?: Design): Problem[] {
  const key = keyOf(path)!
  if (key.kind !== 'number') {
    const options = key.kind === 'switch' ? 'true, false' : key.options.map(({ value }) => value).join(', ')
    return [
      problem(where, `${where} has no numbers to go from and to: give { "values": […] }, of ${options}.`),
    ]
  }
  const wrong = checkEnds(where, key, given)
  if (design === 'list')
    wrong.push(problem(where, `${where}: from and to are not for a list. Give { "values": […] }.`))
  if (design === 'grid') wrong.push(...wholeProblem(`${where}, count`, given.count, 2, MOST_ROWS))
  else if (design && given.count !== undefined)
    wrong.push(
      problem(
        where,
        `${where}, count is for a grid. The number of rows of this design stands beside "design".`,
      ),
    )
  return wrong
}

/** Reads one input of a plan, as far as that can be where the design is not known; what is wrong goes to `problems`. */
export function checkInput(
  path: string,
  given: unknown,
  design: Design | undefined,
  problems: Problem[],
): SweepInput | undefined {
  const where = `inputs, ${path.slice(0, 60)}`
  if (!keyOf(path)) {
    problems.push({ ...unknownKey(path), where })
    return undefined
  }
  if (!isGroup(given)) {
    problems.push(problem(where, `${where} is ${shown(given)}; it must be ${FORMS}.`))
    return undefined
  }
  const before = problems.length
  for (const part of Object.keys(given).filter((name) => !PARTS.includes(name)))
    problems.push(
      problem(
        where,
        `${where}: ${part.slice(0, 60)} is no part of an input. Permitted: ${PARTS.join(', ')}.${didYouMean(part, PARTS)}`,
      ),
    )
  const listed = given.values !== undefined
  const extra = ['from', 'to', 'count', 'logarithmic'].find((part) => given[part] !== undefined)
  if (listed && extra !== undefined)
    problems.push(problem(where, `${where} has values and ${extra}. Permitted: ${FORMS}.`))
  else if (!listed && given.from === undefined && given.to === undefined)
    problems.push(problem(where, `${where} has neither values nor from and to. Permitted: ${FORMS}.`))
  else if (listed) problems.push(...checkValues(where, path, given.values))
  else problems.push(...checkSpan(where, path, given, design))
  if (problems.length > before) return undefined
  if (listed) return { key: path, values: given.values as InputValue[] } satisfies Listed
  const { from, to, logarithmic = false, count } = given as unknown as Span
  return { key: path, from, to, logarithmic, ...(count === undefined ? {} : { count }) } satisfies Span
}
