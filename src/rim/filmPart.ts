/** Flows in the film of a disturbed rim, into the rows of the operator's matrix: see `operator.ts`. */
import { meanFraction } from '../engine/faces.ts'
import { DONOR_SHARE, LEAST, NO_WETNESS } from '../engine/places.ts'
import { CLOSURE } from '../model/problem.ts'
import { square } from '../numerics/elementary.ts'
import type { RimBase } from './base.ts'
import type { BathPart } from './bathPart.ts'
import { type CellForms, clear, type FaceForm, form } from './forms.ts'
import type { RimGeometry } from './geometry.ts'

/** ∂ ln √h/∂h; 0 where mobilities see no less. */
const halfOver = (h: number): number => (h > LEAST ? 0.5 / h : 0)

export class FilmPart {
  private readonly volume = form()
  private readonly alcohol = form()
  private base!: RimBase

  constructor(
    private readonly geometry: RimGeometry,
    private readonly cells: CellForms,
    private readonly bath: BathPart,
    private readonly matrix: Float64Array,
    private readonly size: number,
  ) {}

  /** Film and alcohol fluxes through the faces between cells. */
  lay(base: RimBase): void {
    this.base = base
    const { geometry } = this
    const { count: m, first } = geometry
    for (let g = 0; g < m; g++) {
      if (first + g === 0) continue
      clear(this.volume)
      clear(this.alcohol)
      this.carried(g)
      this.driven(g)
      this.layFlux(g, this.volume, 0, base.hUp[g])
      this.layFlux(g, this.alcohol, m, base.phiUp[g] * base.hUp[g])
      this.layCommutator(g)
    }
  }

  /** What the base's flow carries: second-order upwind without a limiter (Fromm 1968). */
  private carried(g: number): void {
    const { base, geometry, volume, alcohol } = this
    const { mesh, first, count } = geometry
    const f = first + g
    const v = base.v[g]
    const N = mesh.cells
    // Weights of the values of the cells f − 2 … f + 1 at the face.
    const weights = new Float64Array(4)
    if (v > 0) {
      weights[1] = 1
      if (f > 1) {
        const share = (mesh.gap[f] * mesh.weight[f]) / (mesh.gap[f - 1] + mesh.gap[f])
        weights[2] = share
        weights[0] = -share
      }
    } else {
      weights[2] = 1
      const share = (mesh.gap[f] * (1 - mesh.weight[f])) / (mesh.gap[f] + mesh.gap[f + 1])
      weights[1] = share
      // Beyond the last cell lies the edge, where h1 = 0 in the displaced frame.
      if (f < N - 1) weights[3] = -share
    }
    const hUp = base.hUp[g]
    const phiUp = base.phiUp[g]
    for (let o = 0; o < 4; o++) {
      const j = g - 2 + o
      if (j < 0 || j >= count) continue
      volume.h[o] += v * weights[o]
      // The fraction is not zero at the edge: there the slope inside goes on.
      const mixed =
        v > 0 || f < N - 1 ? weights[o] : o === 2 ? mesh.weight[f] : o === 1 ? 1 - mesh.weight[f] : 0
      alcohol.h[o] += v * (weights[o] * phiUp + mixed * hUp * base.phiH[j])
      alcohol.psi[o] += v * mixed * hUp * base.phiPsi[j]
    }
  }

  /** What tension and pressure drive through the film, and what diffuses. */
  private driven(g: number): void {
    const { base, geometry, volume, alcohol } = this
    const { sys, R } = base
    const { mesh, first } = geometry
    const f = first + g
    const d = R * mesh.gap[f]
    const ha = Math.max(sys.h[f - 1], LEAST)
    const hb = Math.max(sys.h[f], LEAST)
    const hm = Math.sqrt(ha * hb)
    const x = square(hm / sys.problem.coverage)
    const cover = x / (1 + x)
    const viscosity = 0.5 * (base.closure(g - 1, CLOSURE.viscosity) + base.closure(g, CLOSURE.viscosity))
    const pull = (cover * hm * hm) / (2 * viscosity * d)
    const pulled = pull * (base.closure(g, CLOSURE.gammaA) - base.closure(g - 1, CLOSURE.gammaA))
    const rise = sys.pressure[f] - sys.pressure[f - 1]
    const donor = rise < 0 ? sys.h[f - 1] : sys.h[f]
    const cubed = hm * hm * hm
    const more = donor > hm
    const mobile = more ? cubed + DONOR_SHARE * (donor * donor * donor - cubed) : cubed
    const push = mobile / (3 * viscosity * d)
    const q = pulled - push * rise
    // By ln hm, then by the two thicknesses.
    const mobileByMean = (more ? 1 - DONOR_SHARE : 1) * 3 * cubed
    const byMean = pulled * (2 + 2 / (1 + x)) - (mobileByMean / (3 * viscosity * d)) * rise
    const byDonor = more ? (-DONOR_SHARE * 3 * donor * donor * rise) / (3 * viscosity * d) : 0
    const hA = byMean * halfOver(sys.h[f - 1]) + (rise < 0 ? byDonor : 0)
    const hB = byMean * halfOver(sys.h[f]) + (rise < 0 ? 0 : byDonor)
    const phiA =
      -pull * base.closureSlope(g - 1, CLOSURE.gammaA) -
      (0.5 * q * base.closureSlope(g - 1, CLOSURE.viscosity)) / viscosity
    const phiB =
      pull * base.closureSlope(g, CLOSURE.gammaA) -
      (0.5 * q * base.closureSlope(g, CLOSURE.viscosity)) / viscosity
    const mean = meanFraction(sys.state, f)
    const wetA = sys.wetness[f - 1] + NO_WETNESS
    const wetB = sys.wetness[f] + NO_WETNESS
    // Diffusion, per Δφ.
    const spreadBy = (hm * sys.wetness[f - 1] * sys.wetness[f] * sys.dispersion.at[f]) / d
    const spread = spreadBy * (sys.phi[f] - sys.phi[f - 1])
    const carryA = (q * wetA) / (wetA + wetB)
    const carryB = (q * wetB) / (wetA + wetB)
    if (g > 0) {
      this.add(volume, 1, g - 1, hA, phiA)
      this.add(
        alcohol,
        1,
        g - 1,
        mean * hA - spread * halfOver(sys.h[f - 1]),
        mean * phiA + carryA + spreadBy,
      )
    }
    this.add(volume, 2, g, hB, phiB)
    this.add(alcohol, 2, g, mean * hB - spread * halfOver(sys.h[f]), mean * phiB + carryB - spreadBy)
    volume.push = -push
    alcohol.push = -mean * push
  }

  /** Adds what depends on thickness and fraction of cell j to place o of a form. */
  private add(to: FaceForm, o: number, j: number, byH: number, byPhi: number): void {
    to.h[o] += byH + byPhi * this.base.phiH[j]
    to.psi[o] += byPhi * this.base.phiPsi[j]
  }

  /** Flux through face g, per length of it, into the rows of the two cells; `carry` is what u1 carries along. */
  private layFlux(g: number, one: FaceForm, offset: number, carry: number): void {
    const { matrix, size, cells } = this
    const { speed } = this.bath
    const out = offset + g
    const into = offset + g - 1
    const lessHere = this.faceShare(g, g)
    const lessInside = g > 0 ? this.faceShare(g, g - 1) : 0
    const { unknowns, amounts } = cells
    const to = out * size
    const from = into * size
    cells.takeApart(g, one)
    for (let t = 0; t < cells.terms; t++) {
      matrix[to + unknowns[t]] += lessHere * amounts[t]
      if (g > 0) matrix[from + unknowns[t]] -= lessInside * amounts[t]
    }
    if (carry === 0) return
    const at = g * size
    for (let unknown = 0; unknown < size; unknown++) {
      const carried = carry * speed[at + unknown]
      matrix[to + unknown] += lessHere * carried
      if (g > 0) matrix[from + unknown] -= lessInside * carried
    }
  }

  private faceShare(g: number, j: number): number {
    return faceShare(this.base, g, j)
  }

  /** ζ (f A b − A f b) of the fluxes through face g in its two cells. */
  private layCommutator(g: number): void {
    const { geometry, base, matrix, size } = this
    const { stretch } = this.bath
    const { count: m, shiftCell, shiftFace } = geometry
    const from = Math.max(g - 2, 0)
    const to = Math.min(g + 1, m - 1)
    if (shiftCell[from] === shiftCell[to]) return
    const shift = (j: number) => shiftCell[Math.min(Math.max(j, 0), m - 1)]
    const value = (one: FaceForm, carry: number, weight: (j: number, f: number) => number) => {
      let sum = carry * stretch[g] * weight(-1, shiftFace[g])
      for (let o = 0; o < 4; o++) {
        const j = g - 2 + o
        if (j < 0 || j >= m) continue
        sum += weight(j, shift(j)) * (one.h[o] * base.hx[j] + one.psi[o] * base.psix[j])
      }
      if (g > 0)
        sum += one.push * (weight(g, shift(g)) * base.px[g] - weight(g - 1, shift(g - 1)) * base.px[g - 1])
      return sum
    }
    for (const [one, offset, carry] of [
      [this.volume, 0, base.hUp[g]],
      [this.alcohol, m, base.hUp[g] * base.phiUp[g]],
    ] as const) {
      for (const [j, sign] of [
        [g, -1],
        [g - 1, 1],
      ] as const) {
        if (j < 0) continue
        const here = shift(j)
        const gap = value(one, carry, (_, f) => f - here)
        matrix[(offset + j) * size + 2 * m] += sign * this.faceShare(g, j) * gap
      }
    }
  }
}

/** A flux through face g changes cell j by this part of it: s/(a R), 1/m. */
export function faceShare({ geometry: { mesh, first }, R }: RimBase, g: number, j: number): number {
  return mesh.s[first + g] / (mesh.area[first + j] * R)
}
