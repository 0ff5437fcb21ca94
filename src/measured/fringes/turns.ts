/**
 * Which bright and dark fringes were passed and at which the film turned back. A film that turns between two fringes gives a
 * fringe that does not reach the brightness of its neighbours; one that turns at a fringe shows it by its shape: about a passed
 * fringe the phase goes on evenly (the mean brightness is reached half way to the next), about a turning point by the square
 * of the distance (it is reached at 0.71 of the way).
 */
import type { Extremum } from './extrema.ts'

export type Passing = 'passed' | 'turned' | 'partial' | 'unsure'

/** Least distance between a bright and a dark fringe, steps: finer ones are not resolved. */
const FINEST = 3
/** Nearer than this a fringe is too fine to judge its shape by, steps. */
const SHAPED = 10
/** A swing of less than this share of what the lens' blur leaves of the usual one is weak. */
const WEAK = 0.75
/** Swings that are weak count only if they are as long as this, steps. */
const LONG = 9
/** A fringe that fails to reach its neighbours' brightness by more than this share of the swing was not reached … */
const SHORT = 0.2
/** … by this much, if it has room on both sides. */
const RATHER_SHORT = 0.06
const ROOMY = 16
/** A shape fits better than another if its mean square deviation is smaller by this factor, much better by this one. */
const BETTER = 0.5
const MUCH_BETTER = 0.2

const swing = (a: Extremum, b: Extremum): number => Math.abs(a.value - b.value)

/** What is usual along the radius. */
export interface Usual {
  /** Swing from bright to dark: exceeded along a quarter of the way. */
  swing: number
  /** Blur of the lens and of the averaging, standard deviation in steps. */
  blur: number
}

/** Share of the swing that a Gaussian blur leaves where bright and dark are `distance` apart. */
const left = ({ blur }: Usual, distance: number): number =>
  Math.exp(-0.5 * ((Math.PI * blur) / distance) ** 2)

function usualOf(extrema: readonly Extremum[]): Usual {
  const ways = extrema.slice(1).map((one, k) => ({
    distance: one.at - extrema[k]!.at,
    size: swing(one, extrema[k]!),
  }))
  const rest = 0.25 * ways.reduce((sum, { distance }) => sum + distance, 0)
  let [usual, beyond] = [0, 0]
  for (const { distance, size } of ways.toSorted((a, b) => b.size - a.size)) {
    usual = size
    beyond += distance
    if (beyond >= rest) break
  }
  const blurs = ways
    .filter(({ distance, size }) => distance >= FINEST && distance < SHAPED && size < 0.95 * usual)
    .map(({ distance, size }) => (distance / Math.PI) * Math.sqrt(2 * Math.log(usual / size)))
    .sort((a, b) => a - b)
  // Swings that are weak for another reason lie above: the lower quarter is the blur's.
  return { swing: usual, blur: blurs.length >= 4 ? blurs[Math.floor(0.25 * blurs.length)]! : 0 }
}

/**
 * Whether the way from each extremum to the next is resolved. A fringe that was not reached has two weak ways beside it, alike
 * and long, with strong ones beyond them; nothing else that is weak counts.
 */
export function resolvedWays(extrema: readonly Extremum[]): boolean[] {
  const usual = usualOf(extrema)
  const ways = extrema.slice(1).map((one, k) => {
    const size = swing(one, extrema[k]!)
    const distance = one.at - extrema[k]!.at
    return { distance, size, strong: size >= WEAK * left(usual, distance) * usual.swing }
  })
  const twins = (k: number): boolean => {
    const [before, a, b, after] = [ways[k - 1], ways[k], ways[k + 1], ways[k + 2]]
    if (!a || !b || !(before?.strong || after?.strong) || (a.strong && b.strong)) return false
    const alike = Math.max(a.size, b.size) <= 2 * Math.min(a.size, b.size)
    return alike && Math.min(a.distance, b.distance) >= LONG
  }
  return ways.map(({ distance, strong }, k) => distance >= FINEST && (strong || twins(k) || twins(k - 1)))
}

/** Distance to the nearer neighbour, steps. */
const roomOf = (extrema: readonly Extremum[], k: number): number =>
  Math.min(
    extrema[k]!.at - (extrema[k - 1]?.at ?? Number.NEGATIVE_INFINITY),
    (extrema[k + 1]?.at ?? Number.POSITIVE_INFINITY) - extrema[k]!.at,
  )

/** Mean of the neighbours of the other kind, and whether all have the room at which the blur does not matter. */
function others(extrema: readonly Extremum[], k: number): { value: number; roomy: boolean } {
  const both = [k - 1, k + 1].filter((j) => extrema[j] !== undefined)
  const roomy = both.filter((j) => roomOf(extrema, j) >= ROOMY)
  const used = roomy.length > 0 ? roomy : both
  return { value: used.reduce((sum, j) => sum + extrema[j]!.value, 0) / used.length, roomy: roomy.length > 0 }
}

interface Shortfall {
  /** How far an extremum stays behind what is expected there, as a share of the usual swing. */
  by: number
  /** Whether the lamp's change along the radius is taken into account. */
  sure: boolean
}

/**
 * Expected is the brightness of its kind on both sides, or that of the one side with the lamp's change taken from the other kind,
 * as much of it as the blur leaves.
 */
function behind(extrema: readonly Extremum[], k: number, usual: Usual): Shortfall {
  const here = extrema[k]!
  const [before, after] = [extrema[k - 2], extrema[k + 2]]
  const other = others(extrema, k)
  let level = here.value
  let sure = true
  if (before && after && Math.min(roomOf(extrema, k - 2), roomOf(extrema, k + 2)) >= SHAPED) {
    level = before.value + ((here.at - before.at) / (after.at - before.at)) * (after.value - before.value)
  } else {
    const ends = [k - 2, k + 2].filter((j) => extrema[j] !== undefined)
    if (ends.length === 0) return { by: 0, sure: false }
    const wide = ends.reduce((a, b) => (roomOf(extrema, b) > roomOf(extrema, a) ? b : a))
    const beside = others(extrema, wide)
    sure = other.roomy && beside.roomy
    level = extrema[wide]!.value * (sure ? other.value / beside.value : 1)
  }
  const expected = other.value + left(usual, roomOf(extrema, k)) * (level - other.value)
  return { by: ((here.bright ? 1 : -1) * (expected - here.value)) / usual.swing, sure }
}

interface Shape {
  passed: number
  turned: number
}

/** Mean square deviations of the brightness about an extremum from the two shapes, in units of its amplitude. */
function shapes(y: Float64Array, [a, here, b]: readonly [Extremum, Extremum, Extremum]): Shape {
  const [left, right] = [here.at - a.at, b.at - here.at]
  // φ = p x + q x² with φ(−left) = −π, φ(right) = π
  const q = (Math.PI / (left + right)) * (1 / right - 1 / left)
  const p = Math.PI / right - q * right
  let [passed, turned, count] = [0, 0, 0]
  for (let i = Math.ceil(a.at); i <= b.at; i++) {
    if (i < 0 || i >= y.length) continue
    const x = i - here.at
    const other = x < 0 ? a : b
    const amplitude = 0.5 * (here.value - other.value)
    const c = (y[i]! - 0.5 * (here.value + other.value)) / amplitude
    passed += (c - Math.cos(p * x + q * x * x)) ** 2
    turned += (c - Math.cos(Math.PI * (x / (x < 0 ? left : right)) ** 2)) ** 2
    count++
  }
  return { passed: passed / Math.max(1, count), turned: turned / Math.max(1, count) }
}

/** Mean square noise of the brightness in units of the amplitude: shapes nearer to one another than it are not told apart. */
function noiseFloor(error: Float64Array, here: Extremum, other: Extremum): number {
  const i = Math.min(error.length - 1, Math.max(0, Math.round(here.at)))
  return (error[i]! / Math.max(0.5 * swing(here, other), 1e-12)) ** 2
}

/** Whether a fringe was not reached, by its brightness alone. */
function isShort(extrema: readonly Extremum[], k: number, usual: Usual): boolean {
  const { by, sure } = behind(extrema, k, usual)
  const room = roomOf(extrema, k)
  return by > (room >= ROOMY && sure ? RATHER_SHORT : room >= LONG ? SHORT : Number.POSITIVE_INFINITY)
}

/** What the film did at each extremum. The first and the last of a resolved run count as passed. */
export function passings(
  y: Float64Array,
  error: Float64Array,
  extrema: readonly Extremum[],
  resolved: readonly boolean[],
): Passing[] {
  const usual = usualOf(extrema)
  const inRun = (k: number) => resolved[k - 1] === true && resolved[k] === true
  const short = extrema.map((_, k) => inRun(k) && isShort(extrema, k, usual))
  // Beside a fringe that was not reached its neighbours are judged wrongly: the worst one counts.
  const worst = short.map((yes, k) => {
    const near = [k - 2, k - 1, k + 1, k + 2].filter((j) => short[j])
    return yes && near.every((j) => behind(extrema, k, usual).by >= behind(extrema, j, usual).by)
  })
  return extrema.map((one, k): Passing => {
    if (!inRun(k)) return 'passed'
    const three = [extrema[k - 1]!, one, extrema[k + 1]!] as const
    const shaped = Math.min(one.at - three[0].at, three[2].at - one.at) >= SHAPED
    const floor = 2 * Math.max(noiseFloor(error, one, three[0]), noiseFloor(error, one, three[2]))
    const { passed, turned } = shapes(y, three)
    const isPassed = (factor: number) => passed + floor <= factor * (turned + floor)
    if (worst[k]) {
      const doubtful = behind(extrema, k, usual).by < SHORT && shaped && isPassed(MUCH_BETTER)
      return doubtful ? 'unsure' : 'partial'
    }
    if (worst[k - 1] || worst[k + 1] || !shaped || isPassed(BETTER)) return 'passed'
    return turned + floor <= BETTER * (passed + floor) ? 'turned' : 'unsure'
  })
}
