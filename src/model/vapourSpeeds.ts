import { exp, square } from '../numerics/elementary.ts'
import { LayerVapour } from './airLayer.ts'
import type { FilmSystem } from './film.ts'
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
  /** Mean of 1/√(πt) over the step, s^-½: the still-air field that has not yet formed. */
  private startUp = 0
  /** Of a layer of air: its vapours, and edge and time of the state last observed. */
  private layer: { alcohol: LayerVapour; water: LayerVapour } | null = null
  private readonly alcoholLag: Float64Array
  private readonly waterLag: Float64Array
  /** Length of the step laid last, s. */
  private step = 0
  private readonly seen = { t: 0, R: 1, U: 0, last: 0 }

  constructor(private readonly mesh: FilmMesh) {
    const cells = () => new Float64Array(mesh.cells)
    ;[this.alcohol, this.water, this.alcoholByR, this.waterByR] = [cells(), cells(), cells(), cells()]
    ;[this.alcoholBack, this.waterBack, this.alcoholLag, this.waterLag] = [cells(), cells(), cells(), cells()]
  }

  setLaw(law: Evaporation): void {
    this.law = law
    this.startUp = 0
    this.alcoholBack.fill(0)
    this.waterBack.fill(0)
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
  observe(sys: FilmSystem, t: number): void {
    if (this.law.kind !== 'layer') return
    const { closure, h, problem, R, U } = sys
    const { seen } = this
    Object.assign(seen, { t, R, U, last: t - seen.t })
    const wet = (i: number) => (h[i] > 0 ? h[i] / (h[i] + problem.evaporationCutoff) : 0)
    const loss = (i: number, which: number) => closure[i * 2 * CLOSURE_COUNT + which]
    const quick = (i: number, which: number) =>
      Math.abs(loss(i, CLOSURE_COUNT + which)) / (Math.abs(h[i]) + problem.evaporationCutoff)
    this.layer!.alcohol.observe(
      wet,
      (i) => sys.held(i) * loss(i, CLOSURE.alcoholLoss),
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
  addLag(sys: FilmSystem, error: Float64Array): void {
    if (this.law.kind !== 'layer') return
    const { closure, h, problem, R, block } = sys
    const { alcoholLag, waterLag, step } = this
    const wet = (i: number) => (h[i] > 0 ? h[i] / (h[i] + problem.evaporationCutoff) : 0)
    const loss = (i: number, which: number) => wet(i) * closure[i * 2 * CLOSURE_COUNT + which]
    this.layer!.alcohol.lag((i) => sys.held(i) * loss(i, CLOSURE.alcoholLoss), alcoholLag)
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
    this.startUp = (2 / Math.sqrt(Math.PI)) * ((Math.sqrt(t + h) - Math.sqrt(t)) / h)
    return true
  }

  /** Lays the speeds for an edge at R, m. */
  setRadius(R: number): void {
    const { law, mesh } = this
    if (law.kind !== 'disc') return
    const { s, area, cells } = mesh
    const { alcoholDiffusivity: da, waterDiffusivity: dw, enhancement } = law
    for (let i = 0; i < cells; i++) {
      // Exact ring average of (2/π)/√(R² − r²), 1/m.
      const inner = Math.sqrt(1 - square(s[i]))
      const outer = Math.sqrt(Math.max(0, 1 - square(s[i + 1])))
      const ring = ((2 / Math.PI) * (inner - outer)) / (area[i] * R)
      this.alcohol[i] = enhancement * (da * ring + Math.sqrt(da) * this.startUp)
      this.water[i] = enhancement * (dw * ring + Math.sqrt(dw) * this.startUp)
      this.alcoholByR[i] = (-enhancement * da * ring) / R
      this.waterByR[i] = (-enhancement * dw * ring) / R
    }
  }
}
