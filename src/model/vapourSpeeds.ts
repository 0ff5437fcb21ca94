import { square } from '../numerics/elementary.ts'
import type { FilmMesh } from './filmMesh.ts'
import type { Evaporation } from './problem.ts'

/** Vapour speeds (m/s) by which the loss closures of the cells are multiplied, and their dependence on R (1/s). */
export class VapourSpeeds {
  readonly alcohol: Float64Array
  readonly water: Float64Array
  readonly alcoholByR: Float64Array
  readonly waterByR: Float64Array
  private law: Evaporation = { kind: 'uniform', alcoholSpeed: 0, waterSpeed: 0 }
  /** Mean of 1/√(πt) over the step, s^-½: the still-air field that has not yet formed. */
  private startUp = 0

  constructor(private readonly mesh: FilmMesh) {
    const cells = () => new Float64Array(mesh.cells)
    ;[this.alcohol, this.water, this.alcoholByR, this.waterByR] = [cells(), cells(), cells(), cells()]
  }

  setLaw(law: Evaporation): void {
    this.law = law
    this.startUp = 0
    if (law.kind !== 'uniform') return
    this.alcohol.fill(law.alcoholSpeed)
    this.water.fill(law.waterSpeed)
    this.alcoholByR.fill(0)
    this.waterByR.fill(0)
  }

  /** Lays the mean over a step from t to t + h (s); true if the speeds have changed by it. */
  beginStep(t: number, h: number): boolean {
    if (this.law.kind === 'uniform') return false
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
