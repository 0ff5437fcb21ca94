/** A workbook on its way in: its only sheet, or those that are chosen, are read like any other table. */
import { looksLikeArchive } from '../../measured/decode.ts'
import { type Sheet, sheetName } from '../../measured/sheets.ts'
import { say } from '../actions.ts'
import { el, must } from '../dom.ts'
import { KEPT, placed, refuse } from '../refuse.ts'
import type { Store } from '../store.ts'
import { importTable } from './importing.ts'
import { choice } from './importParts.ts'
import { readWatched } from './reading.ts'
import { openWorkbook } from './tableReader.ts'

export const isWorkbook = (start: Uint8Array): boolean => looksLikeArchive(start)

/** Reads a workbook; asks for the sheet if there are several with something in them. */
export async function takeWorkbook(name: string, bytes: Uint8Array, store: Store): Promise<void> {
  const reader = openWorkbook(bytes, name)
  const result = await readWatched(reader, (progress) => reader.read(progress), name, store)
  if (!result) return
  if (!result.ok) refuse(store, `${name} cannot be used.`, placed(result.problems, name), KEPT)
  else if (result.sheets.length === 1) await takeSheets(name, result.sheets, result.sheets, store)
  else ask(name, result.sheets, store)
}

async function takeSheets(
  file: string,
  wanted: readonly Sheet[],
  all: readonly Sheet[],
  store: Store,
): Promise<void> {
  for (const sheet of wanted) {
    const name = sheetName(file, sheet, all)
    await importTable({ name, source: sheet.text, base: { separator: '\t' } }, store)
  }
}

function ask(file: string, sheets: readonly Sheet[], store: Store): void {
  let wanted = sheets[0]!
  const before = document.activeElement
  const leave = () => {
    card.remove()
    if (before instanceof HTMLElement && before.isConnected) before.focus({ preventScroll: true })
  }
  const button = (text: string, main: boolean, act: () => void) =>
    el(
      'button',
      {
        type: 'button',
        class: main ? 'main' : '',
        onclick: () => {
          leave()
          act()
        },
      },
      text,
    )
  const names = sheets.map(({ name }, k): [string, string] => [String(k), name])
  const card = el(
    'div',
    { class: 'message question', role: 'group', 'aria-label': `Sheets of ${file}` },
    el('p', {}, `${file} has ${sheets.length} sheets with something in them.`),
    choice('Sheet', names, '0', (k) => {
      wanted = sheets[Number(k)]!
    }),
    el(
      'div',
      { class: 'buttons' },
      button('Read this sheet', true, () => void takeSheets(file, [wanted], sheets, store)),
      button(`Read all ${sheets.length}`, false, () => void takeSheets(file, sheets, sheets, store)),
      button('Leave it out', false, () => say(store, 'note', `${file} was not taken over.`, KEPT)),
    ),
  )
  must('questions').append(card)
  card.querySelector('select')?.focus()
}
