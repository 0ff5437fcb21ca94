/** Which number gets which colour: limits, ticks and words of the stage's legend. */
import type { LifeFrames } from '../life/types.ts'
import type { Quantity } from './colour.ts'
import { niceStep } from './spans.ts'

export interface ColourScale {
  quantity: Quantity
  title: string
  unit: string
  /** Limits in the unit shown. */
  min: number
  max: number
  logarithmic: boolean
  /** SI value × this = value in the unit shown. */
  perUnit: number
  ticks: readonly number[]
  /** What else must be known to read the colours; whole sentences. */
  note?: string
}

/** Place (0–1) of an SI value in the scale; values beyond the limits get the end colours. */
export function placeOf(scale: ColourScale, value: number): number {
  const shown = value * scale.perUnit
  const x = scale.logarithmic
    ? Math.log(Math.max(shown, scale.min) / scale.min) / Math.log(scale.max / scale.min)
    : (shown - scale.min) / (scale.max - scale.min)
  return x > 0 ? Math.min(x, 1) : 0
}

function extent(values: Float64Array, count: number): [number, number] {
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (let i = 0; i < count; i++) {
    const value = values[i]!
    if (value < low) low = value
    if (value > high) high = value
  }
  return low <= high ? [low, high] : [0, 1]
}

const steps = (min: number, max: number, step: number): number[] =>
  Array.from({ length: Math.round((max - min) / step) + 1 }, (_, i) =>
    Number((min + i * step).toPrecision(10)),
  )

function linearScale(low: number, high: number, parts: number) {
  const step = niceStep(Math.max(high - low, 1e-9) / parts)
  const min = step * Math.floor(low / step + 1e-9)
  const max = Math.max(min + step, step * Math.ceil(high / step - 1e-9))
  return { min, max, ticks: steps(min, max, step) }
}

/** Speed (m/s) that 97 % of the moments × faces do not exceed: the first instants would hide all the rest. */
function commonSpeed(frames: LifeFrames): number {
  const width = frames.inner + 1
  const largest = new Float64Array(frames.count)
  for (let k = 0; k < frames.count; k++) {
    for (let i = 0; i < width; i++) {
      largest[k] = Math.max(largest[k]!, Math.abs(frames.surfaceSpeed[k * width + i]!))
    }
  }
  largest.sort()
  return largest[Math.floor(0.8 * (frames.count - 1))] ?? 0
}

/**
 * The scale of a quantity, fixed over the whole life so that a colour means the same at all times.
 * Thickness: always 0.1 µm to 1 mm, logarithmic. Speed: symmetric about 0, outward positive.
 */
export function colourScale(quantity: Quantity, frames: LifeFrames | null): ColourScale {
  const cells = frames ? frames.count * frames.inner : 0
  if (quantity === 'alcohol') {
    const [, high] = frames ? extent(frames.phi, cells) : [0, 1]
    const scale = linearScale(0, Math.min(1, Math.max(high, 0.05)), 5)
    return { ...scale, quantity, title: 'Alcohol, share of volume', unit: '', logarithmic: false, perUnit: 1 }
  }
  if (quantity === 'tension') {
    const [low, high] = frames ? extent(frames.sigma, cells) : [0.02, 0.03]
    const scale = linearScale(1e3 * low, 1e3 * high, 5)
    return {
      ...scale,
      quantity,
      title: 'Tension on the bath',
      unit: 'mN/m',
      logarithmic: false,
      perUnit: 1e3,
    }
  }
  if (quantity === 'speed') {
    const most = niceStep(Math.max(1e3 * (frames ? commonSpeed(frames) : 0.01), 0.01))
    return {
      quantity,
      title: 'Surface speed, outward +',
      unit: 'mm/s',
      min: -most,
      max: most,
      logarithmic: false,
      perUnit: 1e3,
      ticks: [-most, -most / 2, 0, most / 2, most],
    }
  }
  return {
    quantity: 'thickness',
    title: 'Thickness',
    unit: 'µm',
    min: 0.1,
    max: 1000,
    logarithmic: true,
    perUnit: 1e6,
    ticks: [0.1, 1, 10, 100, 1000],
  }
}

/** A number for a tick: no more digits than needed, a true minus sign. */
export const tickText = (value: number): string => Number(value.toPrecision(6)).toString().replace('-', '−')

/** The legend in one sentence, for those who hear it. */
export function legendText(scale: ColourScale): string {
  const unit = scale.unit ? ` ${scale.unit}` : ''
  const kind = scale.logarithmic ? 'logarithmic' : 'linear'
  const ends = scale.quantity === 'speed' ? ', the same limits inward and outward' : ''
  return `Colours show: ${scale.title}, from ${tickText(scale.min)} to ${tickText(scale.max)}${unit}, ${kind}${ends}.${scale.note ? ` ${scale.note}` : ''}`
}
