import { BlockBand } from '../numerics/blockBand.ts'
import { limited } from '../numerics/limiter.ts'
import type { StiffSystem } from '../numerics/rosenbrock.ts'
import { fieldCount, fieldRates } from './bathFields.ts'
import { FilmBounds } from './filmBounds.ts'
import { FilmCooling } from './filmCooling.ts'
import { FilmDispersion } from './filmDispersion.ts'
import { FilmJacobian } from './filmJacobian.ts'
import type { FilmMesh } from './filmMesh.ts'
import { filmErrorNorm } from './filmNorm.ts'
import { FilmSolver } from './filmSolver.ts'
import { OuterBath } from './outerBath.ts'
import { CLOSURE, CLOSURE_COUNT, type Cooling, type DropProblem } from './problem.ts'
import { OilLayer } from './oilLayer.ts'
import { OilMotion } from './oilMotion.ts'
import { VapourSpeeds } from './vapourSpeeds.ts'

/** Thickness, m, below which the composition of a cell passes to that of a dry spot. */
export const DRY = 1e-9
/** A film of this thickness (m) counts as half wet. */
export const WET = 1e-8
export const NO_WETNESS = 1e-12
/** A composition (volume fraction) below this is none: what a dry spot is lent is then nothing. */
const LENT = 1e-12
/** Mobilities see at least this thickness, m. */
export const LEAST = 1e-10

/**
 * Share of the donor cell in the mobility under pressure, where liquid comes from the thicker side. The geometric mean
 * alone lets the ring's inner front fill one thin cell after another, a staircase on the edge speed; the donor's share
 * smooths it (about threefold) and lowers R_max by 0.2 % at 80 cells, vanishing with refinement.
 */
export const DONOR_SHARE = 0.05

/** Sums that are integrated with the state, 2π left out: m³. */
export const BOOKS = { lostVolume: 0, lostAlcohol: 1, childVolume: 2, childAlcohol: 3 } as const
export const BOOK_COUNT = 4

/**
 * The semi-discrete equations of a drop on its bath.
 *
 * State: per cell i the block [X, P, u_1 … u_M] with X = h R² and P = h φ R² (m³: cell volumes divided by 2π and by
 * the cell's ∫ s ds, so that a conserved quantity is a conserved sum) and u_m the bath fields at the cell's outer face
 * (m/s); then the outer bath fields mode by mode; then the four books; then, where the oil takes up alcohol, what it has
 * taken in each cell (m³, as P); then R (m).
 */
export class FilmSystem implements StiffSystem {
  readonly n: number
  readonly modes: number
  readonly block: number
  readonly outerAt: number
  readonly booksAt: number
  readonly oilAt: number
  readonly radiusAt: number
  problem!: DropProblem

  // Cells
  readonly h: Float64Array
  readonly phi: Float64Array
  readonly psi: Float64Array
  /** Closures in the cells, CLOSURE_COUNT values then CLOSURE_COUNT φ-derivatives per cell. */
  readonly closure: Float64Array
  readonly cover: Float64Array
  readonly coverSlope: Float64Array
  /** 1 where the cell is wet, 0 where its fraction is lent. */
  readonly wetness: Float64Array
  /** Tension passed to the bath, N/m. */
  readonly sigma: Float64Array
  readonly pressure: Float64Array
  /** ∇²h in the cells. */
  readonly curvature: Float64Array
  /** Coefficients of ∇²h·R² on cells i−1, i, i+1. */
  readonly lapL: Float64Array
  readonly lapC: Float64Array
  readonly lapR: Float64Array
  readonly vapour: VapourSpeeds
  /** Null in a system for baths that take up nothing. */
  readonly uptake: OilLayer | null
  readonly cooling: FilmCooling
  private readonly oilMotion: OilMotion

  /** What evaporates from the cells, by the last rates, m³/s as X. */
  private readonly alcoholLoss: Float64Array
  private readonly waterLoss: Float64Array

  // Faces 0 … cells
  readonly dispersion: FilmDispersion
  /** Sizes of the tension's and the pressure's film flux added, m²/s. */
  readonly shearFlux: Float64Array
  readonly speed: Float64Array
  readonly force: Float64Array
  readonly volumeFlux: Float64Array
  readonly alcoholFlux: Float64Array
  readonly filmFlux: Float64Array

  private readonly bounds: FilmBounds
  readonly outer: OuterBath
  readonly band: BlockBand
  private readonly jacobian: FilmJacobian
  private readonly solver: FilmSolver
  /** Per field: decay rate, 1/s; response to the force, m/s² per Pa. */
  readonly decay: Float64Array
  readonly gain: Float64Array
  /** Per field: how fast it spreads over the surface, m²/s. */
  readonly spread: Float64Array
  /** Number of fields in each group of fields that drive each other: 1 or 3. */
  private groups: readonly number[] = []
  /** Fields that drive another one, group by group and there row by row: which, by which, and the rate, 1/s. */
  linkTo = new Int32Array(0)
  linkFrom = new Int32Array(0)
  linkRate = new Float64Array(0)
  /** `spread`/R² of the state at hand, 1/s. */
  readonly diffusion: Float64Array
  /** Whether a dry spot is lent a composition (it is not where the drop has no alcohol and S no zero). */
  lends = true
  rtol = 1e-2
  /** Absolute tolerance of the thickness, m. */
  thicknessFloor = 2e-9
  /** Ring liquid above the thickness `shedAbove` (m) in cells from `shedFrom` on leaves at `shedRate` (1/s). */
  shedFrom = Number.POSITIVE_INFINITY
  shedAbove = 0
  shedRate = 0
  R = 0
  U = 0

  constructor(
    readonly mesh: FilmMesh,
    modes: number,
    drinks = false,
  ) {
    const N = mesh.cells
    this.modes = modes
    this.block = 2 + modes
    this.outerAt = N * this.block
    this.booksAt = this.outerAt + modes * (mesh.outer - 1)
    this.oilAt = this.booksAt + BOOK_COUNT
    this.radiusAt = this.oilAt + (drinks ? N : 0)
    this.n = this.radiusAt + 1
    const cells = () => new Float64Array(N)
    const faces = () => new Float64Array(N + 1)
    ;[this.h, this.phi, this.psi, this.cover, this.coverSlope] = [cells(), cells(), cells(), cells(), cells()]
    ;[this.sigma, this.pressure, this.curvature, this.wetness] = [cells(), cells(), cells(), cells()]
    ;[this.lapL, this.lapC, this.lapR] = [cells(), cells(), cells()]
    this.closure = new Float64Array(N * 2 * CLOSURE_COUNT)
    ;[this.shearFlux, this.speed, this.force] = [faces(), faces(), faces()]
    ;[this.volumeFlux, this.alcoholFlux, this.filmFlux] = [faces(), faces(), faces()]
    const fields = () => new Float64Array(modes)
    ;[this.decay, this.gain, this.spread, this.diffusion] = [fields(), fields(), fields(), fields()]
    this.vapour = new VapourSpeeds(mesh)
    this.oilMotion = new OilMotion(mesh)
    this.cooling = new FilmCooling(mesh, this.oilMotion)
    ;[this.alcoholLoss, this.waterLoss] = [cells(), cells()]
    this.uptake = drinks ? new OilLayer(mesh, this.oilMotion) : null
    this.dispersion = new FilmDispersion(this)
    const { lostAlcohol, childVolume, childAlcohol } = BOOKS
    this.bounds = new FilmBounds(
      { cells: N, block: this.block, area: mesh.area },
      {
        lostAlcohol: this.booksAt + lostAlcohol,
        child: [this.booksAt + childVolume, this.booksAt + childAlcohol],
      },
    )
    this.outer = new OuterBath(mesh, modes)
    this.band = new BlockBand(N, this.block, 2)
    this.jacobian = new FilmJacobian(this)
    this.solver = new FilmSolver(this, this.jacobian)
  }

  /** Sets the drop; the state is then laid by `fillStart`. Nothing is left of the drop before. */
  setProblem(problem: DropProblem): void {
    if (fieldCount(problem.fields) !== this.modes)
      throw new RangeError('number of bath fields differs from the system’s')
    if ((problem.uptake !== null) !== (this.uptake !== null))
      throw new RangeError('a system takes problems with uptake by the oil or without, not both')
    this.clear()
    this.problem = problem
    this.lends = problem.phiDry > LENT
    this.setFields(problem)
    const { s, area, gap, cells } = this.mesh
    for (let i = 0; i < cells; i++) {
      const left = i > 0 ? s[i] / gap[i] / area[i] : 0
      const last = i === cells - 1
      const right = last && problem.edge === 'wall' ? 0 : s[i + 1] / gap[i + 1] / area[i]
      this.lapL[i] = left
      this.lapR[i] = last ? 0 : right
      this.lapC[i] = -left - right
    }
    this.dispersion.reset(problem.dispersion)
    this.vapour.setLaw(problem.evaporation)
    this.oilMotion.reset()
    if (problem.uptake) this.uptake!.reset(problem.uptake.diffusivity)
    this.cooling.reset(problem.cooling)
  }

  /** Empties everything that a life writes: a life is the same to the last bit, whatever was computed before it. */
  private clear(): void {
    const { h, phi, psi, closure, cover, coverSlope, wetness, sigma, pressure, curvature } = this
    for (const part of [h, phi, psi, closure, cover, coverSlope, wetness, sigma, pressure, curvature])
      part.fill(0)
    const { shearFlux, speed, force, volumeFlux, alcoholFlux, filmFlux, decay, gain } = this
    for (const part of [this.alcoholLoss, this.waterLoss]) part.fill(0)
    for (const part of [shearFlux, speed, force, volumeFlux, alcoholFlux, filmFlux, decay, gain]) part.fill(0)
    for (const part of [this.spread, this.diffusion]) part.fill(0)
    this.evaluated = null
    this.newState = true
    this.R = this.U = this.edgePull = this.shedAbove = this.shedRate = 0
    this.shedFrom = Number.POSITIVE_INFINITY
    this.bounds.reset()
    this.outer.clear()
    this.band.clear()
    this.jacobian.clear()
    this.solver.clear()
  }

  private setFields({ fields, depth, oilViscosity, oilDensity }: DropProblem): void {
    const rates = fieldRates(fields, oilViscosity / oilDensity, oilViscosity, depth)
    this.spread.set(rates.spread)
    this.decay.set(rates.decay)
    this.gain.set(rates.gain)
    this.linkTo = Int32Array.from(rates.links, ({ to }) => to)
    this.linkFrom = Int32Array.from(rates.links, ({ from }) => from)
    this.linkRate = Float64Array.from(rates.links, ({ rate }) => rate)
    this.groups = rates.groups
    this.outer.setGroups(rates.groups)
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
    if (!this.uptake) return 0
    let sum = 0
    for (let i = 0; i < this.mesh.cells; i++) sum += this.mesh.area[i] * y[this.oilAt + i]
    return 2 * Math.PI * sum
  }

  beginStep(t: number, h: number, y: Float64Array): boolean {
    const carries = this.uptake !== null || this.cooling.on
    // A second attempt of the same step keeps the dispersion that the first one had.
    if (this.newState) {
      this.newState = false
      if (this.evaluated !== y) this.evaluate(y)
      this.dispersion.update()
      this.vapour.observe(this, t)
      if (carries) this.oilMotion.see(this.speed, this.R, this.U)
    }
    if (carries) this.oilMotion.lay(h)
    this.uptake?.lay(h)
    this.cooling.lay(h)
    return this.vapour.beginStep(t, h) || this.uptake !== null
  }

  /** Cell quantities, face speeds and forces, and the fluxes of a state. */
  evaluate(y: Float64Array): void {
    this.evaluateCells(y)
    this.evaluateFaces(y)
    this.evaluated = y
  }
  /** The state that was last given to `evaluate`, unless it has been changed since. */
  private evaluated: Float64Array | null = null
  /** Whether the state has changed since the dispersion was laid. */
  private newState = true

  private evaluateCells(y: Float64Array): void {
    const { block, h, phi, psi, closure, cover, coverSlope, wetness, sigma, pressure, curvature, problem } =
      this
    const N = this.mesh.cells
    const R = y[this.radiusAt]
    const inverse = 1 / (R * R)
    this.R = R
    const { coverage, gammaO, closures, buoyancy, phiDry, cooling: cooled } = problem
    const linear = problem.coverageLaw === 'linear'
    for (let i = 0; i < N; i++) {
      h[i] = y[i * block] * inverse
      psi[i] = y[i * block + 1] * inverse
      phi[i] = (psi[i] * h[i] + phiDry * DRY * DRY) / (h[i] * h[i] + DRY * DRY)
      closures.evaluate(phi[i], closure, i * 2 * CLOSURE_COUNT)
      if (cooled) this.coolCell(i, cooled)
      const square = h[i] * h[i]
      wetness[i] = square / (square + WET * WET)
      const x = h[i] > 0 ? h[i] / coverage : 0
      const d = 1 / (1 + x * x)
      cover[i] = linear ? x : x * x * d
      coverSlope[i] = (linear ? 1 : 2 * x * d * d) / coverage
      sigma[i] = gammaO - cover[i] * closure[i * 2 * CLOSURE_COUNT + CLOSURE.spreading]
    }
    for (let i = 0; i < N; i++) {
      const left = i > 0 ? this.lapL[i] * h[i - 1] : 0
      const right = i < N - 1 ? this.lapR[i] * h[i + 1] : 0
      curvature[i] = (left + this.lapC[i] * h[i] + right) * inverse
      pressure[i] = -closure[i * 2 * CLOSURE_COUNT + CLOSURE.levelling] * curvature[i] + buoyancy * h[i]
    }
  }

  /** Brings the closures of a cell to the film's temperature. */
  private coolCell(i: number, { ambientWater }: Cooling): void {
    const { closure, cooling } = this
    const at = i * 2 * CLOSURE_COUNT
    closure[at + CLOSURE.gammaA] += cooling.tension
    closure[at + CLOSURE.spreading] -= cooling.tension
    const { alcoholLoss, waterLoss } = CLOSURE
    closure[at + alcoholLoss] *= cooling.alcohol
    closure[at + CLOSURE_COUNT + alcoholLoss] *= cooling.alcohol
    closure[at + waterLoss] = (closure[at + waterLoss] + ambientWater) * cooling.water - ambientWater
    closure[at + CLOSURE_COUNT + waterLoss] *= cooling.water
  }

  private evaluateFaces(y: Float64Array): void {
    const { block, modes, mesh, speed, force, h, sigma, pressure, closure, problem, R } = this
    const N = mesh.cells
    for (let f = 1; f <= N; f++) {
      let sum = 0
      const at = (f - 1) * block + 2
      for (let m = 0; m < modes; m++) sum += y[at + m]
      speed[f] = sum
    }
    this.U = problem.edge === 'wall' ? 0 : speed[N]
    this.outer.setRadius(R, problem.dishRadius, mesh.s[N - 1])
    for (let f = 1; f < N; f++) {
      const d = R * mesh.gap[f]
      const rise = h[f] - h[f - 1]
      const slope = rise / d
      const level = h[f - 1] + mesh.weight[f] * rise
      const levelling =
        closure[f * 2 * CLOSURE_COUNT + CLOSURE.levelling] -
        closure[(f - 1) * 2 * CLOSURE_COUNT + CLOSURE.levelling]
      force[f] =
        (sigma[f] -
          sigma[f - 1] -
          level * (pressure[f] - pressure[f - 1]) -
          0.5 * slope * slope * levelling) /
        d
      this.faceFluxes(f)
    }
    const edgeSlope = h[N - 1] / (R * mesh.gap[N])
    this.edgePull =
      problem.gammaO -
      sigma[N - 1] +
      0.5 * closure[(N - 1) * 2 * CLOSURE_COUNT + CLOSURE.levelling] * edgeSlope * edgeSlope
    force[N] = this.edgePull / this.outer.edgeGap
  }
  /** Force per length that the edge's dual cell passes to the bath, N/m. */
  edgePull = 0

  private faceFluxes(f: number): void {
    const { h, closure, pressure, mesh, R } = this
    const a = f - 1
    const ca = a * 2 * CLOSURE_COUNT
    const cb = f * 2 * CLOSURE_COUNT
    const d = R * mesh.gap[f]
    const hm = Math.sqrt(Math.max(h[a], LEAST) * Math.max(h[f], LEAST))
    const x = hm / this.problem.coverage
    const viscosity = 0.5 * (closure[ca + CLOSURE.viscosity] + closure[cb + CLOSURE.viscosity])
    const tensionPart = ((x * x) / (1 + x * x)) * ((hm * hm) / (2 * viscosity * d))
    const push = pressure[f] - pressure[a]
    const donor = push < 0 ? h[a] : h[f]
    const cubed = hm * hm * hm
    const mobile = donor > hm ? cubed + DONOR_SHARE * (donor * donor * donor - cubed) : cubed
    const pulled = tensionPart * (closure[cb + CLOSURE.gammaA] - closure[ca + CLOSURE.gammaA])
    const pushed = (mobile / (3 * viscosity * d)) * push
    const q = pulled - pushed
    this.shearFlux[f] = Math.abs(pulled) + Math.abs(pushed)
    const r = R * mesh.s[f]
    const v = this.speed[f] - mesh.s[f] * this.U
    this.upwind(f, v)
    this.filmFlux[f] = r * q
    this.volumeFlux[f] = r * (this.hUp * v + q)
    this.alcoholFlux[f] =
      r * (this.phiUp * this.hUp * v + this.meanFraction(f) * q) -
      this.spreadOf(f, hm) * this.dispersion.at[f]
  }

  /** Alcohol flux at face f (mean thickness hm, m) per dispersion, against the flow outward. */
  spreadOf(f: number, hm: number): number {
    const { phi, wetness, mesh } = this
    return (mesh.s[f] * hm * wetness[f - 1] * wetness[f] * (phi[f] - phi[f - 1])) / mesh.gap[f]
  }

  hUp = 0
  phiUp = 0

  /** Fraction carried by the film flux: the mean of both sides, a dry side (whose fraction is lent) left out. */
  meanFraction(f: number): number {
    const { wetness, phi } = this
    const a = wetness[f - 1] + NO_WETNESS
    const b = wetness[f] + NO_WETNESS
    return (a * phi[f - 1] + b * phi[f]) / (a + b)
  }

  /**
   * Limited upwind values at face f for relative speed v. The limiter is weighted by the place of the face between the
   * cell centres, so that what is carried lies between the values on its two sides.
   */
  upwind(f: number, v: number): void {
    const { h, phi, mesh } = this
    const { gap } = mesh
    const w = mesh.weight[f]
    const i = f - 1
    const acrossH = (h[f] - h[i]) / gap[f]
    const acrossPhi = (phi[f] - phi[i]) / gap[f]
    if (v > 0) {
      const reach = gap[f] * w
      const theta = Math.max(0.5, w)
      this.hUp = h[i] + (i > 0 ? reach * limited((h[i] - h[i - 1]) / gap[i], acrossH, theta) : 0)
      this.phiUp = phi[i] + (i > 0 ? reach * limited((phi[i] - phi[i - 1]) / gap[i], acrossPhi, theta) : 0)
      return
    }
    const reach = gap[f] * (1 - w)
    const theta = Math.min(0.5, w)
    const last = f === mesh.cells - 1
    const beyondH = last ? -h[f] / gap[f + 1] : (h[f + 1] - h[f]) / gap[f + 1]
    const beyondPhi = last ? 0 : (phi[f + 1] - phi[f]) / gap[f + 1]
    this.hUp = h[f] - reach * limited(acrossH, beyondH, theta)
    this.phiUp = phi[f] - reach * limited(acrossPhi, beyondPhi, theta)
  }

  rates(y: Float64Array, out: Float64Array): void {
    if (this.evaluated !== y) this.evaluate(y)
    this.evaluated = null
    this.vapour.setRadius(this.R)
    this.cellRates(out)
    if (this.modes > 0) {
      this.bathRates(y, out)
      this.outer.rates(this, y, out)
    }
    out[this.radiusAt] = this.U
  }

  private cellRates(out: Float64Array): void {
    const { block, mesh, h, phi, closure, R, problem, vapour, volumeFlux, alcoholFlux } = this
    const N = mesh.cells
    const R2 = R * R
    let lostVolume = 0
    let lostAlcohol = 0
    let childVolume = 0
    let childAlcohol = 0
    volumeFlux[N] = alcoholFlux[N] = 0
    for (let i = 0; i < N; i++) {
      const c = i * 2 * CLOSURE_COUNT
      const wet = h[i] / (Math.abs(h[i]) + problem.evaporationCutoff)
      const taking = h[i] > 0 ? wet * R2 : 0
      const alcohol =
        wet * this.held(i) * vapour.alcohol[i] * closure[c + CLOSURE.alcoholLoss] * R2 -
        taking * vapour.alcoholBack[i]
      const all =
        alcohol + wet * vapour.water[i] * closure[c + CLOSURE.waterLoss] * R2 - taking * vapour.waterBack[i]
      const leavingVolume =
        i >= this.shedFrom && h[i] > this.shedAbove ? this.shedRate * (h[i] - this.shedAbove) * R2 : 0
      const leavingAlcohol = phi[i] * leavingVolume
      const a = mesh.area[i]
      out[i * block] = (volumeFlux[i] - volumeFlux[i + 1]) / a - all - leavingVolume
      out[i * block + 1] = (alcoholFlux[i] - alcoholFlux[i + 1]) / a - alcohol - leavingAlcohol
      lostVolume += a * all
      this.alcoholLoss[i] = alcohol
      this.waterLoss[i] = all - alcohol
      lostAlcohol += a * alcohol
      childVolume += a * leavingVolume
      childAlcohol += a * leavingAlcohol
    }
    const at = this.booksAt
    out[at + BOOKS.lostVolume] = lostVolume
    out[at + BOOKS.lostAlcohol] = lostAlcohol
    out[at + BOOKS.childVolume] = childVolume
    out[at + BOOKS.childAlcohol] = childAlcohol
    if (this.uptake) this.oilRates(this.uptake, out)
  }

  /** What passes into the oil. It leaves a cell as evaporation does: no more from a dry spot than there is. */
  private oilRates({ take, back }: OilLayer, out: Float64Array): void {
    const { block, h, closure, oilAt, problem } = this
    for (let i = 0; i < this.mesh.cells; i++) {
      const wet = h[i] / (Math.abs(h[i]) + problem.evaporationCutoff)
      const dissolved = closure[i * 2 * CLOSURE_COUNT + CLOSURE.dissolved]
      const passing = wet * (this.held(i) * take[i] * dissolved - back[i])
      out[i * block] -= passing
      out[i * block + 1] -= passing
      out[oilAt + i] = passing
    }
  }

  /**
   * Share of a cell's fraction φ that is alcohol and not the composition lent to a dry spot; 1 where it is wet. Its sign
   * lets the loss run with the content: what has been overdrawn condenses back. Where a dry spot is lent nothing, φ is
   * what there is, and the share is 1.
   */
  held(i: number): number {
    if (!this.lends) return 1
    const product = this.psi[i] * this.h[i]
    const size = Math.abs(product)
    return (this.phi[i] < 0 ? size : product) / (size + this.problem.phiDry * DRY * DRY)
  }

  private bathRates(y: Float64Array, out: Float64Array): void {
    const { block, modes, mesh, force, R, U, decay, gain, diffusion } = this
    const { s, spread, slope } = mesh
    const bathL = spread[0]
    const bathC = spread[1]
    const bathR = spread[2]
    const slopeL = slope[0]
    const slopeC = slope[1]
    const slopeR = slope[2]
    const N = mesh.cells
    const drift = U / R
    for (let m = 0; m < modes; m++) {
      const spreading = this.spread[m] / (R * R)
      diffusion[m] = spreading
      const fading = decay[m]
      const answer = gain[m]
      let left = 0
      let here = y[2 + m]
      let at = 2 + m
      for (let f = 1; f < N; f++) {
        const right = y[at + block]
        const stretch = s[f] * drift
        const low = spreading * bathL[f] + stretch * slopeL[f]
        const own = spreading * bathC[f] + stretch * slopeC[f]
        const up = spreading * bathR[f] + stretch * slopeR[f]
        out[at] = answer * force[f] + low * left + (own - fading) * here + up * right
        left = here
        here = right
        at += block
      }
    }
    this.drive(y, out, 2, 1, block, N - 1)
  }

  /**
   * Adds to the rates of `count` places what the fields of a group drive in each other.
   * @param at place of the first field at the first of them; `across` from field to field, `along` from place to place
   */
  drive(y: Float64Array, out: Float64Array, at: number, across: number, along: number, count: number): void {
    const { groups, linkRate } = this
    let link = 0
    let first = at
    for (let g = 0; g < groups.length; g++) {
      if (groups[g] === 3) {
        this.driveThree(y, out, first, across, along, count, linkRate, link)
        link += 6
      }
      first += groups[g]! * across
    }
  }

  private driveThree(
    y: Float64Array,
    out: Float64Array,
    at: number,
    across: number,
    along: number,
    count: number,
    rate: Float64Array,
    link: number,
  ): void {
    const xy = rate[link]
    const xz = rate[link + 1]
    const yx = rate[link + 2]
    const yz = rate[link + 3]
    const zx = rate[link + 4]
    const zy = rate[link + 5]
    let a = at
    for (let k = 0; k < count; k++) {
      const b = a + across
      const c = b + across
      const u = y[a]
      const v = y[b]
      const w = y[c]
      out[a] = out[a] + xy * v + xz * w
      out[b] = out[b] + yx * u + yz * w
      out[c] = out[c] + zx * u + zy * v
      a += along
    }
  }

  errorNorm(y: Float64Array, yNew: Float64Array, error: Float64Array): number {
    // The vapour of a layer was laid ahead: what of that was wrong shows at the end of the step.
    if (this.problem.evaporation.kind === 'layer') {
      this.evaluateCells(yNew)
      this.evaluated = null
      this.vapour.addLag(this, error)
    }
    return filmErrorNorm(this, y, yNew, error)
  }

  admissible(y: Float64Array): boolean {
    const R = y[this.radiusAt]
    return R > 0 && R < this.problem.dishRadius && this.bounds.allows(y, R)
  }

  repair(y: Float64Array): void {
    this.evaluated = null
    this.newState = true
    this.bounds.mend(y)
    this.uptake?.commit(y, this.oilAt)
    this.cooling.commit(this.alcoholLoss, this.waterLoss)
  }

  linearise(y: Float64Array, f: Float64Array): void {
    this.rates(y, f)
    this.jacobian.linearise(y)
  }

  factor(hg: number): boolean {
    return this.solver.factor(hg)
  }

  solve(b: Float64Array): void {
    this.solver.solve(b)
  }
}
