/** Windows of a measured curve: which points, how noisy, the polynomial through them without outliers. */
import { basisAt, combined, type LocalPolynomial, localPolynomial } from '../numerics/localPolynomial.ts'

export interface Fitted extends LocalPolynomial {
  used: number
  left: number
}

/** Deviations from which a point is an outlier. Common practice, no source. */
const FAR = 4

/** Numbers of points of ever wider windows, from `least` on. */
export function* widths(most: number, least: number): Generator<number> {
  for (let count = least; count <= most; count = Math.max(count + 1, Math.round(1.25 * count))) yield count
}

/** Indices of the `count` points nearest in time, rising; `time` rises. */
export function nearestTo(time: Float64Array, centre: number, count: number): number[] {
  let high = time.findIndex((t) => t > centre)
  if (high < 0) high = time.length
  let low = high
  while (high - low < count && (low > 0 || high < time.length)) {
    const below = low > 0 ? centre - time[low - 1]! : Number.POSITIVE_INFINITY
    const above = high < time.length ? time[high]! - centre : Number.POSITIVE_INFINITY
    if (below <= above) low--
    else high++
  }
  return Array.from({ length: high - low }, (_, i) => low + i)
}

/** Running median over a twentieth of the points, at least five (fewer at the ends, three in short rows). */
export function runningMedian(values: Float64Array): Float64Array {
  const reach = values.length < 9 ? 1 : Math.max(2, Math.round(values.length / 40))
  return values.map((_, i) => {
    const width = Math.min(reach, i, values.length - 1 - i)
    return median(values.slice(i - width, i + width + 1))
  })
}

function median(values: ArrayLike<number>): number {
  const sorted = Float64Array.from(values).sort()
  const middle = sorted.length >> 1
  return sorted.length % 2 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2
}

/**
 * Standard deviation of each point: as stated, but never below what the points scatter about the lines between their
 * neighbours (Gasser, Sroka & Jennen-Steinmetz, Biometrika 73, 625, 1986; the median instead of the mean, so that
 * neither outliers nor bends count); alone from the scatter where not all points state one. Null for too few points.
 */
export function noiseOf(time: Float64Array, radius: Float64Array, own: Float64Array): Float64Array | null {
  const stated = own.every((sigma) => sigma > 0)
  const pseudo: number[] = []
  for (let i = 1; i < time.length - 1; i++) {
    const part = (time[i]! - time[i - 1]!) / (time[i + 1]! - time[i - 1]!)
    const weight = Math.sqrt(1 + part ** 2 + (1 - part) ** 2)
    const off = radius[i]! - (1 - part) * radius[i - 1]! - part * radius[i + 1]!
    pseudo.push(Math.abs(off) / weight / (stated ? own[i]! : 1))
  }
  // 0.6745: the median of |z| of a normal deviate.
  const scatter = pseudo.length > 0 ? median(pseudo) / 0.6745 : Number.NaN
  if (stated) return pseudo.length < MANY ? own : own.map((sigma) => sigma * Math.max(1, scatter))
  if (pseudo.length < 3) return null
  const least = 1e-9 * Math.max(...radius)
  return radius.map(() => Math.max(scatter, least))
}

/** Points from which their scatter is trusted against a stated error. */
const MANY = 20

/** The polynomial through the points `index`, twice with outliers left out. */
export function fitWindow(
  time: Float64Array,
  radius: Float64Array,
  sigma: Float64Array,
  index: readonly number[],
  degree: number,
): Fitted | null {
  const [from, to] = [time[index[0]!]!, time[index.at(-1)!]!]
  let used = index
  for (let round = 0; ; round++) {
    const x = used.map((i) => time[i]!)
    const y = used.map((i) => radius[i]!)
    const of = used.map((i) => sigma[i]!)
    const fit = localPolynomial(x, y, of, degree, (from + to) / 2, (to - from) / 2)
    if (!fit) return null
    const off = used.map(
      (i, k) => Math.abs(y[k]! - combined(basisAt(fit, x[k]!), fit.coefficients)) / sigma[i]!,
    )
    const worst = off.indexOf(Math.max(...off))
    const enough = used.length - 1 > degree + 2
    if (round === 2 || !enough || !(off[worst]! > FAR))
      return { ...fit, used: used.length, left: index.length - used.length }
    used = used.filter((_, k) => k !== worst)
  }
}
