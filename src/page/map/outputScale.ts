/** Which number of an output gets which colour on a map: limits, ticks, contour levels. Pure. */
import { onScale, type Span, spanOf } from '../../plan/mapScale.ts'
import type { Output } from '../../plan/outputs.ts'
import { colourTable, cssColour } from '../colour.ts'
import { linearTicks, roundRange, tickLabels } from '../plots/axis.ts'

export interface OutputScale {
  output: Output
  /** Limits, in the output's unit; round numbers where the scale is even. */
  span: Span
  ticks: readonly number[]
  /** Values at which contour lines are drawn. */
  levels: readonly number[]
  /** On both sides of 0, in two hues. */
  signed: boolean
  table: Uint8Array
}

const tidy = (value: number): number => Number(value.toPrecision(12))

/** Of each power of ten from `low` (> 0) to `high` the numbers 1, 2 and 5; fewer where these are more than `most`. */
export function roundRatios(low: number, high: number, most: number): number[] {
  const of = (leads: readonly number[]): number[] => {
    const numbers: number[] = []
    for (let power = Math.floor(Math.log10(low)); power <= Math.ceil(Math.log10(high)); power++) {
      for (const lead of leads) {
        const value = tidy(lead * 10 ** power)
        if (value >= low * (1 - 1e-9) && value <= high * (1 + 1e-9)) numbers.push(value)
      }
    }
    return numbers
  }
  const choices = [[1, 2, 5], [1, 3], [1]].map(of)
  return choices.find((numbers) => numbers.length <= most) ?? choices.at(-1)!
}

/** Parts of a scale between two ticks, and between two contour lines. */
const TICKS = 5
const LEVELS = 12

function evenly(low: number, high: number, signed: boolean): Pick<OutputScale, 'span' | 'ticks' | 'levels'> {
  const most = Math.max(-low, high)
  const { min, max } = signed
    ? roundRange(-most, most, true, TICKS)
    : roundRange(low, high, low >= 0 && low < 0.4 * high, TICKS)
  const levels = linearTicks(low, high, LEVELS, 1).filter((level) => level > low && level < high)
  return { span: { low: min, high: max, ratios: false }, ticks: linearTicks(min, max, TICKS, 1), levels }
}

/** The scale of an output over the values of a map; null where no life has it. @param dark paper */
export function outputScale(output: Output, values: Iterable<number>, dark: boolean): OutputScale | null {
  const span = spanOf(values)
  if (!span) return null
  const { low, high, ratios } = span
  const signed = low < 0 && high > 0
  const table = colourTable(signed ? 'speed' : 'thickness', dark)
  if (!ratios) return { output, signed, table, ...evenly(low, high, signed) }
  const levels = roundRatios(low, high, 12).filter((level) => level > low && level < high)
  return { output, signed, table, span, levels, ticks: roundRatios(low, high, 6) }
}

/** Place of a value in the scale, 0–1. */
export function placeIn({ span }: OutputScale, value: number): number {
  const [at, low, high] = [value, span.low, span.high].map((one) => onScale(one, span)) as [
    number,
    number,
    number,
  ]
  return high > low ? Math.min(1, Math.max(0, (at - low) / (high - low))) : 0.5
}

export const colourIn = (scale: OutputScale, value: number): string =>
  cssColour(scale.table, placeIn(scale, value))

/** Numbers of a scale as they stand beside it, without the unit. */
export const scaleNumbers = ({ span }: OutputScale, values: readonly number[]): string[] =>
  span.ratios ? values.map((value) => String(tidy(value)).replace('-', '−')) : tickLabels(values)

/** "largest radius, mm" */
export const outputTitle = ({ label, unit }: Output): string => (unit ? `${label}, ${unit}` : label)
