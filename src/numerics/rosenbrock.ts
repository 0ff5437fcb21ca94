/**
 * Rosenbrock methods for stiff autonomous systems y' = f(y), with the stage equations
 * (1/(hγ) − J) k_i = f(y + Σ a_ij k_j) + Σ (c_ij/h) k_j,  y⁺ = y + Σ m_i k_i,  error = Σ e_i k_i.
 */
import { pow } from './elementary.ts'

export interface RosenbrockMethod {
  name: string
  stages: number
  order: number
  /** Order of the error estimate, used by the step controller. */
  estimateOrder: number
  gamma: number
  /** Lower triangles by rows. */
  a: readonly (readonly number[])[]
  c: readonly (readonly number[])[]
  m: readonly number[]
  e: readonly number[]
  /** Whether stage i needs a new evaluation of f. */
  fresh: readonly boolean[]
}

/** Third order, L-stable, two evaluations (Sandu et al., Atmos. Environ. 31, 3459 (1997), "ROS3"). */
export const ROS3: RosenbrockMethod = {
  name: 'ROS3',
  stages: 3,
  order: 3,
  estimateOrder: 2,
  gamma: 0.43586652150845899941601945119356,
  a: [[], [1], [1, 0]],
  c: [
    [],
    [-1.0156171083877702091975600115545],
    [4.0759956452537699824805835358067, 9.2076794298330791242156818474003],
  ],
  m: [1, 6.169794704382824559255361568973, -0.42772256543218573326238373806514],
  e: [0.5, -2.9079558716805469821718236208017, 0.2235406989781156962736090927619],
  fresh: [true, true, false],
}

const RODAS4_LAST = [1.221224509226641, 6.019134481288629, 12.53708332932087, -0.687886036105895]

/** Fourth order, stiffly accurate (Hairer & Wanner, Solving ODEs II, 2nd ed. 1996, "RODAS"). */
export const RODAS4: RosenbrockMethod = {
  name: 'RODAS4',
  stages: 6,
  order: 4,
  estimateOrder: 3,
  gamma: 0.25,
  a: [
    [],
    [1.544],
    [0.9466785280815826, 0.2557011698983284],
    [3.314825187068521, 2.896124015972201, 0.9986419139977817],
    RODAS4_LAST,
    [...RODAS4_LAST, 1],
  ],
  c: [
    [],
    [-5.6688],
    [-2.430093356833875, -0.2063599157091915],
    [-0.1073529058151375, -9.594562251023355, -20.47028614809616],
    [7.496443313967647, -10.24680431464352, -33.99990352819905, 11.7089089320616],
    [8.083246795921522, -7.981132988064893, -31.52159432874371, 16.31930543123136, -6.058818238834054],
  ],
  m: [...RODAS4_LAST, 1, 1],
  e: [0, 0, 0, 0, 0, 1],
  fresh: [true, true, true, true, true, true],
}

/** Vectors of a system's unknowns, and their combinations. */
export interface Workspace {
  /** Another vector of n numbers. */
  vector(): Float64Array
  stage(k: number): Float64Array
  /** to ← from + scale·Σ weight[j]·stage[j], j < terms, weights of zero left out. */
  combine(to: Float64Array, from: Float64Array, weight: readonly number[], scale: number, terms: number): void
}

/** What the integrator needs to know of a system of n equations. */
export interface StiffSystem {
  readonly n: number
  /** Where its vectors must lie, for a method of so many stages; anywhere if it is left out. */
  workspace?(stages: number): Workspace
  /** f(y) into out. */
  rates(y: Float64Array, out: Float64Array): void
  /** Evaluates the Jacobian at y and keeps it; f(y) into f. */
  linearise(y: Float64Array, f: Float64Array): void
  /** Factors 1/(hγ) − J, given hg = h·γ; false if singular. */
  factor(hg: number): boolean
  /** Solves in place with the last factorisation. */
  solve(b: Float64Array): void
  /** Called when a step of size h from (t, y) is about to be tried; true if f has changed by it. */
  beginStep(t: number, h: number, y: Float64Array): boolean
  /** Weighted norm of an error estimate: at most 1 is accepted. NaN or infinity is a rejection. */
  errorNorm(y: Float64Array, yNew: Float64Array, error: Float64Array): number
  /** Whether the new state is physically possible. */
  admissible(y: Float64Array): boolean
  /** Mends small violations of physical bounds in an accepted state, conserving what is conserved. */
  repair(y: Float64Array): void
}

export interface StepCounts {
  accepted: number
  rejected: number
  factorisations: number
}

/**
 * An error beyond this many times the permitted one comes from the non-linearity: it does not fall with the order of the
 * method but returns as soon as steps are as long again. Steps then approach that length slowly.
 */
const WILD = 30

/** So many steps at the start, tiny ones that seek their length, set no such limit. */
const SETTLED = 15

/** A run with so many factorisations is judged by its filtered error: it may be held up by a stiff component. */
const LABOURED = 800

/** One solver object; allocates once, used for any number of runs of systems of the same size. */
export class RosenbrockStepper {
  readonly y: Float64Array
  t = 0
  /** Proposal for the next step. */
  h = 0
  readonly counts: StepCounts = { accepted: 0, rejected: 0, factorisations: 0 }
  private readonly space: Workspace
  private readonly stage: Float64Array[]
  private readonly trial: Float64Array
  private readonly f0: Float64Array
  private readonly f: Float64Array
  private readonly error: Float64Array
  private linearised = false

  constructor(
    readonly system: StiffSystem,
    readonly method: RosenbrockMethod,
  ) {
    const space = system.workspace?.(method.stages) ?? workspaceOf(system.n, method.stages)
    this.space = space
    this.y = space.vector()
    this.trial = space.vector()
    this.f0 = space.vector()
    this.f = space.vector()
    this.error = space.vector()
    this.stage = Array.from({ length: method.stages }, (_, k) => space.stage(k))
  }

  /** Starts a run; y must have been filled. Nothing is left of the run before, NaN neither. */
  start(t: number, h: number): void {
    this.t = t
    this.h = h
    this.linearised = false
    this.lastStep = this.rejectedBefore = 0
    this.lastError = 1
    for (const part of [this.trial, this.f0, this.f, this.error, ...this.stage]) part.fill(0)
    this.ceiling = Number.POSITIVE_INFINITY
    this.counts.accepted = this.counts.rejected = this.counts.factorisations = 0
  }

  /**
   * Advances by one accepted step of at most `longest`. Returns '' or why it could not:
   * 'step-size' if the step fell below `shortest` or after 60 rejections in a row.
   */
  step(longest: number, shortest: number): '' | 'step-size' {
    const { system, counts, y, trial, method } = this
    for (let tries = 0; tries < 60; tries++) {
      const h = Math.min(this.h, longest, this.ceiling)
      if (!(h > shortest)) return 'step-size'
      if (system.beginStep(this.t, h, y) || !this.linearised) {
        system.linearise(y, this.f0)
        this.linearised = true
      }
      counts.factorisations++
      let size = system.factor(h * method.gamma) ? this.attempt(h) : Number.NaN
      if (counts.factorisations > LABOURED && size > 1 && size < WILD) size = Math.min(size, this.filtered(h))
      if (size <= 1 && system.admissible(trial)) {
        this.accept(h, size)
        return ''
      }
      counts.rejected++
      if (tries === 0 && counts.accepted >= SETTLED && !(size < WILD)) this.ceiling = 0.4 * h
      const shrink = Number.isFinite(size) && size > 1 ? 0.85 / Math.sqrt(size) : 0.3
      this.h = h * Math.min(0.7, Math.max(0.15, shrink))
    }
    return 'step-size'
  }

  private accept(h: number, size: number): void {
    const power = 1 / (this.method.estimateOrder + 1)
    const error = Math.max(size, 1e-4)
    let factor = pow(error, -power)
    // Predictive controller (Gustafsson 1994): takes the trend of the error into account; fewer refusals at fronts.
    if (this.lastStep > 0)
      factor = Math.min(factor, (h / this.lastStep) * pow(this.lastError / (error * error), power))
    const refused = this.counts.rejected > this.rejectedBefore
    this.lastError = Math.max(error, 1e-2)
    this.lastStep = h
    this.rejectedBefore = this.counts.rejected
    this.t += h
    this.y.set(this.trial)
    this.system.repair(this.y)
    this.h = h * Math.min(refused ? 1 : 3, Math.max(0.3, 0.88 * factor))
    this.counts.accepted++
    this.ceiling *= 1.07
    this.linearised = false
  }
  /** Longest step while a wild error is remembered. */
  private ceiling = Number.POSITIVE_INFINITY
  private lastError = 1
  private lastStep = 0
  private rejectedBefore = 0

  /**
   * Error of the last attempt without its stiff part, (1 − hγJ)⁻¹ error: where a fast component is away from its balance the
   * method lands on the balance, but the embedded estimate keeps a share of the distance however short the step.
   * After Hairer & Wanner, Solving ODEs II, section IV.8 (who apply it to a refused step, too).
   */
  private filtered(h: number): number {
    const { system, method, error, y, trial } = this
    const scale = 1 / (h * method.gamma)
    for (let p = 0; p < error.length; p++) error[p] *= scale
    system.solve(error)
    return system.errorNorm(y, trial, error)
  }

  /** One trial step into `trial`; returns the weighted error. */
  private attempt(h: number): number {
    const { system, method, space, stage, trial, f, f0, y, error } = this
    let current = f0
    for (let i = 0; i < method.stages; i++) {
      const k = stage[i]
      if (i > 0 && method.fresh[i]) {
        space.combine(trial, y, method.a[i], 1, i)
        system.rates(trial, f)
        current = f
      }
      space.combine(k, current, method.c[i], 1 / h, i)
      system.solve(k)
    }
    space.combine(trial, y, method.m, 1, method.stages)
    error.fill(0)
    space.combine(error, error, method.e, 1, method.stages)
    return system.errorNorm(y, trial, error)
  }
}

/** Vectors anywhere. */
function workspaceOf(n: number, stages: number): Workspace {
  const vector = () => new Float64Array(n)
  const parts = Array.from({ length: stages }, vector)
  return {
    vector,
    stage: (k) => parts[k],
    combine(to, from, weight, scale, terms) {
      if (to !== from) to.set(from)
      for (let j = 0; j < terms; j++) {
        const factor = weight[j] * scale
        if (factor === 0) continue
        const part = parts[j]
        for (let p = 0; p < n; p++) to[p] += factor * part[p]
      }
    },
  }
}
