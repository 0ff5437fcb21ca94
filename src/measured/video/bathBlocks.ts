/** Where something comes and goes in a recording, in blocks of pixels. */
import { fillHoles } from './regions.ts'
import type { Frame } from './types.ts'

/** Steepest step of a byte to the pixels beside it, over the three colours. */
function steepness({ width, data }: Frame, i: number): number {
  let most = 0
  for (const to of [i - 1, i + 1, i - width, i + width]) {
    for (let k = 0; k < 3; k++) {
      const step = Math.abs(data[4 * i + k]! - (data[4 * to + k] ?? data[4 * i + k]!))
      if (step > most) most = step
    }
  }
  return most
}

/** Pixels where something comes and goes; at a steep edge by more than shake of a pixel's part would make of it. */
export function changing(frames: readonly Frame[], median: Frame, noise: number): Uint8Array {
  const { width, height } = median
  const mask = new Uint8Array(width * height)
  const least = 6 * noise + 3
  const bytes = frames.map(({ data }) => data)
  for (let i = 0; i < mask.length; i++) {
    let range = 0
    for (let k = 4 * i; k < 4 * i + 3; k++) {
      let [low, high] = [255, 0]
      for (let f = 0; f < bytes.length; f++) {
        const value = bytes[f]![k]!
        if (value < low) low = value
        if (value > high) high = value
      }
      if (high - low > range) range = high - low
    }
    if (range > least && range > least + 1.5 * steepness(median, i)) mask[i] = 1
  }
  return mask
}

export interface Blocks {
  size: number
  width: number
  height: number
}

/** Blocks in which a fifth of the pixels change. */
export function changingBlocks(
  mask: Uint8Array,
  width: number,
  { size, width: across, height }: Blocks,
): Uint8Array {
  const result = new Uint8Array(across * height)
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < across; x++) {
      let count = 0
      for (let j = 0; j < size; j++) {
        for (let i = 0; i < size; i++) count += mask[(y * size + j) * width + x * size + i]!
      }
      result[y * across + x] = count > 0.2 * size * size ? 1 : 0
    }
  }
  return result
}

/** Blocks that change, all that they enclose, and one more round about. */
export function unknownBlocks(blocks: Uint8Array, { width, height }: Blocks): Uint8Array {
  const whole = fillHoles(blocks, width, height)
  return whole.map((set, i) => {
    const x = i % width
    return set ||
      (x > 0 && whole[i - 1]) ||
      (x < width - 1 && whole[i + 1]) ||
      whole[i - width] ||
      whole[i + width]
      ? 1
      : 0
  })
}
