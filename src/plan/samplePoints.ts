/**
 * Points at which an uncertain drop is tried: a Sobol sequence through the quantile of the normal distribution. It fills the
 * whole at any number of points and goes on where it stopped, so that the first lives count among the later ones; a Latin
 * hypercube would have to know its number beforehand. The sequence is turned by one fixed shift (Cranley & Patterson, SIAM J.
 * Numer. Anal. 13, 904–914, 1976): its first point is the middle else, and no point lies at infinity.
 */
import { normalQuantile } from '../numerics/sampling/normal.ts'
import { randomStream } from '../numerics/sampling/random.ts'
import { Sobol } from '../numerics/sampling/sobol.ts'

const SHIFT_SEED = 20261129
/** A coordinate of exactly 0 would be −∞. */
const EDGE = 1e-6

/** Numbers in (0, 1) as numbers of standard deviations. */
export const deviations = (point: ArrayLike<number>): number[] =>
  Array.from(point, (x) => normalQuantile(Math.min(1 - EDGE, Math.max(EDGE, x))))

/** A Sobol sequence, turned. */
class Turned extends Sobol {
  private readonly shift: readonly number[]

  constructor(dimensions: number) {
    super(dimensions)
    this.shift = Array.from({ length: dimensions }, randomStream(SHIFT_SEED))
  }

  override point(index: number): Float64Array {
    return super.point(index).map((x, k) => (x + this.shift[k]!) % 1)
  }
}

/** The sequence for so many inputs. @throws RangeError, see `Sobol` */
export const turnedSequence = (dimensions: number): Sobol => new Turned(dimensions)

/** Standard deviations of each input at points `from` … `to` − 1 of the sequence. Nothing where there are no inputs. */
export function samplePoints(inputs: number, from: number, to: number): number[][] {
  if (inputs === 0) return []
  const sequence = turnedSequence(inputs)
  return Array.from({ length: Math.max(0, to - from) }, (_, i) => deviations(sequence.point(from + i)))
}
