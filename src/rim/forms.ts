/** Pressure and tension of the cells as linear forms in the unknowns, and forms beside a face taken apart into them. */
import { CLOSURE } from '../model/problem.ts'
import type { RimBase } from './base.ts'
import type { RimGeometry } from './geometry.ts'

/** Linear form in the values of the cells f−2 … f+1 beside a face: by thickness, by alcohol, by pressure of f−1 and f. */
export interface FaceForm {
  h: Float64Array
  psi: Float64Array
  /** By the pressures of the two cells; their part through h1, ψ1 and ζ is added to the others when laid. */
  push: number
}
export const form = (): FaceForm => ({ h: new Float64Array(4), psi: new Float64Array(4), push: 0 })
export const clear = (one: FaceForm): void => {
  one.h.fill(0)
  one.psi.fill(0)
  one.push = 0
}

export class CellForms {
  /** p1 of cell i by h of i − 1, i, i + 1, ψ of i, and ζ. */
  readonly p: Float64Array[]
  /** σ1 by h and ψ. */
  readonly sigmaH: Float64Array
  readonly sigmaPsi: Float64Array
  /** The form last taken apart: unknowns and amounts, `terms` of them. */
  readonly unknowns = new Int32Array(24)
  readonly amounts = new Float64Array(24)
  terms = 0

  constructor(private readonly geometry: RimGeometry) {
    const m = geometry.count
    this.p = Array.from({ length: 5 }, () => new Float64Array(m))
    this.sigmaH = new Float64Array(m)
    this.sigmaPsi = new Float64Array(m)
  }

  /** Pressure and tension of a base's cells. @param k wavenumber along the rim, 1/m */
  lay(base: RimBase, k: number): void {
    const { geometry, p } = this
    const { sys, R } = base
    const { first, count, shiftCell } = geometry
    const inverse = 1 / (R * R)
    for (let i = 0; i < count; i++) {
      const c = first + i
      const g = base.closure(i, CLOSURE.levelling)
      const bend = base.closureSlope(i, CLOSURE.levelling) * sys.curvature[c]
      const L = sys.state.lapL[c] * inverse
      const Rr = sys.state.lapR[c] * inverse
      p[0][i] = -g * L
      p[1][i] = -g * sys.state.lapC[c] * inverse + g * k * k + sys.problem.buoyancy - bend * base.phiH[i]
      p[2][i] = -g * Rr
      p[3][i] = -bend * base.phiPsi[i]
      // [∇², f] ∂x h0: zero where f is even, so that what lies beyond the ends does not matter.
      const at = (j: number) => base.hx[Math.min(Math.max(j, 0), count - 1)]
      const f = (j: number) => shiftCell[Math.min(Math.max(j, 0), count - 1)]
      const turned = L * (f(i - 1) - f(i)) * at(i - 1) + Rr * (f(i + 1) - f(i)) * at(i + 1)
      p[4][i] = g * turned - g * k * k * f(i) * base.hx[i]
      const S = base.closure(i, CLOSURE.spreading)
      const SBy = base.closureSlope(i, CLOSURE.spreading)
      this.sigmaH[i] = -sys.coverSlope[c] * S - sys.cover[c] * SBy * base.phiH[i]
      this.sigmaPsi[i] = -sys.cover[c] * SBy * base.phiPsi[i]
    }
  }

  /** Takes a face form apart into unknowns and amounts, pressures into what they are made of. */
  takeApart(g: number, one: FaceForm): void {
    const m = this.geometry.count
    this.terms = 0
    for (let o = 0; o < 4; o++) {
      const j = g - 2 + o
      if (j < 0 || j >= m) continue
      if (one.h[o] !== 0) this.term(j, one.h[o])
      if (one.psi[o] !== 0) this.term(m + j, one.psi[o])
    }
    if (one.push === 0) return
    if (g > 0) this.pressureTerms(g - 1, -one.push)
    if (g < m) this.pressureTerms(g, one.push)
  }

  term(unknown: number, amount: number): void {
    this.unknowns[this.terms] = unknown
    this.amounts[this.terms++] = amount
  }

  pressureTerms(j: number, amount: number): void {
    const m = this.geometry.count
    const { p } = this
    if (j > 0) this.term(j - 1, amount * p[0][j])
    this.term(j, amount * p[1][j])
    if (j + 1 < m) this.term(j + 1, amount * p[2][j])
    this.term(m + j, amount * p[3][j])
    this.term(2 * m, amount * p[4][j])
  }
}
