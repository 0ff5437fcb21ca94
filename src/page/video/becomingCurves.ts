/** Measured recordings on their way to the curves: new ones behind the others, corrected ones in their own place. */
import type { MeasuredCurve } from '../../measured/types.ts'
import { freeName, putCurves } from '../measured/changes.ts'
import { fits } from '../measured/importing.ts'
import type { Store } from '../store.ts'
import { type Made, madeOf, type Way, wayOf } from './renewing.ts'
import { askRenewal } from './renewQuestion.ts'

/** A curve that a recording gives; `of` names the recording: its id in the queue, else that of its session. */
export interface Wish {
  of: string
  fresh: MeasuredCurve
}

/** What has become of a wish: `curve` is among the measured ones now. */
export interface Become extends Wish {
  kind: Way['kind']
  curve: MeasuredCurve
}

/** Which curves were made of which recording, and what it gave then. */
export interface Links {
  /** The curve that a recording has become, as it is now; null if there is none. */
  of(recording: string): { old: MeasuredCurve; made: Made | null } | null
  note(recording: string, curve: string, made: Made | null): void
}

export function createLinks(store: Store): Links {
  const known = new Map<string, { recording: string; made: Made | null }>()
  return {
    of(recording) {
      const old = store.getState().measured.findLast(({ id }) => known.get(id)?.recording === recording)
      return old ? { old, made: known.get(old.id)!.made } : null
    },
    note: (recording, curve, made) => void known.set(curve, { recording, made }),
  }
}

/** The fresh curve under an id that no other curve has. */
function withFreeId(fresh: MeasuredCurve, taken: ReadonlySet<string>): MeasuredCurve {
  let id = fresh.id
  for (let n = 2; taken.has(id); n++) id = `${fresh.id}~${n}`
  return { ...fresh, id }
}

/**
 * Makes curves of what recordings give. `done` is told what has become of them; where somebody must be asked first, it is
 * told of those once more when the answer is there.
 */
export function becomeCurves(
  store: Store,
  links: Links,
  wishes: readonly Wish[],
  name: string,
  done: (list: readonly Become[]) => void,
): void {
  const ways = wishes.map((wish) => ({
    wish,
    way: wayOf(wish.fresh, links.of(wish.of), store.getState().measured),
  }))

  function put(list: readonly { wish: Wish; kind: Way['kind']; old: MeasuredCurve | null }[]): void {
    const { measured } = store.getState()
    const taken = new Set(measured.map(({ id }) => id))
    const names = [...measured]
    const puts = list.map(({ wish, kind, old }) => {
      if (kind === 'same') return { wish, kind, old, curve: old! }
      const curve = withFreeId(wish.fresh, taken)
      const named = old ? curve : { ...curve, name: freeName(curve.name, names) }
      taken.add(named.id)
      names.push(named)
      return { wish, kind, old, curve: named }
    })
    const moving = puts.filter(({ kind }) => kind !== 'same')
    const fresh = moving.filter(({ old }) => !old).map(({ curve }) => curve)
    if (!fits(name, fresh, store)) return
    putCurves(store, moving)
    for (const { wish, kind, curve } of puts)
      links.note(wish.of, curve.id, kind === 'same' ? (links.of(wish.of)?.made ?? null) : madeOf(curve))
    done(puts.map(({ wish, kind, curve }) => ({ ...wish, kind, curve })))
  }

  const clear = ways.flatMap(({ wish, way }) =>
    way.kind === 'ask' ? [] : [{ wish, kind: way.kind, old: way.kind === 'new' ? null : way.old }],
  )
  const asked = ways.flatMap(({ wish, way }) => (way.kind === 'ask' ? [{ wish, old: way.old }] : []))
  if (clear.length > 0) put(clear)
  if (asked.length === 0) return
  askRenewal(
    asked.map(({ old }) => old),
    {
      renew: () => put(asked.map((one) => ({ ...one, kind: 'renew' }))),
      second: () => put(asked.map(({ wish }) => ({ wish, kind: 'new', old: null }))),
    },
  )
}
