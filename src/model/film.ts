import type { FilmState } from '../engine/filmState.ts'
import { type Kernels, kernelsFor } from '../engine/kernels.ts'
import { emptyLayer } from '../engine/oilLayer.ts'
import { restMotion } from '../engine/oilMotion.ts'
import {
  AMBIENT_WATER,
  CHILD_ALCOHOL,
  CHILD_VOLUME,
  COOL_ALCOHOL,
  COOL_TENSION,
  COOL_WATER,
  COOLED,
  EDGE_GAP,
  EDGE_PULL,
  LOST_ALCOHOL,
  LOST_VOLUME,
  RADIUS,
  SHED_ABOVE,
  SHED_FROM,
  SHED_RATE,
  SPEED,
  THICKNESS_FLOOR,
  TOLERANCE,
} from '../engine/places.ts'
import { GRID } from '../numerics/curveSet.ts'
import type { StiffSystem, Workspace } from '../numerics/rosenbrock.ts'
import { fieldCount } from './bathFields.ts'
import { FilmBounds } from './filmBounds.ts'
import { FilmCooling } from './filmCooling.ts'
import { FilmDispersion } from './filmDispersion.ts'
import { clearState, layMesh, layProblem } from './filmLaying.ts'
import type { FilmMesh } from './filmMesh.ts'
import type { DropProblem } from './problem.ts'
import { VapourSpeeds } from './vapourSpeeds.ts'

export { type EngineKind, useEngine, usesCompiled } from '../engine/kernels.ts'

/** Sums that are integrated with the state, 2π left out: m³. */
export const BOOKS = {
  lostVolume: LOST_VOLUME,
  lostAlcohol: LOST_ALCOHOL,
  childVolume: CHILD_VOLUME,
  childAlcohol: CHILD_ALCOHOL,
} as const

/** Stages of the method with most of them. */
const STAGES = 6

/**
 * A drop on its bath as the integrator sees it: the engine's equations (src/engine), and what is laid a step at a time: the
 * vapour, the dispersion, what the oil takes up, the cooling, the bounds. For the layout of a state see FilmState.
 */
export class FilmSystem implements StiffSystem {
  readonly n: number
  readonly modes: number
  readonly block: number
  readonly outerAt: number
  readonly booksAt: number
  readonly oilAt: number
  readonly radiusAt: number
  readonly state: FilmState
  // Rows of the state. Cells: thickness, m; volume fraction; P/R²; faces; bath fields; see FilmState.
  readonly h: Float64Array
  readonly phi: Float64Array
  readonly psi: Float64Array
  readonly closure: Float64Array
  readonly cover: Float64Array
  readonly coverSlope: Float64Array
  readonly wetness: Float64Array
  readonly sigma: Float64Array
  readonly pressure: Float64Array
  readonly curvature: Float64Array
  readonly speed: Float64Array
  readonly force: Float64Array
  readonly volumeFlux: Float64Array
  readonly decay: Float64Array
  readonly gain: Float64Array
  readonly spread: Float64Array
  problem!: DropProblem
  readonly vapour: VapourSpeeds
  readonly cooling: FilmCooling
  readonly dispersion: FilmDispersion
  private readonly kernels: Kernels
  /** The integrator's vectors. */
  private readonly working: Float64Array[] = []
  /** Length of the step laid last, s. */
  private step = 0
  private readonly bounds: FilmBounds
  /** The state that was last given to `evaluate`, unless it has been changed since. */
  private evaluated: Float64Array | null = null
  /** Whether the state has changed since the dispersion was laid. */
  private newState = true

  constructor(
    readonly mesh: FilmMesh,
    modes: number,
    private readonly drinks = false,
  ) {
    const { cells, outer } = mesh
    this.kernels = kernelsFor({ cells, outer, modes, drinks, stages: STAGES, intervals: GRID })
    const { state } = this.kernels
    this.state = state
    this.modes = modes
    ;({
      n: this.n,
      block: this.block,
      outerAt: this.outerAt,
      booksAt: this.booksAt,
      oilAt: this.oilAt,
      radiusAt: this.radiusAt,
      h: this.h,
      phi: this.phi,
      psi: this.psi,
      closure: this.closure,
      cover: this.cover,
      coverSlope: this.coverSlope,
      wetness: this.wetness,
      sigma: this.sigma,
      pressure: this.pressure,
      curvature: this.curvature,
      speed: this.speed,
      force: this.force,
      volumeFlux: this.volumeFlux,
      decay: this.decay,
      gain: this.gain,
      spread: this.spread,
    } = state)
    layMesh(state, mesh)
    this.vapour = new VapourSpeeds(mesh, state)
    this.cooling = new FilmCooling(this.kernels)
    this.dispersion = new FilmDispersion(state)
    this.bounds = new FilmBounds(
      { cells, block: this.block, area: mesh.area },
      {
        lostAlcohol: this.booksAt + LOST_ALCOHOL,
        child: [this.booksAt + CHILD_VOLUME, this.booksAt + CHILD_ALCOHOL],
      },
    )
  }

  /** Edge, m, and its speed, m/s, of the state last evaluated. */
  get R(): number {
    return this.state.now[RADIUS]
  }
  get U(): number {
    return this.state.now[SPEED]
  }
  /** Force per length that the edge's dual cell passes to the bath, N/m; width of that cell, m. */
  get edgePull(): number {
    return this.state.now[EDGE_PULL]
  }
  get edgeGap(): number {
    return this.state.now[EDGE_GAP]
  }
  set rtol(value: number) {
    this.state.set[TOLERANCE] = value
  }
  /** Absolute tolerance of the thickness, m. */
  set thicknessFloor(value: number) {
    this.state.set[THICKNESS_FLOOR] = value
  }
  /** First cell, thickness (m) and rate (1/s) of the shedding: ring liquid above that thickness leaves from there on. */
  get shedFrom(): number {
    return this.state.set[SHED_FROM]
  }
  set shedFrom(value: number) {
    this.state.set[SHED_FROM] = value
  }
  get shedAbove(): number {
    return this.state.set[SHED_ABOVE]
  }
  set shedAbove(value: number) {
    this.state.set[SHED_ABOVE] = value
  }
  get shedRate(): number {
    return this.state.set[SHED_RATE]
  }
  set shedRate(value: number) {
    this.state.set[SHED_RATE] = value
  }

  /** One integrator at a time works on a system: the next one takes over its vectors. */
  workspace(stages: number): Workspace {
    if (stages > STAGES) throw new RangeError(`a method of at most ${STAGES} stages`)
    const { kernels, working } = this
    let k = 0
    return {
      vector() {
        working[k] ??= kernels.vector()
        return working[k++]!
      },
      stage: kernels.stage,
      combine: kernels.combine,
    }
  }

  /** Another vector of the unknowns, in which the engine can work. */
  vector(): Float64Array {
    return this.kernels.vector()
  }

  /** Sets the drop; the state is then laid by `fillStart`. Nothing is left of the drop before. */
  setProblem(problem: DropProblem): void {
    if (fieldCount(problem.fields) !== this.modes)
      throw new RangeError('number of bath fields differs from the system’s')
    if ((problem.uptake !== null) !== this.drinks)
      throw new RangeError('a system takes problems with uptake by the oil or without, not both')
    this.clear()
    this.problem = problem
    layProblem(this.state, problem)
    this.dispersion.reset(problem.dispersion)
    this.vapour.setLaw(problem.evaporation)
    restMotion(this.state.motion)
    emptyLayer(this.state.uptake, problem.uptake?.diffusivity ?? 0, Number.POSITIVE_INFINITY)
    this.cooling.reset(problem.cooling)
    this.layCooling()
  }

  /** Empties everything that a life writes: a life is the same to the last bit, whatever was computed before it. */
  private clear(): void {
    this.evaluated = null
    this.newState = true
    clearState(this.state)
    this.shedFrom = Number.POSITIVE_INFINITY
    this.bounds.reset()
  }

  /** What the film's temperature changes, as it is now. */
  private layCooling(): void {
    const { cooling, problem } = this
    const { set } = this.state
    set[COOLED] = problem.cooling ? 1 : 0
    set[AMBIENT_WATER] = problem.cooling?.ambientWater ?? 0
    set[COOL_TENSION] = cooling.tension
    set[COOL_ALCOHOL] = cooling.alcohol
    set[COOL_WATER] = cooling.water
  }

  /** Lays a resting drop with thickness profile h(s) (cell averages, m) and composition φ0 into y. */
  fillStart(
    y: Float64Array,
    radius: number,
    thickness: (cell: number) => number,
    phi: (cell: number) => number,
  ): void {
    this.evaluated = null
    this.newState = true
    this.bounds.reset()
    y.fill(0)
    for (let i = 0; i < this.mesh.cells; i++) {
      const h = thickness(i)
      y[i * this.block] = h * radius * radius
      y[i * this.block + 1] = h * radius * radius * phi(i)
    }
    y[this.radiusAt] = radius
  }

  /** Volume (m³) from the X of a state; `offset` 1 gives alcohol. */
  content(y: Float64Array, offset: 0 | 1): number {
    let sum = 0
    for (let i = 0; i < this.mesh.cells; i++) sum += this.mesh.area[i] * y[i * this.block + offset]
    return 2 * Math.PI * sum
  }

  /** Alcohol that the oil has taken up, m³. */
  inOil(y: Float64Array): number {
    if (!this.drinks) return 0
    let sum = 0
    for (let i = 0; i < this.mesh.cells; i++) sum += this.mesh.area[i] * y[this.oilAt + i]
    return 2 * Math.PI * sum
  }

  beginStep(t: number, h: number, y: Float64Array): boolean {
    const carries = this.drinks || this.cooling.on
    this.step = h
    // A second attempt of the same step keeps the dispersion that the first one had.
    if (this.newState) {
      this.newState = false
      if (this.evaluated !== y) this.evaluate(y)
      this.dispersion.update()
      this.vapour.observe(t)
      if (carries) this.kernels.seeOil()
    }
    if (carries) this.kernels.layOil(h, this.cooling.on)
    return this.vapour.beginStep(t, h) || this.drinks
  }

  /** Cell quantities, face speeds and forces, and the fluxes of a state. */
  evaluate(y: Float64Array): void {
    this.kernels.evaluate(y)
    this.evaluated = y
  }

  /** Limited upwind values of thickness and fraction at face f for the relative speed v, m/s. */
  upwind(f: number, v: number): void {
    this.kernels.upwind(f, v)
  }

  rates(y: Float64Array, out: Float64Array): void {
    if (this.evaluated !== y) this.evaluate(y)
    this.evaluated = null
    this.kernels.rates(y, out)
  }

  /** Lays the vapour speeds for the edge as it is. */
  layVapour(): void {
    this.kernels.layVapour()
  }

  errorNorm(y: Float64Array, yNew: Float64Array, error: Float64Array): number {
    // The vapour of a layer was laid ahead: what of that was wrong shows at the end of the step.
    if (this.problem.evaporation.kind === 'layer') {
      this.kernels.evaluateCells(yNew)
      this.evaluated = null
      this.vapour.addLag(error)
    }
    return this.kernels.errorNorm(y, yNew, error)
  }

  admissible(y: Float64Array): boolean {
    const R = y[this.radiusAt]
    return R > 0 && R < this.problem.dishRadius && this.bounds.allows(y, R)
  }

  repair(y: Float64Array): void {
    this.evaluated = null
    this.newState = true
    this.bounds.mend(y)
    if (this.drinks) this.kernels.commitUptake(y)
    if (!this.cooling.on) return
    this.cooling.commit(this.step)
    this.layCooling()
  }

  linearise(y: Float64Array, f: Float64Array): void {
    this.rates(y, f)
    this.kernels.linearise(y)
  }

  factor(hg: number): boolean {
    return this.kernels.factor(hg)
  }

  solve(b: Float64Array): void {
    this.kernels.solve(b)
  }
}
