/** Corrections of single points. Curves are never changed in place. */
import type { CurveMeta, MeasuredCurve, Provenance } from './types.ts'

export type Edited = { ok: true; curve: MeasuredCurve } | { ok: false; message: string }

/** New values of a point: time on the curve's own clock, s; radius, m; uncertainty, m (NaN = not known). */
export interface PointChange {
  time?: number
  radius?: number
  uncertainty?: number
}

const wrong = (message: string): Edited => ({ ok: false, message })

/** Changes one point; the points stay in order of time, whatever the new time is. */
export function withPoint(curve: MeasuredCurve, index: number, change: PointChange): Edited {
  const { time = curve.time[index]!, radius = curve.radius[index]! } = change
  const { uncertainty = curve.uncertainty?.[index] ?? Number.NaN } = change
  if (!Number.isFinite(time)) return wrong('A time is a number of seconds.')
  if (!(radius >= 0 && Number.isFinite(radius))) return wrong('A radius is a number of 0 mm or more.')
  if (!(Number.isNaN(uncertainty) || (uncertainty > 0 && uncertainty < Number.POSITIVE_INFINITY)))
    return wrong('An uncertainty is above 0 mm; leave it empty if it is not known.')
  const twin = curve.time.indexOf(time)
  if (twin >= 0 && twin !== index) return wrong(`Another point is at ${time} s; each time may occur once.`)
  const needsColumn = curve.uncertainty !== undefined || !Number.isNaN(uncertainty)
  const changed: MeasuredCurve = {
    ...curve,
    time: curve.time.with(index, time),
    radius: curve.radius.with(index, radius),
  }
  if (needsColumn) {
    const column = curve.uncertainty ?? new Float64Array(curve.time.length).fill(Number.NaN)
    changed.uncertainty = column.with(index, uncertainty)
  }
  return { ok: true, curve: inOrder(changed) }
}

/** Takes a point out for good. A curve keeps at least two. */
export function withoutPoint(curve: MeasuredCurve, index: number): Edited {
  if (curve.time.length <= 2)
    return wrong('A curve keeps at least two points; remove the whole curve instead.')
  return {
    ok: true,
    curve: pick(
      curve,
      [...curve.time.keys()].filter((i) => i !== index),
    ),
  }
}

/** Sets a point aside, or takes it back. */
export function withExcluded(curve: MeasuredCurve, index: number, excluded: boolean): MeasuredCurve {
  const marks = (curve.excluded ?? new Uint8Array(curve.time.length)).with(index, excluded ? 1 : 0)
  const { excluded: _, ...rest } = curve
  return marks.includes(1) ? { ...rest, excluded: marks } : rest
}

/** Sets points aside, or takes them back, all at once. */
export function withManyExcluded(
  curve: MeasuredCurve,
  index: readonly number[],
  excluded: boolean,
): MeasuredCurve {
  const marks = curve.excluded ? curve.excluded.slice() : new Uint8Array(curve.time.length)
  for (const i of index) marks[i] = excluded ? 1 : 0
  const { excluded: _, ...rest } = curve
  return marks.includes(1) ? { ...rest, excluded: marks } : rest
}

/** A part of the plane of time (s, on the curve's own clock) and radius (m). */
export interface Frame {
  from: number
  to: number
  low: number
  high: number
}

/** Points within a frame, its borders with them, in order. */
export function pointsIn({ time, radius }: MeasuredCurve, { from, to, low, high }: Frame): number[] {
  const index: number[] = []
  for (let i = 0; i < time.length; i++) {
    const [t, r] = [time[i]!, radius[i]!]
    if (t >= from && t <= to && r >= low && r <= high) index.push(i)
  }
  return index
}

/** radius × `radius`, time × `time` + `shift` (s). */
export interface Rescaling {
  radius: number
  time: number
  shift: number
}

/**
 * Another scale and another clock: radii, their uncertainties and what they share × `radius`; times, and the stated moment of
 * contact with its uncertainty, × `time` + `shift`. Factors are above 0.
 */
export function rescaled(curve: MeasuredCurve, by: Rescaling): Edited {
  for (const [name, factor] of [
    ['radius', by.radius],
    ['time', by.time],
  ] as const) {
    if (!(factor > 0 && Number.isFinite(factor)))
      return wrong(`The factor of the ${name} is a number above 0.`)
  }
  if (!Number.isFinite(by.shift)) return wrong('The shift of the time is a number of seconds.')
  const wider = (values: Float64Array) => values.map((value) => value * by.radius)
  const time = curve.time.map((t) => t * by.time + by.shift)
  const { uncertainty, shared, provenance, meta } = curve
  if (time.some((t, i) => !Number.isFinite(t) || (i > 0 && t <= time[i - 1]!)))
    return wrong('With these numbers two points would be at the same time, or at none.')
  if (wider(curve.radius).some((r) => !Number.isFinite(r)))
    return wrong('With this factor a radius would be beyond all numbers.')
  return {
    ok: true,
    curve: {
      ...curve,
      time,
      radius: wider(curve.radius),
      ...(uncertainty ? { uncertainty: wider(uncertainty) } : {}),
      ...(shared ? { shared: shared.map(({ cause, shift }) => ({ cause, shift: wider(shift) })) } : {}),
      ...(provenance ? { provenance: provenanceOf(provenance, by) } : {}),
      meta: metaOf(meta, by),
    },
  }
}

const provenanceOf = (
  { metresPerPixel, framesPerSecond, ...rest }: Provenance,
  by: Rescaling,
): Provenance => ({
  ...rest,
  ...(metresPerPixel === undefined ? {} : { metresPerPixel: metresPerPixel * by.radius }),
  ...(framesPerSecond === undefined ? {} : { framesPerSecond: framesPerSecond / by.time }),
})

function metaOf(meta: CurveMeta, by: Rescaling): CurveMeta {
  const { startTime_s, sigma } = meta
  const contact = sigma?.startTime_s
  return {
    ...meta,
    ...(startTime_s === undefined ? {} : { startTime_s: startTime_s * by.time + by.shift }),
    ...(contact === undefined ? {} : { sigma: { ...sigma, startTime_s: contact * by.time } }),
  }
}

function inOrder(curve: MeasuredCurve): MeasuredCurve {
  const { time } = curve
  const rising = time.every((t, i) => i === 0 || t > time[i - 1]!)
  return rising
    ? curve
    : pick(
        curve,
        [...time.keys()].sort((a, b) => time[a]! - time[b]!),
      )
}

function pick(curve: MeasuredCurve, index: readonly number[]): MeasuredCurve {
  const of = (values: Float64Array) => Float64Array.from(index, (i) => values[i]!)
  const { uncertainty, shared, excluded: marks, ...rest } = curve
  const excluded = marks && Uint8Array.from(index, (i) => marks[i]!)
  return {
    ...rest,
    time: of(curve.time),
    radius: of(curve.radius),
    ...(uncertainty ? { uncertainty: of(uncertainty) } : {}),
    ...(shared ? { shared: shared.map(({ cause, shift }) => ({ cause, shift: of(shift) })) } : {}),
    ...(excluded?.includes(1) ? { excluded } : {}),
  }
}
