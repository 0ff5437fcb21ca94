/** Tables on their way in: read, shown where there is a doubt, taken over; what was left out is listed. */

import { countWords, skippedWords } from '../../measured/importWords.ts'
import { PROGRAM_VERSION } from '../../measured/programVersion.ts'
import type { Choices, MeasuredCurve, Provenance, ReadResult } from '../../measured/types.ts'
import { addCurves, say } from '../actions.ts'
import { KEPT, placed, refuse } from '../refuse.ts'
import type { Store } from '../store.ts'
import { sha256 } from '../video/hashing.ts'
import { lookAt } from './importCard.ts'
import { joinCurves, joinedWords } from './joining.ts'
import { whereListed } from './listed.ts'
import { readWatched } from './reading.ts'
import { openTable, type TableReader } from './tableReader.ts'

/** Most points of all measured curves together, so that the page stays quick. */
const mostPoints = 2_000_000
/** Most entries of the list of skipped rows that stay with a curve. */
const mostSkipped = 200

type Read = ReadResult & { ok: true }

/** Where a table comes from and how it is to be treated. */
export interface Incoming {
  /** For messages and as the name of a curve without one. */
  name: string
  source: Uint8Array | string
  /** Which file it is, and by what it is read. */
  made?: Provenance
  /** Always show the table before it is taken: it was pasted. */
  look?: boolean
  /** What is known of it before: answers that hold unless others are given. */
  base?: Choices
}

/** Reads a table and takes its curves over; asks where something could be meant otherwise. */
export async function importTable(given: Incoming, store: Store): Promise<void> {
  const { name, source, look = false, base = {} } = given
  // The bytes go to a worker: their sum is made before.
  const sum = typeof source === 'string' ? undefined : await sha256(source as Uint8Array<ArrayBuffer>)
  const made = { ...(sum ? { sha256: sum } : {}), version: PROGRAM_VERSION, made: new Date().toISOString() }
  const incoming = { ...given, made }
  const reader = openTable(source, name, base)
  const result = await readWatched(reader, (progress) => reader.read({}, progress), name, store)
  if (!result) return
  if (result.ok && !look && !result.unsure) takeCurves(incoming, result, store)
  else if (result.preview && (result.ok || result.askOnly || look)) show(incoming, reader, result, store)
  else refuseTable(incoming, reader, result as ReadResult & { ok: false }, store)
}

function show(incoming: Incoming, reader: TableReader, result: ReadResult, store: Store): void {
  const { name } = incoming
  lookAt({
    name,
    result,
    reader,
    take(read) {
      reader.stop()
      takeCurves(incoming, read, store, true)
    },
    leave() {
      reader.stop()
      say(store, 'note', `${name} was not taken over.`, KEPT)
    },
  })
}

function refuseTable(
  incoming: Incoming,
  reader: TableReader,
  result: ReadResult & { ok: false },
  store: Store,
): void {
  reader.stop()
  const action = result.preview
    ? { label: 'Look at its columns', run: () => show(incoming, reader, result, store) }
    : undefined
  refuse(store, `${incoming.name} cannot be used.`, placed(result.problems, incoming.name), KEPT, action)
}

/** Keeps with a curve what its reading told. */
function withOrigin(curve: MeasuredCurve, { skipped, warnings }: Read): MeasuredCurve {
  if (skipped.length + warnings.length === 0) return curve
  const more = skipped.length - mostSkipped
  const origin = {
    skipped: skipped.slice(0, mostSkipped),
    ...(more > 0 ? { skippedMore: more } : {}),
    warnings,
  }
  return { ...curve, origin }
}

/** Adds what a table gave, and tells what was left out. */
function takeCurves({ name, made }: Incoming, result: Read, store: Store, told = false): void {
  const joined = joinCurves(store.getState().measured, result.curves, name)
  if (!fits(name, joined.fresh, store)) return
  const about = joinedWords(joined)
  if (about) say(store, 'note', `${name}: ${about}`)
  const fresh = joined.fresh.map((curve) => withOrigin(made ? { provenance: made, ...curve } : curve, result))
  if (fresh.length === 0) return
  addCurves(store, fresh)
  const words = [...result.warnings, skippedWords(result.skipped)].filter(Boolean).join(' ')
  const listed = whereListed(store)
  if (words) {
    const kept = `The other points are here; the list stays with the curve. ${listed.words}`.trim()
    say(store, 'warning', `${name}: ${words}`, kept, listed.action)
  } else if (told || listed.action)
    say(store, 'note', `${name}: ${countWords(fresh)} taken over.`, listed.words, listed.action)
}

/** Says so, and gives false, where the page would hold too many points. */
export function fits(name: string, fresh: readonly MeasuredCurve[], store: Store): boolean {
  const points = [...store.getState().measured, ...fresh].reduce((sum, curve) => sum + curve.time.length, 0)
  if (points <= mostPoints) return true
  const text = `${name} would bring the page to ${points} measured points; it takes ${mostPoints}.`
  say(store, 'error', text, KEPT)
  return false
}
