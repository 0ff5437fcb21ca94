/** A video file as a recording. */
import { openBySeeking } from './seeking.ts'
import type { FrameSource } from './source.ts'

/**
 * Opens a video: frame by frame where that can be done, else by seeking, which also finds the words where neither can.
 * What takes videos apart is loaded for the first of them. Throws a SourceProblem in words if the file is empty,
 * damaged, no video, of a codec that this browser cannot decode, or holds no frame.
 */
export async function openVideo(file: File): Promise<FrameSource> {
  const decoded = await import('./decodedSource.ts').then(
    ({ openDecoded }) => openDecoded(file),
    () => null,
  )
  return decoded ?? openBySeeking(file)
}
