/** The outcome map as data for reading: colours and words. Pure. */
import type { NumberKey } from '../../life/keys.ts'
import type { Preset } from '../../life/types.ts'
import { figure } from '../../plan/figures.ts'
import { shownValues } from '../../plan/mapCells.ts'
import { AGREES, type MapWish, OPEN, type OutcomeMap, type PointState } from '../../plan/mapGrid.ts'
import { OUTPUTS, type Output, outputOf } from '../../plan/outputs.ts'
import { scaleOf, shownNumber, withUnit } from '../controls/scale.ts'
import { outcomeWord } from '../controls/track.ts'
import { withoutInput } from '../lives/neighbours.ts'

/** 'outcome', or the id of an output. */
export type MapColour = string

/** The output that a map is coloured by; undefined for the outcome. */
export const colouredOutput = (by: MapColour): Output | undefined => outputOf(by)

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

/** Outcomes in the order of the legend; their places are the kinds of points that the picture tells apart. */
export const STATES: readonly PointState[] = [
  'lens',
  'spreads',
  'recedes',
  'sheds',
  'dries',
  'reaches-wall',
  'failed',
  'not-permitted',
]

const bytes = (colour: string): number[] =>
  colour.startsWith('#')
    ? [1, 3, 5].map((at) => Number.parseInt(colour.slice(at, at + 2), 16))
    : (colour.match(/\d+/g) ?? []).map(Number)

/** A colour thinned with paper: part 1 is the colour itself. Both as #rrggbb or "rgb(r g b)". */
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

/** Colour of an outcome on paper. */
export const swatchColour = (outcome: PointState, paper: string): string =>
  outcome === 'not-permitted' ? paper : thinned(outcomeColour[outcome], paper, 0.5)

/** Values of an axis as they are shown beside its control. */
const shownValue = (key: NumberKey, value: number): string =>
  withUnit(Number(value.toPrecision(3)), scaleOf(key))

export const axisTitle = (key: NumberKey): string => {
  const { unit } = scaleOf(key)
  return unit ? `${key.label}, ${unit}` : key.label
}

export const tickWord = (key: NumberKey, value: number): string =>
  shownNumber(Number(value.toPrecision(3)), scaleOf(key).factor)

const withoutNumber = (outcome: PointState): boolean =>
  outcome === 'unknown' || outcome === 'failed' || outcome === 'not-permitted'

const kept = new WeakMap<OutcomeMap, { at: string; rows: Map<string, Float64Array> }>()

/** `shownValues`, made once for each state of a map. */
export function valuesShown(map: OutcomeMap, by: string): Float64Array {
  const at = `${map.done} ${map.status}`
  let known = kept.get(map)
  if (known?.at !== at) {
    known = { at, rows: new Map() }
    kept.set(map, known)
  }
  let row = known.rows.get(by)
  if (!row) {
    row = shownValues(map, by)
    known.rows.set(by, row)
  }
  return row
}

const numberWithUnit = (value: number, { unit }: Output): string =>
  `${figure(value)}${unit === '' ? '' : ` ${unit}`}`

/** "50 %, 10 µL: sheds, largest radius 24.6 mm"; the output is the one that the map is coloured by. */
export function pointWords(map: OutcomeMap, i: number, j: number, by: MapColour): string {
  const k = j * map.x.length + i
  const place = `${shownValue(map.keys[0], map.x[i]!)}, ${shownValue(map.keys[1], map.y[j]!)}`
  const outcome = map.outcome[k]!
  if (map.run[k] === OPEN) return `${place}: not run yet`
  const inferred = map.run[k] === AGREES
  const parts = [`${outcomeWord[outcome]}${inferred ? ' (not run: its neighbours agree)' : ''}`]
  const output = colouredOutput(by)
  if (output && !withoutNumber(outcome)) {
    const value = valuesShown(map, output.id)[k]!
    const number = Number.isFinite(value)
      ? `${inferred ? 'about ' : ''}${numberWithUnit(value, output)}`
      : 'none'
    parts.push(`${output.label} ${number}`)
  }
  return `${place}: ${parts.join(', ')}`
}

/** All outputs of a point by name; where it was not run, between those of its neighbours ("about"). Empty where nothing is known. */
export function pointValues(map: OutcomeMap, i: number, j: number): { label: string; text: string }[] {
  const k = j * map.x.length + i
  if (map.run[k] === OPEN || withoutNumber(map.outcome[k]!)) return []
  const about = map.run[k] === AGREES ? 'about ' : ''
  return OUTPUTS.map((output) => {
    const value = valuesShown(map, output.id)[k]!
    return {
      label: output.label,
      text: Number.isFinite(value) ? `${about}${numberWithUnit(value, output)}` : 'none',
    }
  })
}

/** Names the drop without the two inputs of a map: what the map depends on. */
export const withoutInputs = (preset: Preset, wish: MapWish): string =>
  withoutInput(preset, wish.x.key, wish.y.key)

/** How a map was worked out: "412 of 3185 points run; at the others all neighbours agree". */
export function runWords({ run, total, done, status, coarse }: OutcomeMap): string {
  if (status === 'stopped') return `Stopped after ${done} of ${total} points.`
  const inferred = run.reduce((n, how) => n + (how === AGREES ? 1 : 0), 0)
  if (status !== 'done' || coarse <= 1 || inferred === 0) return ''
  return `${done} of ${total} points were run; at the others the neighbours agree.`
}
