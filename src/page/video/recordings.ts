/** Chosen or dropped files → recordings: each video is one; still pictures belong together by folder and name. */
import { sniff } from '../../measured/video/sniff.ts'

export interface Recording {
  /** What it is called: the video's file, or the folder or common name of its pictures. */
  name: string
  kind: 'video' | 'stills'
  files: readonly File[]
}

/** What a file is, by its bytes. */
export type Kind = 'video' | 'picture' | 'other'

/** Most still pictures of one recording. */
const mostStills = 5000

const byName = new Intl.Collator('en', { numeric: true })

/** The folder that a file was found in, as chosen or dropped; '' if that is not known. */
const folderOf = (file: File): string =>
  (folders.get(file) ?? file.webkitRelativePath).replace(/\/?[^/]*$/, '')

/** Paths of files out of dropped folders, which the browser does not tell. */
const folders = new WeakMap<File, string>()
export const notePath = (file: File, path: string): void => {
  folders.set(file, path)
}

/** A picture's name without its number and ending: "run 3_0012.png" → "run 3". */
export const seriesName = (name: string): string =>
  name
    .replace(/\.[^.]{1,5}$/, '')
    .replace(/\d+$/, '')
    .replace(/[\s_\-.(]+$/, '')

/**
 * Sorts files into recordings, in the order of their names. Pictures of one folder are one recording; where their names
 * without the number fall into series of two pictures or more each, every series is one. `left` are files that are neither
 * video nor picture, and pictures beyond the most of a recording.
 */
export function recordingsOf(files: readonly { file: File; kind: Kind }[]): {
  recordings: Recording[]
  left: string[]
} {
  const left = files.filter(({ kind }) => kind === 'other').map(({ file }) => file.name)
  const videos = files
    .filter(({ kind }) => kind === 'video')
    .map(({ file }): Recording => ({ name: file.name, kind: 'video', files: [file] }))
  const pictures = files.filter(({ kind }) => kind === 'picture').map(({ file }) => file)
  const stills = [...grouped(pictures, folderOf)].flatMap(([folder, own]) => ofFolder(folder, own))
  for (const one of stills) {
    left.push(...one.files.slice(mostStills).map(({ name }) => name))
    one.files = one.files.slice(0, mostStills)
  }
  const recordings = [...videos, ...stills].sort((a, b) => byName.compare(a.name, b.name))
  return { recordings, left }
}

function ofFolder(folder: string, pictures: readonly File[]): Recording[] {
  const sorted = [...pictures].sort((a, b) => byName.compare(a.name, b.name))
  const series = grouped(sorted, ({ name }) => seriesName(name))
  const several = series.size > 1 && [...series.values()].every(({ length }) => length > 1)
  if (several)
    return [...series].map(([name, files]) => ({ name: name || folderName(folder), kind: 'stills', files }))
  const [first] = sorted
  const more = sorted.length - 1
  const name = folderName(folder) || (more > 0 ? `${first!.name} and ${more} more` : first!.name)
  return [{ name, kind: 'stills', files: sorted }]
}

const folderName = (folder: string): string => folder.split('/').at(-1) ?? ''

function grouped<T>(list: readonly T[], key: (one: T) => string): Map<string, T[]> {
  const groups = new Map<string, T[]>()
  for (const one of list) groups.set(key(one), [...(groups.get(key(one)) ?? []), one])
  return groups
}

/** What files are, by their first bytes; one that cannot be read, or whose bytes tell nothing, is let through by its name. */
export async function kindsOf(files: readonly File[]): Promise<{ file: File; kind: Kind }[]> {
  return Promise.all(
    files.map(async (file) => {
      const start = await file
        .slice(0, 512)
        .arrayBuffer()
        .then((bytes) => new Uint8Array(bytes))
        .catch(() => new Uint8Array())
      const { kind } = sniff(start)
      if (kind === 'picture' || kind === 'video') return { file, kind }
      const named = /\.(mp4|m4v|mov|webm|mkv|avi|mpe?g|ogv)$/i.test(file.name)
      return { file, kind: named ? 'video' : 'other' }
    }),
  )
}
