/** A lab sheet as plain text. */
import type { LabSheet, SheetRow } from './types.ts'

const WIDTH = 110

/** Breaks a text at blanks into lines of at most `width`; every line but the first begins with `indent` blanks. */
function folded(text: string, indent: number): string {
  const lines = ['']
  for (const word of text.split(' ')) {
    const last = lines.at(-1)!
    const room = WIDTH - (lines.length > 1 ? indent : 0)
    if (last !== '' && last.length + 1 + word.length > room) lines.push(word)
    else lines[lines.length - 1] = last === '' ? word : `${last} ${word}`
  }
  return lines.join(`\n${' '.repeat(indent)}`)
}

const LABEL = 23

function lineOf({ label, value, unit, note }: SheetRow): string {
  const said = [value, unit, note && `(${note})`].filter((part) => part !== '').join(' ')
  const lines = folded(`${'_'.repeat(LABEL)}${said}`, LABEL)
  return `  ${label}`.padEnd(LABEL) + lines.slice(LABEL)
}

/** The sheet as plain text, lines of at most 110 characters. */
export function labSheetText(sheet: LabSheet): string {
  const parts = sheet.sections.map(({ title, rows }) => [title, ...rows.map(lineOf), ''].join('\n'))
  const notice = sheet.notice ? [folded(sheet.notice.toUpperCase(), 0), ''] : []
  return [sheet.title, folded(sheet.note, 0), '', ...notice, ...parts].join('\n')
}
