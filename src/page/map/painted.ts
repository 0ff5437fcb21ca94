/** What is painted of a map: the kind of every point, and its number if the map is coloured by one. Pure. */
import { OPEN, type OutcomeMap } from '../../plan/mapGrid.ts'
import type { Grid } from './lines.ts'
import { colouredOutput, type MapColour, STATES, swatchColour, valuesShown } from './mapData.ts'
import { colourIn, type OutputScale, outputScale } from './outputScale.ts'

export interface Painted {
  map: OutcomeMap
  /** Kinds: places in `STATES`. */
  grid: Grid
  values: Float64Array | null
  /** Null where the map is coloured by outcome, and where no life has the output. */
  scale: OutputScale | null
  by: MapColour
}

/** Points that are not known are painted as those that stand for them. */
export function paintedOf(map: OutcomeMap, by: MapColour, dark: boolean): Painted {
  const kinds = map.outcome.map((outcome, k) => {
    const at = map.run[k] === OPEN ? map.standIn[k]! : k
    return at < 0 ? -1 : STATES.indexOf(at === k ? outcome : map.outcome[at]!)
  })
  const output = colouredOutput(by)
  const values = output ? valuesShown(map, output.id) : null
  const grid = { nx: map.x.length, ny: map.y.length, kinds }
  // The scale is that of lives that were run: what lies between them cannot leave it.
  const scale = output && values ? outputScale(output, map.values[output.id]!, dark) : null
  return { map, grid, values, scale, by }
}

/** Fill where a life has no such number. */
export const NONE = 'none'

/** Colour of a point; `NONE` where the output is not there, the paper where nothing is known. */
export function fillOf({ grid, values, scale, by }: Painted, k: number, paper: string): string {
  const kind = grid.kinds[k]!
  if (kind < 0) return paper
  const state = STATES[kind]!
  if (by === 'outcome' || state === 'failed' || state === 'not-permitted') return swatchColour(state, paper)
  const value = values?.[k] ?? Number.NaN
  return scale && Number.isFinite(value) ? colourIn(scale, value) : NONE
}
