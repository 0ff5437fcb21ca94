/** From chosen or dropped files to a recording. */
import { sniff } from '../../measured/video/sniff.ts'
import { type FrameSource, SourceProblem } from './source.ts'
import { openStills } from './stills.ts'
import { openVideo } from './videoSource.ts'

/** Most still pictures of one recording. */
const mostStills = 5000

/**
 * One video, or any number of pictures. What a file is, is told by its bytes. Throws a SourceProblem in words.
 * `left` names the files that were not taken and why.
 */
export async function openFiles(files: readonly File[]): Promise<{ source: FrameSource; left: string[] }> {
  if (files.length === 0) throw new SourceProblem('No file was chosen.')
  const kinds = await Promise.all(
    files
      .slice(0, mostStills)
      .map(async (file) => sniff(new Uint8Array(await file.slice(0, 512).arrayBuffer()))),
  )
  const pictures = files.filter((_, i) => kinds[i]?.kind === 'picture')
  const videos = files.filter((_, i) => kinds[i]?.kind === 'video')
  const chosen = videos.length > 0 ? videos.slice(0, 1) : pictures
  const left = files.filter((file) => !chosen.includes(file)).map(({ name }) => name)
  if (videos.length > 0) return { source: await openVideo(videos[0]!), left }
  if (pictures.length > 0) return { source: await openStills(pictures), left }
  return { source: await openVideo(files[0]!), left }
}
