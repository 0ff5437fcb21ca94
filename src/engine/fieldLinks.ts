/** Bath fields that drive each other in groups of three. */
import type { FilmState } from './filmState.ts'
import type { Reals } from './memory.ts'
import { GROUPS } from './places.ts'

/**
 * Adds to the rates of `count` places what the fields of a group drive in each other.
 * @param at place of the first field at the first of them; `across` from field to field, `along` from place to place
 */
export function drive(
  q: FilmState,
  y: Reals,
  out: Reals,
  at: i32,
  across: i32,
  along: i32,
  count: i32,
): void {
  const groups = q.set[GROUPS] as i32
  let link = 0
  let first = at
  for (let g = 0; g < groups; g++) {
    const size = q.groups[g] as i32
    if (size === 3) {
      driveThree(y, out, first, across, along, count, q.linkRate, link)
      link += 6
    }
    first += size * across
  }
}

function driveThree(
  y: Reals,
  out: Reals,
  at: i32,
  across: i32,
  along: i32,
  count: i32,
  rate: Reals,
  link: i32,
): void {
  const xy = rate[link]
  const xz = rate[link + 1]
  const yx = rate[link + 2]
  const yz = rate[link + 3]
  const zx = rate[link + 4]
  const zy = rate[link + 5]
  let a = at
  for (let k = 0; k < count; k++) {
    const b = a + across
    const c = b + across
    const u = y[a]
    const v = y[b]
    const w = y[c]
    out[a] = out[a] + xy * v + xz * w
    out[b] = out[b] + yx * u + yz * w
    out[c] = out[c] + zx * u + zy * v
    a += along
  }
}
