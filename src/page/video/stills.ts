/** Still pictures as a recording: in the order of their names, one per second until the user says how many. */
import {
  createReader,
  type FrameSource,
  listSource,
  readingSize,
  type Shot,
  SourceProblem,
} from './source.ts'

const byName = new Intl.Collator('en', { numeric: true })

async function decoded(file: File): Promise<ImageBitmap | null> {
  try {
    return await createImageBitmap(file)
  } catch {
    return null
  }
}

/** How many pictures a file holds by itself, where the browser can tell (WebCodecs); else one. */
async function picturesIn(file: File): Promise<number> {
  if (
    typeof ImageDecoder === 'undefined' ||
    !(await ImageDecoder.isTypeSupported(file.type).catch(() => false))
  )
    return 1
  const decoder = new ImageDecoder({ data: file.stream(), type: file.type })
  try {
    await decoder.completed
    return decoder.tracks.selectedTrack?.frameCount ?? 1
  } catch {
    return 1
  } finally {
    decoder.close()
  }
}

/** Kinds of pictures that may move. */
const mayMove = /^image\/(gif|webp|png|apng|avif)$/

/** That a file moves by itself, and what is read of it; '' if it does not. */
async function movingWords(file: File): Promise<string> {
  const count = mayMove.test(file.type) ? await picturesIn(file) : 1
  if (count < 2) return ''
  return `${file.name} moves: of its ${count} pictures only the first is read. Convert it to a video (MP4 with H.264, WebM with VP9), or save its pictures as PNG.`
}

/**
 * Opens pictures. The first that can be decoded gives the size; others that cannot be decoded or have another size
 * are flagged when their turn comes. Throws a SourceProblem if none can be decoded.
 */
export async function openStills(files: readonly File[]): Promise<FrameSource> {
  const sorted = [...files].sort((a, b) => byName.compare(a.name, b.name))
  let first: ImageBitmap | null = null
  for (const file of sorted) {
    first = await decoded(file)
    if (first) break
  }
  if (!first) {
    const which = sorted.length === 1 ? `${sorted[0]!.name} is` : `All ${sorted.length} pictures are`
    throw new SourceProblem(
      `${which} damaged, or of a kind that this browser cannot decode. Use PNG or JPEG.`,
    )
  }
  const [fullWidth, fullHeight] = [first.width, first.height]
  first.close()
  const size = readingSize(fullWidth, fullHeight)
  const read = createReader(size.width, size.height)
  const shotOf = async (index: number): Promise<Shot> => {
    const bitmap = await decoded(sorted[index]!)
    if (!bitmap) return { time: index, frame: null, flag: 'unreadable' }
    const same = bitmap.width === fullWidth && bitmap.height === fullHeight
    const shot: Shot = same
      ? { time: index, frame: read(bitmap) }
      : { time: index, frame: null, flag: 'size-changed' }
    bitmap.close()
    return shot
  }
  const name = sorted.length === 1 ? sorted[0]!.name : `${sorted[0]!.name} and ${sorted.length - 1} more`
  const times = sorted.map((_, index) => index)
  const remark = sorted.length === 1 ? await movingWords(sorted[0]!) : ''
  const given = { name, kind: 'stills' as const, ...size, close() {} }
  return { ...listSource(given, times, shotOf), ...(remark ? { remark } : {}) }
}
