/**
 * The linear operator of perturbations exp(inθ) of a drop's film and edge on its bath.
 *
 * Unknowns: thickness h1 and alcohol ψ1 in the cells and ζ, the displacement of the edge (all m), in a frame that is
 * displaced by f ζ: h1 = h′ + f ζ ∂x h0 with h′ the perturbation at a fixed place. Where f = 1 the equations are those of
 * a straight translation; where f varies, what the operator of a round drop does to f b less f times what it does to b
 * comes in, b = ∂x(h0, ψ0, u0, p0). The bath is a half space under a straight rim, without inertia (`kernels.ts`).
 */
import { DONOR_SHARE, LEAST, NO_WETNESS } from '../model/film.ts'
import { CLOSURE } from '../model/problem.ts'
import { square } from '../numerics/elementary.ts'
import type { RimBase } from './base.ts'
import type { RimGeometry } from './geometry.ts'
import { type RimKernels, stillSlopes, type Table } from './kernels.ts'

/** Linear form in the values of the cells f−2 … f+1 beside a face: by thickness, by alcohol, by pressure of f−1 and f. */
interface FaceForm {
  h: Float64Array
  psi: Float64Array
  /** By the pressures of the two cells; their part through h1, ψ1 and ζ is added to the others when laid. */
  push: number
}
const form = (): FaceForm => ({ h: new Float64Array(4), psi: new Float64Array(4), push: 0 })
/** ∂ ln √h/∂h; 0 where mobilities see no less. */
const halfOver = (h: number): number => (h > LEAST ? 0.5 / h : 0)
const clear = (one: FaceForm): void => {
  one.h.fill(0)
  one.psi.fill(0)
  one.push = 0
}

/** Rows and columns exchanged. */
function turn(from: Float64Array, rows: number, to: Float64Array): void {
  const columns = from.length / rows
  for (let i = 0; i < rows; i++) for (let j = 0; j < columns; j++) to[j * rows + i] = from[i * columns + j]
}

export class RimOperator {
  /** Number of unknowns: h1 of all cells, ψ1 of all cells, ζ. */
  readonly size: number
  /** dx/dt = matrix · x, row-major. */
  readonly matrix: Float64Array
  /** u1 at the faces (the last is the speed of the edge's displacement) by the unknowns. */
  readonly speed: Float64Array
  /** i k u′_y at the middles by the unknowns. */
  readonly along: Float64Array
  // The same by unknowns first.
  private readonly speedBy: Float64Array
  private readonly alongBy: Float64Array
  /** ∂x u0 at the faces from the base's pulls on a half space, 1/s; infinite at the edge. */
  readonly stretch: Float64Array
  private readonly slopes: { own: Table; image: Table | null }
  // p1 of cell k by h of k − 1, k, k + 1, ψ of k, and ζ.
  private readonly p: Float64Array[]
  // σ1 by h and ψ.
  private readonly sigmaH: Float64Array
  private readonly sigmaPsi: Float64Array
  private readonly volume = form()
  private readonly alcohol = form()
  // The form last taken apart.
  private readonly unknowns = new Int32Array(24)
  private readonly amounts = new Float64Array(24)
  private terms = 0
  private base!: RimBase
  private k = 0

  constructor(readonly geometry: RimGeometry) {
    const m = geometry.count
    this.size = 2 * m + 1
    this.matrix = new Float64Array(this.size * this.size)
    this.speed = new Float64Array((m + 1) * this.size)
    this.along = new Float64Array(m * this.size)
    this.speedBy = new Float64Array(this.speed.length)
    this.alongBy = new Float64Array(this.along.length)
    this.stretch = new Float64Array(m + 1)
    this.slopes = stillSlopes(geometry, geometry.faces)
    this.p = Array.from({ length: 5 }, () => new Float64Array(m))
    this.sigmaH = new Float64Array(m)
    this.sigmaPsi = new Float64Array(m)
  }

  /** Lays the operator for a base state and the kernels of one n. */
  lay(base: RimBase, kernels: RimKernels): void {
    this.base = base
    this.k = kernels.n / base.R
    this.matrix.fill(0)
    this.speedBy.fill(0)
    this.alongBy.fill(0)
    this.layCells()
    this.layStretch()
    this.layTension(kernels)
    this.layOther(kernels)
    this.layMoved(kernels)
    turn(this.speedBy, this.size, this.speed)
    turn(this.alongBy, this.size, this.along)
    this.layFilm()
    this.layAcross()
    this.layLoss()
    this.layDisplacement()
  }

  /** Pressure and tension of the cells. */
  private layCells(): void {
    const { base, k, geometry, p } = this
    const { sys, R } = base
    const { first, count, shiftCell } = geometry
    const inverse = 1 / (R * R)
    for (let i = 0; i < count; i++) {
      const c = first + i
      const g = base.closure(i, CLOSURE.levelling)
      const bend = base.closureSlope(i, CLOSURE.levelling) * sys.curvature[c]
      const L = sys.lapL[c] * inverse
      const Rr = sys.lapR[c] * inverse
      p[0][i] = -g * L
      p[1][i] = -g * sys.lapC[c] * inverse + g * k * k + sys.problem.buoyancy - bend * base.phiH[i]
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

  /** Factor 1/(2πηo) of all kernels. */
  private get answer(): number {
    return 1 / (2 * Math.PI * this.base.sys.problem.oilViscosity)
  }

  /** Width of the dual cell of face g, m. */
  private dualWidth(g: number): number {
    const { ends } = this.geometry
    return (ends[g + 1] - ends[g]) * this.base.R
  }

  /** Pull per width (Pa) of the base in the dual cell of mesh face f. */
  private pullDensity(pulls: Float64Array, f: number): number {
    const { mesh } = this.geometry
    const near = Math.sqrt(mesh.zc[f - 1])
    const far = f < mesh.cells ? Math.sqrt(mesh.zc[f]) : 1
    return pulls[f] / ((far - near) * this.base.R)
  }

  private layStretch(): void {
    const { base, geometry, stretch, slopes, answer } = this
    const width = geometry.mesh.cells + 1
    const places = geometry.count + 1
    for (let i = 0; i < places; i++) {
      let sum = 0
      for (let f = 1; f < width; f++) {
        const density = this.pullDensity(base.pulls.tension, f) + this.pullDensity(base.pulls.other, f)
        sum += density * (slopes.own[f * places + i] + (slopes.image?.[f * places + i] ?? 0))
      }
      stretch[i] = answer * sum
    }
  }

  /** Adds `amount` times row g of a kernel table to the speeds by one unknown, across (faces) or along (middles). */
  private spread(table: Table, g: number, to: Float64Array, unknown: number, amount: number): void {
    if (amount === 0) return
    const places = to.length / this.size
    const at = unknown * places
    const from = g * places
    for (let i = 0; i < places; i++) to[at + i] += amount * table[from + i]
  }

  /** Speeds from the perturbed tension. */
  private layTension(kernels: RimKernels): void {
    const { geometry, sigmaH, sigmaPsi, speedBy: speed, alongBy: along, answer, k, base } = this
    const m = geometry.count
    const mirror = geometry.inside === 'mirror'
    for (let j = 0; j < m; j++) {
      // A cell's tension is a rise at its inner face and a fall at its outer one.
      for (const [g, sign] of [
        [j, 1],
        [j + 1, -1],
      ] as const) {
        if (mirror && g === 0) continue
        const share = (sign * answer) / (k * this.dualWidth(g))
        this.spread(kernels.facePull, g, speed, j, share * sigmaH[j])
        this.spread(kernels.facePull, g, speed, m + j, share * sigmaPsi[j])
      }
      this.spread(kernels.cellTension, j, along, j, -answer * k * sigmaH[j])
      this.spread(kernels.cellTension, j, along, m + j, -answer * k * sigmaPsi[j])
    }
    for (let g = 0; g <= m; g++) {
      const f = geometry.first + g
      if (f === 0) continue
      const amount = answer * k * geometry.shiftFace[g] * this.pullDensity(base.pulls.tension, f)
      this.spread(kernels.cellPull, g, along, 2 * m, amount)
    }
  }

  /** Speeds from the perturbed capillary forces. */
  private layOther(kernels: RimKernels): void {
    const { geometry, base, speedBy: speed, alongBy: along, answer, k, unknowns, amounts } = this
    const { count: m, first } = geometry
    const one = this.volume
    for (let g = geometry.inside === 'mirror' ? 1 : 0; g <= m; g++) {
      clear(one)
      const own = this.capillary(g, one)
      this.takeApart(g, one)
      if (own !== 0) this.term(2 * m, own)
      const share = answer / (k * this.dualWidth(g))
      for (let t = 0; t < this.terms; t++) {
        this.spread(kernels.facePush, g, speed, unknowns[t], share * amounts[t])
        this.spread(kernels.cellAcross, g, along, unknowns[t], share * k * amounts[t])
      }
    }
    for (let j = 0; j < m; j++) {
      const h = base.sys.h[first + j]
      const f = geometry.shiftCell[j]
      const bend = 0.5 * square(base.hx[j]) * base.closureSlope(j, CLOSURE.levelling)
      this.terms = 0
      this.pressureTerms(j, -h)
      this.term(j, -bend * base.phiH[j])
      this.term(m + j, -bend * base.phiPsi[j])
      this.term(2 * m, f * (h * base.px[j] + bend * base.phix[j]))
      for (let t = 0; t < this.terms; t++) {
        this.spread(kernels.faceAlong, j, speed, unknowns[t], answer * amounts[t])
        this.spread(kernels.cellAlong, j, along, unknowns[t], -answer * k * amounts[t])
      }
    }
    // The edge's own pull turns with the edge: a force along −ik ζ ½ γ_eff s².
    const line = (answer * base.pulls.line) / this.dualWidth(m)
    this.spread(kernels.faceLine, m, speed, 2 * m, -line)
    this.spread(kernels.cellLine, m, along, 2 * m, line * k)
  }

  /** Capillary pull in the dual cell of face g, N/m, as a form in what lies beside it; returns its part by ζ. */
  private capillary(g: number, to: FaceForm): number {
    const { base, geometry } = this
    const { sys, R } = base
    const { count: m, first, mesh, shiftCell } = geometry
    const gamma = CLOSURE.levelling
    if (g === m) {
      const d = R * mesh.gap[mesh.cells]
      const slope = sys.h[mesh.cells - 1] / d
      const by = 0.5 * base.closureSlope(m - 1, gamma) * slope * slope
      to.h[1] += (base.closure(m - 1, gamma) * slope) / d + by * base.phiH[m - 1]
      to.psi[1] += by * base.phiPsi[m - 1]
      return 0
    }
    const c = first + g
    const d = R * mesh.gap[c]
    const slope = (sys.h[c] - sys.h[c - 1]) / d
    const w = mesh.weight[c]
    const rise = sys.pressure[c] - sys.pressure[c - 1]
    to.push = -(sys.h[c - 1] + w * (sys.h[c] - sys.h[c - 1]))
    const STEP = this.levellingStep(g)
    to.h[1] += -(1 - w) * rise + (slope * STEP) / d
    to.h[2] += -w * rise - (slope * STEP) / d
    const half = 0.5 * slope * slope
    if (g > 0) {
      const by = half * base.closureSlope(g - 1, gamma)
      to.h[1] += by * base.phiH[g - 1]
      to.psi[1] += by * base.phiPsi[g - 1]
    }
    const by = half * base.closureSlope(g, gamma)
    to.h[2] -= by * base.phiH[g]
    to.psi[2] -= by * base.phiPsi[g]
    // −2 f′ (−½ (∂x h)² ∂x γ_eff): what the displaced frame leaves of the last force where f varies.
    const turn = g > 0 ? (shiftCell[g] - shiftCell[g - 1]) / d : 0
    return 2 * turn * half * STEP
  }

  private levellingStep(g: number): number {
    const { base } = this
    return base.closure(g, CLOSURE.levelling) - base.closure(g - 1, CLOSURE.levelling)
  }

  /** Takes a face form apart into unknowns and amounts, pressures into what they are made of. */
  private takeApart(g: number, one: FaceForm): void {
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

  private term(unknown: number, amount: number): void {
    this.unknowns[this.terms] = unknown
    this.amounts[this.terms++] = amount
  }

  private pressureTerms(j: number, amount: number): void {
    const m = this.geometry.count
    const { p } = this
    if (j > 0) this.term(j - 1, amount * p[0][j])
    this.term(j, amount * p[1][j])
    if (j + 1 < m) this.term(j + 1, amount * p[2][j])
    this.term(m + j, amount * p[3][j])
    this.term(2 * m, amount * p[4][j])
  }

  /** Speeds from the displacement of the base's pulls, in the displaced frame. */
  private layMoved(kernels: RimKernels): void {
    const { geometry, base, speedBy: speed, alongBy: along, slopes, answer, k } = this
    const { count: m, first, mesh, shiftFace } = geometry
    const { tension, other } = base.pulls
    for (let f = 1; f <= mesh.cells; f++) {
      const g = f - first
      const inside = g < 0
      const shift = inside ? 0 : shiftFace[g]
      const pull = this.pullDensity(tension, f)
      const push = this.pullDensity(other, f)
      for (let i = 0; i <= m; i++) {
        const at = 2 * m * (m + 1) + i
        const from = f * (m + 1) + i
        if (shiftFace[i] !== shift)
          speed[at] += answer * (pull + push) * (shiftFace[i] - shift) * slopes.own[from]
        if (slopes.image) speed[at] += answer * (pull + push) * (shiftFace[i] + shift) * slopes.image[from]
        if (inside || shift === 0) continue
        const column = g * (m + 1) + i
        speed[at] +=
          answer * shift * (pull * kernels.faceMoved[column] + push * kernels.faceMovedPush[column])
      }
      if (!inside && shift > 0) this.spread(kernels.cellMoved, g, along, 2 * m, -answer * k * shift * push)
    }
  }

  /** Film and alcohol fluxes through the faces between cells. */
  private layFilm(): void {
    const { geometry, base } = this
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
    const mean = sys.meanFraction(f)
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
    const { matrix, size, speed } = this
    const out = offset + g
    const into = offset + g - 1
    const lessHere = this.faceShare(g, g)
    const lessInside = g > 0 ? this.faceShare(g, g - 1) : 0
    const { unknowns, amounts } = this
    const to = out * size
    const from = into * size
    this.takeApart(g, one)
    for (let t = 0; t < this.terms; t++) {
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

  /** A flux through face g changes cell j by this part of it: s/(a R), 1/m. */
  private faceShare(g: number, j: number): number {
    const { mesh, first } = this.geometry
    return mesh.s[first + g] / (mesh.area[first + j] * this.base.R)
  }

  /** ζ (f A b − A f b) of the fluxes through face g in its two cells. */
  private layCommutator(g: number): void {
    const { geometry, base, matrix, size, stretch } = this
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

  /** Flow along the rim, and the widening of the mesh. */
  private layAcross(): void {
    const { geometry, base, matrix, along, size, k } = this
    const { count: m, first, shiftCell } = geometry
    const { sys } = base
    const row = new Float64Array(size)
    for (let i = 0; i < m; i++) {
      const c = first + i
      const h = Math.max(sys.h[c], 0)
      const f = shiftCell[i]
      const viscosity = base.closure(i, CLOSURE.viscosity)
      const gammaBy = base.closureSlope(i, CLOSURE.gammaA)
      const pull = (-k * k * sys.cover[c] * h * h) / (2 * viscosity)
      const push = (k * k * h * h * h) / (3 * viscosity)
      for (let u = 0; u < size; u++) row[u] = h * along[i * size + u]
      const [left, own, right, psi, moved] = this.p
      if (i > 0) row[i - 1] += push * left[i]
      row[i] += push * own[i] + pull * gammaBy * base.phiH[i]
      if (i + 1 < m) row[i + 1] += push * right[i]
      row[m + i] += push * psi[i] + pull * gammaBy * base.phiPsi[i]
      row[2 * m] += push * (moved[i] - f * base.px[i]) - pull * f * base.gammaAx[i]
      const phi = sys.phi[c]
      for (let u = 0; u < size; u++) {
        matrix[i * size + u] -= row[u]
        matrix[(m + i) * size + u] -= phi * row[u]
      }
      const D =
        0.5 *
        (sys.dispersion.at[Math.max(c, 1)] + sys.dispersion.at[Math.min(c + 1, geometry.mesh.cells - 1)])
      const diffuse = k * k * h * D
      const to = (m + i) * size
      matrix[to + i] -= diffuse * base.phiH[i]
      matrix[to + m + i] -= diffuse * base.phiPsi[i]
      matrix[to + 2 * m] += diffuse * f * base.phix[i]
      const widening = (2 * base.U) / base.R
      matrix[i * size + i] -= widening
      matrix[to + m + i] -= widening
    }
  }

  /** Evaporation. */
  private layLoss(): void {
    const { geometry, base } = this
    const { sys } = base
    const m = geometry.count
    const cutoff = sys.problem.evaporationCutoff
    for (let i = 0; i < m; i++) {
      const c = geometry.first + i
      const h = Math.max(sys.h[c], 0)
      const wet = h / (h + cutoff)
      const wetBy = cutoff / square(h + cutoff)
      this.lose(i, i, CLOSURE.alcoholLoss, sys.vapour.alcohol[c], wet, wetBy)
      this.lose(i, i, CLOSURE.waterLoss, sys.vapour.water[c], wet, wetBy)
      this.lose(m + i, i, CLOSURE.alcoholLoss, sys.vapour.alcohol[c], wet, wetBy)
    }
  }

  private lose(row: number, i: number, which: number, speed: number, wet: number, wetBy: number): void {
    const { base, matrix, size, geometry } = this
    const by = base.closureSlope(i, which) * speed * wet
    matrix[row * size + i] -= wetBy * base.closure(i, which) * speed + by * base.phiH[i]
    matrix[row * size + geometry.count + i] -= by * base.phiPsi[i]
  }

  /** The edge's row, and what its displacement does in the displaced frame: ζ̇ f ∂x(h0, ψ0). */
  private layDisplacement(): void {
    const { geometry, base, matrix, speed, size } = this
    const { sys } = base
    const { count: m, first, shiftFace } = geometry
    const edge = m * size
    for (let i = 0; i < m; i++) {
      const c = first + i
      const inner = this.faceShare(i, i) * shiftFace[i]
      const outer = this.faceShare(i + 1, i) * shiftFace[i + 1]
      if (inner === 0 && outer === 0) continue
      const [h0, h1] = [base.hUp[i], base.hUp[i + 1]]
      const [p0, p1] = [h0 * base.phiUp[i], h1 * base.phiUp[i + 1]]
      const byH = outer * (h1 - sys.h[c]) - inner * (h0 - sys.h[c])
      const byPsi = outer * (p1 - sys.psi[c]) - inner * (p0 - sys.psi[c])
      for (let u = 0; u < size; u++) {
        matrix[i * size + u] += byH * speed[edge + u]
        matrix[(m + i) * size + u] += byPsi * speed[edge + u]
      }
    }
    for (let u = 0; u < size; u++) matrix[2 * m * size + u] = speed[edge + u]
  }
}
