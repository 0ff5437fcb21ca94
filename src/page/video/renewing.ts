/**
 * A recording that becomes a curve once more, corrected: its points take the place of those that it gave before. What was
 * changed by hand in that curve meanwhile is not overwritten unasked.
 */
import { curveId } from '../../measured/curves.ts'
import type { CurveMeta, MeasuredCurve } from '../../measured/types.ts'

/** What a recording gave when it was made a curve. */
export interface Made {
  /** Of times, radii and uncertainties. */
  numbers: string
  /** The uncertainty of a touch-down that was found, s. */
  contact?: number
}

const none = new Float64Array(0)

/** Tells curves of other numbers apart; their names do not matter. */
export function numbersOf(curve: MeasuredCurve): string {
  const plain = { ...curve, name: '' }
  return `${curveId('', plain)} ${curveId('', { ...plain, time: curve.uncertainty ?? none, radius: none })}`
}

export const madeOf = (curve: MeasuredCurve): Made => ({
  numbers: numbersOf(curve),
  ...(curve.meta.sigma?.startTime_s === undefined ? {} : { contact: curve.meta.sigma.startTime_s }),
})

/** True if a curve was changed point by point since a recording gave it, or points of it were set aside. */
export const isChanged = (curve: MeasuredCurve, made: Made | null): boolean =>
  curve.excluded !== undefined || made === null || numbersOf(curve) !== made.numbers

/** What is stated of a curve, without what its own recording said of its touch-down: that is found anew. */
export function metaToRenew({ meta }: MeasuredCurve, made: Made | null): CurveMeta {
  const { startTime_s, ...sigma } = meta.sigma ?? {}
  if (startTime_s === undefined || startTime_s !== made?.contact) return meta
  const { sigma: _, ...rest } = meta
  return Object.keys(sigma).length > 0 ? { ...rest, sigma } : rest
}

/** What becomes of a curve that a recording gives. `same`: it is here as it is. `ask`: an older one must not go unasked. */
export type Way =
  | { kind: 'new' }
  | { kind: 'same'; old: MeasuredCurve }
  | { kind: 'renew'; old: MeasuredCurve }
  | { kind: 'ask'; old: MeasuredCurve }

/** A curve of the same files; where one of the two does not know its files, of the same name. */
const ofOneRecording = (a: MeasuredCurve, b: MeasuredCurve): boolean => {
  const [first, second] = [a.provenance?.sha256, b.provenance?.sha256]
  if (!a.provenance || !b.provenance) return false
  return first && second ? first === second : a.file === b.file
}

/**
 * @param before the curve that this recording is known to have become, with what it gave then
 */
export function wayOf(
  fresh: MeasuredCurve,
  before: { old: MeasuredCurve; made: Made | null } | null,
  measured: readonly MeasuredCurve[],
): Way {
  const twin = measured.find(({ id }) => id === fresh.id)
  const old = before?.old ?? measured.findLast((one) => ofOneRecording(one, fresh))
  if (!old) return twin ? { kind: 'same', old: twin } : { kind: 'new' }
  if (numbersOf(old) === numbersOf(fresh) && !old.excluded)
    return old.name === fresh.name && sameMeta(old.meta, fresh.meta)
      ? { kind: 'same', old }
      : { kind: 'renew', old }
  if (twin && twin !== old) return { kind: 'same', old: twin }
  return before && !isChanged(old, before.made) ? { kind: 'renew', old } : { kind: 'ask', old }
}

const entries = (meta: CurveMeta): string =>
  JSON.stringify(Object.entries(meta).sort(([a], [b]) => (a < b ? -1 : 1)))
const sameMeta = (a: CurveMeta, b: CurveMeta): boolean => entries(a) === entries(b)
