/** From chosen or dropped files to recordings. */
import { kindsOf, type Recording, recordingsOf } from './recordings.ts'
import { type FrameSource, SourceProblem } from './source.ts'
import { openStills } from './stills.ts'
import { openVideo } from './videoSource.ts'

export interface Found {
  recordings: Recording[]
  /** Names of files that were not taken. */
  left: string[]
}

/**
 * Sorts files into recordings. What a file is, is told by its bytes; where none is a recording the first is given as a video
 * all the same, so that opening it says what is wrong with it. Throws a SourceProblem without files.
 */
export async function findRecordings(files: readonly File[]): Promise<Found> {
  if (files.length === 0) throw new SourceProblem('No file was chosen.')
  const found = recordingsOf(await kindsOf(files))
  if (found.recordings.length > 0) return found
  const [first, ...others] = files
  return {
    recordings: [{ name: first!.name, kind: 'video', files: [first!] }],
    left: others.map(({ name }) => name),
  }
}

/** Opens a recording. Throws a SourceProblem in words. */
export async function openRecording({ name, kind, files }: Recording): Promise<{ source: FrameSource }> {
  const source = kind === 'video' ? await openVideo(files[0]!) : await openStills(files)
  const bytes = files.reduce((sum, { size }) => sum + size, 0)
  return { source: Object.assign(source, { name, files, bytes }) }
}
