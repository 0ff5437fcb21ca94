/** Several tabs, one set of curves: what becomes of a change when the kept curve is no longer the one it was made from. */
import { checkCurve } from '../../measured/checkCurve.ts'
import { sameCurve } from '../../measured/sameCurve.ts'
import type { MeasuredCurve } from '../../measured/types.ts'

/** A curve as it is kept. */
export interface Kept {
  id: string
  /** Counts the changes of this curve, from 1. */
  revision: number
  /** Names this very change: revision and tab. */
  stamp: string
  /** Moment of removal, ms since 1970; 0 while the curve is there. */
  removed: number
  /** Null once a removed curve was let go of for good. */
  curve: MeasuredCurve | null
}

/** Order of the list and curves that are not drawn. */
export interface KeptView {
  order: readonly string[]
  hidden: readonly string[]
}

/** One change of this tab. `base` is the stamp of what it was made from; missing = the curve was new here. */
export interface Change {
  id: string
  /** Null = removed. */
  curve: MeasuredCurve | null
  base: string | undefined
}

export type Outcome =
  /** The change is kept, or says what is kept already. */
  | { kind: 'kept'; id: string; kept: Kept }
  /** Another tab changed the curve meanwhile: its version stays, the own one is kept beside it as `copy`. */
  | { kind: 'both'; id: string; theirs: Kept; copy: Kept }
  /** Removed here but changed in another tab: the changed curve stays. */
  | { kind: 'stays'; id: string; theirs: Kept }
  /** Changed here but removed in another tab: the change wins. */
  | { kind: 'revived'; id: string; kept: Kept }

/** What becomes of a change. `present` is what is kept under the id; `now` in ms since 1970. */
export function settle(change: Change, present: Kept | undefined, tab: string, now: number): Outcome {
  const { id, curve, base } = change
  const next = (
    removed: number,
    kept: MeasuredCurve | null,
    revision = (present?.revision ?? 0) + 1,
  ): Kept => ({
    id,
    revision,
    stamp: `${revision}-${tab}`,
    removed,
    curve: kept,
  })
  const foreign = present !== undefined && present.stamp !== base
  if (!curve) {
    if (present && foreign && !present.removed) return { kind: 'stays', id, theirs: present }
    return { kind: 'kept', id, kept: present?.removed ? present : next(now, present?.curve ?? null) }
  }
  if (!present || !foreign) return { kind: 'kept', id, kept: next(0, curve) }
  if (present.removed) return { kind: base === undefined ? 'kept' : 'revived', id, kept: next(0, curve) }
  if (present.curve && sameCurve(present.curve, curve)) return { kind: 'kept', id, kept: present }
  const copy = asCopy(curve, `${id}~${present.revision + 1}-${tab}`)
  return { kind: 'both', id, theirs: present, copy: { ...next(0, copy, 1), id: copy.id } }
}

/** The own version of a curve that was changed in two tabs, under a name and an id of its own. */
const asCopy = (curve: MeasuredCurve, id: string): MeasuredCurve => ({
  ...curve,
  id,
  name: `${curve.name} (other version)`,
})

/** What an outcome writes; nothing if it is there already. */
export function written(outcome: Outcome, present: Kept | undefined): Kept | null {
  if (outcome.kind === 'stays') return null
  const kept = outcome.kind === 'both' ? outcome.copy : outcome.kept
  return kept === present ? null : kept
}

/** What is kept, checked: a record that breaks the rules gives the reason instead. */
export function readKept(record: unknown): { ok: true; kept: Kept } | { ok: false; reason: string } {
  const { id, revision, stamp, removed, curve } = (record ?? {}) as Partial<Record<keyof Kept, unknown>>
  if (typeof id !== 'string' || typeof stamp !== 'string') return { ok: false, reason: 'its id is missing' }
  const counts = typeof revision === 'number' && Number.isInteger(revision) && typeof removed === 'number'
  if (!counts) return { ok: false, reason: 'its counters are missing' }
  if (curve === null && removed > 0) return { ok: true, kept: { id, revision, stamp, removed, curve } }
  const checked = checkCurve(curve, id)
  if (!checked.ok) return { ok: false, reason: checked.problems[0]!.message }
  return { ok: true, kept: { id, revision, stamp, removed, curve: { ...checked.curve, id } } }
}

const day = 86_400_000
/** Removed curves are kept for so long, ms, and so many of them; what is left of them then, to tell other tabs, a while longer. */
const keptFor = 30 * day
const mostRemoved = 50
const rememberedFor = 90 * day

/** Removed curves that have been kept long enough: their emptied records, and ids to be forgotten altogether. */
export function outdated(kept: readonly Kept[], now: number): { emptied: Kept[]; forgotten: string[] } {
  const removed = kept.filter((one) => one.removed > 0).sort((a, b) => b.removed - a.removed)
  const full = removed.filter((one) => one.curve)
  return {
    emptied: full.filter((one, i) => i >= mostRemoved || now - one.removed > keptFor).map(emptied),
    forgotten: removed.filter((one) => !one.curve && now - one.removed > rememberedFor).map(({ id }) => id),
  }
}

/** A removed curve without its numbers. */
export const emptied = (kept: Kept): Kept => ({ ...kept, curve: null })
