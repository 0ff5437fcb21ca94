/** Why there is a ±: which inputs move a number and by how much. Shown on demand under the sentence. */
import type { Life, OutcomeName, Preset } from '../../life/types.ts'
import { beadFacts } from '../../plan/beads.ts'
import type { Reach, Shift } from '../../plan/neighbours.ts'
import { uncertainOf } from '../../plan/uncertain.ts'
import { el } from '../dom.ts'
import { plain } from '../format.ts'
import type { Neighbours } from '../store.ts'
import { beadReason } from './beads.ts'

interface Scale {
  factor: number
  unit: string
}
const millimetres: Scale = { factor: 1e3, unit: 'mm' }
export const percents: Scale = { factor: 100, unit: '%' }

const show = (value: number, { factor }: Scale): string => plain(value * factor)

const labelOf = (input: Reach['most'], preset: Preset): string => {
  const found = input && uncertainOf(input)
  if (!found) return 'none of these inputs'
  return `the ${found.label} (${found.amount(found.width(preset))})`
}

/**
 * "… lies between 23.1 and 25.3 mm; what changes it most is the volume of the drop (± 5 %)."
 * @param preset the drop whose number it is
 */
export function reachWords(what: string, reach: Reach, scale: Scale, preset: Preset): string {
  return `${what} lies between ${show(reach.low, scale)} and ${show(reach.high, scale)} ${scale.unit}; what changes it most is ${labelOf(reach.most, preset)}.`
}

const value = (radius: number): string => (Number.isFinite(radius) ? plain(1e3 * radius) : 'failed')

function shiftTable(shifts: readonly Shift[], most: Reach['most']): HTMLElement {
  const head = ['Input', 'changed by', 'R when lower, mm', 'R when higher, mm']
  return el(
    'table',
    { class: 'figures-table' },
    el('thead', {}, el('tr', {}, ...head.map((text) => el('th', { scope: 'col' }, text)))),
    el(
      'tbody',
      {},
      ...shifts.map(({ input, label, amount, low, high }) =>
        el(
          'tr',
          input === most ? { class: 'most' } : {},
          el('th', { scope: 'row' }, label),
          el('td', {}, amount),
          el('td', {}, value(low.maxRadius)),
          el('td', {}, value(high.maxRadius)),
        ),
      ),
    ),
  )
}

const outcomeWords: Record<OutcomeName, string> = {
  lens: 'stays a lens',
  spreads: 'is still spread at the end',
  recedes: 'draws back',
  sheds: 'sheds child drops',
  dries: 'dries where it lies',
  'reaches-wall': 'reaches the wall',
  failed: 'could not be followed',
}

const how =
  'Found by computing this drop again, each time with one uncertain input a little lower or higher. The inputs are taken as independent of one another (root of the sum of squares). How far each is changed is a judgement of what a school laboratory knows.'

/** The reason for the ± in the sentence, as paragraphs; empty if nothing is known. */
export function reasonFor(
  life: Life,
  { band, threshold, radiusError, otherOutcome, fingers }: Neighbours,
): HTMLElement[] {
  const error = radiusError >= 0 ? radiusError : life.summary.maxRadiusError
  const says = (text: string) => el('p', {}, text)
  const doubt = otherOutcome
    ? [
        says(
          `The outcome itself is in doubt: in a slightly different calculation the drop ${outcomeWords[otherOutcome]}.`,
        ),
      ]
    : []
  if (life.summary.outcome === 'lens') {
    if (!threshold) return doubt
    return [
      ...doubt,
      says(reachWords('The threshold', threshold, percents, life.preset)),
      el('p', { class: 'note' }, how),
    ]
  }
  const mesh = `The calculation itself is accurate to ± ${plain(1e3 * error, 1)} mm (compared with a coarser one).`
  const rim = beadReason(beadFacts(life, fingers)).map(says)
  const numerical = [...(error > 0 ? [says(mesh)] : []), ...doubt, ...rim]
  if (!band) return numerical
  const { maxRadius } = band.reach
  const others = band.outcomes
    .filter((name) => name !== life.summary.outcome)
    .map((name) => outcomeWords[name])
  return [
    el('p', {}, reachWords('The largest radius', maxRadius, millimetres, life.preset)),
    shiftTable(band.shifts, maxRadius.most),
    ...(others.length > 0
      ? [el('p', {}, `With one of these changes the drop ${others.join('; with another it ')}.`)]
      : []),
    ...numerical,
    el('p', { class: 'note' }, how),
  ]
}
