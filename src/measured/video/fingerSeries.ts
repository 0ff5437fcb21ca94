/** Fingers over time: the counts of the frames that count, in the lab's time and in metres. Pure. */
import type { SeriesPoint } from './series.ts'
import type { Reading } from './sight.ts'
import type { FingerReading } from './types.ts'

export interface FingerPoint {
  /** Time since touch-down, s. */
  time: number
  /** Radius of the point in the table, m. */
  radius: number
  reading: FingerReading
  /** Metres per pixel; 1 while no scale is set: lengths are then pixels. */
  scale: number
}

/** One for each point that counts and in which fingers were looked for, in the order of time. */
export function fingerPoints(
  points: readonly SeriesPoint[],
  readings: ReadonlyMap<number, Reading>,
  metresPerPixel: number,
): FingerPoint[] {
  return points.flatMap(({ key, time, radius, counts }) => {
    const reading = readings.get(key)?.result.fingers
    return counts && reading ? [{ time, radius, reading, scale: metresPerPixel }] : []
  })
}

export const isCounted = ({ reading }: FingerPoint): boolean => reading.verdict === 'counted'

/** Median count and spacing (m) near the largest radius: of the counted frames within a tenth of it. */
export function atLargest(
  points: readonly FingerPoint[],
): { count: number; error: number; spacing: number } | null {
  const counted = points.filter(isCounted)
  const most = counted.reduce((largest, { radius }) => Math.max(largest, radius), 0)
  const near = counted
    .filter(({ radius }) => radius >= 0.9 * most)
    .sort((a, b) => a.reading.count - b.reading.count)
  const middle = near[Math.floor(near.length / 2)]
  if (!middle) return null
  // Frames show the same fingers again: their errors do not average out, and how they differ comes to it.
  const counts = near.map(({ reading }) => reading.count)
  const mean = counts.reduce((sum, count) => sum + count, 0) / counts.length
  const spread = Math.sqrt(counts.reduce((sum, count) => sum + (count - mean) ** 2, 0) / counts.length)
  const { count, countError, spacing } = middle.reading
  return { count, error: Math.hypot(countError, spread), spacing: spacing * middle.scale }
}
