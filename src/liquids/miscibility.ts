/**
 * Where activity coefficients would part a mixture into two liquids, the activity of the alcohol is that of the two
 * liquids in equilibrium, the same for all mixtures between them (Maxwell's construction). The library's pairs mix in
 * all proportions, 1-propanol only just; a user's constants need not.
 */
import type { Mixture } from './types.ts'

/** Between mole fractions `from` and `until` the activity of the alcohol stays at `level`. */
export interface Gap {
  from: number
  until: number
  level: number
}

const NODES = 400
const HALVINGS = 60

const known = new WeakMap<Mixture, Map<number, Gap | null>>()

/** The gap of a mixture at T (K), null where it mixes in all proportions. Remembered. */
export function gapOf(mixture: Mixture, T: number): Gap | null {
  const byT = known.get(mixture) ?? new Map<number, Gap | null>()
  known.set(mixture, byT)
  const found = byT.get(T)
  if (found !== undefined) return found
  const gap = gapOfActivities(
    (x) => x * mixture.activity(x, T)[0],
    (x) => (1 - x) * mixture.activity(x, T)[1],
  )
  byT.set(T, gap)
  return gap
}

/** x in (low, high) where a condition turns from true to false. */
function turn(low: number, high: number, holds: (x: number) => boolean): number {
  let [from, until] = [low, high]
  for (let n = 0; n < HALVINGS; n++) {
    const middle = (from + until) / 2
    if (holds(middle)) from = middle
    else until = middle
  }
  return (from + until) / 2
}

function gapOfActivities(alcohol: (x: number) => number, water: (x: number) => number): Gap | null {
  const a = Array.from({ length: NODES + 1 }, (_, i) => alcohol(i / NODES))
  const top = a.findIndex((value, i) => i < NODES && a[i + 1]! < value)
  if (top < 0) return null
  let bottom = NODES
  while (a[bottom - 1]! < a[bottom]!) bottom--
  const weak = (level: number) => turn(0, top / NODES, (x) => alcohol(x) < level)
  const strong = (level: number) => turn(bottom / NODES, 1, (x) => alcohol(x) < level)
  const level = turn(a[bottom]!, Math.min(a[top]!, 1), (at) => water(weak(at)) < water(strong(at)))
  return { from: weak(level), until: strong(level), level }
}
