/** A table of figures on the page, with its CSV file. */
import { cellText, headText, type Table, tableCsv } from '../plan/table.ts'
import { el } from './dom.ts'
import { fileName, offerFile } from './plots/saving.ts'

/** The rows scroll sideways where there is no room; `name` goes into the name of the CSV file. */
export function tableView(table: Table, name: string): HTMLElement {
  const heads = table.columns.map((column) => el('th', { scope: 'col' }, headText(column)))
  const rows = table.rows.map((row) =>
    el(
      'tr',
      {},
      ...row.map((value, i) => {
        const text = cellText(value, table.columns[i]!)
        return i === 0 ? el('th', { scope: 'row' }, text) : el('td', {}, text)
      }),
    ),
  )
  const save = () =>
    offerFile(`${fileName(name, table.title)}.csv`, new Blob([tableCsv(table)], { type: 'text/csv' }))
  return el(
    'div',
    { class: 'table-view' },
    el(
      'div',
      { class: 'table-head' },
      el('h3', {}, table.title),
      el('button', { type: 'button', 'aria-label': `Save as CSV: ${table.title}`, onclick: save }, 'CSV'),
    ),
    el(
      'div',
      { class: 'scrolling', tabindex: 0, role: 'region', 'aria-label': table.title },
      el(
        'table',
        { class: 'figures-table numbers' },
        el('thead', {}, el('tr', {}, ...heads)),
        el('tbody', {}, ...rows),
      ),
    ),
  )
}
