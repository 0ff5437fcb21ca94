/**
 * Latin hypercube: along each dimension every one of `count` equal parts holds exactly one point.
 * McKay, Beckman & Conover, Technometrics 21, 239–245 (1979).
 */
import { randomStream, shuffled } from './random.ts'

/**
 * @param count number of points, at least 1
 * @returns row-major count × dimensions, in [0, 1); the same for the same seed
 */
export function latinHypercube(count: number, dimensions: number, seed: number): Float64Array {
  const points = new Float64Array(count * dimensions)
  for (let d = 0; d < dimensions; d++) {
    // A stream for each dimension: a further one leaves the others as they are.
    const random = randomStream((seed ^ Math.imul(d + 1, 0x9e3779b1)) >>> 0)
    const part = shuffled(count, random)
    for (let i = 0; i < count; i++) points[i * dimensions + d] = (part[i]! + random()) / count
  }
  return points
}
