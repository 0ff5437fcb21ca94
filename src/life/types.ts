/** The contract between the engine and everything that shows a drop's life. */
import type { OwnLiquids } from '../liquids/own/types.ts'

/** Preset as in the file: unit in the key, every value checked against keys.ts. Missing = default. */
export interface Preset {
  format: 'rimtide-preset'
  version: 1
  title: string
  note: string
  drop: {
    volume_uL: number
    startRadius_mm: number
    alcohol: string
    alcoholMassFraction: number
    viscosity_mPas?: number
  }
  bath: {
    liquid: string
    depth_mm: number
    dishRadius_mm: number
    viscosity_mPas?: number
    density_kgPerM3?: number
    tension_mNperM?: number
    solubility?: number
    alcoholDiffusivity_m2PerS?: number
  }
  air: {
    temperature_C: number
    relativeHumidity: number
    mode: 'constant' | 'moving' | 'still' | 'layer'
    constantRate_umPerS: number
    filmCoefficient_mmPerS: number
    speed_mPerS?: number
    enhancement: number
    layer_mm: number
  }
  ring: { breakUp: boolean }
  interface: { water_mNperM?: number; end_mNperM?: number; decay?: number }
  model: {
    accuracy: 'quick' | 'normal' | 'fine'
    bath: 'exact' | 'three-field'
    innerCells?: number
    outerCells?: number
    filmCutoff_nm: number
    evaporationCutoff_nm?: number
    gammaEff_mNperM?: number
    dispersion_m2PerS?: number
    gravity: boolean
    horizon_s?: number
  }
  /** False switches a mechanism off (a limit of the equations); files leave out what is on. */
  mechanisms: {
    evaporation: boolean
    tensionAbove: boolean
    tensionBelow: boolean
    bathDrag: boolean
    levelling: boolean
    uptake: boolean
    cooling: boolean
  }
  /** The user's own liquids; drop.alcohol or bath.liquid "own" stands for them. */
  liquids?: OwnLiquids
}

/** One thing that is wrong with an input: where, what, and what would be right. */
export interface Problem {
  /** Dotted key, or line/column of a table. */
  where: string
  message: string
}

/**
 * What becomes of a drop. 'spreads': it was still as wide as ever when the time that was computed ended, so that nobody
 * knows what comes; 'failed': what was computed does not tell.
 */
export type OutcomeName = 'lens' | 'spreads' | 'recedes' | 'sheds' | 'dries' | 'reaches-wall' | 'failed'

/**
 * Fields of the life at every kept moment, SI units. Row k of a field starts at k·(its row length).
 * All are Float64Array so that they can be transferred.
 */
export interface LifeFrames {
  /** Number of moments. */
  count: number
  /** Cells under the drop. */
  inner: number
  /** Cells between edge and wall. */
  outer: number
  /** Relative radii r/R of the inner faces, length inner + 1 (0 … 1). */
  sFaces: Float64Array
  /** Relative position (r − R)/(R_dish − R) of the outer faces, length outer + 1 (0 … 1). */
  gFaces: Float64Array
  /** Time, s. */
  t: Float64Array
  /** Edge radius, m. */
  R: Float64Array
  /** Edge speed, m/s. */
  U: Float64Array
  /** Film thickness in the cells, m; row length inner. */
  h: Float64Array
  /** Alcohol volume fraction in the cells; row length inner. */
  phi: Float64Array
  /** Tension that the film passes to the bath σ = γo − C S, N/m; row length inner. */
  sigma: Float64Array
  /** Tension of drop against air, N/m; row length inner. */
  gammaA: Float64Array
  /** Bath surface speed at the faces, m/s, inner faces then outer faces (the edge once): row length inner + 1 + outer. */
  u: Float64Array
  /** Speed of the drop's upper surface at the inner faces, m/s: row length inner + 1. */
  surfaceSpeed: Float64Array
  /** Pulls on the bath per area at the inner faces, Pa, row length inner + 1. Their sum is what drags the bath.
   *  The last face carries the edge's line force spread over its dual cell. */
  pullAbove: Float64Array
  pullBelow: Float64Array
  pullCapillary: Float64Array
  /** Pull of the edge's line force, N/m, one per moment. */
  edgePull: Float64Array
  /**
   * Volume that flows outward through the inner faces, which move with the edge (at fixed r/R), per radian: r (h v + q),
   * m³/s; row length inner + 1, 0 at the middle and at the edge.
   */
  flux: Float64Array
  /** Thickness that the cells lose as vapour (negative: it condenses), into the oil and as child drops, m/s; row length inner. */
  vapour: Float64Array
  uptake: Float64Array
  shed: Float64Array
}

/** One number per kept moment, SI units. NaN where there is no ring or thin spot. */
export interface LifeSeries {
  t: Float64Array
  R: Float64Array
  U: Float64Array
  centre: Float64Array
  thin: Float64Array
  thinRadius: Float64Array
  ringHeight: Float64Array
  ringRadius: Float64Array
  ringWidth: Float64Array
  ringVolume: Float64Array
  volume: Float64Array
  alcohol: Float64Array
  evaporatedVolume: Float64Array
  evaporatedAlcohol: Float64Array
  /** Alcohol that the oil has taken up, m³. */
  inOil: Float64Array
  childVolume: Float64Array
  childAlcohol: Float64Array
  childCount: Float64Array
  /** Radius of the child drops being shed at this moment, m. */
  childRadius: Float64Array
  /** Beads on the ring, an estimate: bulges round the drop of the wave that leads (NaN without a ring) … */
  beads: Float64Array
  /** … the displacement of the edge by it, m (NOISE of breakUp.ts at first, at most half the ring's base; 0 without a ring) … */
  beadAmplitude: Float64Array
  /** … and the radius of a drop of one wavelength of the ring, m (NaN without a ring). */
  beadRadius: Float64Array
  /** Base of the ring taken as a ridge, m (NaN without a ring). */
  ringBase: Float64Array
}

export interface Summary {
  outcome: OutcomeName
  /** Cause and remedy when failed, else a short reason for the outcome. */
  cause: string
  maxRadius: number
  maxRadiusTime: number
  /** Times between which R > 0.99 R_max, s. */
  maxRadiusBand: [number, number]
  /** NaN if it did not collapse. */
  collapseTime: number
  lifeEnd: number
  /** Whether the calculation had to end before the life did (the cause says when). */
  cut: boolean
  /** Estimated numerical error of maxRadius (m) and collapseTime (s); NaN if not estimated. */
  maxRadiusError: number
  collapseTimeError: number
  /**
   * Largest displacement of the edge by the waves on the ring, in parts of the ring's base (at most a half); NaN without a
   * ring. From about a third on it sheds.
   */
  waves: number
  /**
   * Another outcome that a slightly different calculation may give: that of the coarser life from which the errors come, or
   * "sheds" and "recedes" for one another where little is missing; '' if there is none or it is not known.
   */
  otherOutcome: OutcomeName | ''
  scale: { radius: number; time: number; ratio: number; filmRadius: number; filmTime: number }
  volumeClosure: number
  alcoholClosure: number
  childDrops: { count: number; volume: number; medianRadius: number }
  /** Smallest thickness of the thin spot (m) while R grows from 0.8 R_max to R_max, and where; NaN if none. */
  thinnest: { thickness: number; radius: number; time: number }
  /** First moment at which child drops leave, s, NaN if never. */
  firstBreakUp: number
  steps: number
  rejected: number
  factorisations: number
  wall_ms: number
}

/** Moving air over the dish, SI units. */
export interface AirFacts {
  /** True if the film coefficient comes from the air speed; else it was given, and `speed` is what would give it. */
  fromSpeed: boolean
  /** m/s. */
  speed: number
  /** Path of the air from the rim of the dish to its middle, m. */
  length: number
  /** Film coefficient of the alcohol's vapour, m/s. */
  filmCoefficient: number
  /** Of speed and length. */
  reynolds: number
  /** Pull of the air on the surface in the middle of the dish, Pa. */
  drag: number
}

/** Facts about the liquids of this preset, for the sentence, the notes beside the controls and the lab sheet. */
export interface LiquidFacts {
  /** Alcohol volume fraction at the start (additive volumes). */
  phi0: number
  /** Spreading parameter at the start, N/m. */
  S0: number
  /** Threshold by mass and as volume fraction where S = 0; NaN if S never changes sign. */
  criticalMassFraction: number
  criticalPhi: number
  /** Start value of the alcohol loss, m/s. */
  startFlux: number
  /** Null unless the air is moving and the liquids are real. */
  air: AirFacts | null
  /** Uptake by the oil: c* (volume per volume, 0 = none) and diffusivity D in the oil, m²/s; c*√D is known within `factor`. */
  uptake: { solubility: number; factor: number; diffusivity: number }
  /** Initial film facts used: SI. */
  gammaO: number
  gammaA0: number
  gammaI0: number
  viscosity: number
  density: number
  oilViscosity: number
  oilDensity: number
  /** Curves for plots, equal length: mass fraction, S (N/m), γa, γi. */
  curve: { w: Float64Array; S: Float64Array; gammaA: Float64Array; gammaI: Float64Array }
  sources: import('../liquids/types.ts').SourceNote[]
  /** Sentences about validity: out of range, cut-off dependence, … */
  warnings: string[]
}

/** A drop's whole life, or the part that is known. */
export interface Life {
  preset: Preset
  /** 'growing' while it is being computed, 'stopped' if cancelled. */
  status: 'growing' | 'done' | 'stopped'
  frames: LifeFrames
  series: LifeSeries
  summary: Summary
  facts: LiquidFacts
}

export type LifeResult =
  | { ok: true; life: Life }
  | { ok: false; reason: 'invalid' | 'cancelled' | 'crashed'; problems: Problem[] }
