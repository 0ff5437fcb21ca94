/**
 * The table of runs: what is stated about the drop of each measured curve and of each recording in the queue, a row each;
 * every edit or paste is a step of undo.
 */
import { mixtures, oils } from '../../liquids/registry.ts'
import { repetitionsOf } from '../../measured/replicates.ts'
import {
  blockCells,
  layBlock,
  type RunField,
  runFields,
  sigmaFieldOf,
  withChange,
} from '../../measured/runFields.ts'
import { unstatedWords } from '../../measured/unstated.ts'
import { say } from '../actions.ts'
import { el, freshId, oncePerFrame } from '../dom.ts'
import { type Store, type View, watch } from '../store.ts'
import { changeMetas } from './changes.ts'
import { setGrouped } from './grouping.ts'
import { groupWords } from './groupWords.ts'
import { offerMadeParts } from './madeParts.ts'
import { plannedChoice } from './plannedChoice.ts'
import { keepQueuedRuns, type Run, runsOf } from './queuedRuns.ts'
import { createNamesPart } from './runNames.ts'
import './runs.css'

/** Rows shown before all are asked for. */
const mostRows = 60

const plainFields = runFields({ alcohols: Object.keys(mixtures), oils: Object.keys(oils) })

/** Columns with the uncertainties behind what they belong to. */
const fieldsWith = (sigmas: boolean): RunField[] =>
  plainFields.flatMap((field) => {
    const sigma = sigmas ? sigmaFieldOf(field.id) : null
    return sigma ? [field, sigma] : [field]
  })

/** "Strength, standard uncertainty" */
const labelOf = (fields: readonly RunField[], column: number): string =>
  fields[column]!.label === '±' ? `${fields[column - 1]!.label}, standard uncertainty` : fields[column]!.label

export function createRuns(root: HTMLElement, store: Store): View {
  let sigmas = false
  let all = false
  let fields = fieldsWith(false)
  let shownIds = ''
  const problem = el('p', { class: 'problem', role: 'status' })
  const body = el('tbody')
  const head = el('thead')
  const ticks = {
    sigmas: el('input', {
      type: 'checkbox',
      onchange: () => {
        sigmas = ticks.sigmas.checked
        fields = fieldsWith(sigmas)
        build()
      },
    }),
    grouped: el('input', { type: 'checkbox', onchange: () => setGrouped(store, ticks.grouped.checked) }),
  }
  const groupedRow = el(
    'label',
    { class: 'inline' },
    ticks.grouped,
    ' Group repetitions: draw mean ± standard deviation',
  )
  const groups = el('ul', { class: 'note run-groups' })
  const more = el('button', {
    type: 'button',
    onclick: () => {
      all = true
      build()
    },
  })
  const endKeeping = keepQueuedRuns(store)
  const lists = suggestionsFor(plainFields)
  const names = createNamesPart(store)
  root.append(
    el('h3', {}, 'Runs'),
    el(
      'p',
      { class: 'note' },
      'What is known of each drop; comparison, fit and scaling use it. Cells copied from a spreadsheet can be pasted into any cell. An empty cell states nothing: the page’s drop stands for it. What is stated of a recording goes with its curve.',
    ),
    names.root,
    el(
      'div',
      { class: 'runs-scroll', tabindex: 0, role: 'region', 'aria-label': 'Table of runs' },
      el('table', { class: 'runs-table' }, head, body),
    ),
    more,
    problem,
    el(
      'div',
      { class: 'runs-options' },
      el('label', { class: 'inline' }, ticks.sigmas, ' Show ± (standard uncertainties, 1 σ)'),
      groupedRow,
    ),
    groups,
    ...lists.elements,
  )

  const runs = (): readonly Run[] => {
    const list = runsOf(store.getState())
    return all ? list : list.slice(0, mostRows)
  }

  function take(input: HTMLInputElement, row: number, column: number): void {
    const run = runs()[row]
    const field = fields[column]
    if (!run || !field || input.value === field.show(run.meta)) return
    const read = field.read(input.value, run.meta)
    mark(input, read.ok ? '' : `${run.name}, ${labelOf(fields, column)}: ${read.message}`)
    if (!read.ok) return
    changeMetas(store, new Map([[run.id, withChange(run.meta, read.change)]]), `${run.id} run ${field.id}`)
    input.value = field.show(runs()[row]!.meta)
  }

  function mark(input: HTMLInputElement, text: string): void {
    problem.textContent = text
    if (text) input.setAttribute('aria-invalid', 'true')
    else input.removeAttribute('aria-invalid')
  }

  function paste(event: ClipboardEvent, row: number, column: number): void {
    const text = event.clipboardData?.getData('text/plain') ?? ''
    if (!/[\t\n\r]/.test(text.trim())) return
    event.preventDefault()
    const shown = runs()
    const { metas, problems, beyond } = layBlock(blockCells(text), shown, fields, { row, column })
    changeMetas(store, new Map([...metas].map(([i, meta]) => [shown[i]!.id, meta])))
    const told = [
      ...problems.slice(0, 5),
      ...(problems.length > 5 ? [`${problems.length - 5} more cells were not taken`] : []),
      ...(beyond > 0 ? [`${beyond} ${beyond === 1 ? 'cell lies' : 'cells lie'} beyond the table`] : []),
    ]
    problem.textContent = told.join(' ')
    const taken = metas.size === 1 ? 'One run has' : `${metas.size} runs have`
    say(
      store,
      problems.length > 0 ? 'warning' : 'note',
      `${taken} new data from the pasted cells.`,
      'Undo takes them back.',
    )
    refresh(true)
  }

  /** Up, down and Enter go through a column. */
  function onKey(event: KeyboardEvent, row: number, column: number): void {
    const by = { Enter: 1, ArrowDown: 1, ArrowUp: -1 }[event.key]
    const input = event.target as HTMLInputElement
    if (!by || event.altKey || event.ctrlKey || event.metaKey) return
    // A list of suggestions is walked through with the arrows.
    if (event.key !== 'Enter' && input.hasAttribute('list')) return
    event.preventDefault()
    take(input, row, column)
    const next = body.rows[row + by]?.cells[column + 1]?.querySelector('input')
    next?.focus()
    next?.select()
  }

  function cell(row: number, column: number, name: string): HTMLElement {
    const field = fields[column]!
    const list = lists.idOf(field.id)
    const input = el('input', {
      type: 'text',
      autocomplete: 'off',
      class: field.choices && !field.only ? 'words-cell' : 'number-cell',
      ...(field.choices ? {} : { inputmode: field.id === 'date' ? 'text' : 'decimal' }),
      ...(list ? { list } : {}),
      'aria-label': `${labelOf(fields, column)}${field.unit ? `, ${field.unit}` : ''}: ${name}`,
      onchange: () => take(input, row, column),
      onpaste: (event: ClipboardEvent) => paste(event, row, column),
      onkeydown: (event: KeyboardEvent) => onKey(event, row, column),
    })
    return el('td', {}, input)
  }

  /** New rows and columns. */
  function build(): void {
    const shown = runs()
    shownIds = idsOf(shown)
    head.replaceChildren(
      el(
        'tr',
        {},
        el('th', { scope: 'col' }, 'Run'),
        ...fields.map(({ label, unit }) => el('th', { scope: 'col' }, unit ? `${label}, ${unit}` : label)),
      ),
    )
    body.replaceChildren(
      ...shown.map((run, row) =>
        el(
          'tr',
          { class: run.queued ? 'queued' : '' },
          el(
            'th',
            { scope: 'row', title: run.name },
            run.name,
            ...(run.planned ? [plannedChoice(store, run)] : []),
            el('small', { class: 'run-unstated' }),
          ),
          ...fields.map((_, column) => cell(row, column, run.name)),
        ),
      ),
    )
    refresh(true)
  }

  /** Texts of the present data; a cell that is being typed in is left alone unless `whole`. */
  function refresh(whole = false): void {
    runs().forEach(({ meta, queued, planned }, row) => {
      const remark = body.rows[row]?.cells[0]?.querySelector('small')
      const words = [planned ? '' : queued ? aheadWords : '', unstatedWords(meta)].filter(Boolean).join('; ')
      if (remark && remark.textContent !== words) remark.textContent = words
      fields.forEach((field, column) => {
        const input = body.rows[row]?.cells[column + 1]?.querySelector('input')
        const text = field.show(meta)
        if (!input || input.value === text || (!whole && document.activeElement === input)) return
        input.value = text
        input.removeAttribute('aria-invalid')
      })
    })
  }

  const draw = oncePerFrame(() => {
    const { measured, grouped } = store.getState()
    const count = runsOf(store.getState()).length
    root.hidden = count === 0
    if (root.hidden) return
    if (idsOf(runs()) !== shownIds) build()
    else refresh()
    more.hidden = all || count <= mostRows
    more.textContent = `Show all ${count} runs`
    const repeated = repetitionsOf(measured)
    groupedRow.hidden = !repeated.some(({ curves: own }) => own.length > 1)
    ticks.grouped.checked = grouped
    groups.replaceChildren(...repeated.map((one) => el('li', {}, groupWords(one))))
  })
  const endParts = offerMadeParts(store)
  const unwatch = watch(
    store,
    ({ measured, grouped, queued, stated, keeping }) => [measured, grouped, queued, stated, keeping.state],
    draw,
  )
  return {
    destroy() {
      unwatch()
      endParts()
      endKeeping()
      names.destroy()
      root.replaceChildren()
    },
  }
}

const idsOf = (runs: readonly Run[]): string =>
  runs.map(({ id, name, queued }) => `${id} ${queued ? 1 : 0} ${name}`).join('\n')

const aheadWords = 'recording in the queue, no curve yet'

/** Lists of what is offered in cells of words. */
function suggestionsFor(fields: readonly RunField[]): {
  elements: HTMLElement[]
  idOf(field: string): string | undefined
} {
  const lists = fields
    .filter(({ choices }) => choices && choices.length > 0)
    .map(({ id, choices }) => {
      const options = choices!.map((value) => el('option', { value }))
      return { field: id, element: el('datalist', { id: freshId('runs') }, ...options) }
    })
  return {
    elements: lists.map(({ element }) => element),
    idOf: (field) => lists.find((list) => list.field === field)?.element.id,
  }
}
