import {
  ALCOHOL_LOSS,
  CLOSURES,
  DIFFUSIVITY,
  DISSOLVED,
  GAMMA_A,
  LEVELLING,
  SPREADING,
  VISCOSITY,
  WATER_LOSS,
} from '../engine/places.ts'
import type { CurveSet } from '../numerics/curveSet.ts'
import type { BathFields } from './bathFields.ts'

/** Order of the closures in a problem's CurveSet; all are functions of the alcohol volume fraction φ. */
export const CLOSURE = {
  /** γa, tension of drop against air, N/m */
  gammaA: GAMMA_A,
  /** S = γo − γa − γi, spreading parameter, N/m */
  spreading: SPREADING,
  /** γ_eff, levelling tension, N/m */
  levelling: LEVELLING,
  /** η, Pa·s */
  viscosity: VISCOSITY,
  /** y_a: liquid volume of alcohol lost per volume of saturated air carried off (φ itself for a constant rate) */
  alcoholLoss: ALCOHOL_LOSS,
  /** y_w: the same for water; negative where the room's moisture condenses */
  waterLoss: WATER_LOSS,
  /** molecular diffusivity in the liquid, m²/s */
  diffusivity: DIFFUSIVITY,
  /** c at the oil's surface under the film: volume of alcohol per volume of oil, solubility times activity */
  dissolved: DISSOLVED,
} as const

export const CLOSURE_COUNT = CLOSURES

/** How vapour is carried off. Speeds multiply the loss closures. */
export type Evaporation =
  | { kind: 'uniform'; alcoholSpeed: number; waterSpeed: number }
  | { kind: 'disc'; alcoholDiffusivity: number; waterDiffusivity: number; enhancement: number }
  /** A layer of air of this thickness (m) over the drop, one body. */
  | { kind: 'layer'; alcoholDiffusivity: number; waterDiffusivity: number; thickness: number }

/** How evaporation cools the film; temperatures as differences from the room's. */
export interface Cooling {
  /** Thermal diffusivity of the oil, m²/s. */
  diffusivity: number
  /** Latent heat per volume of evaporated liquid by the oil's heat capacity per volume, K. */
  alcoholHeat: number
  waterHeat: number
  /** −d ln(saturation pressure)/dT, 1/K; 0 where the rate of evaporation is given. */
  alcoholFall: number
  waterFall: number
  /** The room's moisture in the unit of the loss closures: what the film gives off does not change it. */
  ambientWater: number
  /** −dγa/dT, N/m per K. */
  tensionRise: number
}

/** Everything the engine needs to know of one drop, SI units. */
export interface DropProblem {
  /** Volume of the drop, m³. */
  volume: number
  /** Radius at touch-down, m. */
  startRadius: number
  /** Alcohol volume fraction at the start, 0 … 1. */
  phi0: number
  /** Fraction that a cell with nothing in it is given, so that its first liquid finds no jump: φc, else φ0. */
  phiDry: number
  /** Depth of the bath H, m. */
  depth: number
  dishRadius: number
  /** ηo, Pa·s, and ρo, kg/m³. */
  oilViscosity: number
  oilDensity: number
  /** γo, N/m. */
  gammaO: number
  closures: CurveSet
  evaporation: Evaporation
  /** Diffusivity of the alcohol in the oil, m²/s; null where the oil takes up none. */
  uptake: { diffusivity: number } | null
  /** Null leaves the film at the room's temperature. */
  cooling: Cooling | null
  /** Coverage cut-off h*, m. */
  coverage: number
  /** 'saturating': C = x²/(1 + x²), x = h/h*. 'linear': C = x, an insoluble layer whose tension falls as it thickens. */
  coverageLaw: 'saturating' | 'linear'
  /** Evaporation cut-off h_e, m. */
  evaporationCutoff: number
  /** Constant dispersion D_eff, m²/s, or null for molecular diffusion with shear dispersion. */
  dispersion: number | null
  /** ρ g′ = ρ g (1 − ρ/ρo), N/m³; zero switches weight off. Either sign. */
  buoyancy: number
  /** Fields of the bath; none makes the floor under the film rigid. */
  fields: BathFields
  /** 'contact': the film ends at h = 0 on a moving edge. 'wall': it ends at a fixed wall with zero slope. */
  edge: 'contact' | 'wall'
  breakUp: boolean
}
