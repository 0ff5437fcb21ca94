import { ownShare } from '../engine/cells.ts'
import type { FilmState } from '../engine/filmState.ts'
import {
  ALCOHOL_IN_AIR,
  CUTOFF,
  ENHANCEMENT,
  RADIUS,
  SPEED,
  START_UP,
  STILL,
  WATER_IN_AIR,
} from '../engine/places.ts'
import { exp, square } from '../numerics/elementary.ts'
import { LayerVapour } from './airLayer.ts'
import type { FilmMesh } from './filmMesh.ts'
import { CLOSURE, CLOSURE_COUNT, type Evaporation } from './problem.ts'

/**
 * Vapour speeds (m/s) by which the loss closures of the cells are multiplied, their dependence on R (1/s), and what the
 * vapour of other cells takes off (m/s): loss = speed · closure − back.
 */
export class VapourSpeeds {
  readonly alcohol: Float64Array
  readonly water: Float64Array
  readonly alcoholByR: Float64Array
  readonly waterByR: Float64Array
  readonly alcoholBack: Float64Array
  readonly waterBack: Float64Array
  private law: Evaporation = { kind: 'uniform', alcoholSpeed: 0, waterSpeed: 0 }
  /** Of a layer of air: its vapours, and edge and time of the state last observed. */
  private layer: { alcohol: LayerVapour; water: LayerVapour } | null = null
  private readonly alcoholLag: Float64Array
  private readonly waterLag: Float64Array
  /** Length of the step laid last, s. */
  private step = 0
  private readonly seen = { t: 0, R: 1, U: 0, last: 0 }

  /** The speeds are laid where the engine reads them. */
  constructor(
    private readonly mesh: FilmMesh,
    private readonly state: FilmState,
  ) {
    ;[this.alcohol, this.water] = [state.alcoholSpeed, state.waterSpeed]
    ;[this.alcoholByR, this.waterByR] = [state.alcoholSpeedByR, state.waterSpeedByR]
    ;[this.alcoholBack, this.waterBack] = [state.alcoholBack, state.waterBack]
    ;[this.alcoholLag, this.waterLag] = [new Float64Array(mesh.cells), new Float64Array(mesh.cells)]
    this.layRings()
  }

  /** Exact integral over each ring of what still air carries off a disc, (2/π)/√(1 − s²). */
  private layRings(): void {
    const { s, cells } = this.mesh
    for (let i = 0; i < cells; i++) {
      const inner = Math.sqrt(1 - square(s[i]))
      const outer = Math.sqrt(Math.max(0, 1 - square(s[i + 1])))
      this.state.ringFlux[i] = (2 / Math.PI) * (inner - outer)
    }
  }

  setLaw(law: Evaporation): void {
    this.law = law
    const { set } = this.state
    const still = law.kind === 'disc' ? law : null
    set[STILL] = still ? 1 : 0
    set[ALCOHOL_IN_AIR] = still?.alcoholDiffusivity ?? 0
    set[WATER_IN_AIR] = still?.waterDiffusivity ?? 0
    set[ENHANCEMENT] = still?.enhancement ?? 0
    set[START_UP] = 0
    // A layer of air and still air lay theirs later: what is recorded before must not be that of another life.
    for (const part of [this.alcohol, this.water, this.alcoholBack, this.waterBack]) part.fill(0)
    if (law.kind === 'layer') this.beginLayer(law)
    if (law.kind !== 'uniform') return
    this.alcohol.fill(law.alcoholSpeed)
    this.water.fill(law.waterSpeed)
    this.alcoholByR.fill(0)
    this.waterByR.fill(0)
  }

  private beginLayer({
    alcoholDiffusivity,
    waterDiffusivity,
    thickness,
  }: Evaporation & { kind: 'layer' }): void {
    const { s } = this.mesh
    this.layer ??= { alcohol: new LayerVapour(s), water: new LayerVapour(s) }
    this.layer.alcohol.begin(alcoholDiffusivity, thickness)
    this.layer.water.begin(waterDiffusivity, thickness)
    this.alcoholByR.fill(0)
    this.waterByR.fill(0)
    Object.assign(this.seen, { t: 0, R: 1, U: 0, last: 0 })
  }

  /** Takes up the state at time t (s) that the system has just evaluated; only a layer of air asks for it. */
  observe(t: number): void {
    if (this.law.kind !== 'layer') return
    const { state, seen } = this
    const { closure, h } = state
    const [R, U, cutoff] = [state.now[RADIUS], state.now[SPEED], state.set[CUTOFF]]
    Object.assign(seen, { t, R, U, last: t - seen.t })
    const wet = (i: number) => (h[i] > 0 ? h[i] / (h[i] + cutoff) : 0)
    const loss = (i: number, which: number) => closure[i * 2 * CLOSURE_COUNT + which]
    const quick = (i: number, which: number) =>
      Math.abs(loss(i, CLOSURE_COUNT + which)) / (Math.abs(h[i]) + cutoff)
    this.layer!.alcohol.observe(
      wet,
      (i) => ownShare(state, i) * loss(i, CLOSURE.alcoholLoss),
      (i) => quick(i, CLOSURE.alcoholLoss),
    )
    this.layer!.water.observe(
      wet,
      (i) => loss(i, CLOSURE.waterLoss),
      (i) => quick(i, CLOSURE.waterLoss),
    )
  }

  /**
   * Adds to the error of a step of h (s), whose new state the system has just evaluated, what comes of vapour that was
   * laid ahead: it is no stage of the method, which so knows nothing of it.
   */
  addLag(error: Float64Array): void {
    if (this.law.kind !== 'layer') return
    const { state, alcoholLag, waterLag, step } = this
    const { closure, h, block } = state
    const [R, cutoff] = [state.now[RADIUS], state.set[CUTOFF]]
    const wet = (i: number) => (h[i] > 0 ? h[i] / (h[i] + cutoff) : 0)
    const loss = (i: number, which: number) => wet(i) * closure[i * 2 * CLOSURE_COUNT + which]
    this.layer!.alcohol.lag((i) => ownShare(state, i) * loss(i, CLOSURE.alcoholLoss), alcoholLag)
    this.layer!.water.lag((i) => loss(i, CLOSURE.waterLoss), waterLag)
    for (let i = 0; i < h.length; i++) {
      const weight = step * R * R * wet(i)
      error[i * block] += weight * (alcoholLag[i] + waterLag[i])
      error[i * block + 1] += weight * alcoholLag[i]
    }
  }

  private layLayer(t: number, h: number): void {
    this.step = h
    const { R, U, last } = this.seen
    // The radius in the middle of the step, at most a factor e^½ away.
    const growth = (0.5 * h * U) / R
    const middle = R * exp(growth / (1 + 2 * Math.abs(growth)))
    const ahead = last > 0 ? Math.min(1, (0.5 * h) / last) : 0
    const { alcohol, water } = this.layer!
    alcohol.lay(t, h, middle, ahead)
    water.lay(t, h, middle, ahead)
    this.alcohol.set(alcohol.speed)
    this.water.set(water.speed)
    this.alcoholBack.set(alcohol.back)
    this.waterBack.set(water.back)
  }

  /** Lays the mean over a step from t to t + h (s); true if the speeds have changed by it. */
  beginStep(t: number, h: number): boolean {
    if (this.law.kind === 'uniform') return false
    if (this.law.kind === 'layer') {
      this.layLayer(t, h)
      return true
    }
    // Mean of 1/√(πt): the still-air field that has not yet formed.
    this.state.set[START_UP] = (2 / Math.sqrt(Math.PI)) * ((Math.sqrt(t + h) - Math.sqrt(t)) / h)
    return true
  }
}
