/** What can hurt at the bench, as rows of the lab sheet. Figures come from the liquids library with their sources. */
import { hazardNamed } from '../../liquids/own/resolve.ts'
import type { OwnLiquids } from '../../liquids/own/types.ts'
import { flashPointOf, hazards } from '../../liquids/safety.ts'
import type { SourceNote } from '../../liquids/types.ts'
import { figure } from '../figures.ts'
import { row, type SheetRow } from './types.ts'

/** Cautions that every alcohol's entry carries; the sheet has its own rows for them. */
const common = new Set(
  (hazards.ethanol?.cautions ?? []).filter((text) =>
    Object.values(hazards).every((hazard) => hazard.cautions.includes(text)),
  ),
)

/** A source with how well the value is known, unless its words say so. */
const sourceText = ({ source, quality }: SourceNote): string =>
  source.includes(quality) ? source : `${source}, ${quality}`

/** Flash point of a strength (% by volume) in °C with its source; says so where the library has none. */
export function flashPointRow(
  alcohol: string,
  label: string,
  percent: number,
  room_C: number,
  own?: OwnLiquids,
  sourceSaid = false,
): SheetRow {
  const hazard = hazardNamed(alcohol, own)
  const table = hazard?.flashPoint ?? []
  const origin = hazard?.sources.find(({ quantity }) => quantity.includes('flash point'))
  const source = sourceSaid ? 'same source' : origin ? sourceText(origin) : ''
  const known = flashPointOf(hazard, percent)
  // Rooms and tables are not exact: a few degrees below the flash point count as reaching it (common practice, no source).
  const near = (c: number) =>
    c <= room_C + 5 ? 'its vapour can be lit at room temperature; ' : 'its vapour can be lit above it; '
  if (known !== null) return row(label, `about ${figure(known, 2)}`, '°C', `${near(known)}${source}`)
  const [first] = table
  const last = table.at(-1)
  if (!first || !last) {
    return row(label, 'not known here', '', 'take it from the safety data sheet; treat as highly flammable')
  }
  if (percent > last[0]) return row(label, `below ${figure(last[1], 2)}`, '°C', `${near(last[1])}${source}`)
  if (table.length > 1) {
    return row(label, `above ${figure(first[1], 2)}`, '°C', `weaker than ${first[0]} % by volume; ${source}`)
  }
  return row(
    label,
    `above ${figure(first[1])}`,
    '°C',
    `that of the pure alcohol; the mixture's is not known here: treat as flammable; ${source}`,
  )
}

/** Rows of cautions: percent is the strength by volume of the mixture, stockPercent that of the bottle. */
export function cautionRows(
  alcohol: string,
  percent: number,
  stockPercent: number | undefined,
  room_C: number,
  own?: OwnLiquids,
): SheetRow[] {
  const hazard = hazardNamed(alcohol, own)
  const special = (hazard?.cautions ?? []).filter((text) => !common.has(text))
  const limit = hazard?.limitPpm
  const limitSource = hazard?.sources.find(({ quantity }) => quantity.includes('limit'))
  return [
    row('First of all', 'Local rules and the person responsible for the room come first.'),
    ...special.map((text) => row(alcohol === 'methanol' ? 'TOXIC' : 'This alcohol', text)),
    flashPointRow(alcohol, 'Flash point, mixture', percent, room_C, own),
    ...(stockPercent === undefined
      ? []
      : [flashPointRow(alcohol, 'Flash point, bottle', stockPercent, room_C, own, true)]),
    row('Fire', 'No flame, no hot plate, no sparks. Keep the bottle closed and away from the dish.'),
    row('Air', 'Open a window or work under an extractor; do not breathe the vapour over the bottle.'),
    ...(limit === undefined
      ? []
      : [
          row(
            'Limit in the air',
            String(limit),
            'ppm',
            `${limitSource?.source ?? ''}; check the local limit`,
          ),
        ]),
    row(
      'Eyes and hands',
      'Safety glasses; gloves that stand this alcohol (its safety data sheet names them).',
    ),
    row(
      'Waste',
      'Collect oil with alcohol in a closed, labelled container as flammable waste; not down the drain.',
    ),
    row(
      'Floor',
      'Oil on the floor is slippery: a tray under the dish, wipe up spills at once. Oily rags into a lidded metal bin.',
    ),
  ]
}
