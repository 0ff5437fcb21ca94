/** Pieces of the card that shows a table before it is taken. */
import type { Column, Preview, ReadResult } from '../../measured/types.ts'
import { el } from '../dom.ts'
import { numberIn } from '../fields.ts'

const shownRows = 8

/** Columns as understood, with the likeliest unit where none is said. */
export function startingColumns({ preview, ...result }: ReadResult): Column[] {
  const needs = 'needs' in result ? (result.needs ?? {}) : {}
  return (preview?.columns ?? []).map((column) => {
    if (column.unit) return column
    const guess =
      column.role === 'time'
        ? needs.timeUnit?.[0]
        : column.role === 'radius' || column.role === 'diameter'
          ? needs.radiusUnit?.[0]
          : undefined
    return guess ? { ...column, unit: guess } : column
  })
}

/** The frame rate that a comment of the table mentions, 1/s, if it is wanted. */
export const mentionedRate = (result: ReadResult): number | undefined =>
  result.ok ? undefined : result.needs?.framesPerSecond?.guess

/** mm per pixel that a comment of the table mentions, if it is wanted. */
export const mentionedScale = (result: ReadResult): number | undefined =>
  result.ok ? undefined : result.needs?.millimetresPerPixel?.guess

/** A number with its words in front; an empty field is undefined. */
export function numberField(
  label: string,
  value: number | undefined,
  change: (value: number | undefined) => void,
): HTMLElement {
  const input = el('input', { type: 'text', inputmode: 'decimal', autocomplete: 'off', class: 'scale-input' })
  input.value = value === undefined ? '' : String(Number(value.toPrecision(12)))
  input.addEventListener('change', () => {
    const typed = input.value.trim()
    change(typed === '' ? undefined : numberIn(typed))
  })
  return el('label', {}, `${label} `, input)
}

/** A choice with its words in front. */
export function choice<T extends string>(
  label: string,
  options: readonly (readonly [T, string])[],
  value: T,
  change: (value: T) => void,
): HTMLLabelElement {
  const input = el('select', { onchange: () => change(input.value as T) })
  for (const [option, text] of options)
    input.add(new Option(text, option, option === value, option === value))
  return el('label', {}, `${label} `, input)
}

/** Text short enough for a cell. */
export const cut = (text: string): string => (text.length > 40 ? `${text.slice(0, 39)}…` : text)

/** Lines that may be the header, and none. */
export function headerOptions({ first }: Preview): [string, string][] {
  return [
    ['0', 'none'],
    ...first.map(({ line, cells }): [string, string] => [
      String(line),
      `${line}: ${cut(cells.filter(Boolean).join(' | '))}`,
    ]),
  ]
}

/** The first rows, with the heads of the columns above them. */
export function rowsTable(preview: Preview, heads: HTMLElement[], headerLine: number): HTMLElement {
  const width = preview.header.length
  const rows = preview.first.slice(0, shownRows).map(({ line, cells }) => {
    const tag = line === headerLine ? 'th' : 'td'
    const row = Array.from({ length: width }, (_, i) => el(tag, {}, cut(cells[i] ?? '')))
    const skipped = line < headerLine ? 'above' : ''
    return el(
      'tr',
      { class: line === headerLine ? 'header' : skipped },
      el('td', { class: 'line' }, String(line)),
      ...row,
    )
  })
  return el(
    'div',
    { class: 'preview', tabindex: 0, role: 'region', 'aria-label': 'First rows of the table' },
    el('table', {}, el('thead', {}, el('tr', {}, el('th', {}, 'Line'), ...heads)), el('tbody', {}, ...rows)),
  )
}

/** What is not certain about columns that stand as they were understood at first: `start` and now `columns`. */
export function doubtsAbout(
  preview: Preview,
  start: readonly Column[],
  columns: readonly Column[],
): string[] {
  const untouched = (index: number) => {
    const [then, now] = [start, columns].map((list) => list.find((column) => column.index === index))
    return then?.role === now?.role && then?.unit === now?.unit
  }
  const stated = preview.doubts.filter(({ column }) => untouched(column)).map(({ text }) => text)
  const guessed = start.filter(({ index, unit }) => {
    const read = preview.columns.find((column) => column.index === index)
    return unit !== undefined && read?.unit === undefined && untouched(index)
  })
  const title = (index: number) => preview.header[index] || `column ${index + 1}`
  return [
    ...stated,
    ...guessed.map(
      ({ index, unit }) => `“${cut(title(index))}” states no unit: ${unit} is a guess, check it.`,
    ),
  ]
}

/** A tick with its words behind. */
export function tick(label: string, checked: boolean, change: (on: boolean) => void): HTMLElement {
  const input = el('input', { type: 'checkbox', checked, onchange: () => change(input.checked) })
  return el('label', { class: 'inline' }, input, ` ${label}`)
}
