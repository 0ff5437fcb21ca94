/** Changes of the measured curves beyond adding, removing and hiding (actions.ts). All but `rebase` are steps of undo. */
import type { CurveMeta, MeasuredCurve } from '../../measured/types.ts'
import { apply, applyStep } from '../actions.ts'
import { newId } from '../newId.ts'
import type { Store } from '../store.ts'

type Curves = readonly MeasuredCurve[]

/**
 * Takes over what did not happen here (another tab, the start of the visit): the present list and every step of
 * undo and redo are changed alike, so that undo only ever takes back what was done here.
 */
export function rebase(store: Store, change: (curves: Curves) => Curves): void {
  const { measured, past, future } = store.getState()
  const step = <S extends { measured: Curves }>(one: S): S => ({ ...one, measured: change(one.measured) })
  apply(store, { measured: change(measured), past: past.map(step), future: future.map(step) })
}

/** Puts a changed curve in the place of the one with its id. `of` names what is changed: repeats are one step of undo. */
export function changeCurve(store: Store, curve: MeasuredCurve, of = ''): void {
  const { measured } = store.getState()
  applyStep(store, of === '' ? '' : `${curve.id} ${of}`, {
    measured: measured.map((one) => (one.id === curve.id ? curve : one)),
  })
}

/** Changes entries of what is known about the drop; undefined takes one out. */
export function changeMeta(
  store: Store,
  id: string,
  change: { [K in keyof CurveMeta]?: CurveMeta[K] | undefined },
): void {
  const curve = store.getState().measured.find((one) => one.id === id)
  if (!curve) return
  const meta = Object.fromEntries(
    Object.entries({ ...curve.meta, ...change }).filter(([, value]) => value !== undefined),
  ) as CurveMeta
  changeCurve(store, { ...curve, meta }, Object.keys(change).join(' '))
}

/** Puts new data into several runs, curves or recordings in the queue, by id: one step of undo. `of` as for `changeCurve`. */
export function changeMetas(store: Store, metas: ReadonlyMap<string, CurveMeta>, of = ''): void {
  if (metas.size === 0) return
  const { measured, stated } = store.getState()
  const curves = new Set(measured.map(({ id }) => id))
  const ahead = [...metas].filter(([id]) => !curves.has(id))
  applyStep(store, of, {
    ...(ahead.length < metas.size ? { measured: measured.map((curve) => withMeta(curve, metas)) } : {}),
    ...(ahead.length > 0 ? { stated: new Map([...stated, ...ahead]) } : {}),
  })
}

function withMeta(curve: MeasuredCurve, metas: ReadonlyMap<string, CurveMeta>): MeasuredCurve {
  const meta = metas.get(curve.id)
  return meta ? { ...curve, meta } : curve
}

/**
 * Puts curves in the place of older ones, or behind all others where they have none (or it is gone): one step of undo.
 * Those that were replaced stay among the removed curves.
 */
export function putCurves(
  store: Store,
  puts: readonly { old: MeasuredCurve | null; curve: MeasuredCurve }[],
): void {
  if (puts.length === 0) return
  const { measured } = store.getState()
  const places = new Map(puts.flatMap(({ old, curve }) => (old ? [[old.id, curve] as const] : [])))
  const here = new Set(measured.map(({ id }) => id))
  const behind = puts.filter(({ old }) => !old || !here.has(old.id)).map(({ curve }) => curve)
  applyStep(store, '', { measured: [...measured.map((one) => places.get(one.id) ?? one), ...behind] })
}

/** A second curve with the same numbers, right behind the first. Gives back its id. */
export function duplicateCurve(store: Store, id: string): string {
  const { measured } = store.getState()
  const at = measured.findIndex((one) => one.id === id)
  if (at < 0) return ''
  const copy = {
    ...measured[at]!,
    id: freshCurveId(),
    name: freeName(`${measured[at]!.name} (copy)`, measured),
  }
  applyStep(store, '', { measured: measured.toSpliced(at + 1, 0, copy) })
  return copy.id
}

/** An id that no other curve has, in this visit or another. */
export const freshCurveId = (): string =>
  newId(`c${Date.now().toString(36)}${Math.floor(Math.random() * 36 ** 6).toString(36)}`)

/** `name`, with a number behind it if a curve has it already. */
export function freeName(name: string, curves: Curves): string {
  const taken = new Set(curves.map((curve) => curve.name))
  let free = name
  for (let n = 2; taken.has(free); n++) free = `${name} (${n})`
  return free
}

/** Moves a curve up (−1) or down (1) in the list. */
export function moveCurve(store: Store, id: string, by: -1 | 1): void {
  const { measured } = store.getState()
  const at = measured.findIndex((one) => one.id === id)
  const to = at + by
  if (at < 0 || to < 0 || to >= measured.length) return
  applyStep(store, 'order', { measured: measured.toSpliced(at, 1).toSpliced(to, 0, measured[at]!) })
}

/** Replaces the whole set; what was there can be brought back by undo, and from the list of removed curves. */
export const replaceCurves = (store: Store, measured: Curves): void => applyStep(store, '', { measured })
