/** A drop as it would be measured: radii of its life with the errors that are stated. */
import { endOf, radiusAt } from '../../measured/fit/course.ts'
import type { Course } from '../../measured/fit/types.ts'
import type { ConditionErrors, MeasuredCurve } from '../../measured/types.ts'
import type { Candidate, Measuring, Problem } from './types.ts'

/** Part of its life that a drop is followed: the last moments of a collapse are quick and hard to see. */
const FOLLOWED = 0.95

/** What is permitted of each number: least, most, and whether it must be whole. */
const RANGES: Readonly<Record<keyof Measuring, readonly [number, number, boolean, string]>> = {
  points: [5, 1000, true, ''],
  longest: [0.5, 3600, false, ' s'],
  noise: [0.001, 10, false, ' mm'],
  scale: [0, 0.2, false, ''],
  contact: [0, 10, false, ' s'],
  volume: [0, 0.3, false, ''],
}

export function measuringProblems(measuring: Measuring): Problem[] {
  return (Object.keys(RANGES) as (keyof Measuring)[]).flatMap((name): Problem[] => {
    const [min, max, whole, unit] = RANGES[name]
    const value = measuring[name]
    if (value >= min && value <= max && (!whole || Number.isInteger(value))) return []
    const what = whole ? 'whole numbers from ' : ''
    return [{ where: name, message: `${name} is ${value}. Permitted: ${what}${min} to ${max}${unit}.` }]
  })
}

/** Times after contact at which radii are taken, s. */
function timesOf(course: Pick<Course, 't'>, { points, longest }: Measuring): Float64Array {
  const end = Math.min(FOLLOWED * endOf(course), longest)
  return Float64Array.from({ length: points }, (_, i) => ((i + 1) * end) / points)
}

/** What a curve states of the errors of its drop. */
function statedErrors({ contact, volume, scale }: Measuring, volume_uL: number): ConditionErrors | undefined {
  const sigma: ConditionErrors = {
    ...(contact > 0 ? { startTime_s: contact } : {}),
    ...(volume > 0 ? { volume_uL: volume * volume_uL } : {}),
    ...(scale > 0 ? { radiusScale: scale } : {}),
  }
  return Object.keys(sigma).length > 0 ? sigma : undefined
}

/** A curve with exact radii and the errors that they would have. */
export function curveOf(
  { meta }: Pick<Candidate, 'meta'>,
  course: Pick<Course, 't' | 'R' | 'U'>,
  measuring: Measuring,
  volume_uL: number,
  name = 'drop',
): MeasuredCurve {
  const time = timesOf(course, measuring)
  const radius = time.map((t) => radiusAt(course, t))
  const sigma = statedErrors(measuring, meta.volume_uL ?? volume_uL)
  return {
    id: name,
    name,
    time,
    radius,
    // The shared part is told by itself.
    uncertainty: radius.map(() => 1e-3 * measuring.noise),
    meta: { ...meta, ...(sigma ? { sigma } : {}) },
    file: '',
  }
}
