/** One kept moment of a life, and the moments of which the steps speak. Pure. */
import { faceSpeed } from '../../life/budget.ts'
import { indexAt } from '../../life/sample.ts'
import type { Life } from '../../life/types.ts'
import { cellValue, createFields, moveTo, pullsAt } from '../../life/view.ts'
import type { Curve } from './types.ts'

/** r/R at which the steps look at the outer film. */
export const OUTER = 0.9
export const OUTER_WORDS = '90 % of the radius'

/** A kept moment: no mean of two, so that what a text names is a point of its curve. */
export class Look {
  readonly fields = createFields()
  readonly time: number
  constructor(
    readonly life: Life,
    readonly row: number,
  ) {
    this.time = life.frames.t[row]!
    moveTo(this.fields, life.frames, life.preset.bath.dishRadius_mm * 1e-3, this.time)
  }
  get R(): number {
    return this.fields.R
  }
  get U(): number {
    return this.fields.U
  }
  at(field: 'h' | 'phi' | 'sigma', s: number): number {
    return cellValue(this.fields, field, s * this.R)
  }
  pulls(s: number) {
    return pullsAt(this.fields, s * this.R)
  }
  /** Value of the life's series at this moment. */
  series(name: keyof Life['series']): number {
    return this.life.series[name][this.row]!
  }

  /** A field through all its cells, in multiples of `unit`. */
  cells(field: 'h' | 'phi' | 'sigma', label: string, unit: number, logarithmic = false): Curve {
    const { cellRadius, inner } = this.fields
    const x = Array.from({ length: inner }, (_, i) => cellRadius[i]! / this.R)
    const y = Array.from(this.fields[field], (value) => value / unit)
    return { over: 'radius', label, x, y, logarithmic }
  }
  thickness(): Curve {
    return this.cells('h', 'thickness, µm', 1e-6, true)
  }
  /** Mean speed of the liquid at all faces, mm/s. */
  speeds(): Curve {
    const { frames } = this.life
    const x = Array.from(frames.sFaces)
    const y = x.map((_, f) => 1e3 * faceSpeed(frames, this.row, f))
    return { over: 'radius', label: 'speed of the liquid, mm/s', x, y, logarithmic: false }
  }
  /** Speed of the liquid at r/R, m/s. */
  speed(s: number): number {
    const { x, y } = this.speeds()
    const f = Math.max(
      1,
      x.findIndex((at) => at >= s),
    )
    const share = (s - x[f - 1]!) / (x[f]! - x[f - 1]!)
    return 1e-3 * (y[f - 1]! + share * (y[f]! - y[f - 1]!))
  }
}

/** The curve with the point that the text names: on the curve, whatever cells there are. */
export function marked(curve: Curve, x: number, y: number, label: string): Curve {
  const at = curve.x.findIndex((one) => one >= x)
  const place = at < 0 ? curve.x.length : at
  const skip = curve.x[place] === x ? 1 : 0
  const into = (list: number[], value: number) => [
    ...list.slice(0, place),
    value,
    ...list.slice(place + skip),
  ]
  return { ...curve, x: into(curve.x, x), y: into(curve.y, y), mark: { x, y, label } }
}

/** Kept moment of the largest radius. */
export function widestRow({ frames, series, summary }: Life): number {
  const k = indexAt(series.t, summary.maxRadiusTime)
  const next = Math.min(k + 1, frames.count - 1)
  return frames.R[next]! > frames.R[k]! ? next : k
}

/** Kept moment nearest to a time, s. */
export function rowAt({ series: { t } }: Life, time: number): number {
  const k = indexAt(t, time)
  const next = Math.min(k + 1, t.length - 1)
  return t[next]! - time < time - t[k]! ? next : k
}

/** First kept moment from `from` to `to` at which something is so; null if none. */
export function firstLook(life: Life, from: number, to: number, so: (look: Look) => boolean): Look | null {
  for (let row = from; row <= to; row++) {
    const look = new Look(life, row)
    if (so(look)) return look
  }
  return null
}
