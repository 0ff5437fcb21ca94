/** The bath by blocks: from what never changes it is followed into what does, and carried over smoothly where no frame shows it. */
import type { Blocks } from './bathBlocks.ts'
import { medianOf } from './light.ts'
import type { Frame } from './types.ts'

/** Mean colour of a block, written into `colour` (3 values). */
function blockMean({ width, data }: Frame, block: number, blocks: Blocks, colour: Float64Array): void {
  const { size } = blocks
  const first = Math.floor(block / blocks.width) * size * width + (block % blocks.width) * size
  colour.fill(0)
  for (let j = 0; j < size; j++) {
    for (let at = 4 * (first + j * width); at < 4 * (first + j * width + size); at += 4) {
      for (let k = 0; k < 3; k++) colour[k]! += data[at + k]!
    }
  }
  for (let k = 0; k < 3; k++) colour[k]! /= size * size
}

/** The bath by blocks: its colours, and for blocks that change the frames that show it there (bit f = frame f). */
interface Ground {
  planes: Float32Array[]
  bare: Map<number, number>
}

/** Colours of an unknown block and those round it in all frames, averaged over 3 × 3 blocks. */
function samplesOf(frames: readonly Frame[], i: number, blocks: Blocks): Float64Array[] {
  const colour = new Float64Array(3)
  const [x, y] = [i % blocks.width, Math.floor(i / blocks.width)]
  return frames.map((frame) => {
    const sum = new Float64Array(3)
    let count = 0
    for (let j = Math.max(0, y - 1); j <= Math.min(blocks.height - 1, y + 1); j++) {
      for (let h = Math.max(0, x - 1); h <= Math.min(blocks.width - 1, x + 1); h++) {
        blockMean(frame, j * blocks.width + h, blocks, colour)
        for (let k = 0; k < 3; k++) sum[k]! += colour[k]!
        count++
      }
    }
    return sum.map((value) => value / count)
  })
}

/**
 * From the blocks that never change the bath is followed into those that do, as long as some frame shows there what a
 * block beside shows; what is left then is carried over smoothly.
 */
export function followed(
  frames: readonly Frame[],
  median: Frame,
  unknown: Uint8Array,
  blocks: Blocks,
  noise: number,
): Ground {
  const planes = [0, 1, 2].map(() => new Float32Array(unknown.length))
  const open = unknown.slice()
  const colour = new Float64Array(3)
  const samples = new Map<number, Float64Array[]>()
  const bare = new Map<number, number>()
  for (let i = 0; i < unknown.length; i++) {
    if (unknown[i]) samples.set(i, samplesOf(frames, i, blocks))
    else {
      blockMean(median, i, blocks, colour)
      for (let k = 0; k < 3; k++) planes[k]![i] = colour[k]!
    }
  }
  const tolerance = 1 + (0.7 * noise) / blocks.size
  for (let left = true; left; ) {
    left = false
    for (const [i, list] of samples) {
      const found = open[i] ? matching(list, i, planes, open, blocks, tolerance) : null
      if (!found) continue
      const alike = list.map((sample) => sample.every((value, k) => Math.abs(value - found[k]!) <= tolerance))
      const same = list.filter((_, f) => alike[f])
      for (let k = 0; k < 3; k++) planes[k]![i] = medianOf(Float64Array.from(same, (sample) => sample[k]!))
      bare.set(
        i,
        alike.reduce((bits, yes, f) => (yes ? bits | (1 << f) : bits), 0),
      )
      open[i] = 0
      samples.delete(i)
      left = true
    }
  }
  for (const plane of planes) relax(plane, open, blocks.width, blocks.height)
  return { planes, bare }
}

/** The sample that is nearest to what a known block beside shows; null if none is near. */
function matching(
  list: readonly Float64Array[],
  i: number,
  planes: readonly Float32Array[],
  open: Uint8Array,
  { width, height }: Blocks,
  tolerance: number,
): Float64Array | null {
  const [x, y] = [i % width, Math.floor(i / width)]
  let best: Float64Array | null = null
  let least = tolerance
  for (let j = Math.max(0, y - 1); j <= Math.min(height - 1, y + 1); j++) {
    for (let h = Math.max(0, x - 1); h <= Math.min(width - 1, x + 1); h++) {
      const beside = j * width + h
      if (open[beside]) continue
      for (const sample of list) {
        let away = 0
        for (let k = 0; k < 3; k++) away = Math.max(away, Math.abs(sample[k]! - planes[k]![beside]!))
        if (away >= least) continue
        least = away
        best = sample
      }
    }
  }
  return best
}

/** Smooth values for the open blocks (Laplace's equation, over-relaxed), beginning with the mean of the others. */
function relax(plane: Float32Array, unknown: Uint8Array, width: number, height: number): void {
  const inner = [...unknown.keys()].filter((i) => unknown[i])
  const known = plane.filter((_, i) => !unknown[i])
  const mean = known.reduce((sum, value) => sum + value, 0) / Math.max(1, known.length)
  for (const i of inner) plane[i] = mean
  for (let round = 0; round < 240; round++) {
    let most = 0
    for (const i of inner) {
      const [x, y] = [i % width, Math.floor(i / width)]
      let [sum, count] = [0, 0]
      if (x > 0) [sum, count] = [sum + plane[i - 1]!, count + 1]
      if (x < width - 1) [sum, count] = [sum + plane[i + 1]!, count + 1]
      if (y > 0) [sum, count] = [sum + plane[i - width]!, count + 1]
      if (y < height - 1) [sum, count] = [sum + plane[i + width]!, count + 1]
      const step = 1.85 * (sum / count - plane[i]!)
      plane[i]! += step
      most = Math.max(most, Math.abs(step))
    }
    if (most < 0.02) return
  }
}

/** Value of a plane of blocks at a pixel. */
export function blockAt(plane: Float32Array, { size, width, height }: Blocks, x: number, y: number): number {
  const fx = Math.min(Math.max((x + 0.5) / size - 0.5, 0), width - 1)
  const fy = Math.min(Math.max((y + 0.5) / size - 0.5, 0), height - 1)
  const [ix, iy] = [Math.min(Math.floor(fx), width - 2), Math.min(Math.floor(fy), height - 2)]
  const [dx, dy] = [fx - ix, fy - iy]
  const at = iy * width + ix
  const top = plane[at]! * (1 - dx) + plane[at + 1]! * dx
  const bottom = plane[at + width]! * (1 - dx) + plane[at + width + 1]! * dx
  return top * (1 - dy) + bottom * dy
}
