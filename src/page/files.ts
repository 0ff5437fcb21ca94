/** Files from the user: chosen or dropped anywhere on the page. Presets are JSON, everything else is read as a table. */
import { parsePreset } from '../life/preset.ts'
import { LARGEST_FILE } from '../measured/decode.ts'
import { readTable } from '../measured/read.ts'
import type { Choices, ReadResult, Skipped } from '../measured/types.ts'
import { addCurves, say, setPreset } from './actions.ts'
import { el } from './dom.ts'
import { askAbout } from './questions.ts'
import type { Store, View } from './store.ts'

const kept = 'What was on the page is kept.'
/** Most files taken at once. */
const mostFiles = 30
/** Most points of all measured curves together, so that the page stays quick. */
const mostPoints = 2_000_000

const shorten = (name: string): string => (name.length > 60 ? `${name.slice(0, 57)}…` : name)

/** A file whose name or first sign says JSON. */
const looksLikeJson = (name: string, bytes: Uint8Array): boolean => {
  if (/\.json$/i.test(name)) return true
  const first = bytes
    .subarray(0, 64)
    .find((byte) => byte > 32 && byte !== 0xef && byte !== 0xbb && byte !== 0xbf)
  return first === 0x7b
}

function takePreset(name: string, bytes: Uint8Array, store: Store): void {
  const result = parsePreset(new TextDecoder().decode(bytes))
  if (result.ok) {
    setPreset(store, result.preset)
    say(store, 'note', `The drop of ${name} is loaded.`, 'Undo brings the last one back.')
    return
  }
  const shown = result.problems.slice(0, 4).map((problem) => problem.message)
  const more = result.problems.length > 4 ? ` (and ${result.problems.length - 4} more)` : ''
  say(store, 'error', `${name} is not a preset that can be used. ${shown.join(' ')}${more}`, kept)
}

const lines = ({ line, last }: Skipped): string =>
  last && last !== line ? `lines ${line}–${last}` : `line ${line}`

function reportSkipped(name: string, result: ReadResult & { ok: true }, store: Store): void {
  const { skipped, warnings } = result
  const told = skipped.slice(0, 5).map((entry) => `${lines(entry)} (${entry.reason})`)
  const more = skipped.length > 5 ? ` and ${skipped.length - 5} more` : ''
  const left = told.length > 0 ? [`Left out: ${told.join('; ')}${more}.`] : []
  const text = [...warnings, ...left].join(' ')
  if (text) say(store, 'warning', `${name}: ${text}`, 'The other points are shown.')
}

/** Adds what the table gave; a curve that is there already is not added twice. */
function takeCurves(name: string, result: ReadResult & { ok: true }, store: Store): void {
  const { measured } = store.getState()
  const known = new Set(measured.map((curve) => curve.id))
  const fresh = result.curves.filter((curve) => !known.has(curve.id))
  const points = [...measured, ...fresh].reduce((sum, curve) => sum + curve.time.length, 0)
  if (points > mostPoints) {
    say(
      store,
      'error',
      `${name} would bring the page to ${points} measured points; it takes ${mostPoints}.`,
      kept,
    )
    return
  }
  if (fresh.length < result.curves.length) {
    say(store, 'note', `${name}: curves that are shown already were not added again.`)
  }
  addCurves(store, fresh)
  reportSkipped(name, result, store)
}

/** Reads a table and asks for what only the user can know. */
export function takeTable(name: string, bytes: Uint8Array, store: Store, choices: Choices = {}): void {
  const result = readTable(bytes, name, choices)
  if (result.ok) takeCurves(shorten(name), result, store)
  else if (result.needs && result.askOnly) {
    askAbout(store, shorten(name), result, choices, (answers) => takeTable(name, bytes, store, answers))
  } else refuseTable(name, result, store)
}

function refuseTable(name: string, result: ReadResult & { ok: false }, store: Store): void {
  const shown = result.problems
    .slice(0, 4)
    .map(({ where, message }) => (where && !message.includes(where) ? `${where}: ${message}` : message))
  const more = result.problems.length > 4 ? ` (and ${result.problems.length - 4} more)` : ''
  say(store, 'error', `${shorten(name)} cannot be used. ${shown.join(' ')}${more}`, kept)
}

async function takeFile(file: File, store: Store): Promise<void> {
  const name = shorten(file.name)
  if (file.size > LARGEST_FILE) {
    const size = `${(file.size / 1e6).toFixed(1)} MB`
    say(store, 'error', `${name} has ${size}; at most ${LARGEST_FILE / 1e6} MB are read.`, kept)
    return
  }
  try {
    const bytes = new Uint8Array(await file.arrayBuffer())
    if (looksLikeJson(file.name, bytes)) takePreset(name, bytes, store)
    else takeTable(file.name, bytes, store)
  } catch (error) {
    const reason = error instanceof Error ? error.message : 'no reason given'
    say(store, 'error', `${name} could not be read (${reason}).`, kept)
  }
}

/** Takes files one after the other; none of them can hold up the others. */
export async function takeFiles(files: Iterable<File>, store: Store): Promise<void> {
  const list = [...files]
  if (list.length > mostFiles)
    say(store, 'warning', `Only the first ${mostFiles} of ${list.length} files are read.`)
  for (const file of list.slice(0, mostFiles)) await takeFile(file, store)
}

/** Opens the browser's file choice. */
export function chooseFiles(store: Store): void {
  const input = el('input', {
    type: 'file',
    multiple: true,
    accept: '.json,.csv,.txt,.tsv,.dat,text/*,application/json',
  })
  input.addEventListener('change', () => void takeFiles(input.files ?? [], store))
  input.click()
}

/** Lets files be dropped anywhere on `root`. */
export function acceptFiles(root: HTMLElement, store: Store): View {
  const hasFiles = (event: DragEvent) => event.dataTransfer?.types.includes('Files') ?? false
  const over = (event: DragEvent) => {
    if (!hasFiles(event)) return
    event.preventDefault()
    root.classList.add('dropping')
  }
  const leave = (event: DragEvent) => {
    if (event.relatedTarget === null) root.classList.remove('dropping')
  }
  const drop = (event: DragEvent) => {
    root.classList.remove('dropping')
    if (!hasFiles(event)) return
    event.preventDefault()
    void takeFiles(event.dataTransfer?.files ?? [], store)
  }
  root.addEventListener('dragover', over)
  root.addEventListener('dragleave', leave)
  root.addEventListener('drop', drop)
  return {
    destroy() {
      root.removeEventListener('dragover', over)
      root.removeEventListener('dragleave', leave)
      root.removeEventListener('drop', drop)
    },
  }
}
