/** Is a value from outside (a file, the browser's store) a measured curve? Everything that is wrong is said at once. */
import type { CurveColour, CurveMeta, CurveOrigin, MeasuredCurve, Problem, Skipped } from './types.ts'

export type CurveCheck = { ok: true; curve: MeasuredCurve } | { ok: false; problems: Problem[] }

/** Most points of one curve. */
export const MOST_POINTS = 2_000_000
const longestText = 20_000

export const CURVE_COLOURS: readonly CurveColour[] = ['vermilion', 'green', 'purple', 'orange', 'sky', 'blue']

type Bag = Record<string, unknown>

const isBag = (value: unknown): value is Bag =>
  typeof value === 'object' && value !== null && !Array.isArray(value) && !ArrayBuffer.isView(value)

/** A value in a message, short. */
const shown = (value: unknown): string => {
  const text = typeof value === 'number' ? String(value) : (JSON.stringify(value) ?? 'nothing')
  return text.length > 40 ? `${text.slice(0, 39)}…` : text
}

/** The rule of one number of the meta data: test, and the permitted range in words. */
const NUMBERS: Record<string, [(x: number) => boolean, string]> = {
  alcoholFraction: [(x) => x >= 0 && x <= 1, '0 to 1'],
  volume_uL: [(x) => x > 0, 'above 0 µL'],
  startTime_s: [() => true, 'a finite number of seconds'],
  depth_mm: [(x) => x > 0, 'above 0 mm'],
  temperature_C: [(x) => x > -273.15 && x < 1000, '−273.15 °C to 1000 °C'],
}

const TEXTS = ['alcohol', 'conditions', 'note'] as const

/** What is wrong with one entry of the meta data; '' if nothing is. Unknown entries are wrong. */
export function metaProblem(key: string, value: unknown): string {
  const rule = Object.hasOwn(NUMBERS, key) ? NUMBERS[key]! : null
  if (rule) {
    const good = typeof value === 'number' && Number.isFinite(value) && rule[0](value)
    return good ? '' : `${key} is ${shown(value)}. Permitted: ${rule[1]}.`
  }
  const choices =
    key === 'fractionBasis'
      ? ['mass', 'volume']
      : key === 'colour'
        ? (CURVE_COLOURS as readonly string[])
        : null
  if (choices) {
    return choices.includes(value as string)
      ? ''
      : `${key} is ${shown(value)}. Permitted: ${choices.join(', ')}.`
  }
  if ((TEXTS as readonly string[]).includes(key)) return textProblem(key, value)
  return `${key} is not known here.`
}

function textProblem(key: string, value: unknown): string {
  if (typeof value !== 'string') return `${key} is ${shown(value)}; it must be a text.`
  return value.length > longestText
    ? `${key} has ${value.length} characters; at most ${longestText} are kept.`
    : ''
}

/**
 * Checks a value laid out like MeasuredCurve, with lists or Float64Arrays of numbers (null in `uncertainty` = not
 * known). `where` names it in messages; null stands for a missing optional entry. The value itself is never changed.
 */
export function checkCurve(value: unknown, where: string): CurveCheck {
  const problems: Problem[] = []
  const say = (message: string, at = '') => {
    if (problems.length < 20 && message) problems.push({ where: at ? `${where}, ${at}` : where, message })
  }
  if (!isBag(value)) {
    return {
      ok: false,
      problems: [{ where, message: `A curve is a group in { }; this is ${shown(value)}.` }],
    }
  }
  for (const key of ['id', 'name', 'file'] as const) say(textProblem(key, value[key]))
  if (value.id === '') say('id is empty.')
  const time = numbers(value.time, 'time', say)
  const radius = numbers(value.radius, 'radius', say)
  const given = value.uncertainty ?? undefined
  const uncertainty = given === undefined ? undefined : numbers(given, 'uncertainty', say, true)
  if (time && radius) points(time, radius, uncertainty ?? undefined, say)
  const excluded = marks(value.excluded ?? undefined, time?.length ?? 0, say)
  const meta = metaOf(value.meta ?? {}, say)
  if (problems.length > 0 || !time || !radius) return { ok: false, problems }
  const origin = originOf(value.origin)
  const curve: MeasuredCurve = {
    id: value.id as string,
    name: value.name as string,
    time,
    radius,
    ...(uncertainty ? { uncertainty } : {}),
    ...(excluded ? { excluded } : {}),
    meta,
    file: value.file as string,
    ...(origin ? { origin } : {}),
  }
  return { ok: true, curve }
}

type Say = (message: string, at?: string) => void

/** A list of numbers as a Float64Array of its own; null with a message otherwise. */
function numbers(value: unknown, name: string, say: Say, gaps = false): Float64Array | null {
  if (value instanceof Float64Array) return value.slice()
  if (!Array.isArray(value)) {
    say(`${name} is ${shown(value)}; it must be a list of numbers.`)
    return null
  }
  if (value.length > MOST_POINTS) {
    say(`${name} has ${value.length} entries; at most ${MOST_POINTS} are kept.`)
    return null
  }
  const wrong = value.findIndex((entry) => typeof entry !== 'number' && !(gaps && entry === null))
  if (wrong >= 0) {
    say(`${name} holds ${shown(value[wrong])}; a number is wanted.`, `point ${wrong + 1}`)
    return null
  }
  return Float64Array.from(value, (entry: number | null) => entry ?? Number.NaN)
}

/** The rules of MeasuredCurve; the first breach of each is said. */
function points(time: Float64Array, radius: Float64Array, sigma: Float64Array | undefined, say: Say): void {
  if (time.length !== radius.length || (sigma && sigma.length !== time.length)) {
    const third = sigma ? `, ${sigma.length} uncertainties` : ''
    say(`There are ${time.length} times, ${radius.length} radii${third}; there must be as many of each.`)
    return
  }
  if (time.length < 2) say('A curve needs at least two points.')
  const first = (wrong: (i: number) => boolean, message: (i: number) => string) => {
    const i = time.findIndex((_, k) => wrong(k))
    if (i >= 0) say(message(i), `point ${i + 1}`)
  }
  first(
    (i) => !Number.isFinite(time[i]!),
    (i) => `The time is ${time[i]}; it must be finite.`,
  )
  first(
    (i) => i > 0 && time[i]! <= time[i - 1]!,
    (i) => `The time ${time[i]} s does not come after ${time[i - 1]} s.`,
  )
  first(
    (i) => !(radius[i]! >= 0 && Number.isFinite(radius[i]!)),
    (i) => `The radius is ${radius[i]} m; it must be finite and not negative.`,
  )
  if (!sigma) return
  first(
    (i) => !(Number.isNaN(sigma[i]!) || (sigma[i]! > 0 && Number.isFinite(sigma[i]!))),
    (i) => `The uncertainty is ${sigma[i]} m; it must be above 0.`,
  )
}

function marks(value: unknown, count: number, say: Say): Uint8Array | undefined {
  if (value === undefined) return undefined
  const list = value instanceof Uint8Array || Array.isArray(value) ? Array.from<unknown>(value) : null
  if (!list || list.length !== count || list.some((entry) => entry !== 0 && entry !== 1)) {
    say(`excluded must be a list of 0 and 1, one for each of the ${count} points.`)
    return undefined
  }
  return list.includes(1) ? Uint8Array.from(list as number[]) : undefined
}

function metaOf(value: unknown, say: Say): CurveMeta {
  if (!isBag(value)) {
    say(`meta is ${shown(value)}; it must be a group in { }.`)
    return {}
  }
  const kept = Object.entries(value).filter(([, entry]) => entry !== null && entry !== undefined)
  for (const [key, entry] of kept) say(metaProblem(key, entry), 'meta')
  return Object.fromEntries(kept) as CurveMeta
}

/** What a reading told; entries that make no sense are passed over, since nothing is computed from them. */
function originOf(value: unknown): CurveOrigin | undefined {
  if (!isBag(value)) return undefined
  const skipped = (Array.isArray(value.skipped) ? value.skipped : []).filter(
    (entry): entry is Skipped =>
      isBag(entry) && typeof entry.line === 'number' && typeof entry.reason === 'string',
  )
  const warnings = (Array.isArray(value.warnings) ? value.warnings : []).filter(
    (entry): entry is string => typeof entry === 'string',
  )
  const more = typeof value.skippedMore === 'number' ? { skippedMore: value.skippedMore } : {}
  return skipped.length + warnings.length > 0 ? { skipped, warnings, ...more } : undefined
}

/** True when two curves say the same: numbers to the bit (NaN equals NaN), words, colour. The id does not count. */
export function sameCurve(a: MeasuredCurve, b: MeasuredCurve): boolean {
  return (
    a.name === b.name &&
    a.file === b.file &&
    sameNumbers(a.time, b.time) &&
    sameNumbers(a.radius, b.radius) &&
    sameNumbers(a.uncertainty, b.uncertainty) &&
    sameNumbers(a.excluded, b.excluded) &&
    sameMeta(a.meta, b.meta)
  )
}

/** True when two lists hold the same numbers to the bit (NaN equals NaN), or both are missing. */
export function sameNumbers(a: ArrayLike<number> | undefined, b: ArrayLike<number> | undefined): boolean {
  if (a === b) return true
  if (!a || !b || a.length !== b.length) return false
  for (let i = 0; i < a.length; i++) if (!Object.is(a[i], b[i])) return false
  return true
}

const sameMeta = (a: CurveMeta, b: CurveMeta): boolean => {
  const keys = new Set([...Object.keys(a), ...Object.keys(b)]) as Set<keyof CurveMeta>
  return [...keys].every((key) => a[key] === b[key])
}
