/** The course of a life at any moment, so that it can be laid on measured points. */
import { cubicRadius, indexAt } from '../../life/sample.ts'
import type { Life, LifeResult } from '../../life/types.ts'
import type { Course } from './types.ts'

/** What a fit keeps of a life; a life that broke off keeps its cause. */
export function courseOf(result: LifeResult): Course {
  if (!result.ok) {
    const none = new Float64Array(0)
    return {
      t: none,
      R: none,
      U: none,
      outcome: 'failed',
      failed: result.problems.map((p) => p.message).join(' '),
    }
  }
  const { series, summary }: Life = result.life
  const failed = summary.outcome === 'failed' ? summary.cause : ''
  return { t: series.t, R: series.R, U: series.U, outcome: summary.outcome, failed }
}

/** Last moment of a course, s; −∞ without one. */
export const endOf = ({ t }: Pick<Course, 't'>): number => t.at(-1) ?? Number.NEGATIVE_INFINITY

/**
 * Radius (m) at `time` (s after contact). Before contact the first radius holds, after the end of the life the last one:
 * so the radius changes steadily when the end of a life or its start passes a measured point during a fit, no point
 * drops out of the sum, and a life that ends too early is held against every point after it.
 */
export function radiusAt({ t, R, U }: Pick<Course, 't' | 'R' | 'U'>, time: number): number {
  const last = t.length - 1
  if (last < 0) return Number.NaN
  if (!(time > t[0]!)) return Number.isNaN(time) ? Number.NaN : R[0]!
  if (time >= t[last]!) return R[last]!
  const k = indexAt(t, time)
  const dt = t[k + 1]! - t[k]!
  return cubicRadius(R[k]!, R[k + 1]!, U[k]!, U[k + 1]!, dt, (time - t[k]!) / dt)
}

/** Whether a course says something about a moment: a life that failed does so until it broke off only. */
export const reaches = (course: Course, time: number): boolean =>
  course.failed === '' || endOf(course) >= time
