/** A fit in figures: values with errors, correlation, goodness, warnings. */
import type { FittedUnknown, LifeFit } from '../../measured/fit/types.ts'
import {
  chanceText,
  goodnessText,
  numberText,
  numericalText,
  reasonText,
  unknownText,
} from '../../measured/fit/words.ts'
import { el } from '../dom.ts'
import { shownUnknown } from './model.ts'

function unknownRow(raw: FittedUnknown): HTMLElement {
  const unknown = shownUnknown(raw)
  const { label, unit, start, lower, upper, verdict } = unknown
  const inUnit = (value: number) => `${numberText(value, 3)} ${unit}`.trimEnd()
  const notes = [reasonText(unknown), numericalText(unknown)].filter(Boolean).join('; ')
  return el(
    'tr',
    verdict === 'determined' ? {} : { class: 'open' },
    el('th', { scope: 'row' }, label),
    el('td', { class: 'fit-value' }, unknownText(unknown)),
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
  const text = (value: number) => (Number.isFinite(value) ? value.toFixed(2).replace('-', '−') : '–')
  const rows = unknowns.map(({ label }, i) =>
    el(
      'tr',
      {},
      el('th', { scope: 'row' }, label),
      ...unknowns.map((_, j) => el('td', {}, text(correlation[i * n + j]!))),
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
  const rows = curves.map(({ name, rms, bias, startTime, time }) =>
    el(
      'tr',
      {},
      el('th', { scope: 'row' }, name),
      ...[String(time.length), mm(rms), mm(bias), `${numberText(startTime, 3)} s`].map((text) =>
        el('td', {}, text),
      ),
    ),
  )
  const head = heads('Curve', 'Points', 'r.m.s.', 'Mean', 'Contact')
  return scrolling(
    'Residuals of the curves',
    el('table', { class: 'figures-table numbers' }, head, el('tbody', {}, ...rows)),
  )
}

/** Everything that is told of a fit, in figures and sentences. */
export function resultView(fit: LifeFit): HTMLElement[] {
  const table = el(
    'table',
    { class: 'figures-table numbers fit-table' },
    heads('Unknown', 'Value ± 1 σ', 'Start', 'Limits', 'Remarks'),
    el('tbody', {}, ...fit.unknowns.map(unknownRow)),
  )
  const warnings = fit.warnings.map((text) => el('li', {}, text))
  return [
    el('h3', {}, 'Result'),
    scrolling('Values of the unknowns', table),
    el('p', { class: 'fit-goodness' }, goodnessText(fit)),
    el('p', {}, chanceText(fit)),
    ...(warnings.length > 0 ? [el('ul', { class: 'caution fit-warnings' }, ...warnings)] : []),
    curveTable(fit),
    ...correlationTable(fit),
    el(
      'p',
      { class: 'note' },
      `${fit.lives} lives, accuracy “${fit.accuracy}”: ${fit.ending}. σ covers the scatter of the points only, not what the model leaves out.`,
    ),
  ]
}
