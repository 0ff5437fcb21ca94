/**
 * A table before it is taken over: its first rows, and what the page makes of them. Header, separator, decimal sign,
 * role and unit of every column can be corrected; what follows from it is told at once.
 */
import { countWords, skippedWords } from '../../measured/importWords.ts'
import type { Choices, Preview, ReadResult, Separator } from '../../measured/types.ts'
import { inPixels } from '../../measured/units.ts'
import { el, must } from '../dom.ts'
import { columnHeads } from './columnHeads.ts'
import {
  choice,
  cut,
  doubtsAbout,
  headerOptions,
  mentionedRate,
  mentionedScale,
  numberField,
  rowsTable,
  startingColumns,
  tick,
} from './importParts.ts'
import type { TableReader } from './tableReader.ts'

export interface Look {
  name: string
  /** How the table was read at first. */
  result: ReadResult
  reader: TableReader
  take(result: ReadResult & { ok: true }): void
  leave(): void
}

/** Shows a table; one of `take` and `leave` is called, once. */
export function lookAt(look: Look): void {
  const { name, reader } = look
  let start = startingColumns(look.result)
  let columns = start
  let choices: Choices = {}
  let rate = mentionedRate(look.result)
  let scale = mentionedScale(look.result)
  let latest = 0
  let read: ReadResult = look.result
  /** The table as understood before any column was corrected. */
  let shown = look.result.preview

  const says = el('div', { role: 'status', class: 'says' })
  const options = el('div', { class: 'options' })
  const table = el('div', {})
  const take = el('button', { type: 'submit', class: 'main' }, 'Take over')
  const leave = el('button', { type: 'button' }, 'Leave it out')
  const card = el(
    'form',
    { class: 'message question look', 'aria-label': `${name} before it is taken over` },
    el('h2', { tabindex: -1 }, `${name}: is it understood?`),
    options,
    table,
    says,
    el('div', { class: 'buttons' }, take, leave),
  )
  const before = document.activeElement
  /** The focus goes back to where it was, else to the list of curves, without moving the page. */
  const close = () => {
    card.remove()
    const back = before instanceof HTMLElement && before !== document.body && before.isConnected
    const target = back ? before : document.getElementById('measured-title')
    target?.focus({ preventScroll: true })
  }
  card.addEventListener('submit', (event) => {
    event.preventDefault()
    if (!read.ok) return
    close()
    look.take(read)
  })
  leave.addEventListener('click', () => {
    close()
    look.leave()
  })

  const countsPixels = () => columns.some(({ unit }) => inPixels(unit))
  const countsFrames = () => columns.some(({ role, unit }) => role === 'time' && unit === 'frame')

  /** Reads once more with what is chosen; an answer that has been overtaken is dropped. */
  async function again(structure = false): Promise<void> {
    const turn = ++latest
    take.disabled = true
    if (reader.slow) says.replaceChildren(el('p', { class: 'note' }, 'Reading …'))
    try {
      const asked = {
        ...(rate === undefined ? {} : { framesPerSecond: rate }),
        ...(scale === undefined ? {} : { millimetresPerPixel: scale }),
        ...choices,
      }
      const given = structure ? choices : { ...asked, columns }
      const result = await reader.read(given)
      if (turn !== latest) return
      read = result
      if (structure) {
        if (!result.preview) return tell()
        start = startingColumns(result)
        rate = mentionedRate(result)
        scale = mentionedScale(result)
        columns = start
        shown = result.preview
        draw(result.preview)
        return again()
      }
    } catch (error) {
      if (turn === latest)
        says.replaceChildren(el('p', {}, `The reading broke off (${(error as Error).message}).`))
      return
    }
    tell()
  }

  function tell(): void {
    take.disabled = !read.ok
    drawOptions()
    if (read.ok) {
      const left = skippedWords(read.skipped, 8)
      const doubts = shown ? doubtsAbout(shown, start, columns) : []
      if (countsFrames() && rate !== undefined && choices.framesPerSecond === undefined)
        doubts.push(`${rate} frames per second are from a remark in the table: check it.`)
      if (countsPixels() && scale !== undefined && choices.millimetresPerPixel === undefined)
        doubts.push(`${round(scale)} mm per pixel is from a remark in the table: check it.`)
      const notes = [...read.warnings, left].filter(Boolean)
      says.replaceChildren(
        el(
          'p',
          {},
          `This gives ${countWords(read.curves)}: ${read.curves.slice(0, 6).map(spanOf).join('; ')}${read.curves.length > 6 ? ' …' : ''}.`,
        ),
        ...doubts.map((doubt) => el('p', { class: 'caution' }, doubt)),
        ...(notes.length > 0 ? [el('p', { class: 'note' }, notes.join(' '))] : []),
      )
    } else {
      const list = read.problems.slice(0, 6).map(({ where, message }) => el('li', {}, `${where}: ${message}`))
      says.replaceChildren(el('p', {}, 'It cannot be taken like this:'), el('ul', {}, ...list))
    }
  }

  function change(part: Choices, structure = false): void {
    choices = { ...choices, ...part }
    void again(structure)
  }

  let drawnFor = ''
  /** The questions that go with the present state; drawn anew only when they change, so that the focus stays. */
  function drawOptions(): void {
    const { preview } = read
    if (!preview) return
    const needs = read.ok ? {} : (read.needs ?? {})
    const frames = countsFrames()
    const pixels = countsPixels()
    const sort = needs.sort === true || choices.sort === true
    const bad = needs.skipBad === true || choices.skipBad === true
    const state = JSON.stringify([
      frames,
      pixels,
      sort,
      bad,
      preview.headerLine,
      preview.separator,
      preview.first,
    ])
    if (state === drawnFor) return
    drawnFor = state
    const separators: [Separator, string][] = [
      [',', 'comma'],
      [';', 'semicolon'],
      ['\t', 'tab'],
      [' ', 'blanks'],
    ]
    const marks: ['' | '.' | ',', string][] = [
      ['', 'as the numbers show'],
      ['.', 'point (1.234 is a little over one)'],
      [',', 'comma (1,234 is a little over one)'],
    ]
    const held = [...options.children].findIndex((child) => child.contains(document.activeElement))
    options.replaceChildren(
      choice('Header in line', headerOptions(preview), String(preview.headerLine), (line) =>
        change({ headerLine: Number(line) }, true),
      ),
      choice('Columns separated by', separators, preview.separator, (separator) =>
        change({ separator }, true),
      ),
      choice('Decimal sign', marks, choices.decimalMark ?? '', (mark) => {
        const { decimalMark: _, ...others } = choices
        choices = mark ? { ...others, decimalMark: mark } : others
        void again()
      }),
      ...(frames ? [rateField()] : []),
      ...(pixels ? scaleFields() : []),
      ...(sort ? [tick('Sort the rows by time', choices.sort === true, (on) => change({ sort: on }))] : []),
      ...(bad
        ? [
            tick('Leave out rows that hold no number', choices.skipBad === true, (on) =>
              change({ skipBad: on }),
            ),
          ]
        : []),
    )
    options.children[held]?.querySelector<HTMLElement>('select, input')?.focus()
  }

  function rateField(): HTMLElement {
    const value = choices.framesPerSecond ?? rate
    const input = el('input', { type: 'number', min: 0, step: 'any', value, inputmode: 'decimal' })
    input.addEventListener('change', () => change({ framesPerSecond: input.valueAsNumber }))
    return el('label', {}, 'Frames per second ', input)
  }

  function scaleFields(): HTMLElement[] {
    const put = (key: 'millimetresPerPixel' | 'millimetresPerPixelError') => (value: number | undefined) => {
      const { [key]: _, ...others } = choices
      choices = value === undefined ? others : { ...others, [key]: value }
      void again()
    }
    return [
      numberField('mm per pixel', choices.millimetresPerPixel ?? scale, put('millimetresPerPixel')),
      numberField('±, mm per pixel', choices.millimetresPerPixelError, put('millimetresPerPixelError')),
    ]
  }

  function draw(preview: Preview): void {
    const heads = columnHeads(preview.header, columns, (next) => {
      columns = next
      void again()
    })
    table.replaceChildren(rowsTable(preview, heads, preview.headerLine))
  }

  if (look.result.preview) draw(look.result.preview)
  must('questions').append(card)
  card.querySelector('h2')?.focus()
  card.scrollIntoView({ block: 'nearest' })
  void again()
}

const round = (x: number) => String(Number(x.toPrecision(3)))

/** "60 %, 0 s to 5.5 s, up to 21.9 mm" */
function spanOf({ name, time, radius }: { name: string; time: Float64Array; radius: Float64Array }): string {
  const most = radius.reduce((a, b) => Math.max(a, b), 0)
  return `“${cut(name)}” from ${round(time[0]!)} s to ${round(time.at(-1)!)} s, up to ${round(most * 1e3)} mm`
}
