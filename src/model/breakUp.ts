import { exp, log, pow } from '../numerics/elementary.ts'
import { smoothStep } from '../numerics/smoothStep.ts'
import type { FilmSystem } from './film.ts'
import { CLOSURE } from './problem.ts'
import { type Ridge, ridgeGrowth } from './ridge.ts'
import type { RingShape } from './ring.ts'

/** Waves that are followed: LEAST_COUNT … LEAST_COUNT·STEP^(WAVES−1) bulges round the drop. */
const WAVES = 44
const LEAST_COUNT = 4
const STEP = 1.2
const COUNTS = Float64Array.from({ length: WAVES }, (_, k) => LEAST_COUNT * pow(STEP, k))
const LOG_COUNTS = COUNTS.map(log)
/** Displacement of the edge with which every wave begins, m: common practice, no source. */
export const NOISE = 1e-6
/** Slope of a ring that still wets the bath: it does not bead. */
const LEAST_SLOPE = 1e-3
/** The gate opens over so many e-foldings on either side of those that break the ring. */
const SOFT = 1
/** Waves stirred by a ring that breaks begin so many e-foldings below the leading one. */
const STIRRED = 2
/** A ring as high as this many coverage cut-offs is half liquid enough to bead; a film of a few has hardly a surface. */
const THIN = 10
/** A drop has spread when its radius has passed a lens's by this factor; all of it counts from the second. */
export const SPREAD = [1.2, 1.4] as const

/** What the waves on the ring have come to. */
export interface Beading {
  /** ln of the growth since the noise of the wave that leads, 0 before any. */
  gain: number
  /** Displacement of the edge by it, m, at most half the ring's base; 0 without a ring. */
  amplitude: number
  /** Its number of bulges round the drop, NaN without a ring. */
  count: number
  /** Its growth rate at present, 1/s. */
  growth: number
  /** Radius of a drop of one wavelength of the ring as it is, m; NaN without a ring. */
  beadRadius: number
  /** Radius of the drops that leave now, m: a bead gathers its liquid over the time in which its wave has grown. */
  dropRadius: number
  /** Base of the ring, m; NaN without one. */
  base: number
}

const NO_BEADS: Beading = {
  gain: 0,
  amplitude: 0,
  count: Number.NaN,
  growth: 0,
  beadRadius: Number.NaN,
  dropRadius: Number.NaN,
  base: Number.NaN,
}

/** ln of the cube of a sphere's radius by its volume. */
const SPHERE = log(3 / (4 * Math.PI))

/** How far the gate is open, 0 to 1. */
const openAt = (gain: number, needed: number): number => smoothStep(needed - SOFT, needed + SOFT, gain)

/**
 * Break-up of the ring: waves of every number n of bulges round the drop grow at the rate of a ridge of the ring's present
 * shape (n stays while the circle grows, so that a wave is stretched and overtaken by others), and are diluted by what
 * flows into the ring. Nothing is shed until the leading wave has grown from the noise to the ring's base; then ring
 * liquid leaves in drops of the volume of one wavelength, over the time that such a growth takes. What is laid here is
 * kept through a step. Without break-up the waves are followed as if they stayed small.
 */
export class BreakUp {
  private readonly gain = new Float64Array(WAVES)
  /** Growth rates on the ring as it is, 1/s. */
  private readonly rate = new Float64Array(WAVES)
  /** Section of the ring at the last moment, m²; NaN if there was none. */
  private section = Number.NaN
  /** ln of the liquid of one bead, m³; NaN before there is any. */
  private bead = Number.NaN

  /**
   * Takes the waves over a step of `dt` (s) with the ring as it is, and lays the rate of shedding for the next.
   * @param risen largest radius so far, in units of a lens's
   */
  advance(sys: FilmSystem, ring: RingShape, dt: number, risen: number): Beading {
    // The ring's liquid now by what it would be if it had only shed: what has flowed in is without waves.
    const fed = log(ring.section / this.section) + sys.shedRate * dt
    this.section = ring.section
    sys.shedRate = 0
    const ridge = ridgeOf(sys, ring)
    if (!ridge) {
      this.rate.fill(0)
      return { ...NO_BEADS, gain: this.lead() }
    }
    const needed = Math.max(1, log(ridge.base / NOISE))
    this.dilute(fed)
    const { coverage, breakUp } = sys.problem
    this.grow(ridge, sys.R, dt, breakUp ? needed + SOFT : Number.POSITIVE_INFINITY)
    const beading = this.leading(ridge, sys.R, ring.section, dt, needed)
    if (!breakUp) return beading
    // A film thinner than the coverage cut-off is no liquid that could bead: it stays, and a ripple on it is no thread.
    sys.shedAbove = Math.max(ring.thin, coverage)
    sys.shedFrom = ring.thinCell + 1
    const open = openAt(beading.gain, needed)
    this.seed(open)
    const grown = smoothStep(...SPREAD, risen)
    const rise = (1.25 * ring.moment) / (ring.section * THIN * coverage)
    const liquid = (rise * rise) / (1 + rise * rise)
    sys.shedRate = (open * grown * liquid * beading.growth) / needed
    return beading
  }

  /** Waves in a ring that has grown by e^fed are smaller by that. What changes by much in one step is another ring. */
  private dilute(fed: number): void {
    const loss = Number.isFinite(fed) ? fed / (1 + 4 * fed * fed) : 0
    for (let k = 0; k < WAVES; k++) this.gain[k] = Math.max(0, this.gain[k]! - loss)
  }

  /** A ring that breaks stirs all waves that can grow on it: they begin at its own size, not at the noise. */
  private seed(open: number): void {
    const { gain, rate } = this
    const lead = this.lead()
    let fastest = 0
    for (const one of rate) fastest = Math.max(fastest, one)
    for (let k = 0; k < WAVES; k++) {
      if (rate[k]! > 0) gain[k] = Math.max(gain[k]!, open * (lead - STIRRED + log(rate[k]! / fastest)))
    }
  }

  private lead(): number {
    let most = 0
    for (const gain of this.gain) most = Math.max(most, gain)
    return most
  }

  /** Growth over dt. What has broken begins anew: the leading wave grows to `most` and no further, the others keep their distance. */
  private grow(ridge: Ridge, R: number, dt: number, most: number): void {
    const { gain, rate } = this
    for (let k = 0; k < WAVES; k++) {
      const before = rate[k]!
      rate[k] = ridgeGrowth(COUNTS[k]! / R, ridge)
      gain[k] = Math.max(0, gain[k]! + 0.5 * dt * (before + rate[k]!))
    }
    const beyond = this.lead() - most
    if (beyond > 0) for (let k = 0; k < WAVES; k++) gain[k] = Math.max(0, gain[k]! - beyond)
  }

  /** The leading wave: the mean over all by their power, so that nothing jumps where another takes the lead. */
  private leading(ridge: Ridge, R: number, section: number, dt: number, needed: number): Beading {
    const { gain, rate } = this
    const lead = this.lead()
    let sum = 0
    let counts = 0
    let rates = 0
    for (let k = 0; k < WAVES; k++) {
      const weight = exp(2 * (gain[k]! - lead))
      sum += weight
      counts += weight * LOG_COUNTS[k]!
      rates += weight * Math.max(0, rate[k]!)
    }
    const bulges = exp(counts / sum)
    const volume = log((section * 2 * Math.PI * R) / bulges)
    const share = 1 - openAt(lead, needed) * exp((-dt * rates) / (sum * needed))
    this.bead = Number.isNaN(this.bead) ? volume : this.bead + share * (volume - this.bead)
    return {
      gain: lead,
      amplitude: Math.min(NOISE * exp(lead), ridge.base / 2),
      count: bulges,
      growth: rates / sum,
      beadRadius: exp((volume + SPHERE) / 3),
      dropRadius: exp((this.bead + SPHERE) / 3),
      base: ridge.base,
    }
  }
}

/**
 * Slope of the ridge's parabola by that of a resting edge of its liquid, √(−2S/γ_eff): 0.5 to 0.6 on fine meshes (200
 * cells) of four lives on oils of 50 to 70 mPa·s, 0.4 on castor oil.
 */
const LEANING = 0.55
/** A base of so many edge cells is half resolved. */
const RESOLVED = 3

/**
 * The ring as a ridge. Section and composition of a ring come out right even where it fills a cell or two, its shape does
 * not: it comes from section and second moment (∫e dr, ∫e² dr, which change smoothly from cell to cell) as far as the mesh
 * resolves it, and else from the slope at which its liquid would rest on the bath.
 */
function ridgeOf(sys: FilmSystem, { section, moment, fraction }: RingShape): Ridge | null {
  if (!(section > 0 && moment > 0)) return null
  const { closures, oilViscosity } = sys.problem
  const tension = closures.at(fraction, CLOSURE.levelling)
  // What drives the beads is the pressure of the curved surface.
  if (!(tension > 0)) return null
  const resting = LEANING * Math.sqrt(Math.max(0, -2 * closures.at(fraction, CLOSURE.spreading)) / tension)
  const shaped = (1.2 * section * section) / moment
  const last = sys.mesh.cells
  const cell = RESOLVED * sys.R * (sys.mesh.s[last]! - sys.mesh.s[last - 1]!)
  const known = (shaped * shaped) / (shaped * shaped + cell * cell)
  const slope = pow((6 * section) / (shaped * shaped), known) * pow(Math.max(resting, LEAST_SLOPE), 1 - known)
  return { base: Math.sqrt((6 * section) / slope), slope, tension, oilViscosity }
}
