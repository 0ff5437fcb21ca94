/** Residuals of lives against measured points, as the fitter asks for them. Lives are computed once. */
import { setKeys } from '../../life/preset.ts'
import type { LifeResult, Preset } from '../../life/types.ts'
import type { MeasuredCurve } from '../types.ts'
import { type Points, startOf, usedPoints } from '../usable.ts'
import { courseOf, endOf, radiusAt, reaches } from './course.ts'
import type { Parameter } from './parameters.ts'
import { type Course, type LifeRunner, START_TIME } from './types.ts'

/** Lives kept: those of one derivative of four unknowns over some curves, and the way there. */
const MOST_KEPT = 400
/** A drop that still rests or spreads at the end of its life is followed this much beyond the last point. */
const BEYOND = 1.05
const LONGEST = 3600

export class FitProblem {
  lives = 0
  /** Why the last life failed that did. */
  failure = ''
  stopped = false
  readonly points: Points[]
  readonly total: number
  /** All used points have an uncertainty. */
  readonly weighted: boolean
  private readonly known = new Map<string, Course>()

  constructor(
    readonly curves: readonly MeasuredCurve[],
    readonly presets: readonly Preset[],
    readonly parameters: readonly Parameter[],
    private readonly run: LifeRunner,
    private readonly cancelled: () => boolean = () => false,
  ) {
    this.points = curves.map(usedPoints)
    this.total = this.points.reduce((sum, { time }) => sum + time.length, 0)
    this.weighted = this.points.every(({ uncertainty }) => uncertainty?.every((sigma) => sigma > 0) ?? false)
  }

  /** Whether the fit is to end; once true it stays so. */
  isStopped(): boolean {
    if (this.cancelled()) this.stopped = true
    return this.stopped
  }

  /** Values of the unknowns at a point of the fitter. */
  valuesAt(p: ArrayLike<number>): number[] {
    return this.parameters.map((parameter, j) => parameter.toValue(p[j]!))
  }

  /** Contact of a curve after its stated contact, s. */
  delay(values: readonly number[], curve: number): number {
    const j = this.parameters.findIndex((one) => one.path === START_TIME && one.curve === curve)
    return j < 0 ? 0 : values[j]! - startOf(this.curves[curve]!)
  }

  /** A preset with the shared unknowns; null where the rules of presets forbid them. */
  presetWith(base: Preset, values: readonly number[], accuracy: Preset['model']['accuracy']): Preset | null {
    const changes = this.parameters.flatMap(({ path }, j) =>
      path === START_TIME ? [] : [[path, values[j]!] as const],
    )
    const changed = setKeys(base, changes)
    return changed.ok ? atAccuracy(changed.preset, accuracy) : null
  }

  /** Courses of all curves; null where one has none. */
  async courses(values: readonly number[], accuracy: Preset['model']['accuracy']): Promise<Course[] | null> {
    const found: Course[] = []
    for (let i = 0; i < this.curves.length; i++) {
      const preset = this.presetWith(this.presets[i]!, values, accuracy)
      const needed = (this.points[i]!.time.at(-1) ?? 0) - this.delay(values, i)
      const course = preset && (await this.course(preset, needed, i))
      if (!course) return null
      if (!reaches(course, needed)) {
        this.failure = course.failed
        return null
      }
      found.push(course)
    }
    return found
  }

  /** The life of a preset, followed to the moment that is needed unless it ends by itself; null when stopped. */
  private async course(preset: Preset, needed: number, curve: number): Promise<Course | null> {
    const first = await this.life(preset)
    if (first?.failed !== '' || endOf(first) >= needed || !isUnderWay(first)) return first
    const horizon_s = Math.min(LONGEST, Math.max(0.5, this.longest(curve) * BEYOND))
    return this.life({ ...preset, model: { ...preset.model, horizon_s } })
  }

  /** The longest life that a curve can ask for, s; the same all through the fit, so that lives can be kept. */
  private longest(curve: number): number {
    const start = this.parameters.find((one) => one.path === START_TIME && one.curve === curve)
    const earliest = start ? start.lower - startOf(this.curves[curve]!) : 0
    return (this.points[curve]!.time.at(-1) ?? 0) - earliest
  }

  private async life(preset: Preset): Promise<Course | null> {
    const name = JSON.stringify(preset)
    const known = this.known.get(name)
    if (known) {
      this.known.delete(name)
      this.known.set(name, known)
      return known
    }
    if (this.isStopped()) return null
    const result = await this.attempt(preset)
    this.lives++
    if (result.ok ? result.life.status !== 'done' : result.reason === 'cancelled') {
      this.stopped = true
      return null
    }
    const course = courseOf(result)
    this.known.set(name, course)
    if (this.known.size > MOST_KEPT) this.known.delete(this.known.keys().next().value!)
    return course
  }

  private async attempt(preset: Preset): Promise<LifeResult> {
    try {
      return await this.run(preset, { cancelled: this.cancelled })
    } catch (error) {
      const message = error instanceof Error ? error.message : String(error)
      return { ok: false, reason: 'crashed', problems: [{ where: 'engine', message }] }
    }
  }

  /** (life − measured)/σ for all points, curve after curve, σ = 1 m without uncertainties; null where a life is missing. */
  async residuals(p: ArrayLike<number>, accuracy: Preset['model']['accuracy']): Promise<Float64Array | null> {
    const values = this.valuesAt(p)
    const courses = await this.courses(values, accuracy)
    if (!courses) return null
    const all = new Float64Array(this.total)
    let at = 0
    this.points.forEach(({ time, radius, uncertainty }, i) => {
      const delay = this.delay(values, i)
      for (let k = 0; k < time.length; k++) {
        const difference = radiusAt(courses[i]!, time[k]! - delay) - radius[k]!
        all[at++] = this.weighted ? difference / uncertainty![k]! : difference
      }
    })
    return all
  }

  /** Σ r². */
  sum(r: Float64Array): number {
    return r.reduce((sum, value) => sum + value * value, 0)
  }

  /** Root mean square of life − measured, relative to the largest measured radius. */
  misfit(r: Float64Array): number {
    let at = 0
    let squares = 0
    let widest = 0
    for (const { radius, uncertainty } of this.points) {
      for (let k = 0; k < radius.length; k++) {
        squares += (r[at++]! * (this.weighted ? uncertainty![k]! : 1)) ** 2
        widest = Math.max(widest, radius[k]!)
      }
    }
    return widest > 0 ? Math.sqrt(squares / this.total) / widest : Number.NaN
  }
}

/** Still a lens, or still spread: the end came by the clock, not by the drop. */
const isUnderWay = ({ outcome }: Course): boolean => outcome === 'lens' || outcome === 'spreads'

/** The preset at an accuracy; its own cell numbers hold for its own accuracy only. */
function atAccuracy(preset: Preset, accuracy: Preset['model']['accuracy']): Preset {
  if (accuracy === preset.model.accuracy) return preset
  const { innerCells: _, outerCells: __, ...model } = preset.model
  return { ...preset, model: { ...model, accuracy } }
}
