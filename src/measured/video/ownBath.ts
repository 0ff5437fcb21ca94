/**
 * A picture of the bare bath made from frames of the recording itself. What never changes is bath (dish, ruler, mirror
 * images of lamps); where something comes and goes the bath is what looks most like what lies round about.
 */
import { type Blocks, changing, changingBlocks, unknownBlocks } from './bathBlocks.ts'
import { none, type OwnBath, paint } from './bathPaint.ts'
import { medianOf } from './light.ts'
import { movedBack, placesOf, shiftOf } from './shift.ts'
import type { Frame } from './types.ts'

/** Fewest frames that tell what moves. */
const fewest = 5
/** Most frames, and most bytes of them, that are held at once. */
const mostFrames = 15
const mostBytes = 96e6

/** How many frames of a size are looked at: enough to see each place bare, few enough for the memory. */
export const framesFor = (width: number, height: number): number =>
  Math.max(fewest, Math.min(mostFrames, Math.floor(mostBytes / (4 * width * height))))

/** `values` hold one sample per frame. Few of them: sorting by insertion. */
function medianByte(values: Uint8Array): number {
  for (let i = 1; i < values.length; i++) {
    const value = values[i]!
    let j = i - 1
    for (; j >= 0 && values[j]! > value; j--) values[j + 1] = values[j]!
    values[j + 1] = value
  }
  return values[values.length >> 1]!
}

function medianFrame(frames: readonly Frame[]): Frame {
  const { width, height } = frames[0]!
  const data = new Uint8ClampedArray(4 * width * height)
  const values = new Uint8Array(frames.length)
  for (let i = 0; i < data.length; i++) {
    if (i % 4 === 3) {
      data[i] = 255
      continue
    }
    for (let f = 0; f < frames.length; f++) values[f] = frames[f]!.data[i]!
    data[i] = medianByte(values)
  }
  return { width, height, data }
}

/** Frames with the camera's shake taken out, to whole pixels, as the median of all shows them. */
function aligned(frames: readonly Frame[]): { frames: readonly Frame[]; median: Frame } {
  let now = frames
  let median = medianFrame(now)
  for (let round = 0; round < 2; round++) {
    const places = placesOf(median)
    let moved = false
    now = frames.map((frame, f) => {
      const shift = shiftOf(frame, places)
      const whole = { x: Math.round(shift.x), y: Math.round(shift.y) }
      const next = movedBack(frame, whole)
      moved ||= next !== frame || now[f] !== frame
      return next
    })
    if (!moved) break
    median = medianFrame(now)
  }
  return { frames: now, median }
}

/** Noise of a byte: from the differences of neighbouring frames, most of which show the same at most places. */
function byteNoise(frames: readonly Frame[]): number {
  const list: number[] = []
  const { data } = frames[0]!
  const stride = 4 * Math.max(1, Math.floor(data.length / 4 / 4000)) + 1
  for (let f = 1; f < frames.length; f++) {
    for (let i = 0; i < data.length; i += stride) {
      if (i % 4 !== 3) list.push(Math.abs(frames[f]!.data[i]! - frames[f - 1]!.data[i]!))
    }
  }
  return Math.max(1, (1.4826 * medianOf(Float64Array.from(list))) / Math.SQRT2)
}

/**
 * The bath without a drop from frames spread over the whole recording, all of one size. Not usable with fewer than five
 * frames; if nothing comes and goes for at least two of them (the drop would be taken for bath); or if what changes fills
 * the picture.
 */
export function bathFrom(given: readonly Frame[]): OwnBath {
  const first = given[0]
  if (!first || given.length < fewest) return none('fewer than five frames can be compared')
  const { frames, median } = aligned(
    given.filter(({ width, height }) => width === first.width && height === first.height),
  )
  if (frames.length < fewest) return none('the frames differ in size')
  const { width, height } = median
  const noise = byteNoise(frames)
  const mask = changing(frames, median, noise)
  const size = Math.max(2, Math.round(Math.max(width, height) / 160))
  const blocks: Blocks = { size, width: Math.floor(width / size), height: Math.floor(height / size) }
  const moves = changingBlocks(mask, width, blocks)
  const unknown = unknownBlocks(moves, blocks)
  const share = unknown.reduce((sum, set) => sum + set, 0) / unknown.length
  if (share > 0.9) return none('nearly the whole picture changes')
  return paint({ frames, median, noise, blocks, unknown })
}
