/**
 * Sobol sequence: points that fill a cube evenly, whatever their number. Direction numbers and polynomials as in
 * `sobolDirections.ts`; order of the points by Antonov and Saleev (Gray code), as in the authors' own program.
 */
import { DIRECTIONS } from './sobolDirections.ts'

/** Most dimensions: one more than the table has rows. */
export const MOST_DIMENSIONS = DIRECTIONS.length + 1
/** Points are multiples of 2⁻³²; so many are different. */
const BITS = 32

/** Direction numbers of dimension `d` (0 the first) as fractions of 2³². */
function directionsOf(d: number): Uint32Array {
  const v = new Uint32Array(BITS)
  const row = d === 0 ? undefined : DIRECTIONS[d - 1]!
  if (!row) return v.map((_, k) => 2 ** (BITS - 1 - k))
  const { a, m } = row
  const s = m.length
  for (let k = 0; k < BITS; k++) {
    if (k < s) {
      v[k] = m[k]! * 2 ** (BITS - 1 - k)
      continue
    }
    v[k] = v[k - s]! ^ (v[k - s]! >>> s)
    for (let j = 1; j < s; j++) if ((a >>> (s - 1 - j)) & 1) v[k]! ^= v[k - j]!
  }
  return v
}

export class Sobol {
  private readonly v: readonly Uint32Array[]

  /** @throws RangeError unless 1 ≤ dimensions ≤ MOST_DIMENSIONS */
  constructor(readonly dimensions: number) {
    if (!Number.isInteger(dimensions) || dimensions < 1 || dimensions > MOST_DIMENSIONS)
      throw new RangeError(
        `${dimensions} dimensions of a Sobol sequence. Permitted: 1 to ${MOST_DIMENSIONS}.`,
      )
    this.v = Array.from({ length: dimensions }, (_, d) => directionsOf(d))
  }

  /**
   * Point `index` (0 … 2³² − 1) of the sequence, in [0, 1) along each dimension; point 0 is the origin. Any point can be
   * asked for, in any order.
   */
  point(index: number): Float64Array {
    const gray = (index ^ (index >>> 1)) >>> 0
    return Float64Array.from(this.v, (v) => {
      let x = 0
      for (let k = 0, rest = gray; rest > 0; k++, rest >>>= 1) if (rest & 1) x ^= v[k]!
      return (x >>> 0) / 2 ** BITS
    })
  }
}
