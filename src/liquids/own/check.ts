/** A user's liquid from any value (parsed JSON, a message, a link). Nothing is guessed; everything wrong is told at once. */
import { ZERO_CELSIUS } from '../constants.ts'
import { mixtures, oils } from '../registry.ts'
import { quantityProblems, tidyQuantity } from './checkQuantity.ts'
import { complaint, textProblem } from './complaints.ts'
import { didYouMean, isGroup, shown } from './messageWords.ts'
import { temperatureRangeOf } from './notes.ts'
import { LIMITS, RULES } from './rules.ts'
import type { OwnKind, OwnLiquid, OwnProblem } from './types.ts'

export type OwnResult = { ok: true; liquid: OwnLiquid } | { ok: false; problems: OwnProblem[] }

/** Keys of a liquid file that say what it is; they may stand in a preset too. */
const HEAD = ['format', 'version', 'kind']
const WORDS = ['name', 'like', 'note', 'safetyNote']

/** The library liquids that a user's liquid of this kind may be like. */
const likes = (kind: OwnKind): string[] => Object.keys(kind === 'mixture' ? mixtures : oils)

function headProblems(
  at: (name: string) => string,
  value: Record<string, unknown>,
  kind: OwnKind,
): OwnProblem[] {
  const problems = [
    ...textProblem(at('name'), value.name, LIMITS.name, true),
    ...textProblem(at('note'), value.note, LIMITS.text, false),
    ...textProblem(at('safetyNote'), value.safetyNote, LIMITS.text, false),
  ]
  const known = likes(kind)
  if (!known.includes(value.like as string)) {
    const hint = typeof value.like === 'string' ? didYouMean(value.like, known) : ''
    problems.push(
      complaint(
        at('like'),
        `is ${shown(value.like)}; it names the library liquid that fills in what is left out. Permitted: ${known.join(', ')}.${hint}`,
      ),
    )
  }
  if ('kind' in value && value.kind !== kind)
    problems.push(complaint(at('kind'), `is ${shown(value.kind)}. Permitted here: ${kind}.`))
  return problems
}

/** Rules over all quantities: tables must share some temperatures, and not be endless. */
function wholeProblems(kind: OwnKind, liquid: OwnLiquid, prefix: string): OwnProblem[] {
  const count = JSON.stringify(liquid).match(/\d+(\.\d+)?/g)?.length ?? 0
  if (count > LIMITS.numbers)
    return [complaint(prefix || 'liquid', `holds ${count} numbers. Permitted: at most ${LIMITS.numbers}.`)]
  const base = kind === 'mixture' ? mixtures[liquid.like]! : oils[liquid.like]!
  const [low, high] = temperatureRangeOf(kind, liquid, base.temperatureRange)
  if (low < high) return []
  const message = `has tables that share no temperature between 10 and 35 °C (the last begins at ${celsius(low)}, the first ends at ${celsius(high)}).`
  return [complaint(prefix || 'liquid', message)]
}

const celsius = (T: number): string => `${Number((T - ZERO_CELSIUS).toFixed(2))} °C`

/** Checks a liquid of a kind. `prefix` is its dotted path within a preset, '' in a file of its own. */
export function checkOwn(kind: OwnKind, value: unknown, prefix = ''): OwnResult {
  const at = (name: string) => (prefix ? `${prefix}.${name}` : name)
  if (!isGroup(value)) {
    const what = kind === 'mixture' ? 'A mixture' : 'An oil'
    return {
      ok: false,
      problems: [{ where: prefix, message: `${what} is a group in { }; this is ${shown(value)}.` }],
    }
  }
  const rules = RULES[kind]
  const known = [...HEAD, ...WORDS, ...rules.map(({ name }) => name)]
  const problems = headProblems(at, value, kind)
  const liquid: Record<string, unknown> = {}
  for (const name of Object.keys(value)) {
    if (known.includes(name)) continue
    const what = kind === 'mixture' ? 'a mixture' : 'an oil'
    problems.push(complaint(at(name.slice(0, 60)), `is not a key of ${what}.${didYouMean(name, known)}`))
  }
  for (const name of WORDS) if (value[name] !== undefined) liquid[name] = value[name]
  for (const rule of rules) {
    const given = value[rule.name]
    if (given === undefined || given === null) continue
    const wrong = quantityProblems(at(rule.name), given, rule)
    problems.push(...wrong)
    if (wrong.length === 0) liquid[rule.name] = tidyQuantity(given as Record<string, unknown>, rule)
  }
  if (problems.length === 0) problems.push(...wholeProblems(kind, liquid as OwnLiquid, prefix))
  return problems.length > 0 ? { ok: false, problems } : { ok: true, liquid: liquid as unknown as OwnLiquid }
}
