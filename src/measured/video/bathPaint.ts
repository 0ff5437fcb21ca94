/** Paints the bath pixel by pixel, and draws anew what the drop covers in all frames. */
import type { Blocks } from './bathBlocks.ts'
import { blockAt, followed } from './bathFollowed.ts'
import { bathState, expectedWithin, meanOf, stateOf, trimmedMean } from './bathStates.ts'
import type { Frame } from './types.ts'

export interface OwnBath {
  /** The bath as the recording's first frame would show it without a drop; null = it cannot be told. */
  picture: Frame | null
  /** Share of the changing part that no frame shows bare: there it is drawn from what lies round about. */
  filled: number
  /** Why there is no picture, in words; empty if there is one. */
  lacks: string
}

export const none = (lacks: string): OwnBath => ({ picture: null, filled: 0, lacks })

/** Colour of the drop as the mean step from bath to drop of the pixels that show both in several frames, in bytes. */
interface Steps {
  step: Float64Array
  count: number
}

interface Known {
  frames: readonly Frame[]
  median: Frame
  noise: number
  blocks: Blocks
  unknown: Uint8Array
}

export function paint({ frames, median, noise, blocks, unknown }: Known): OwnBath {
  const { width, height } = median
  const { planes, bare } = followed(frames, median, unknown, blocks, noise)
  const data = new Uint8ClampedArray(4 * width * height).fill(255)
  const bytes = frames.map((frame) => frame.data)
  const around = new Float32Array(3)
  const states = [stateOf(), stateOf(), stateOf()] as const
  const doubtful: number[] = []
  const steps: Steps = { step: new Float64Array(3), count: 0 }
  for (let y = 0; y < height; y++) {
    const row = Math.min(blocks.height - 1, Math.floor(y / blocks.size)) * blocks.width
    for (let x = 0; x < width; x++) {
      const i = y * width + x
      const block = row + Math.min(blocks.width - 1, Math.floor(x / blocks.size))
      if (!unknown[block]) {
        for (let k = 0; k < 3; k++) data[4 * i + k] = trimmedMean(bytes, 4 * i + k)
        continue
      }
      const which = bare.get(block)
      if (which !== undefined) {
        const colour = meanOf(bytes, 4 * i, which, states[0])
        for (let k = 0; k < 3; k++) data[4 * i + k] = colour[k]!
        if (frames.length - states[0].count >= 2) addStep(steps, bytes, i, colour)
        continue
      }
      for (let k = 0; k < 3; k++) around[k] = blockAt(planes[k]!, blocks, x, y)
      const { colour, count, away } = bathState(bytes, 4 * i, 4 * noise + 2, around, states)
      for (let k = 0; k < 3; k++) data[4 * i + k] = colour[k]!
      if (frames.length - count >= 2 && away <= expectedWithin) addStep(steps, bytes, i, colour)
      if (away > 4 * noise + 4) doubtful.push(i)
    }
  }
  if (steps.count < 12) return none('nothing comes and goes in the frames that were looked at')
  const step = Math.max(...[...steps.step].map((sum) => Math.abs(sum / steps.count)))
  if (step < 2 * noise + 3)
    return none('what comes and goes differs from the bath by too little for its noise')
  const filled = fillCovered(data, doubtful, steps, planes, blocks, width)
  const changed = unknown.reduce((sum, set) => sum + set, 0) * blocks.size ** 2
  return { picture: { width, height, data, of: frames.length }, filled: filled / changed, lacks: '' }
}

function addStep(steps: Steps, bytes: readonly Uint8ClampedArray[], i: number, bath: Float32Array): void {
  let far = -1
  let farthest = bytes[0]!
  for (let f = 0; f < bytes.length; f++) {
    const data = bytes[f]!
    let away = 0
    for (let k = 0; k < 3; k++) away += Math.abs(data[4 * i + k]! - bath[k]!)
    if (away <= far) continue
    far = away
    farthest = data
  }
  for (let k = 0; k < 3; k++) steps.step[k]! += farthest[4 * i + k]! - bath[k]!
  steps.count++
}

/** Pixels that differ from what lies round about as the drop does are covered in all frames: they are drawn anew. */
function fillCovered(
  data: Uint8ClampedArray,
  doubtful: readonly number[],
  { step, count }: Steps,
  planes: Float32Array[],
  blocks: Blocks,
  width: number,
): number {
  const drop = [...step].map((sum) => sum / count)
  const square = drop.reduce((sum, d) => sum + d * d, 0)
  let filled = 0
  for (const i of doubtful) {
    const around = planes.map((plane) => blockAt(plane, blocks, i % width, Math.floor(i / width)))
    const off = around.map((value, k) => data[4 * i + k]! - value)
    const along = off.reduce((sum, d, k) => sum + d * drop[k]!, 0) / square
    if (along < 0.3) continue
    for (let k = 0; k < 3; k++) data[4 * i + k] = around[k]!
    filled++
  }
  return filled
}
