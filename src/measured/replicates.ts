/** Repetitions of one drop: mean and standard deviation of their radii over the times that all of them cover. */
import { MonotoneCurve } from '../numerics/monotone.ts'
import type { MeasuredCurve } from './types.ts'
import { usedPoints } from './usable.ts'

/** With what ids of means begin. */
export const MEAN = 'mean of '

export interface Repetitions {
  group: string
  curves: readonly MeasuredCurve[]
}

/** Curves by their stated group, in the order in which they come; those without one are left out. */
export function repetitionsOf(curves: readonly MeasuredCurve[]): Repetitions[] {
  const groups = new Map<string, MeasuredCurve[]>()
  for (const curve of curves) {
    const { group } = curve.meta
    if (group) groups.set(group, [...(groups.get(group) ?? []), curve])
  }
  return [...groups].map(([group, own]) => ({ group, curves: own }))
}

export interface MeanCourse {
  /** s after contact. */
  time: Float64Array
  /** Mean radius, m. */
  mean: Float64Array
  /** Standard deviation of the runs about it, m (count − 1 in the denominator: GUM, JCGM 100:2008, 4.2.2). */
  deviation: Float64Array
  /** How many runs there are: the same at all times. */
  count: number
  /** Stretch of time that all cover, s, and the longest that one covers. */
  from: number
  to: number
  longest: number
}

/**
 * Mean ± SD of several runs, each on the clock that begins with its contact, at the times of that run which has the
 * fewest points on the common stretch; between its points a run is read by monotone cubics. A reason where there is
 * none: fewer than two runs, or no stretch of time in common.
 */
export function meanCourse(
  curves: readonly MeasuredCurve[],
): { ok: true; course: MeanCourse } | { ok: false; reason: string } {
  if (curves.length < 2) return { ok: false, reason: 'there is only one run' }
  const runs = curves.map((curve) => {
    const { time, radius } = usedPoints(curve)
    return { time, curve: new MonotoneCurve(time, radius) }
  })
  const from = Math.max(...runs.map(({ curve }) => curve.from))
  const to = Math.min(...runs.map(({ curve }) => curve.to))
  const longest = Math.max(...runs.map(({ curve }) => curve.to))
  if (!(to > from)) return { ok: false, reason: 'its runs have no stretch of time in common' }
  const [fewest] = runs
    .map(({ time }) => time.filter((t) => t >= from && t <= to))
    .sort((a, b) => a.length - b.length)
  const time = fewest!.length >= 2 ? fewest! : Float64Array.of(from, to)
  const n = runs.length
  const values = Array.from(time, (t) => runs.map(({ curve }) => curve.at(t)))
  const mean = Float64Array.from(values, (radii) => radii.reduce((sum, r) => sum + r, 0) / n)
  const deviation = Float64Array.from(values, (radii, k) =>
    Math.sqrt(radii.reduce((sum, r) => sum + (r - mean[k]!) ** 2, 0) / (n - 1)),
  )
  return { ok: true, course: { time, mean, deviation, count: n, from, to, longest } }
}

/**
 * How uncertain a standard deviation of n values of a normal distribution is itself, as a share of it: √(1/c₄² − 1) with
 * c₄ = √(2/(n−1)) Γ(n/2)/Γ((n−1)/2) (GUM, JCGM 100:2008, E.4.3). @param n 2 or more
 */
export function deviationError(n: number): number {
  // Γ(n/2)/Γ((n−1)/2) from n = 2 on: its square times its neighbour's is (n−1)/2.
  let ratio = 1 / Math.sqrt(Math.PI)
  for (let k = 2; k < n; k++) ratio = (k - 1) / 2 / ratio
  return Math.sqrt((n - 1) / 2 / ratio ** 2 - 1)
}

/** The difference of the stated conditions within a group, in words; '' if there is none. Repetitions are of one drop. */
export function unlikeWords({ curves }: Repetitions): string {
  const keys = ['alcoholFraction', 'fractionBasis', 'alcohol', 'volume_uL', 'oil', 'depth_mm'] as const
  const names: Record<(typeof keys)[number], string> = {
    alcoholFraction: 'strength',
    fractionBasis: 'basis of the strength',
    alcohol: 'alcohol',
    volume_uL: 'volume',
    oil: 'oil',
    depth_mm: 'depth',
  }
  const unlike = keys.filter((key) => {
    const stated = curves.map(({ meta }) => meta[key]).filter((value) => value !== undefined)
    return new Set(stated).size > 1
  })
  return unlike.length > 0 ? `its runs differ in ${unlike.map((key) => names[key]).join(', ')}` : ''
}

/**
 * Groups as curves to be drawn: mean radius, SD as bars, named with the number of runs; a group without a mean, and curves
 * without a group, stay as they are. They are for drawing only and never kept.
 */
export function groupedCurves(curves: readonly MeasuredCurve[]): MeasuredCurve[] {
  const made = new Map<string, MeasuredCurve | null>()
  for (const { group, curves: own } of repetitionsOf(curves)) {
    const result = meanCourse(own)
    made.set(group, result.ok ? asCurve(group, own, result.course) : null)
  }
  const told = new Set<string>()
  return curves.flatMap((curve) => {
    const { group } = curve.meta
    const mean = group ? made.get(group) : null
    if (!group || !mean) return [curve]
    if (told.has(group)) return []
    told.add(group)
    return [mean]
  })
}

function asCurve(
  group: string,
  own: readonly MeasuredCurve[],
  { time, mean, deviation, count }: MeanCourse,
): MeasuredCurve {
  const { startTime_s: _, note: __, sigma: ___, date: ____, ...meta } = own[0]!.meta
  return {
    id: `${MEAN}${own.map(({ id }) => id).join(' ')}`,
    name: `${group}: mean ± SD of ${count} runs`,
    time,
    radius: mean,
    uncertainty: deviation.map((value) => (value > 0 ? value : Number.NaN)),
    meta,
    file: '',
  }
}
