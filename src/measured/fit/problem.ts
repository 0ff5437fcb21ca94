/** Residuals of lives against measured points, as the fitter asks for them. Lives are computed once. */
import { LEAST } from '../../life/errors.ts'
import { Foresight } from '../../life/lives.ts'
import { setKeys } from '../../life/preset.ts'
import type { Preset } from '../../life/types.ts'
import { Whitening } from '../../numerics/whitening.ts'
import { errorParts } from '../independent.ts'
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
  /** Drops of the curves, with the conditions as the fit puts them. */
  presets: readonly Preset[]
  readonly points: Points[]
  readonly total: number
  /** All used points have an uncertainty. */
  readonly weighted: boolean
  /** The weights are known errors, so that those of the unknowns follow from them; else from the scatter. */
  absolute: boolean
  /** Between differences in m and residuals. */
  whitening: Whitening
  /** What is taken off the lives for conditions that `presets` hold elsewhere than they are stated, m; null = nothing. */
  private taken: Float64Array | null = null
  private readonly known = new Map<string, Course>()
  private readonly foresight: Foresight
  /** How far lives may lie off by themselves, as shares of radius and time (1 σ). */
  lifeErrors = { radius: LEAST.quick.radius / 2, time: LEAST.quick.time / 2 }

  constructor(
    readonly curves: readonly MeasuredCurve[],
    presets: readonly Preset[],
    readonly parameters: readonly Parameter[],
    run: LifeRunner,
    private readonly cancelled: () => boolean = () => false,
  ) {
    this.presets = presets
    this.foresight = new Foresight(run, cancelled)
    this.points = curves.map(usedPoints)
    this.total = this.points.reduce((sum, { time }) => sum + time.length, 0)
    this.weighted = this.points.every(({ uncertainty }) => uncertainty?.every((sigma) => sigma > 0) ?? false)
    this.absolute = this.weighted
    const own = curves.map((curve) => errorParts(curve).own)
    this.whitening = new Whitening(this.weighted ? joined(own) : new Float64Array(this.total).fill(1))
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
  async course(preset: Preset, needed: number, curve: number): Promise<Course | null> {
    const first = await this.life(preset)
    const longer = first && this.followed(first, preset, needed, curve)
    return longer ? this.life(longer) : first
  }

  /** The same drop followed further, if its life does not tell of the moment that is needed. */
  private followed(first: Course, preset: Preset, needed: number, curve: number): Preset | null {
    if (first.failed !== '' || endOf(first) >= needed || !isUnderWay(first)) return null
    const horizon_s = Math.min(LONGEST, Math.max(0.5, this.longest(curve) * BEYOND))
    return { ...preset, model: { ...preset.model, horizon_s } }
  }

  /** The residuals at these points will be asked for next: see Foresight. */
  foresee(points: readonly ArrayLike<number>[], accuracy: Preset['model']['accuracy']): void {
    this.foresight.drop()
    for (const p of points) this.foreseeAt(p, accuracy)
  }

  private foreseeAt(p: ArrayLike<number>, accuracy: Preset['model']['accuracy']): void {
    const values = this.valuesAt(p)
    this.presets.forEach((base, i) => {
      this.foreseeCourse(base, values, accuracy, i, this.delay(values, i))
    })
  }

  /** The course of a curve's drop will be asked for, with its contact so much later than stated, s. */
  foreseeCourse(
    base: Preset,
    values: readonly number[],
    accuracy: Preset['model']['accuracy'],
    curve: number,
    delay: number,
  ): void {
    const preset = this.foresight.reach > 0 && this.presetWith(base, values, accuracy)
    if (!preset) return
    const needed = (this.points[curve]!.time.at(-1) ?? 0) - delay
    const begin = (first: Course) => {
      const longer = this.followed(first, preset, needed, curve)
      if (longer && !this.known.has(JSON.stringify(longer))) void this.foresight.begin(longer)
    }
    const known = this.known.get(JSON.stringify(preset))
    if (known) begin(known)
    else
      void this.foresight.begin(preset)?.then((result) => {
        if (result.ok && result.life.status === 'done') begin(courseOf(result))
      })
  }

  /** Points in their order; those within reach are foreseen. */
  *over(points: Iterable<Float64Array>, accuracy: Preset['model']['accuracy']): Generator<Float64Array> {
    yield* this.foresight.over(points, (p) => this.foreseeAt(p, accuracy))
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
    const result = await this.foresight.life(preset)
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

  /** Courses' radii minus the measured ones, m, for all points, curve after curve; null where a life is missing. */
  private async differences(
    values: readonly number[],
    accuracy: Preset['model']['accuracy'],
  ): Promise<Float64Array | null> {
    const courses = await this.courses(values, accuracy)
    if (!courses) return null
    const all = new Float64Array(this.total)
    let at = 0
    this.points.forEach(({ time, radius }, i) => {
      const delay = this.delay(values, i)
      for (let k = 0; k < time.length; k++) all[at++] = radiusAt(courses[i]!, time[k]! - delay) - radius[k]!
    })
    return all
  }

  /**
   * (life − measured)/σ for all points, curve after curve, with what they share taken out (`whitening`); σ = 1 m where
   * neither uncertainties nor anything else are known. Behind them (value − known)/σ of the unknowns with a prior, 0
   * while the points have no errors to weigh them against. Null where a life is missing.
   */
  async residuals(p: ArrayLike<number>, accuracy: Preset['model']['accuracy']): Promise<Float64Array | null> {
    const values = this.valuesAt(p)
    const differences = await this.differences(values, accuracy)
    if (!differences) return null
    const rows = this.parameters.flatMap(({ prior }, j) =>
      prior ? [this.absolute ? (values[j]! - prior.value) / prior.sigma : 0] : [],
    )
    const { taken } = this
    const points = this.whitening.apply(taken ? differences.map((d, i) => d - taken[i]!) : differences)
    if (rows.length === 0) return points
    const all = new Float64Array(points.length + rows.length)
    all.set(points)
    all.set(rows, points.length)
    return all
  }

  /** Sets what the points err by: their own σ, m, the shifts of all causes over all points, m, and what is taken off. */
  setErrors(own: Float64Array, shifts: readonly Float64Array[], taken: Float64Array | null): void {
    this.whitening = new Whitening(own, shifts)
    this.taken = taken
  }

  /** life − measured, m, out of `residuals`. */
  differencesOf(r: Float64Array): Float64Array {
    const { taken } = this
    const differences = this.whitening.undo(r.subarray(0, this.total))
    return taken ? differences.map((d, i) => d + taken[i]!) : differences
  }

  /** Σ r². */
  sum(r: Float64Array): number {
    return r.reduce((sum, value) => sum + value * value, 0)
  }

  /** Root mean square of life − measured, relative to the largest measured radius. */
  misfit(r: Float64Array): number {
    const squares = this.sum(this.differencesOf(r))
    const widest = Math.max(0, ...this.points.map(({ radius }) => radius.reduce((a, b) => Math.max(a, b), 0)))
    return widest > 0 ? Math.sqrt(squares / this.total) / widest : Number.NaN
  }
}

/** Rows of numbers one after the other. */
export function joined(rows: readonly Float64Array[]): Float64Array {
  const all = new Float64Array(rows.reduce((sum, { length }) => sum + length, 0))
  let at = 0
  for (const row of rows) {
    all.set(row, at)
    at += row.length
  }
  return all
}

/** Still a lens, or still spread: the end came by the clock, not by the drop. */
const isUnderWay = ({ outcome }: Course): boolean => outcome === 'lens' || outcome === 'spreads'

/** The preset at an accuracy; its own cell numbers hold for its own accuracy only. */
function atAccuracy(preset: Preset, accuracy: Preset['model']['accuracy']): Preset {
  if (accuracy === preset.model.accuracy) return preset
  const { innerCells: _, outerCells: __, ...model } = preset.model
  return { ...preset, model: { ...model, accuracy } }
}
