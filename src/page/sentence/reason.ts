/** Why there is a ±: which inputs move a number and by how much. Shown on demand under the sentence. */
import type { Life, OutcomeName, Preset } from '../../life/types.ts'
import { beadFacts } from '../../plan/beads.ts'
import { chanceList } from '../../plan/chanceWords.ts'
import type { Shift } from '../../plan/neighbours.ts'
import { type Reach, reachAbout } from '../../plan/reach.ts'
import type { Sureness } from '../../plan/sureness.ts'
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
  return `${what} lies between ${show(reach.low, scale)} and ${show(reach.high, scale)} ${scale.unit} (68 in 100); what changes it most is ${labelOf(reach.most, preset)}.`
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

const judged =
  'The inputs are taken as independent of one another. How far each is changed is a judgement of what a school laboratory knows.'

/** What the ± is made of, and what it took. */
function how({ lives, failed, ranges }: Sureness, seconds: number, radius: number): string {
  const { low, high } = reachAbout(ranges.maxRadius.two, radius)
  return `From ${lives} lives in ${plain(seconds, 2)} s: this drop with all its uncertain inputs drawn at random from their widths (quick mesh)${failed > 0 ? `; ${failed} more failed and are left out` : ''}. 68 of 100 such drops lie within the ±; 95 of 100 between ${show(low, millimetres)} and ${show(high, millimetres)} mm. The table changes one input at a time. ${judged}`
}

/** The reason for the ± in the sentence, as paragraphs; empty if nothing is known. */
export function reasonFor(
  life: Life,
  { band, bandSeconds, threshold, radiusError, otherOutcome, fingers }: Neighbours,
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
  const chance = band && band.sure.chances.length > 1 ? [says(`Of such drops ${chanceList(band.sure)}.`)] : []
  if (life.summary.outcome === 'lens') {
    if (!threshold) return doubt
    return [
      ...doubt,
      says(reachWords('The threshold', threshold, percents, life.preset)),
      ...chance,
      el(
        'p',
        { class: 'note' },
        `Found by drawing the inputs that the threshold rests on from their widths; 68 of 100 lie within the ±. ${judged}`,
      ),
    ]
  }
  const mesh = `The calculation itself is accurate to ± ${plain(1e3 * error, 1)} mm (compared with a coarser one).`
  const rim = beadReason(beadFacts(life, fingers)).map(says)
  const numerical = [...(error > 0 ? [says(mesh)] : []), ...doubt, ...rim]
  if (!band) return numerical
  const maxRadius = reachAbout(band.reach.maxRadius, life.summary.maxRadius)
  return [
    el('p', {}, reachWords('The largest radius', maxRadius, millimetres, life.preset)),
    shiftTable(band.shifts, maxRadius.most),
    ...chance,
    ...numerical,
    el('p', { class: 'note' }, how(band.sure, bandSeconds, life.summary.maxRadius)),
  ]
}
