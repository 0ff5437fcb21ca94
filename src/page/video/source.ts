/** Where frames come from: a video, still pictures, the demo. Times in s, the recording's own. */
import type { Flag, Frame } from '../../measured/video/types.ts'

/** One frame of a recording. `frame` is null if it cannot be measured; `flag` says why. */
export interface Shot {
  time: number
  frame: Frame | null
  flag?: Flag
}

export interface FrameSource {
  /** Name of the file, or of the first of several. */
  name: string
  /** `video`: times from the file; `stills`: one picture per second until the user says otherwise. */
  kind: 'video' | 'stills' | 'demo'
  /** Of a video: each frame by its own time, or by seeking, which is slower and leaves the choice to the browser. */
  way?: 'own-times' | 'seeking'
  /** Size of the frames as they are read, px; frames of another size are flagged. */
  width: number
  height: number
  /** Time of the last frame or a little after it. */
  end: number
  /** Time between neighbouring frames as far as it is known, s. */
  interval: number
  /** The frame that is shown at a moment. */
  at(time: number): Promise<Shot>
  /** The `count`-th frame after the one at `time`; null beyond the end. */
  after(time: number, count: number): Promise<Shot | null>
  /** The `count`-th frame before the one at `time`, or the first one. */
  before(time: number, count: number): Promise<Shot>
  /** The files that it was opened from, and their length together, bytes; missing for the demo. */
  files?: readonly File[]
  bytes?: number
  /** What the user must know of it, a whole sentence; missing = nothing. */
  remark?: string
  /** True for a recording that was gone on with and not chosen again: its frames have no pictures. */
  withoutPictures?: boolean
  /** Lets go of what the source holds. */
  close(): void
}

/** Something is wrong with a file in a way the user can do something about. */
export class SourceProblem extends Error {}

/** Longer sides than this are read smaller, px. */
const longestSide = 1920

/** Size at which a picture is read. */
export function readingSize(width: number, height: number): { width: number; height: number } {
  const factor = Math.min(1, longestSide / Math.max(width, height))
  return { width: Math.round(width * factor), height: Math.round(height * factor) }
}

/** Gives a function that has something drawn into a canvas of its own and reads its bytes. */
export function createFrameReader(
  width: number,
  height: number,
): (draw: (context: CanvasRenderingContext2D) => void) => Frame {
  const canvas = document.createElement('canvas')
  canvas.width = width
  canvas.height = height
  const context = canvas.getContext('2d', { willReadFrequently: true })
  if (!context) throw new SourceProblem('This browser gives no canvas to read pictures with.')
  context.imageSmoothingQuality = 'high'
  return (draw) => {
    draw(context)
    const { data } = context.getImageData(0, 0, width, height)
    return { width, height, data: data as Uint8ClampedArray<ArrayBuffer> }
  }
}

/** The same for a picture as a whole. */
export function createReader(width: number, height: number): (image: CanvasImageSource) => Frame {
  const read = createFrameReader(width, height)
  return (image) => read((context) => context.drawImage(image, 0, 0, width, height))
}

/** A source with a frame at each of the given times, in order. */
export function listSource(
  given: Pick<FrameSource, 'name' | 'kind' | 'width' | 'height' | 'close'>,
  times: readonly number[],
  draw: (index: number) => Promise<Shot>,
): FrameSource {
  const indexAt = (time: number): number => {
    let index = 0
    while (index + 1 < times.length && times[index + 1]! <= time + 1e-7) index++
    return index
  }
  return {
    ...given,
    end: times.at(-1)!,
    interval: times.length > 1 ? (times.at(-1)! - times[0]!) / (times.length - 1) : 1,
    at: (time) => draw(indexAt(time)),
    async after(time, count) {
      const index = indexAt(time) + count
      return index < times.length ? draw(index) : null
    },
    before: (time, count) => draw(Math.max(0, indexAt(time) - count)),
  }
}
