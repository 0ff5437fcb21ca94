/** Name of a mutant that is the same in every process: file, place, kind, what is put there. */
import { readFileSync } from 'node:fs'
import { relative } from 'node:path'

export const keyOf = ({ fileName, location: { start, end }, mutatorName, replacement }) =>
  JSON.stringify([
    relative(process.cwd(), fileName),
    start.line,
    start.column,
    end.line,
    end.column,
    mutatorName,
    replacement,
  ])

/** A mutant that was run, for people: what became of it, where it is, its line and what is put there. */
export function textOf({ fileName, location: { start }, mutatorName, replacement, status }) {
  const line = readFileSync(fileName, 'utf8').split('\n')[start.line - 1] ?? ''
  const place = `${relative(process.cwd(), fileName)}:${start.line}:${start.column}`
  return `${status} ${place} ${mutatorName}\n    ${line.trim()}\n  → ${replacement ?? ''}\n`
}
