/** Tables on their way in: read, shown where there is a doubt, taken over; what was left out is listed. */

import { countWords, skippedWords } from '../../measured/importWords.ts'
import type { MeasuredCurve, ReadResult } from '../../measured/types.ts'
import { addCurves, say } from '../actions.ts'
import { KEPT, placed, refuse } from '../refuse.ts'
import type { Store } from '../store.ts'
import { lookAt } from './importCard.ts'
import { joinCurves, joinedWords } from './joining.ts'
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
  /** Always show the table before it is taken: it was pasted. */
  look?: boolean
}

/** Reads a table and takes its curves over; asks where something could be meant otherwise. */
export async function importTable(incoming: Incoming, store: Store): Promise<void> {
  const { name, source, look = false } = incoming
  const reader = openTable(source, name)
  const result = await readWatched(reader, (progress) => reader.read({}, progress), name, store)
  if (!result) return
  if (result.ok && !look && !result.unsure) takeCurves(name, result, store)
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
      takeCurves(name, read, store, true)
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
function takeCurves(name: string, result: Read, store: Store, told = false): void {
  const joined = joinCurves(store.getState().measured, result.curves, name)
  if (!fits(name, joined.fresh, store)) return
  const about = joinedWords(joined)
  if (about) say(store, 'note', `${name}: ${about}`)
  const fresh = joined.fresh.map((curve) => withOrigin(curve, result))
  if (fresh.length === 0) return
  addCurves(store, fresh)
  const words = [...result.warnings, skippedWords(result.skipped)].filter(Boolean).join(' ')
  if (words)
    say(store, 'warning', `${name}: ${words}`, 'The other points are here; the list stays with the curve.')
  else if (told) say(store, 'note', `${name}: ${countWords(fresh)} taken over.`)
}

/** Says so, and gives false, where the page would hold too many points. */
export function fits(name: string, fresh: readonly MeasuredCurve[], store: Store): boolean {
  const points = [...store.getState().measured, ...fresh].reduce((sum, curve) => sum + curve.time.length, 0)
  if (points <= mostPoints) return true
  const text = `${name} would bring the page to ${points} measured points; it takes ${mostPoints}.`
  say(store, 'error', text, KEPT)
  return false
}
