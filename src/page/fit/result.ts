/** A fit in figures: values with errors, correlation, goodness, warnings. */
import type { FittedUnknown, LifeFit } from '../../measured/fit/types.ts'
import { widened, wideningText } from '../../measured/fit/widened.ts'
import {
  causeTexts,
  chanceText,
  goodnessText,
  numberText,
  numericalText,
  priorText,
  pullText,
  reasonText,
  unknownText,
} from '../../measured/fit/words.ts'
import { el } from '../dom.ts'
import { correlationText, shownCause, shownUnknown } from './fitViews.ts'

const inTwo = (value: number, unit: string) => `${numberText(value, 2)} ${unit}`.trimEnd()

function unknownRow(raw: FittedUnknown, parted: boolean): HTMLElement {
  const unknown = shownUnknown(raw)
  const { label, unit, start, lower, upper, verdict } = unknown
  const inUnit = (value: number) => `${numberText(value, 3)} ${unit}`.trimEnd()
  const notes = [reasonText(unknown), priorText(unknown), numericalText(unknown)].filter(Boolean).join('; ')
  const part = (value: number) => (verdict === 'determined' ? `± ${inTwo(value, unit)}` : '–')
  return el(
    'tr',
    verdict === 'determined' ? {} : { class: 'open' },
    el('th', { scope: 'row' }, label),
    el('td', { class: 'fit-value' }, unknownText(unknown)),
    ...(parted ? [unknown.statistical, unknown.systematic].map((one) => el('td', {}, part(one))) : []),
    el('td', {}, inUnit(start)),
    el('td', {}, `${numberText(lower, 3)} to ${inUnit(upper)}`),
    el('td', { class: 'fit-notes' }, notes),
  )
}

const heads = (...texts: string[]) =>
  el('thead', {}, el('tr', {}, ...texts.map((text) => el('th', { scope: 'col' }, text))))

/** The table scrolls sideways where there is no room. */
const scrolling = (label: string, ...children: HTMLElement[]) =>
  el('div', { class: 'scrolling', tabindex: 0, role: 'region', 'aria-label': label }, ...children)

function correlationTable({ unknowns, correlation }: LifeFit): HTMLElement[] {
  const n = unknowns.length
  if (n < 2) return []
  const rows = unknowns.map(({ label }, i) =>
    el(
      'tr',
      {},
      el('th', { scope: 'row' }, label),
      ...unknowns.map((_, j) => el('td', {}, correlationText(correlation[i * n + j]!))),
    ),
  )
  const table = el(
    'table',
    { class: 'figures-table numbers' },
    heads('with', ...unknowns.map(({ label }) => label)),
    el('tbody', {}, ...rows),
  )
  return [el('h3', {}, 'Correlation of the values'), scrolling('Correlation of the values', table)]
}

function curveTable({ curves }: LifeFit): HTMLElement {
  const mm = (metres: number) => `${numberText(1e3 * metres, 2)} mm`
  const rows = curves.map(({ name, rms, bias, startTime, time, chiSquared }) =>
    el(
      'tr',
      {},
      el('th', { scope: 'row' }, name),
      ...[
        String(time.length),
        Number.isFinite(chiSquared) ? numberText(chiSquared, 3) : '–',
        mm(rms),
        mm(bias),
        `${numberText(startTime, 3)} s`,
      ].map((text) => el('td', {}, text)),
    ),
  )
  const head = heads('Curve', 'Points', 'χ²', 'r.m.s.', 'Mean', 'Contact')
  return scrolling(
    'Residuals of the curves',
    el('table', { class: 'figures-table numbers' }, head, el('tbody', {}, ...rows)),
  )
}

/** What is known beside the points, what the fit makes of it, and what it does to the unknowns. */
function causeTable({ causes, unknowns }: LifeFit): HTMLElement[] {
  if (causes.length === 0) return []
  const shown = unknowns.map(shownUnknown)
  const rows = causes.map((raw) => {
    const cause = shownCause(raw, unknowns)
    const { stated, found } = causeTexts(cause)
    const moves = cause.shifts.map((shift, j) => `${shift > 0 ? '+' : ''}${inTwo(shift, shown[j]!.unit)}`)
    const cells = [stated, found, pullText(cause.pull), ...moves]
    return el('tr', {}, el('th', { scope: 'row' }, cause.label), ...cells.map((text) => el('td', {}, text)))
  })
  const head = heads(
    'Cause',
    'Stated',
    'After the fit',
    'Pull',
    ...shown.map(({ label }) => `1 σ moves ${label}`),
  )
  const label = 'Known beside the points'
  return [
    el('h3', {}, label),
    scrolling(label, el('table', { class: 'figures-table numbers' }, head, el('tbody', {}, ...rows))),
    el(
      'p',
      { class: 'note' },
      'Pull: how many σ the fit puts it off what is stated. The last columns: by how much the value comes out too large where the cause is really 1 σ above what is stated.',
    ),
  ]
}

/** The choice of wider errors, where there is one. */
function wideChoice(fit: LifeFit, wide: boolean, choose: (wide: boolean) => void): HTMLElement[] {
  const text = wideningText(fit, wide)
  if (!text) return []
  const box = el('input', { type: 'checkbox', checked: wide, id: 'fit-wide' })
  box.addEventListener('change', () => choose(box.checked))
  return [
    el(
      'label',
      { class: 'fit-choice' },
      box,
      'Multiply the statistical errors by √(χ² per degree of freedom)',
    ),
    el('p', { class: 'note fit-wide' }, text),
  ]
}

/** Everything that is told of a fit, in figures and sentences. `choose` takes whether errors are shown wider. */
export function resultView(given: LifeFit, wide: boolean, choose: (wide: boolean) => void): HTMLElement[] {
  const fit = wide ? widened(given) : given
  const parted = fit.unknowns.some(({ systematic }) => systematic > 0)
  const table = el(
    'table',
    { class: 'figures-table numbers fit-table' },
    heads(
      'Unknown',
      'Value ± 1 σ',
      ...(parted ? ['Statistical', 'Systematic'] : []),
      'Start',
      'Limits',
      'Remarks',
    ),
    el('tbody', {}, ...fit.unknowns.map((unknown) => unknownRow(unknown, parted))),
  )
  const warnings = fit.warnings.map((text) => el('li', {}, text))
  return [
    el('h3', {}, 'Result'),
    scrolling('Values of the unknowns', table),
    ...wideChoice(given, wide, choose),
    el('p', { class: 'fit-goodness' }, goodnessText(fit)),
    el('p', {}, chanceText(fit)),
    ...(warnings.length > 0 ? [el('ul', { class: 'caution fit-warnings' }, ...warnings)] : []),
    ...fit.notes.map((text) => el('p', { class: 'note fit-note' }, text)),
    ...causeTable(fit),
    el('h3', {}, 'Residuals of the curves'),
    curveTable(fit),
    ...correlationTable(fit),
    el(
      'p',
      { class: 'note' },
      `${fit.lives} lives, accuracy “${fit.accuracy}”: ${fit.ending}. ${parted ? 'The statistical part covers the points’ own noise and what single lives err by, the systematic part what is known ± σ beside them' : 'σ covers the scatter of the points only'}, ${parted ? 'neither' : 'not'} what the model leaves out.`,
    ),
  ]
}
