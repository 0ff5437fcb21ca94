/** Profile likelihood of one unknown: how far it can go, all others following, until χ² has risen by 1. */
import type { Preset } from '../../life/types.ts'
import { type Parameter, setUp } from './parameters.ts'
import { FitProblem } from './problem.ts'
import { heldPresets, layErrors, lifeErrorsAt, shiftsAt } from './shifts.ts'
import { minimise, STAGES, type Staged } from './stage.ts'
import type { FitWish, LifeFit, LifeRunner, Problem } from './types.ts'

export interface ProfileWish {
  wish: FitWish
  /** The fit of that wish. */
  fit: Pick<LifeFit, 'unknowns' | 'causes' | 'accuracy' | 'scatter' | 'weights'>
  /** Index of the unknown among those of the fit. */
  unknown: number
}

export interface ProfilePoint {
  /** Value of the unknown, in its unit, and χ² above its minimum. */
  value: number
  rise: number
}

/** Where χ² has risen by 1 on a side. */
export type Side =
  | { kind: 'found'; value: number }
  /** It has not, up to the end of the range. */
  | { kind: 'open'; value: number }
  /** χ² jumps by more than 1 this near: the lives are too rough for an end to be found. */
  | { kind: 'rough'; value: number }
  /** Stopped, or the lives fail on the way. */
  | { kind: 'unknown' }

export interface Profile {
  path: string
  curve?: string
  label: string
  unit: string
  /** The value with the least χ², among all that were tried. */
  best: number
  lower: Side
  upper: Side
  /** All values tried, rising. */
  points: ProfilePoint[]
  lives: number
  stopped: boolean
}

export interface ProfileHooks {
  progress?(points: ProfilePoint[], lives: number): void
  cancelled?(): boolean
}

export type ProfileOutcome = { ok: true; profile: Profile } | { ok: false; problems: Problem[] }

/** Values tried on a side at the most. */
const MOST_TRIED = 9
/** Share of the standard error within which a rise of 1 is none of the points but of the lives' own roughness. */
const ROUGH = 0.1
/** How near Δχ² = 1 a value counts as there. */
const NEAR = 0.04

/**
 * The interval of Δχ² = 1: of normal errors ± 1 σ, else as lopsided as they are. Wilks, Ann. Math. Stat. 9, 60 (1938); James,
 * Statistical Methods in Experimental Physics, 2nd ed. (2006), section 9.3.2. Shared errors and conditions are in it.
 */
export async function profileOf(
  { wish, fit, unknown }: ProfileWish,
  run: LifeRunner,
  hooks: ProfileHooks = {},
): Promise<ProfileOutcome> {
  const setup = setUp(wish)
  if (!setup.ok) return { ok: false, problems: setup.problems }
  const problem = new FitProblem(
    wish.curves,
    setup.presets,
    setup.parameters,
    run,
    () => hooks.cancelled?.() ?? false,
  )
  problem.lifeErrors = wish.lifeErrors ?? problem.lifeErrors
  const start = Float64Array.from(setup.parameters, ({ toParameter }, j) =>
    toParameter(fit.unknowns[j]!.value),
  )
  // Conditions are held about where the fit put them.
  const held = new Map(
    setup.causes.flatMap((cause) => {
      const pull = fit.causes.find(({ label }) => label === cause.label)?.pull ?? 0
      return cause.keyValue && Math.abs(pull) > 1 ? [[cause, pull] as const] : []
    }),
  )
  const presets = heldPresets(setup.presets, setup.causes, held)
  if (presets.every((one) => one !== null)) problem.presets = presets
  else held.clear()
  const laid = await shiftsAt(problem, setup.presets, setup.causes, held, start, 'quick')
  if (!laid)
    return { ok: false, problems: [{ where: 'profile', message: 'Stopped before there was a result.' }] }
  layErrors(problem, laid.known, fit.scatter, await lifeErrorsAt(problem, start))
  const walk = new Walk(problem, unknown, start, fit.accuracy, hooks)
  if (!(await walk.at(start[unknown]!))) {
    const message = problem.stopped
      ? 'Stopped before there was a result.'
      : `No life there: ${problem.failure}`
    return { ok: false, problems: [{ where: 'profile', message }] }
  }
  const { error } = fit.unknowns[unknown]!
  const parameter = setup.parameters[unknown]!
  const width =
    error > 0 && Number.isFinite(error)
      ? error / Math.abs(parameter.slope(fit.unknowns[unknown]!.value))
      : 0.1
  let [lower, upper] = [await walk.side(-width), await walk.side(width)]
  // A better minimum met on the way moves both ends.
  if (walk.improved()) [lower, upper] = [await walk.side(-width), await walk.side(width)]
  return { ok: true, profile: walk.told(lower, upper) }
}

interface Tried {
  p: Float64Array
  sum: number
}

class Walk {
  private readonly tried = new Map<number, Tried>()
  /** χ² that the sides were counted from. */
  private from = Number.NaN

  constructor(
    private readonly problem: FitProblem,
    private readonly j: number,
    private readonly start: Float64Array,
    private readonly accuracy: Preset['model']['accuracy'],
    private readonly hooks: ProfileHooks,
  ) {}

  private get parameter(): Parameter {
    return this.problem.parameters[this.j]!
  }

  private best(): [number, Tried] {
    return [...this.tried].reduce((a, b) => (b[1].sum < a[1].sum ? b : a))
  }

  /** Whether a lower χ² has been met than that the sides were counted from, by more than their own tolerance. */
  improved(): boolean {
    return this.from - this.best()[1].sum > NEAR
  }

  /** The least χ² with the unknown held at `value` of the fitter; null where there is none. */
  async at(value: number): Promise<Tried | null> {
    const known = this.tried.get(value)
    if (known) return known
    if (this.problem.isStopped()) return null
    const start = this.nearest(value)
    const made = await this.minimum(value, start)
    if (!made) return null
    this.tried.set(value, made)
    this.hooks.progress?.(this.points(), this.problem.lives)
    return made
  }

  private async minimum(value: number, start: Float64Array): Promise<Tried | null> {
    const { problem, j, accuracy } = this
    const whole = (p: ArrayLike<number>) => {
      const all = Float64Array.from(start)
      let k = 0
      for (let i = 0; i < all.length; i++) all[i] = i === j ? value : p[k++]!
      return all
    }
    const others = start.filter((_, i) => i !== j)
    if (others.length === 0) {
      const r = await problem.residuals(whole([]), accuracy)
      return r && { p: whole([]), sum: problem.sum(r) }
    }
    const held: Staged = {
      parameters: problem.parameters.filter((_, i) => i !== j),
      total: problem.total,
      absolute: true,
      get stopped() {
        return problem.stopped
      },
      isStopped: () => problem.isStopped(),
      foresee: (points, of) => problem.foresee(points.map(whole), of),
      residuals: (p, of) => problem.residuals(whole(p), of),
    }
    const result = await minimise(held, others, { ...STAGES.finish, within: 0.1, accuracy })
    if (problem.stopped || result.residuals.length === 0) return null
    return { p: whole(result.parameters), sum: result.sumOfSquares }
  }

  /** The others start where they ended at the nearest value. */
  private nearest(value: number): Float64Array {
    let [start, off] = [this.start, Number.POSITIVE_INFINITY]
    for (const [at, { p }] of this.tried) {
      if (Math.abs(at - value) < off) [start, off] = [p, Math.abs(at - value)]
    }
    return start
  }

  /** Walks from the best value by steps that begin at `width` (signed) until χ² has risen by 1. */
  async side(width: number): Promise<Side> {
    const [middle, { sum }] = this.best()
    this.from = sum
    const limit = this.parameter.toParameter(width < 0 ? this.parameter.lower : this.parameter.upper)
    const beyond = (value: number) => (width < 0 ? value <= limit : value >= limit)
    let [low, high] = [0, Number.NaN]
    let step = Math.abs(width)
    for (let n = 0; n < MOST_TRIED; n++) {
      const wanted = middle + Math.sign(width) * step
      const value = beyond(wanted) ? limit : wanted
      const off = Math.abs(value - middle)
      const there = await this.at(value)
      if (!there) return { kind: 'unknown' }
      const rise = there.sum - sum
      if (Math.abs(rise - 1) < NEAR) return { kind: 'found', value: this.parameter.toValue(value) }
      if (rise < 1 && beyond(value)) return { kind: 'open', value: this.parameter.toValue(limit) }
      if (rise < 1) low = off
      else high = off
      if (high < ROUGH * Math.abs(width)) return { kind: 'rough', value: this.parameter.toValue(value) }
      // √Δχ² grows about in proportion to the distance.
      const guess = off / Math.sqrt(Math.max(rise, 0.05))
      step = Number.isNaN(high) ? Math.min(guess * 1.02, 3 * off) : between(guess, low, high)
    }
    const found = Number.isNaN(high) ? low : (low + high) / 2
    return Number.isNaN(high)
      ? { kind: 'unknown' }
      : { kind: 'found', value: this.parameter.toValue(middle + Math.sign(width) * found) }
  }

  points(): ProfilePoint[] {
    const least = this.best()[1].sum
    return [...this.tried]
      .sort(([a], [b]) => a - b)
      .map(([p, { sum }]) => ({ value: this.parameter.toValue(p), rise: sum - least }))
  }

  told(lower: Side, upper: Side): Profile {
    const { path, curve, label, unit } = this.parameter
    return {
      path,
      ...(curve >= 0 ? { curve: this.problem.curves[curve]!.id } : {}),
      label,
      unit,
      best: this.parameter.toValue(this.best()[0]),
      lower,
      upper,
      points: this.points(),
      lives: this.problem.lives,
      stopped: this.problem.stopped,
    }
  }
}

/** A guess kept well within a bracket. */
function between(guess: number, low: number, high: number): number {
  const margin = 0.1 * (high - low)
  return Math.min(Math.max(guess, low + margin), high - margin)
}
