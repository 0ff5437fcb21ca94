/** The lab sheet as one A4 page. */
import type { Life } from '../../life/types.ts'
import type { Envelope } from '../../plan/envelope.ts'
import type { LabSheet, SheetRow, SheetSection } from '../../plan/sheet/types.ts'
import { el } from '../dom.ts'
import { paperColours } from '../plots/seriesColours.ts'
import { svgText } from '../plots/svgText.ts'
import { radiusPanel } from '../plots/tracesModel.ts'
import { roundUp } from '../spans.ts'

/** Units stay with their numbers. */
const unbroken = (text: string): string =>
  text.replace(/(\d) (?=(?:%|°C|mL|mm|µm|µL|g|s)(?![\p{L}]))/gu, '$1\u00a0')

/** Figures stand out, sentences do not. */
const sentenceOf = ({ value, unit, note }: SheetRow): HTMLElement[] => [
  el(
    'span',
    { class: value.length > 32 ? 'words-value' : 'value' },
    unbroken(`${value}${unit && ` ${unit}`}`),
  ),
  ...(note ? [el('span', { class: 'aside' }, unbroken(note))] : []),
]

const rowOf = (row: SheetRow): HTMLElement =>
  el(
    'div',
    { class: row.label === 'TOXIC' ? 'row toxic' : 'row' },
    el('dt', {}, row.label),
    el('dd', {}, ...sentenceOf(row)),
  )

const block = ({ title, rows }: SheetSection, kind: string): HTMLElement =>
  el('section', { class: `block ${kind}` }, el('h3', {}, title), el('dl', {}, ...rows.map(rowOf)))

/** Size of the picture, px; told to the page so that its room is known before it is drawn. */
const course = { width: 470, height: 302 }

/** R(t) with its reach, as a picture: what to expect, and room to enter what is measured. */
export function coursePicture(life: Life, envelope: Envelope | null): string {
  const panel = radiusPanel(life, {
    timeSpan: roundUp((life.series.t.at(-1) ?? 1) * 1.02, 8),
    dark: false,
    lifeColour: paperColours.life,
    pins: [],
    measured: [],
    envelope,
  })
  return svgText([panel], {
    title: 'Expected radius against time',
    subtitle: '',
    width: 470,
    panelHeight: 230,
    bare: true,
  })
}

function picture(life: Life, envelope: Envelope | null): HTMLElement {
  const source = `data:image/svg+xml,${encodeURIComponent(coursePicture(life, envelope))}`
  const img = el('img', { src: source, alt: 'Expected radius against time', class: 'course', ...course })
  return el(
    'figure',
    { class: 'block' },
    el('figcaption', {}, 'Expected radius against time; enter your own points'),
    img,
  )
}

const ownRows = [
  'Touch-down at',
  'Largest width, mm',
  'reached after, s',
  'gone after, s',
  'Room, °C',
  'Seen',
]

/** Lines to be filled in by hand. */
function ownLines(): HTMLElement {
  const row = (text: string) =>
    el('tr', {}, el('th', { scope: 'row' }, text), ...[1, 2, 3].map(() => el('td', {})))
  const heads = ['Drop', '1', '2', '3'].map((text) => el('th', { scope: 'col' }, text))
  return el(
    'section',
    { class: 'block own' },
    el('h3', {}, 'Measured at the bench'),
    el('table', {}, el('thead', {}, el('tr', {}, ...heads)), el('tbody', {}, ...ownRows.map(row))),
    el('p', {}, 'Name, date:'),
  )
}

const shortened = (title: string): string => (title.length > 140 ? `${title.slice(0, 139)}…` : title)

/** Ways to set the sheet smaller: smaller type; without curve and lines to be filled in. */
const tighter: readonly string[] = ['dense', 'footless']

/** Height of the page inside its margins, as in the style sheet. */
const pageHeight = '275mm'

/** Whether the sheet, set in a way, needs more than its page; looked at out of sight, at the width of the page. */
function isTooLong(root: HTMLElement, ways: readonly string[]): boolean {
  const probe = root.cloneNode(true) as HTMLElement
  probe.removeAttribute('id')
  probe.hidden = false
  probe.classList.remove('paper-shown', ...tighter)
  probe.classList.add('paper-probe', ...ways)
  probe.style.height = pageHeight
  document.body.append(probe)
  const tooLong = probe.scrollHeight > probe.clientHeight
  probe.remove()
  return tooLong
}

/** Fills `root` with the sheet, set smaller if it would not stay on its page. Always light: it is meant for paper. */
export function fillPaper(
  root: HTMLElement,
  sheet: LabSheet,
  life: Life | null,
  envelope: Envelope | null,
): void {
  const [cautions, mixture, drop, expected, camera] = sheet.sections as [
    SheetSection,
    SheetSection,
    SheetSection,
    SheetSection,
    SheetSection,
  ]
  const [first, ...rest] = cautions.rows
  root.replaceChildren(
    el('header', {}, el('h2', {}, shortened(sheet.title)), el('p', {}, sheet.note)),
    ...(sheet.notice ? [el('p', { class: 'unreal' }, sheet.notice)] : []),
    el('p', { class: 'foremost' }, first?.value ?? ''),
    block({ title: cautions.title, rows: rest }, 'cautions'),
    el(
      'div',
      { class: 'columns' },
      el('div', {}, block(mixture, ''), block(drop, '')),
      el('div', {}, block(expected, ''), block(camera, '')),
    ),
    el('div', { class: 'columns foot' }, life ? picture(life, envelope) : el('div'), ownLines()),
  )
  root.classList.remove(...tighter)
  // Cautions are never cut off: before that, the curve and the lines to be filled in go.
  const ways = [[], ['dense'], tighter].find((some) => !isTooLong(root, some)) ?? tighter
  root.classList.add(...ways)
}
