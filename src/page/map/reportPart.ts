/** The map as a figure of the report: on white paper, with its letters and colours told in words. */
import type { MapWish, OutcomeMap } from '../../plan/outcomeMap.ts'
import { keyValue } from '../actions.ts'
import { outcomeLetter, outcomeWord } from '../controls/track.ts'
import { svg } from '../dom.ts'
import { paperColours } from '../plots/seriesColours.ts'
import { offerPart, type ReportFigure } from '../report/parts.ts'
import type { State, Store } from '../store.ts'
import { drawMap, frameFor } from './drawing.ts'
import { axisTitle, type MapColour, mapCsv, topOf, withoutInputs } from './mapData.ts'

export interface ShownMap {
  map: OutcomeMap
  wish: MapWish
  by: MapColour
  /** Names the drop without the two inputs, as `withoutInputs` does. */
  madeFor: string
}

const size = { width: 700, height: 440 }

function colourWords(map: OutcomeMap, by: MapColour): string {
  const top = topOf(map, by)
  if (by === 'outcome' || Number.isNaN(top)) return 'Colours: the outcome.'
  const [what, most] =
    by === 'maxRadius' ? ['largest radius', `${1e3 * top} mm`] : ['time of collapse', `${top} s`]
  return `Colours: ${what}, from 0 (light) to ${most} (dark).`
}

function figureOf({ map, wish, by }: ShownMap, { preset }: State): ReportFigure {
  const frame = frameFor(map, size.width, size.height)
  const { ink, faint, panel, accent } = paperColours
  const places = {
    x: keyValue(preset, wish.x.key) as number,
    y: keyValue(preset, wish.y.key) as number,
    cursor: null,
  }
  const picture = svg(
    'svg',
    { ...size, viewBox: `0 0 ${size.width} ${size.height}`, 'font-family': 'system-ui, sans-serif' },
    ...drawMap(map, frame, { by, ink, faint, paper: panel, accent }, places),
  )
  const met = [...new Set(map.outcome)].filter((outcome) => outcome !== 'unknown')
  const letters = met.map((outcome) => `${outcomeLetter[outcome]} ${outcomeWord[outcome]}`).join(', ')
  const part = map.done < map.total ? ` ${map.done} of ${map.total} lives are run.` : ''
  const [across, up] = map.keys.map(axisTitle) as [string, string]
  return {
    title: 'Map of outcomes',
    caption: `Each point is a whole simulated life (quick mesh). Across: ${across}; up: ${up}. Letters: ${letters}. ${colourWords(map, by)} The circle marks the present drop.${part}`,
    svg: new XMLSerializer().serializeToString(picture),
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
