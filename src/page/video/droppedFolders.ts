/** Files of dropped folders, with their paths. */
import { notePath } from './recordings.ts'

/** Most files that are looked at. */
const mostFiles = 20_000

/**
 * All files that were dropped, those in folders too. Must be called while the event is handled: later the browser tells
 * nothing any more.
 */
export function droppedFiles(data: DataTransfer | null): Promise<File[]> {
  const entries = [...(data?.items ?? [])].flatMap((item) => {
    const entry = item.kind === 'file' ? item.webkitGetAsEntry?.() : null
    return entry ? [entry] : []
  })
  const plain = [...(data?.files ?? [])]
  return entries.some(({ isDirectory }) => isDirectory) ? filesOf(entries) : Promise.resolve(plain)
}

async function filesOf(entries: readonly FileSystemEntry[]): Promise<File[]> {
  const found: File[] = []
  const waiting = [...entries]
  while (waiting.length > 0 && found.length < mostFiles) {
    const entry = waiting.shift()!
    if (entry.isDirectory) waiting.push(...(await entriesOf(entry as FileSystemDirectoryEntry)))
    else {
      const file = await new Promise<File | null>((done) =>
        (entry as FileSystemFileEntry).file(done, () => done(null)),
      )
      if (!file || file.name.startsWith('.')) continue
      notePath(file, entry.fullPath.replace(/^\//, ''))
      found.push(file)
    }
  }
  return found
}

/** Browsers tell the entries of a folder by hundreds. */
async function entriesOf(folder: FileSystemDirectoryEntry): Promise<FileSystemEntry[]> {
  const reader = folder.createReader()
  const all: FileSystemEntry[] = []
  for (;;) {
    const some = await new Promise<FileSystemEntry[]>((done) => reader.readEntries(done, () => done([])))
    if (some.length === 0) return all
    all.push(...some)
  }
}
