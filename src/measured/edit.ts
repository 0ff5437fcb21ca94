/** Corrections of single points. Curves are never changed in place. */
import type { MeasuredCurve } from './types.ts'

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
  const { uncertainty, excluded: marks, ...rest } = curve
  const excluded = marks && Uint8Array.from(index, (i) => marks[i]!)
  return {
    ...rest,
    time: of(curve.time),
    radius: of(curve.radius),
    ...(uncertainty ? { uncertainty: of(uncertainty) } : {}),
    ...(excluded?.includes(1) ? { excluded } : {}),
  }
}
