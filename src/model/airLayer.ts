/**
 * The vapour of one kind in a layer of air over the drop, as one body: where it leaves, where it comes back.
 *
 *     j_i = (D/R) Σ A_ij c_j = speed_i c_i − back_i
 *
 * speed_i is the diagonal, back_i what the vapour of the other rings takes off. Both are laid at the start of a step and
 * kept through it, for the middle of the step: R carried on with the edge's speed, the surface with its last change. A ring
 * that is only partly wet (w = h/(h + h_e)) passes w of what a wet one would: j = w (speed c − back), which is the law above
 * with c_i = w c_wet + (1 − w) back_i/speed_i at its surface. So a dry spot neither gives nor takes, and what is given
 * off elsewhere is neither lost nor counted twice.
 */
import { exp } from '../numerics/elementary.ts'
import { type AirTables, airTablesOf } from './airTables.ts'

/** Fourier number D t/δ² below which the top of the layer is not felt (e^−50), and terms that are needed beyond. */
const EARLY = 0.02
const TERMS = 14
/** A surface that would follow its vapour within this part of a step or sooner is not carried on. */
const SWINGS = 3
/** Passes over the rings by which partly wet ones find their surface, from where the last step left it. */
const PASSES = 2

/**
 * What a wide layer has given off by time t beyond its steady flux, per D Δc: ∫ (1/δ_eff − 1/δ) dt · D, m. Diffusion from a plane at
 * fixed concentration through a sheet whose far side is kept free: J. Crank, The Mathematics of Diffusion, 2nd ed. 1975,
 * section 4.3 (from memory; both forms solve the equation).
 */
function startUp(D: number, delta: number, t: number): number {
  const fourier = (D * t) / (delta * delta)
  if (fourier < EARLY) return 2 * Math.sqrt((D * t) / Math.PI) - (D * t) / delta
  let sum = 0
  for (let n = 1; n <= TERMS; n++) sum += exp(-n * n * Math.PI * Math.PI * fourier) / (n * n)
  return delta * (1 / 3 - (2 / (Math.PI * Math.PI)) * sum)
}

/**
 * Thickness, m, of the steady layer through which as much goes from a wide drop as in the mean from t to t + h through
 * one of thickness `delta` that begins to form at t = 0: √(πDt) at first, `delta` soon after 0.3 delta²/D.
 */
export function formedThickness(D: number, delta: number, t: number, h: number): number {
  return D / (D / delta + (startUp(D, delta, t + h) - startUp(D, delta, t)) / h)
}

export class LayerVapour {
  /** m/s, by ring, with what comes back as (m/s) times the loss closure. */
  readonly speed: Float64Array
  readonly back: Float64Array
  private tables: AirTables | null = null
  private readonly matrix: Float64Array
  /** Share of each ring that is wet, and that share times its vapour, now and a step before. */
  private readonly wet: Float64Array
  private readonly quick: Float64Array
  private now: Float64Array
  private before: Float64Array
  private readonly surface: Float64Array
  /** Where the surface's wet part was taken to be in the middle of the step, and how far off that was. */
  private readonly laid: Float64Array
  private readonly off: Float64Array
  private diffusivity = 0
  private thickness = 0

  constructor(private readonly s: Float64Array) {
    const cells = s.length - 1
    const make = () => new Float64Array(cells)
    ;[this.speed, this.back, this.wet, this.quick] = [make(), make(), make(), make()]
    ;[this.now, this.before, this.surface] = [make(), make(), make()]
    ;[this.laid, this.off] = [make(), make()]
    this.matrix = new Float64Array(cells * cells)
  }

  /** Begins a life; D in m²/s, δ in m. Nothing is left of the life before. */
  begin(diffusivity: number, thickness: number): void {
    this.diffusivity = diffusivity
    this.thickness = thickness
    this.tables ??= airTablesOf(this.s)
    const { speed, back, wet, quick, now, before, surface, laid, off, matrix } = this
    for (const part of [speed, back, wet, quick, now, before, surface, laid, off, matrix]) part.fill(0)
  }

  /**
   * Takes up the state at the start of a step; `vapour` as the loss closure has it, `quick` by how much of it a loss of one
   * metre changes it, 1/m: a rate per speed.
   */
  observe(
    wet: (cell: number) => number,
    vapour: (cell: number) => number,
    quick: (cell: number) => number,
  ): void {
    ;[this.before, this.now] = [this.now, this.before]
    const { now, surface } = this
    for (let i = 0; i < now.length; i++) {
      this.wet[i] = wet(i)
      now[i] = this.wet[i] * vapour(i)
      this.quick[i] = quick(i)
      surface[i] = now[i] + (1 - this.wet[i]) * surface[i]
    }
  }

  /**
   * Lays speed and back for a step of h from t (s) at an edge at R (m), the surface carried on by `ahead` times its last change, but
   * hardly where it follows the vapour within the step: there that would swing.
   */
  lay(t: number, h: number, R: number, ahead: number): void {
    const { now, before, surface, wet, quick, speed, back, matrix } = this
    const cells = now.length
    const thickness = formedThickness(this.diffusivity, this.thickness, t, h)
    this.tables!.lay(thickness / R, this.diffusivity / R, matrix)
    for (let pass = 0; pass <= PASSES; pass++)
      for (let i = 0; i < cells; i++) {
        const row = i * cells
        let sum = 0
        for (let j = 0; j < cells; j++) sum += matrix[row + j] * surface[j]
        speed[i] = matrix[row + i]
        back[i] = speed[i] * surface[i] - sum
        if (pass === PASSES) continue
        const stiffness = (h * speed[i] * quick[i]) / SWINGS
        const change = (ahead * (now[i] - before[i])) / (1 + stiffness * stiffness)
        this.laid[i] = now[i] + change
        surface[i] = this.laid[i] + ((1 - wet[i]) * back[i]) / speed[i]
      }
  }

  /**
   * Error of the mean `back` of the step laid last, m/s times the loss closure, by ring into `out`; `wetVapour` is the wet
   * part of the surface at the step's end.
   */
  lag(wetVapour: (cell: number) => number, out: Float64Array): void {
    const { now, laid, off, matrix } = this
    const cells = now.length
    for (let i = 0; i < cells; i++) off[i] = 0.5 * (now[i] + wetVapour(i)) - laid[i]
    for (let i = 0; i < cells; i++) {
      const row = i * cells
      let sum = 0
      for (let j = 0; j < cells; j++) sum += matrix[row + j] * off[j]
      out[i] = matrix[row + i] * off[i] - sum
    }
  }
}
