/**
 * A report as one HTML file: style inside, figures as inline SVG, no script, nothing loaded from anywhere. Every text
 * goes in escaped. Pure.
 */
import { type Cell, cellText, headText, type Table } from '../../plan/table.ts'
import { escapeXml } from '../plots/escape.ts'
import style from './document.css?raw'
import type { ReportFigure } from './parts.ts'
import type { ResultPages } from './resultPages.ts'

/** A caution: what, and what of it. */
export interface Caution {
  label: string
  text: string
}

export interface ReportContent {
  title: string
  /** Who wrote it and when; '' if not told. */
  names: string
  date: string
  /** Free text of the user; line breaks are kept. */
  text: string
  /** The first pages; null where there is no result to tell. */
  result?: ResultPages | null
  /** Name of the drop and what is said of it. */
  drop: string
  note: string
  /** What must stand over everything in large letters; '' if nothing must. */
  notice: string
  /** The life in one sentence. */
  sentence: string
  results: Table | null
  figures: readonly ReportFigure[]
  measured: Table | null
  leftOut: readonly string[]
  settings: Table
  sources: readonly string[]
  errors: Table | null
  warnings: readonly string[]
  limits: readonly string[]
  cautions: readonly Caution[]
}

const e = escapeXml

/** Ids of a picture (clip paths) begin with `prefix`, so that two pictures on one page do not take each other's. */
export function withOwnIds(svg: string, prefix: string): string {
  const ids = [...svg.matchAll(/\sid="([^"]*)"/g)].map(([, id]) => id!)
  return ids.reduce(
    (text, id) =>
      text
        .replaceAll(` id="${id}"`, ` id="${prefix}${id}"`)
        .replaceAll(`url(#${id})`, `url(#${prefix}${id})`)
        .replaceAll(`href="#${id}"`, `href="#${prefix}${id}"`),
    svg,
  )
}

/** A picture to be set into HTML: a name for those who hear it, no name space. */
function inline(svg: string, title: string, prefix: string): string {
  const own = withOwnIds(svg, prefix).replace(/ xmlns="[^"]*"/, '')
  return own.includes('role="img"') ? own : own.replace('<svg ', `<svg role="img" aria-label="${e(title)}" `)
}

const isNumber = (cell: Cell | undefined): boolean => cell !== undefined && typeof cell !== 'string'

/** Tables of so many rows at most stay on one page. */
const WHOLE = 12

function tableHtml({ title, columns, rows }: Table, heading: boolean): string {
  const number = columns.map((_, i) => rows.length > 0 && rows.every((row) => isNumber(row[i])))
  const mark = (i: number) => (number[i] ? ' class="number"' : '')
  const head = columns.map((column, i) => `<th scope="col"${mark(i)}>${e(headText(column))}</th>`).join('')
  const body = rows
    .map((row) => {
      const cells = row.map((cell, i) => {
        const text = e(cellText(cell, columns[i]!))
        // Units and short words stay on one line.
        const short = !number[i] && text.length <= 12 ? ' class="short"' : ''
        return i === 0 ? `<th scope="row">${text}</th>` : `<td${mark(i) || short}>${text}</td>`
      })
      return `<tr>${cells.join('')}</tr>`
    })
    .join('')
  const caption = heading ? `<h3>${e(title)}</h3>` : ''
  return `${caption}<div class="scrolls${rows.length <= WHOLE ? ' whole' : ''}" tabindex="0" role="region" aria-label="${e(title)}"><table${columns.length > 8 ? ' class="wide"' : ''}><thead><tr>${head}</tr></thead><tbody>${body}</tbody></table></div>`
}

function figureHtml({ title, caption, svg, table }: ReportFigure, k: number): string {
  const picture = svg ? inline(svg, title, `f${k}-`) : ''
  const name = svg ? `<strong>Figure ${k}. ${e(title)}.</strong> ` : `<strong>${e(title)}.</strong> `
  const words = `<figcaption>${name}${e(caption)}</figcaption>`
  return `<figure>${picture}${words}</figure>${table && table.rows.length > 0 ? tableHtml(table, true) : ''}`
}

/** Figures get numbers, tables alone get none. */
function figuresHtml(figures: readonly ReportFigure[], before: number): string {
  let count = before
  return figures.map((figure) => figureHtml(figure, figure.svg ? ++count : 0)).join('')
}

const section = (title: string, ...parts: string[]): string => {
  const inside = parts.join('')
  return inside ? `<section><h2>${e(title)}</h2>${inside}</section>` : ''
}

const list = (items: readonly string[], kind: 'ul' | 'ol' = 'ul'): string =>
  items.length > 0 ? `<${kind}>${items.map((item) => `<li>${e(item)}</li>`).join('')}</${kind}>` : ''

const paragraph = (text: string, kind = ''): string =>
  text ? `<p${kind ? ` class="${kind}"` : ''}>${e(text)}</p>` : ''

function cautionsHtml([first, ...rest]: readonly Caution[]): { foremost: string; others: string } {
  const rows = rest.map(
    ({ label, text }) =>
      `<div${label === 'TOXIC' ? ' class="toxic"' : ''}><dt>${e(label)}</dt><dd>${e(text)}</dd></div>`,
  )
  return {
    foremost: first ? paragraph(first.text, 'foremost') : '',
    others: rows.length > 0 ? `<dl>${rows.join('')}</dl>` : '',
  }
}

/** The result: the answer first, one figure, one table, and what is doubtful. */
function resultHtml({ sentences, figure, table, note, doubts }: ResultPages): string {
  const [first = '', ...others] = sentences
  const { table: _, ...picture } = figure
  return `<section class="result"><h2>Result</h2>${paragraph(first, 'answer')}${others.map((text) => paragraph(text)).join('')}${figureHtml(picture, 1)}${tableHtml(table, true)}${paragraph(note, 'small')}${doubts.length > 0 ? `<h3>Doubts</h3>${list(doubts)}` : ''}</section><h2 class="appendix">Appendix</h2>`
}

/** What stands between <body> and </body>. */
function bodyHtml(content: ReportContent): string {
  const { foremost, others } = cautionsHtml(content.cautions)
  const by = [content.names, content.date].filter(Boolean).join(', ')
  return [
    `<header><h1>${e(content.title)}</h1>${paragraph(by, 'by')}</header>`,
    `<main>${paragraph(content.notice, 'unreal')}${foremost}${paragraph(content.text, 'text')}`,
    content.result ? resultHtml(content.result) : '',
    section(
      'The drop',
      paragraph(content.drop),
      paragraph(content.note, 'small'),
      paragraph(content.sentence),
      content.results ? tableHtml(content.results, false) : '',
      list(content.warnings),
    ),
    section('Figures', figuresHtml(content.figures, content.result ? 1 : 0)),
    section(
      'Measured series',
      content.measured ? tableHtml(content.measured, false) : '',
      content.leftOut.length > 0 ? '<h3>Left out or shifted</h3>' : '',
      list(content.leftOut),
    ),
    section(
      'Settings',
      paragraph(
        'Every input of the model. Own: chosen by the user. Default: as the program proposes. Empty: taken from the liquids library or set by the model. Numbers in brackets point to the sources below.',
        'small',
      ),
      tableHtml(content.settings, false),
      content.sources.length > 0 ? '<h3>Sources of the numbers</h3>' : '',
      list(content.sources, 'ol'),
    ),
    content.errors
      ? section(
          'Numerical errors',
          paragraph(
            'They cover the computing only, not what the model leaves out or how well the liquids are known.',
            'small',
          ),
          tableHtml(content.errors, false),
        )
      : '',
    section('What the model leaves out', list(content.limits)),
    section('Cautions', others),
    '</main>',
    '<footer>Made with Rimtide. Simulated figures are those of a model, not measured.</footer>',
  ].join('')
}

/** Nothing in the file may run or be fetched, even if something slipped through. */
const policy =
  "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"

/** The whole file. */
export const reportHtml = (content: ReportContent): string =>
  `<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><meta http-equiv="Content-Security-Policy" content="${policy}"><meta name="viewport" content="width=device-width, initial-scale=1"><title>${e(content.title)}</title><style>${style}</style></head><body>${bodyHtml(content)}</body></html>\n`
