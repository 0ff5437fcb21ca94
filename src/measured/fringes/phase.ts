/** A first phase along the radius: from fringe to fringe, turning where the film turns. */
import { MonotoneCurve } from '../../numerics/monotone.ts'
import type { Extremum } from './extrema.ts'
import { type Passing, resolvedWays } from './turns.ts'

/** Fringes that hang together, with the phase at each (rad; whole turns = bright), counted on from the first. */
export interface Chain {
  extrema: Extremum[]
  passing: Passing[]
  phase: number[]
  /** Steps over which the phase is known. */
  from: number
  to: number
  /** Whether the fringes at the ends are certain ones. */
  sure: { first: boolean; last: boolean }
  /** Mean level and amplitude of the brightness at any step; `beyond`: outside the fringes that give them. */
  beyond(i: number): boolean
  level(i: number): number
  amplitude(i: number): number
  /** Phase at any step from `from` to `to`. */
  start(i: number): number
}

const broken = (x: readonly number[], y: readonly number[]) => (at: number) => {
  if (at <= x[0]!) return y[0]!
  for (let k = 1; k < x.length; k++) {
    if (at > x[k]!) continue
    const share = (at - x[k - 1]!) / (x[k]! - x[k - 1]!)
    return y[k - 1]! + share * (y[k]! - y[k - 1]!)
  }
  return y.at(-1)!
}

/** Ends of a chain whose fringe lies beside unresolved ones: it need not have been reached. */
interface Loose {
  first: boolean
  last: boolean
}

/** Levels of the bright and of the dark fringes; those that were not reached are left out while others are left. */
function envelopes(extrema: readonly Extremum[], passing: readonly Passing[], loose: Loose) {
  const end = extrema.length - 1
  const used = (bright: boolean) => {
    const all = extrema.map((one, k) => {
      const isLoose = (k === 0 && loose.first) || (k === end && loose.last)
      return { ...one, partial: passing[k] === 'partial' || isLoose }
    })
    const kind = all.filter((one) => one.bright === bright)
    const full = kind.filter(({ partial }) => !partial)
    return full.length > 0 ? full : kind
  }
  const of = (bright: boolean) => {
    const all = used(bright)
    return broken(
      all.map(({ at }) => at),
      all.map(({ value }) => value),
    )
  }
  const [high, low] = [of(true), of(false)]
  const ends = (kind: boolean): [number, number] => {
    const at = used(kind).map((one) => one.at)
    return [at[0]!, at.at(-1)!]
  }
  const [bright, dark] = [ends(true), ends(false)]
  return {
    beyond: (i: number) => i < bright[0] || i > bright[1] || i < dark[0] || i > dark[1],
    level: (i: number) => 0.5 * (high(i) + low(i)),
    amplitude: (i: number) => Math.max(0.5 * (high(i) - low(i)), 1e-12),
  }
}

const arc = (c: number): number => Math.acos(Math.min(1, Math.max(-1, c)))

/** Phases of the fringes; the first bright one is 0 or, after a dark one at −π, as the direction has it. */
function phasesOf(
  extrema: readonly Extremum[],
  passing: readonly Passing[],
  cosine: (at: number, v: number) => number,
  loose: Loose,
) {
  const phases: number[] = []
  let direction = 1
  extrema.forEach((one, k) => {
    if (k === 0) phases.push(one.bright ? 0 : -Math.PI)
    else if (passing[k] === 'partial') {
      const way = arc((extrema[k - 1]!.bright ? 1 : -1) * cosine(one.at, one.value))
      phases.push(phases[k - 1]! + direction * way)
    } else if (passing[k - 1] === 'partial')
      phases.push(phases[k - 2] ?? phases[k - 1]! + direction * Math.PI)
    else phases.push(phases[k - 1]! + direction * Math.PI)
    if (passing[k] === 'turned' || passing[k] === 'partial') direction = -direction
  })
  const end = extrema.length - 1
  const way = (k: number, from: number) =>
    arc((extrema[from]!.bright ? 1 : -1) * cosine(extrema[k]!.at, extrema[k]!.value))
  if (loose.first) phases[0] = phases[1]! - way(0, 1)
  if (loose.last) phases[end] = phases[end - 1]! + direction * way(end, end - 1)
  return { phases, last: direction }
}

/** Places at which the brightness passes its mean between two neighbours that were both reached. */
function crossings(y: Float64Array, a: Extremum, b: Extremum, level: (i: number) => number): number | null {
  for (let i = Math.ceil(a.at); i + 1 <= b.at; i++) {
    const [p, q] = [y[i]! - level(i), y[i + 1]! - level(i + 1)]
    if (p * q <= 0 && p !== q) return i + p / (p - q)
  }
  return null
}

interface Ends {
  /** True if the phase may be followed from the first fringe to the centre, from the last to the end. */
  inward: boolean
  outward: boolean
}

const meanOf = (y: Float64Array, from: number, to: number): number => {
  let sum = 0
  for (let i = from; i <= to; i++) sum += y[i]!
  return sum / (to - from + 1)
}

/** Ways shorter than this lie next to unresolved ones, steps. */
const NARROW = 10

/** Where fringes end for not being resolved, the last one is misplaced: its way is left out, and a narrow one after it. */
function sureFrom(extrema: readonly { at: number }[]): number {
  const [a, b, c] = [extrema[0]!.at, extrema[1]!.at, extrema[2]?.at]
  return c !== undefined && b - a < NARROW && c - b < NARROW ? c : b
}

function chainOf(y: Float64Array, extrema: Extremum[], passing: Passing[], ends: Ends): Chain {
  const loose = { first: !ends.inward, last: !ends.outward }
  const { level, amplitude, beyond } = envelopes(extrema, passing, loose)
  const cosine = (at: number, value: number) => (value - level(at)) / amplitude(at)
  const { phases, last } = phasesOf(extrema, passing, cosine, loose)
  const x: number[] = []
  const phi: number[] = []
  const add = (at: number, phase: number) => {
    x.push(at)
    phi.push(phase)
  }
  const [first, end] = [extrema[0]!, extrema.at(-1)!]
  const from = ends.inward ? 0 : Math.ceil(sureFrom(extrema))
  const to = ends.outward
    ? y.length - 1
    : Math.floor(-sureFrom(extrema.map(({ at }) => ({ at: -at })).reverse()))
  if (ends.inward) {
    const value = meanOf(y, 0, Math.max(1, Math.round(0.15 * first.at)))
    const way = arc((first.bright ? 1 : -1) * cosine(0, value))
    // Mirrored at the centre, where the film is even.
    add(-first.at, phases[0]!)
    add(0, phases[0]! - way)
  }
  extrema.forEach((one, k) => {
    add(one.at, phases[k]!)
    const next = extrema[k + 1]
    if (!next) return
    const [p, q] = [phases[k]!, phases[k + 1]!]
    if (Math.abs(q - p) < 0.75 * Math.PI) return
    const middle = crossings(y, one, next, level)
    if (middle !== null && middle > one.at + 0.3 && middle < next.at - 0.3)
      add(middle, p + (q > p ? 0.5 : -0.5) * Math.PI)
  })
  if (ends.outward && y.length - 1 > end.at) {
    const value = meanOf(y, Math.max(Math.ceil(end.at), y.length - 2), y.length - 1)
    add(y.length - 1, phases.at(-1)! + last * arc((end.bright ? 1 : -1) * cosine(y.length - 1, value)))
  }
  const curve = new MonotoneCurve(x, phi)
  return {
    extrema,
    passing,
    phase: phases,
    sure: { first: !loose.first, last: !loose.last },
    from,
    to,
    beyond,
    level,
    amplitude,
    start: (i) => curve.at(Math.min(Math.max(i, curve.from), curve.to)),
  }
}

/** The middle of the drop has no fringes of its own if the first lies no farther out than this many ways to the second. */
const MIDDLE = 3

/** Fewer fringes than this may be anything. */
const LEAST = 3
/** Shorter runs are left out, steps. */
const SHORTEST = 8

/** Chains from the inside outwards: cut where fringes are not resolved or a turning cannot be told. */
export function chainsOf(
  y: Float64Array,
  extrema: readonly Extremum[],
  passing: readonly Passing[],
  toRim: boolean,
): Chain[] {
  const ways = resolvedWays(extrema)
  const chains: Chain[] = []
  let start = 0
  for (let k = 0; k < extrema.length; k++) {
    const cut = k + 1 === extrema.length || !ways[k] || (passing[k] === 'unsure' && k > start)
    if (!cut) continue
    if (k - start + 1 >= LEAST) {
      const own = extrema.slice(start, k + 1)
      const kinds = passing.slice(start, k + 1).map((one): Passing => (one === 'unsure' ? 'passed' : one))
      kinds[0] = kinds[kinds.length - 1] = 'passed'
      const inward = start === 0 && own[0]!.at <= MIDDLE * (own[1]!.at - own[0]!.at)
      const chain = chainOf(y, own, kinds, { inward, outward: toRim && k + 1 === extrema.length })
      if (chain.to - chain.from >= SHORTEST) chains.push(chain)
    }
    start = ways[k] && passing[k] === 'unsure' ? k : k + 1
  }
  return chains
}
