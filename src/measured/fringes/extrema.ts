/** Bright and dark fringes along the radius: turning points of the brightness that stand out of the noise. */

export interface Extremum {
  /** Place, in steps of the profile (not whole). */
  at: number
  value: number
  bright: boolean
  /** Standard error of the place, steps. */
  error: number
}

/** A swing counts if it is this many times its noise (hundreds of steps of mere noise range over six), … */
const NOISES = 8
/** … this share of the range of the brightness, and this share of the brightness. */
const SHARE = 0.06
const LEAST = 0.01

/** Weights of a smoothing over 2 half + 1 steps. */
function smoothed(
  y: Float64Array,
  error: Float64Array,
  half: number,
): { y: Float64Array; error: Float64Array } {
  if (half === 0) return { y, error }
  const out = new Float64Array(y.length)
  const noise = new Float64Array(y.length)
  for (let i = 0; i < y.length; i++) {
    const [from, to] = [Math.max(0, i - half), Math.min(y.length - 1, i + half)]
    let [sum, square] = [0, 0]
    for (let j = from; j <= to; j++) {
      sum += y[j]!
      square += error[j]! ** 2
    }
    out[i] = sum / (to - from + 1)
    noise[i] = Math.sqrt(square) / (to - from + 1)
  }
  return { y: out, error: noise }
}

/** Spread of the values without their most extreme 5 % on both sides. */
function rangeOf(y: Float64Array): number {
  const sorted = y.slice().sort()
  const at = (share: number) => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]!
  return at(0.95) - at(0.05)
}

interface Turn {
  i: number
  bright: boolean
}

/**
 * Alternating maxima and minima whose swings all pass the threshold of their place. The first one must stand out of what lies
 * before it as well: at the centre brightness is level, and few pixels make it.
 */
function zigzag(y: Float64Array, threshold: (i: number) => number): Turn[] {
  const turns: Turn[] = []
  let [low, high] = [0, 0]
  let rising: boolean | null = null
  const rose = (i: number) => rising === true || y[high]! - y[lowestTo(y, high)]! > threshold(i)
  const fell = (i: number) => rising === false || y[highestTo(y, low)]! - y[low]! > threshold(i)
  for (let i = 1; i < y.length; i++) {
    if (y[i]! > y[high]!) high = i
    if (y[i]! < y[low]!) low = i
    if (rising !== false && y[high]! - y[i]! > threshold(i)) {
      if (rose(high)) turns.push({ i: high, bright: true })
      rising = false
      low = high = i
    } else if (rising !== true && y[i]! - y[low]! > threshold(i)) {
      if (fell(low)) turns.push({ i: low, bright: false })
      rising = true
      low = high = i
    }
  }
  return alternating(y, turns)
}

const lowestTo = (y: Float64Array, to: number): number => {
  let k = 0
  for (let i = 1; i <= to; i++) if (y[i]! < y[k]!) k = i
  return k
}
const highestTo = (y: Float64Array, to: number): number => {
  let k = 0
  for (let i = 1; i <= to; i++) if (y[i]! > y[k]!) k = i
  return k
}

/** Of neighbours of one kind the more extreme one. */
function alternating(y: Float64Array, turns: readonly Turn[]): Turn[] {
  const out: Turn[] = []
  for (const turn of turns) {
    const last = out.at(-1)
    if (last?.bright !== turn.bright) out.push(turn)
    else if (turn.bright === y[turn.i]! > y[last.i]!) out[out.length - 1] = turn
  }
  return out
}

/** Place, value and error from a parabola through the steps about a turning point. */
function refine(y: Float64Array, error: Float64Array, turn: Turn, left: number, right: number): Extremum {
  const from = Math.max(0, Math.round(turn.i - Math.max(1, 0.3 * left)))
  const to = Math.min(y.length - 1, Math.round(turn.i + Math.max(1, 0.3 * right)))
  const plain: Extremum = { at: turn.i, value: y[turn.i]!, bright: turn.bright, error: 0.5 }
  const sums = new Float64Array(8)
  for (let i = from; i <= to; i++) {
    const x = i - turn.i
    const power = [1, x, x * x, x ** 3, x ** 4]
    for (let k = 0; k < 5; k++) sums[k]! += power[k]!
    for (let k = 0; k < 3; k++) sums[5 + k]! += power[k]! * y[i]!
  }
  const [s0, s1, s2, s3, s4, t0, t1, t2] = sums as unknown as number[]
  const det = s0! * (s2! * s4! - s3! ** 2) - s1! * (s1! * s4! - s2! * s3!) + s2! * (s1! * s3! - s2! ** 2)
  if (!(Math.abs(det) > 1e-9)) return plain
  // Cramer's rule.
  const c0 =
    (t0! * (s2! * s4! - s3! ** 2) - s1! * (t1! * s4! - t2! * s3!) + s2! * (t1! * s3! - t2! * s2!)) / det
  const c1 =
    (s0! * (t1! * s4! - t2! * s3!) - t0! * (s1! * s4! - s2! * s3!) + s2! * (s1! * t2! - s2! * t1!)) / det
  const c2 =
    (s0! * (s2! * t2! - s3! * t1!) - s1! * (s1! * t2! - s2! * t1!) + t0! * (s1! * s3! - s2! ** 2)) / det
  if (turn.bright ? c2 >= 0 : c2 <= 0) return plain
  const x = -c1 / (2 * c2)
  if (Math.abs(x) > 0.5 * (to - from)) return plain
  const slope = error[turn.i]! / Math.sqrt(Math.max(s2! - (s1! * s1!) / s0!, 1e-9))
  return { at: turn.i + x, value: c0 + 0.5 * c1 * x, bright: turn.bright, error: Math.abs(slope / (2 * c2)) }
}

/** Bright and dark fringes from the inside outwards. `y` and `error` without gaps; places in steps. */
export function extremaOf(y: Float64Array, error: Float64Array): Extremum[] {
  const range = rangeOf(y)
  const noise = error.slice().sort()[Math.floor(error.length / 2)] ?? 0
  // As long as single steps are noisy beside the swings they are taken together.
  const half = Math.min(6, Math.floor((10 * noise) / Math.max(range, 1e-12)))
  const least = Math.max(SHARE * range, LEAST * Math.abs(y.reduce((sum, v) => sum + v, 0) / y.length))
  const calm = smoothed(y, error, half)
  const turns = zigzag(calm.y, (i) => Math.max(NOISES * calm.error[i]!, least))
  return turns.map((turn, k) => {
    const left = turn.i - (turns[k - 1]?.i ?? 0)
    const right = (turns[k + 1]?.i ?? y.length - 1) - turn.i
    return refine(calm.y, calm.error, turn, Math.min(left, right), Math.min(left, right))
  })
}
