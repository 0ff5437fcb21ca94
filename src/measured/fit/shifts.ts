/** What each cause does to the radii, over all points of a fit: shared errors as stated, conditions from lives. */
import { setKeys } from '../../life/preset.ts'
import type { Preset } from '../../life/types.ts'
import { errorParts } from '../independent.ts'
import type { Cause } from './causes.ts'
import { radiusAt, reaches } from './course.ts'
import { type FitProblem, joined } from './problem.ts'

/** A cause and by how much it makes the measured radii larger than the life's, per 1 σ, m, over all points. */
export interface Shift {
  cause: Cause
  shift: Float64Array
  /** Where the lives hold the condition, σ above what is stated; 0 for other causes. */
  at: number
}

export interface Shifts {
  known: Shift[]
  /** Causes whose lives fail on both sides: their errors are in no number. */
  lost: Cause[]
}

/** Where each condition is held, σ above what is stated; missing = as stated. */
export type Held = ReadonlyMap<Cause, number>

/** The drops of all curves with the conditions held there; null where the rules of presets forbid it. */
export function heldPresets(
  stated: readonly Preset[],
  causes: readonly Cause[],
  held: Held,
): (Preset | null)[] {
  return stated.map((preset, i) => {
    const changes = causes.flatMap((cause): [string, number][] => {
      const n = cause.curves.indexOf(i)
      const b = held.get(cause) ?? 0
      return b === 0 || n < 0 || !cause.keyValue ? [] : [[cause.path, cause.keyValue(n, b)]]
    })
    const made = setKeys(preset, changes)
    return made.ok ? made.preset : null
  })
}

/** The shifts at a point of the fitter, conditions moved from where they are held. Lives at `accuracy`; null when stopped. */
export async function shiftsAt(
  problem: FitProblem,
  stated: readonly Preset[],
  causes: readonly Cause[],
  held: Held,
  p: ArrayLike<number>,
  accuracy: Preset['model']['accuracy'],
): Promise<Shifts | null> {
  const values = problem.valuesAt(p)
  const known: Shift[] = []
  const lost: Cause[] = []
  const drops = (cause: Cause, by: number) =>
    heldPresets(stated, causes, new Map([...held, [cause, (held.get(cause) ?? 0) + by]]))
  problem.foresee([], accuracy)
  for (const cause of causes) foreseeMoved(problem, cause, drops, values, accuracy)
  for (const cause of causes) {
    const rows: Float64Array[] = problem.points.map(({ time }) => new Float64Array(time.length))
    const step = stepOf(cause)
    const [above, below] = sides(problem, cause, drops)
    let some = false
    for (const [n, curve] of cause.curves.entries()) {
      const row =
        cause.shifts?.[n] ??
        (await movedRadii(problem, cause, n, [above[curve]!, below[curve]!], values, accuracy))?.map(
          (one) => one / step,
        ) ??
        null
      if (problem.isStopped()) return null
      if (row) rows[curve] = row
      some ||= row !== null
    }
    if (some) known.push({ cause, shift: joined(rows), at: held.get(cause) ?? 0 })
    else lost.push(cause)
  }
  return { known, lost }
}

/** Share of its value that a condition is moved by, as the unknowns are for their derivatives. */
const SHARE = 0.02

/** Step of a condition or contact in σ: one, or less where σ is wide. */
const stepOf = ({ keyValue, kind, value, sigma }: Cause): number =>
  keyValue && value !== 0
    ? Math.min(1, Math.max(0.2, (SHARE * Math.abs(value)) / sigma))
    : kind === 'contact'
      ? 0.5
      : 1

type Drops = (cause: Cause, by: number) => readonly (Preset | null)[]

/** The drops of all curves with a cause above and below where it is held. */
const sides = ({ presets }: FitProblem, cause: Cause, drops: Drops) =>
  cause.keyValue
    ? ([drops(cause, stepOf(cause)), drops(cause, -stepOf(cause))] as const)
    : ([presets, presets] as const)

/** By how much later the contact is on the upper side, s. */
const laterOf = (cause: Cause): number => (cause.kind === 'contact' ? stepOf(cause) * cause.sigma : 0)

/** The lives of a cause will be asked for. */
function foreseeMoved(
  problem: FitProblem,
  cause: Cause,
  drops: Drops,
  values: readonly number[],
  accuracy: Preset['model']['accuracy'],
): void {
  if (cause.shifts) return
  const [above, below] = sides(problem, cause, drops)
  const later = laterOf(cause)
  for (const curve of cause.curves) {
    const foresee = (drop: Preset | null | undefined, by: number) =>
      drop && problem.foreseeCourse(drop, values, accuracy, curve, problem.delay(values, curve) + by)
    if (cause.shares) foresee(problem.presets[curve], 0)
    else {
      foresee(above[curve], later)
      foresee(below[curve], -later)
    }
  }
}

async function movedRadii(
  problem: FitProblem,
  cause: Cause,
  n: number,
  [above, below]: readonly [Preset | null, Preset | null],
  values: readonly number[],
  accuracy: Preset['model']['accuracy'],
): Promise<Float64Array | null> {
  const { curves, shares } = cause
  const curve = curves[n]!
  const radii = async (preset: Preset | null, later: number): Promise<Float64Array | null> => {
    const drop = preset && problem.presetWith(preset, values, accuracy)
    if (!drop) return null
    const { time } = problem.points[curve]!
    const delay = problem.delay(values, curve) + later
    const needed = (time.at(-1) ?? 0) - delay
    const course = await problem.course(drop, needed, curve)
    return course && reaches(course, needed) ? time.map((t) => radiusAt(course, t - delay)) : null
  }
  const here = problem.presets[curve]!
  if (shares) return (await radii(here, 0))?.map((R) => shares[n]! * R) ?? null
  const later = laterOf(cause)
  const [up, down] = [await radii(above, later), await radii(below, -later)]
  if (up && down) return up.map((R, i) => (R - down[i]!) / 2)
  const middle = await radii(here, 0)
  if (!middle) return null
  return up ? up.map((R, i) => R - middle[i]!) : (down?.map((R, i) => middle[i]! - R) ?? null)
}

/**
 * How far the lives of a point of the fitter may lie off beside the measured points, m: in radius and in the moment
 * (`lifeErrors`). Quick lives give all derivatives, and what is rough in them would seem to tell
 * causes apart that nothing does. Zeros where there is no life.
 */
export async function lifeErrorsAt(problem: FitProblem, p: ArrayLike<number>): Promise<Float64Array> {
  const values = problem.valuesAt(p)
  const courses = await problem.courses(values, 'quick')
  const { radius: share, time: late } = problem.lifeErrors
  return joined(
    problem.points.map(({ time }, i) => {
      const course = courses?.[i]
      if (!course) return new Float64Array(time.length)
      const delay = problem.delay(values, i)
      return time.map((t) => {
        const [before, here, after] = [1 - late, 1, 1 + late].map((part) =>
          radiusAt(course, part * (t - delay)),
        )
        return Math.hypot(share * here!, (after! - before!) / 2)
      })
    }),
  )
}

/** Lays own errors, with those of the lives (m), and shifts; `scatter` (m) is each point's own error where none are stated. */
export function layErrors(
  problem: FitProblem,
  shifts: readonly Shift[],
  scatter: number,
  lives: Float64Array,
): void {
  const stated = joined(problem.curves.map((curve) => errorParts(curve).own))
  const own = problem.weighted
    ? stated.map((one, i) => Math.hypot(one, lives[i]!))
    : new Float64Array(problem.total).fill(scatter)
  // A life with a condition b σ off, less b times its shift, is to first order that with the condition as stated.
  const off = shifts.filter(({ at }) => at !== 0)
  const taken = off.length === 0 ? null : new Float64Array(problem.total)
  for (const { shift, at } of off) for (let i = 0; i < shift.length; i++) taken![i]! += at * shift[i]!
  problem.setErrors(
    own,
    shifts.map(({ shift }) => shift),
    taken,
  )
  problem.absolute = true
}
