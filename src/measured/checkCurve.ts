/** Is a value from outside (a file, the browser's store) a measured curve? Everything that is wrong is said at once. */

import { isBag, metaProblem, provenanceOf, shown, textProblem } from './metaCheck.ts'
import type {
  CurveMeta,
  CurveOrigin,
  MeasuredCurve,
  Problem,
  SharedCause,
  SharedError,
  Skipped,
} from './types.ts'

export type CurveCheck = { ok: true; curve: MeasuredCurve } | { ok: false; problems: Problem[] }

/** Most points of one curve. */
const MOST_POINTS = 2_000_000
export const SHARED_CAUSES: readonly SharedCause[] = ['scale', 'threshold', 'children']

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
  const shared = sharedOf(value.shared ?? undefined, time?.length ?? 0, say)
  const excluded = marks(value.excluded ?? undefined, time?.length ?? 0, say)
  const meta = metaOf(value.meta ?? {}, say)
  if (problems.length > 0 || !time || !radius) return { ok: false, problems }
  const origin = originOf(value.origin)
  const provenance = provenanceOf(value.provenance)
  const curve: MeasuredCurve = {
    id: value.id as string,
    name: value.name as string,
    time,
    radius,
    ...(uncertainty ? { uncertainty } : {}),
    ...(shared ? { shared } : {}),
    ...(excluded ? { excluded } : {}),
    meta,
    file: value.file as string,
    ...(origin ? { origin } : {}),
    ...(provenance ? { provenance } : {}),
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

/** Shared errors: each cause once, one finite shift per point. */
function sharedOf(value: unknown, count: number, say: Say): SharedError[] | undefined {
  if (value === undefined) return undefined
  if (!Array.isArray(value)) {
    say(`shared is ${shown(value)}; it must be a list.`)
    return undefined
  }
  const causes = new Set<string>()
  const list = value.flatMap((entry: unknown) => {
    const cause = isBag(entry) ? entry.cause : undefined
    if (
      !isBag(entry) ||
      !(SHARED_CAUSES as readonly unknown[]).includes(cause) ||
      causes.has(String(cause))
    ) {
      say(
        `shared holds ${shown(entry)}; each entry has a cause of its own out of ${SHARED_CAUSES.join(', ')}.`,
      )
      return []
    }
    causes.add(String(cause))
    const shift = numbers(entry.shift, 'shift', say)
    if (!shift) return []
    if (shift.length !== count || !shift.every(Number.isFinite))
      say(`shift of ${cause} must hold ${count} finite numbers, one for each point.`)
    return [{ cause: cause as SharedCause, shift }]
  })
  return list.length > 0 ? list : undefined
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
