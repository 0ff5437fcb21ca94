/** The outcome map as data: colours, letters, words, table. Pure. */
import { csvFormatRows } from 'd3-dsv'
import { keyOf, type NumberKey } from '../../life/keys.ts'
import type { Preset } from '../../life/types.ts'
import type { MapAxis, MapWish, OutcomeMap, PointState } from '../../plan/outcomeMap.ts'
import { colourTable, cssColour } from '../colour.ts'
import { scaleOf, shownNumber, withUnit } from '../controls/scale.ts'
import { outcomeWord } from '../controls/track.ts'
import { duration, length } from '../format.ts'
import { withoutInput } from '../lives/neighbours.ts'
import { roundUp } from '../spans.ts'

export type MapColour = 'outcome' | 'maxRadius' | 'life'

/** Okabe & Ito, Color Universal Design (2008). */
const outcomeColour: Record<PointState, string> = {
  lens: '#999999',
  spreads: '#56b4e9',
  recedes: '#0072b2',
  sheds: '#009e73',
  dries: '#e69f00',
  'reaches-wall': '#d55e00',
  failed: '#cc79a7',
  'not-permitted': '#777777',
  unknown: '#777777',
}

const bytes = (hex: string): number[] => [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16))

/** A colour thinned with paper: part 1 is the colour itself. Both as #rrggbb. */
export function thinned(colour: string, paper: string, part: number): string {
  const [a, b] = [bytes(colour), bytes(paper)]
  return `#${a
    .map((value, i) =>
      Math.round(part * value + (1 - part) * b[i]!)
        .toString(16)
        .padStart(2, '0'),
    )
    .join('')}`
}

/** Colours of radius and life, from 0 to the top: lightness runs one way. */
export const scaleTable = colourTable('thickness', false)

/** Upper limit of a coloured quantity, in its SI unit; NaN if nothing is known. */
export function topOf(map: OutcomeMap, by: MapColour): number {
  if (by === 'outcome') return Number.NaN
  const most = Math.max(0, ...map[by].filter((value) => Number.isFinite(value)))
  if (most <= 0) return Number.NaN
  return by === 'maxRadius' ? 1e-3 * roundUp(1e3 * most, 5) : roundUp(most, 5)
}

/** Colour of point k (of the one that stands for it). */
export function colourOf(map: OutcomeMap, k: number, by: MapColour, top: number, paper: string): string {
  const at = map.standIn[k]!
  if (at < 0) return paper
  const outcome = map.outcome[at]!
  if (by === 'outcome' || outcome === 'not-permitted' || outcome === 'failed') {
    return outcome === 'not-permitted' ? paper : thinned(outcomeColour[outcome], paper, 0.5)
  }
  const value = map[by as 'maxRadius' | 'life'][at]!
  return Number.isFinite(value) && top > 0 ? cssColour(scaleTable, Math.min(1, value / top)) : paper
}

export const swatchColour = (outcome: PointState, paper: string): string =>
  thinned(outcomeColour[outcome], paper, 0.5)

/** Values of an axis as they are shown beside its control. */
const shownValue = (key: NumberKey, value: number): string =>
  withUnit(Number(value.toPrecision(3)), scaleOf(key))

export const axisTitle = (key: NumberKey): string => {
  const { unit } = scaleOf(key)
  return unit ? `${key.label}, ${unit}` : key.label
}

export const tickWord = (key: NumberKey, value: number): string =>
  shownNumber(Number(value.toPrecision(3)), scaleOf(key).factor)

/** "50 %, 10 µL: sheds, largest radius 24.6 mm, over after 6.2 s". */
export function pointWords(map: OutcomeMap, i: number, j: number): string {
  const k = j * map.x.length + i
  const place = `${shownValue(map.keys[0], map.x[i]!)}, ${shownValue(map.keys[1], map.y[j]!)}`
  const outcome = map.outcome[k]!
  if (outcome === 'unknown') return `${place}: not run yet`
  const parts = [outcomeWord[outcome]]
  if (map.maxRadius[k]! > 0) parts.push(`largest radius ${length(map.maxRadius[k]!)}`)
  if (map.life[k]! > 0) parts.push(`over after ${duration(map.life[k]!)}`)
  return `${place}: ${parts.join(', ')}`
}

/** The table of a map. Units in the column names; empty where nothing is known. */
export function mapCsv(map: OutcomeMap): string {
  const cell = (value: number) => (Number.isFinite(value) ? Number(value.toPrecision(7)).toString() : '')
  const rows = map.outcome.map((outcome, k) => {
    const i = k % map.x.length
    const j = (k - i) / map.x.length
    return [cell(map.x[i]!), cell(map.y[j]!), outcome, cell(1e3 * map.maxRadius[k]!), cell(map.life[k]!)]
  })
  const header = [map.keys[0].path, map.keys[1].path, 'outcome', 'max_radius_mm', 'life_s']
  return `${csvFormatRows([header, ...rows])}\n`
}

/** Names the drop without the two inputs of a map: what the map depends on. */
export const withoutInputs = (preset: Preset, wish: MapWish): string =>
  withoutInput(preset, wish.x.key, wish.y.key)

/** Inputs whose range is better told in ratios. */
const inRatios = (key: NumberKey): boolean =>
  key.min > 0 && (key.logarithmic === true || key.max / key.min >= 30)

/** Ranges that are of use, where the permitted one is far wider. */
const useful: Record<string, [number, number]> = {
  'drop.alcoholMassFraction': [0.2, 1],
  'drop.volume_uL': [1, 50],
  'bath.depth_mm': [1, 30],
  'bath.dishRadius_mm': [20, 100],
  'bath.viscosity_mPas': [5, 1000],
  'air.filmCoefficient_mmPerS': [0.5, 20],
  'air.speed_mPerS': [0.03, 3],
  'air.layer_mm': [1, 30],
}

/** An axis over the useful part of a key's range. */
export function axisFor(path: string, count: number): MapAxis {
  const key = keyOf(path) as NumberKey
  const [from, to] = useful[path] ?? [key.min, key.max]
  return { key: path, from, to, count, logarithmic: inRatios(key) && from > 0 }
}
