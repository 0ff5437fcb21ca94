/** The states in which a pixel is seen over the frames, and which of them is bath. Nothing is allocated a pixel. */

/** A state that a pixel is seen in: the samples that agree with one of them. */
interface State {
  /** Mean colour, bytes. */
  colour: Float32Array
  /** Number of samples. */
  count: number
  /** Distance of that colour from the one expected, bytes (largest over red, green, blue). */
  away: number
}

export const stateOf = (): State => ({ colour: new Float32Array(3), count: 0, away: 0 })

/** The state of the samples round sample `f` at byte `at`; nothing is allocated, for there are millions of pixels. */
function gather(
  bytes: readonly Uint8ClampedArray[],
  at: number,
  f: number,
  reach: number,
  expected: Float32Array,
  into: State,
): void {
  const own = bytes[f]!
  const [r, g, b] = [own[at]!, own[at + 1]!, own[at + 2]!]
  let [red, green, blue, count] = [0, 0, 0, 0]
  for (let h = 0; h < bytes.length; h++) {
    const other = bytes[h]!
    if (Math.abs(other[at]! - r) > reach) continue
    if (Math.abs(other[at + 1]! - g) > reach || Math.abs(other[at + 2]! - b) > reach) continue
    red += other[at]!
    green += other[at + 1]!
    blue += other[at + 2]!
    count++
  }
  const { colour } = into
  colour[0] = red / count
  colour[1] = green / count
  colour[2] = blue / count
  into.count = count
  into.away = Math.max(
    Math.abs(colour[0]! - expected[0]!),
    Math.abs(colour[1]! - expected[1]!),
    Math.abs(colour[2]! - expected[2]!),
  )
}

/** Mean of the frames whose bits are set. */
export function meanOf(
  bytes: readonly Uint8ClampedArray[],
  at: number,
  which: number,
  into: State,
): Float32Array {
  into.colour.fill(0)
  into.count = 0
  for (let f = 0; f < bytes.length; f++) {
    if (!(which & (1 << f))) continue
    for (let k = 0; k < 3; k++) into.colour[k]! += bytes[f]![at + k]!
    into.count++
  }
  for (let k = 0; k < 3; k++) into.colour[k]! /= into.count
  return into.colour
}

/** What lies round about tells the colour to about so many bytes. */
export const expectedWithin = 12

/**
 * The state of a pixel that is bath: the one that looks most like what lies round about; where none looks like it (over an
 * edge of the dish) the one that is seen most often.
 */
export function bathState(
  bytes: readonly Uint8ClampedArray[],
  at: number,
  reach: number,
  expected: Float32Array,
  [here, like, often]: readonly [State, State, State],
): State {
  like.away = 1e9
  often.count = 0
  for (let f = 0; f < bytes.length; f++) {
    gather(bytes, at, f, reach, expected, here)
    if (here.away < like.away) copyState(here, like)
    if (here.count > often.count) copyState(here, often)
  }
  return like.away <= expectedWithin ? like : often
}

function copyState(from: State, to: State): void {
  to.colour.set(from.colour)
  to.count = from.count
  to.away = from.away
}

/** Mean of all samples without the least and the largest: for what never changes. */
export function trimmedMean(bytes: readonly Uint8ClampedArray[], at: number): number {
  let [sum, low, high] = [0, 255, 0]
  for (let f = 0; f < bytes.length; f++) {
    const value = bytes[f]![at]!
    sum += value
    if (value < low) low = value
    if (value > high) high = value
  }
  return (sum - low - high) / (bytes.length - 2)
}
