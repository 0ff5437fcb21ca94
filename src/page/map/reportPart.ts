/** The map as a figure of the report: on white paper, with its letters and colours told in words. */
import { mapCsv } from '../../plan/mapTable.ts'
import { keyValue } from '../actions.ts'
import { outcomeLetter, outcomeWord } from '../controls/track.ts'
import { offerPart, type ReportFigure } from '../report/parts.ts'
import type { State, Store } from '../store.ts'
import type { MapHere } from './drawing.ts'
import { mapFigure } from './figure.ts'
import { hasNone, kindsShown } from './legend.ts'
import { axisTitle, type MapColour, runWords, STATES, withoutInputs } from './mapData.ts'
import type { Made } from './mapSteps.ts'
import { outputTitle, scaleNumbers } from './outputScale.ts'
import { type Painted, paintedOf } from './painted.ts'

export interface ShownMap extends Made {
  by: MapColour
  lines: boolean
  dots: boolean
}

export const hereOf = ({ preset }: State, { wish }: Made): MapHere => ({
  x: keyValue(preset, wish.x.key),
  y: keyValue(preset, wish.y.key),
})

function colourWords(painted: Painted): string {
  const { scale, by } = painted
  if (by === 'outcome') return 'Colours: the outcome.'
  if (!scale) return 'No life on it has the number that it is to be coloured by.'
  const { output, span, signed } = scale
  const [low, high] = scaleNumbers(scale, [span.low, span.high]) as [string, string]
  const ends = signed ? `from ${low} over 0 (pale) to ${high}` : `from ${low} (light) to ${high} (dark)`
  const steps = span.ratios ? ', in ratios' : ''
  const none = hasNone(painted) ? ' Striped: no such number.' : ''
  return `Colours and numbered lines: ${outputTitle(output)}, ${ends}${steps}.${none}`
}

/** The map as it is shown, for a file of its own. */
export const shownFigure = (shown: ShownMap, state: State): string =>
  mapFigure(paintedOf(shown.map, shown.by, false), hereOf(state, shown), shown)

function figureOf(shown: ShownMap, state: State): ReportFigure {
  const { map } = shown
  const painted = paintedOf(map, shown.by, false)
  const letters = kindsShown(painted)
    .map((kind) => `${outcomeLetter[STATES[kind]!]} ${outcomeWord[STATES[kind]!]}`)
    .join(', ')
  const run = runWords(map)
  const borders = shown.lines ? 'Thick lines part the outcomes; the' : 'The'
  const [across, up] = map.keys.map(axisTitle) as [string, string]
  return {
    title: 'Map of outcomes',
    caption: `Each point is a whole simulated life (quick mesh). Across: ${across}; up: ${up}. Letters: ${letters}. ${colourWords(painted)} ${borders} circle marks the present drop.${run && ` ${run}`}`,
    svg: mapFigure(painted, hereOf(state, shown), shown),
    csv: mapCsv(map),
  }
}

/** Offers the map; `get` gives it as it is shown, or null. Gives back the function that takes it away. */
export function offerMapPart(store: Store, get: () => ShownMap | null): () => void {
  return offerPart({
    id: 'map',
    label: 'Map of outcomes',
    order: 60,
    first: true,
    lacks() {
      const shown = get()
      if (!shown) return 'no map has been worked out'
      const now = withoutInputs(store.getState().preset, shown.wish)
      return shown.madeFor === now ? '' : 'the map is of an earlier drop'
    },
    make: () => [figureOf(get()!, store.getState())],
  })
}
