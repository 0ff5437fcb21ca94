/** Files from the user: chosen, dropped anywhere on the page, or pasted. What a file is, is told by its bytes. */
import { isLiquidText } from '../life/liquidFile.ts'
import { parsePreset } from '../life/preset.ts'
import { CURVES_FORMAT, looksLikeCurvesFile } from '../measured/curvesFile.ts'
import { LARGEST_FILE } from '../measured/decode.ts'
import { sniff } from '../measured/video/sniff.ts'
import { say, setPreset, tell } from './actions.ts'
import { el } from './dom.ts'
import { takeCurvesFile } from './measured/curvesIn.ts'
import { importTable } from './measured/importing.ts'
import { isWorkbook, takeWorkbook } from './measured/workbookIn.ts'
import { KEPT, refuse } from './refuse.ts'
import type { Message, Store, View } from './store.ts'
import { takeLiquid } from './takeLiquid.ts'
import { gathering, together } from './together.ts'
import { handOver } from './video/handOver.ts'

/** Most files taken at once, recordings apart. */
const mostFiles = 30
/** Largest JSON file, bytes: a set of curves is longer than a table of the same numbers. */
const largestJson = 200_000_000

/** Largest preset or liquid, bytes: their texts are a few thousand long. */
const largestShort = 5_000_000

const inMegabytes = (bytes: number): string => `${(bytes / 1e6).toFixed(1)} MB`

const shorten = (name: string): string => (name.length > 60 ? `${name.slice(0, 57)}…` : name)

/** A file whose name or first sign says JSON. */
const looksLikeJson = (name: string, start: Uint8Array): boolean => {
  if (/\.json$/i.test(name)) return true
  const first = start.find((byte) => byte > 32 && byte !== 0xef && byte !== 0xbb && byte !== 0xbf)
  return first === 0x7b
}

function takePreset(name: string, text: string, store: Store): void {
  const result = parsePreset(text)
  if (result.ok) {
    setPreset(store, result.preset)
    say(store, 'note', `The drop of ${name} is loaded.`, 'Undo brings the last one back.')
    return
  }
  refuse(store, `${name} is not a preset that can be used.`, result.problems)
}

/** A set of curves, a liquid or a preset. */
async function takeJson(name: string, text: string, store: Store): Promise<void> {
  if (looksLikeCurvesFile(text)) await takeCurvesFile(name, text, store)
  else if (isLiquidText(text)) takeLiquid(name, text, store)
  else takePreset(name, text, store)
}

/** A set of curves may be long: it is read elsewhere, by pieces. What else is JSON is short. */
async function takeJsonFile(name: string, file: File, store: Store): Promise<void> {
  if (looksLikeCurvesFile(await file.slice(0, 20_000).text())) await takeCurvesFile(name, file, store)
  else if (file.size <= largestShort) await takeJson(name, await file.text(), store)
  else {
    const text = `${name} has ${inMegabytes(file.size)}; a preset or a liquid of at most ${largestShort / 1e6} MB is read. A set of curves begins with "format": "${CURVES_FORMAT}".`
    say(store, 'error', text, KEPT)
  }
}

async function takeFile(file: File, start: Uint8Array, store: Store): Promise<void> {
  const name = shorten(file.name)
  const json = looksLikeJson(file.name, start)
  const most = json ? largestJson : LARGEST_FILE
  if (file.size > most) {
    say(store, 'error', `${name} has ${inMegabytes(file.size)}; at most ${most / 1e6} MB are read.`, KEPT)
    return
  }
  try {
    if (json) await takeJsonFile(name, file, store)
    else if (isWorkbook(start)) await takeWorkbook(name, new Uint8Array(await file.arrayBuffer()), store)
    else await importTable({ name, source: new Uint8Array(await file.arrayBuffer()) }, store)
  } catch (error) {
    const reason = error instanceof Error ? error.message : 'no reason given'
    say(store, 'error', `${name} could not be read (${reason}).`, KEPT)
  }
}

/** First bytes of a file; none if it cannot be read. */
async function startOf(file: File): Promise<Uint8Array> {
  try {
    return new Uint8Array(await file.slice(0, 512).arrayBuffer())
  } catch {
    return new Uint8Array()
  }
}

/** A table may begin with the letters BM, as a picture does; its name tells. */
const isRecording = (file: File, start: Uint8Array): boolean =>
  !/\.(csv|tsv|txt|dat|json|xlsx)$/i.test(file.name) && /^(picture|video)$/.test(sniff(start).kind)

/**
 * Takes files one after the other; none of them can hold up the others. What they give to say is said once, at the end.
 * Recordings go to their own section.
 */
async function takeFiles(files: Iterable<File>, store: Store): Promise<void> {
  const list = await Promise.all([...files].map(async (file) => ({ file, start: await startOf(file) })))
  const recordings = list.filter(({ file, start }) => isRecording(file, start)).map(({ file }) => file)
  const others = list.filter(({ file }) => !recordings.includes(file))
  if (others.length > mostFiles)
    say(store, 'warning', `Only the first ${mostFiles} of ${others.length} files are read.`)
  const said: Message[][] = []
  for (const { file, start } of others.slice(0, mostFiles))
    said.push(await gathering(store, (own) => takeFile(file, start, own)))
  const message = together(said)
  if (message) tell(store, message)
  if (recordings.length > 0 && !handOver(recordings)) {
    say(store, 'error', 'Recordings cannot be read here: their part of the page is missing.', KEPT)
  }
}

/** Opens the browser's file choice. */
export function chooseFiles(store: Store): void {
  const input = el('input', {
    type: 'file',
    multiple: true,
    accept: '.json,.csv,.txt,.tsv,.dat,.xlsx,text/*,application/json,video/*,image/*',
  })
  input.addEventListener('change', () => void takeFiles(input.files ?? [], store))
  input.click()
}

/** Takes text that was pasted: a table is shown before anything is taken. */
export function takePasted(text: string, store: Store): void {
  if (text.trim() === '') say(store, 'note', 'Nothing was pasted.')
  else if (text.length > LARGEST_FILE)
    say(store, 'error', 'This is too much text to be pasted.', 'Save it as a file and choose that.')
  else if (/^\s*\uFEFF?\{/.test(text)) void takeJson('pasted text', text, store)
  else void importTable({ name: 'pasted table', source: text, look: true }, store)
}

const takesText = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement &&
  (target.isContentEditable || target.matches('textarea, select, input:not([type=range], [type=checkbox])'))

/** Lets files be dropped anywhere on `root`, and files and tables be pasted wherever no field has the focus. */
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
  const paste = (event: ClipboardEvent) => {
    const { clipboardData, target } = event
    if (!clipboardData || takesText(target)) return
    const text = clipboardData.getData('text/plain')
    if (!text && clipboardData.files.length === 0) return
    event.preventDefault()
    // Spreadsheets put a picture of the cells beside their text.
    if (text) takePasted(text, store)
    else void takeFiles(clipboardData.files, store)
  }
  root.addEventListener('dragover', over)
  root.addEventListener('dragleave', leave)
  root.addEventListener('drop', drop)
  document.addEventListener('paste', paste)
  return {
    destroy() {
      root.removeEventListener('dragover', over)
      root.removeEventListener('dragleave', leave)
      root.removeEventListener('drop', drop)
      document.removeEventListener('paste', paste)
    },
  }
}
