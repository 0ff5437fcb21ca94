/** Contracts of the liquids library. Temperatures in kelvin, everything else SI. */

/** How well a datum is known. */
export type Quality = 'measured' | 'correlated' | 'derived' | 'assumed' | 'from memory'

/** Where a number or curve comes from; shown beside the control that uses it. */
export interface SourceNote {
  /** What it is, e.g. "density of the mixture". */
  quantity: string
  source: string
  quality: Quality
  /** Validity in words with units, e.g. "0–100 % by mass, 10–35 °C". */
  range: string
  /** Temperatures of the data themselves, °C, where they are narrower than the use that is made of them. */
  celsius?: readonly [low: number, high: number]
}

/** A binary mixture of a volatile alcohol (1) and water (2) over the whole composition range. */
export interface Mixture {
  id: string
  name: string
  /** Molar mass of the alcohol, kg/mol. */
  molarMass: number
  /** Density, kg/m³, at alcohol mass fraction w (0–1) and temperature T (K). */
  density(w: number, T: number): number
  /** Dynamic viscosity, Pa·s. */
  viscosity(w: number, T: number): number
  /** Tension against air, N/m; smooth and monotone decreasing in w. */
  surfaceTension(w: number, T: number): number
  /** Activity coefficients [alcohol, water] at alcohol mole fraction x (0–1). */
  activity(x: number, T: number): [number, number]
  /** Saturation pressure of the pure alcohol, Pa. */
  vapourPressure(T: number): number
  /** Diffusivity of the alcohol's vapour in air at 101 325 Pa, m²/s. */
  vapourDiffusivity(T: number): number
  /** Mutual diffusivity in the liquid at mass fraction w, m²/s. */
  liquidDiffusivity(w: number, T: number): number
  /** Refractive index (sodium D line). */
  refractiveIndex(w: number, T: number): number
  /** Valid temperatures, K. */
  temperatureRange: [number, number]
  /** A user's liquid: the library alcohol that lends what is not given. */
  like?: string
  /** Highest mass fraction that the data cover; absent: pure alcohol. */
  strongest?: number
  sources: SourceNote[]
}

/** Pure water, needed by every mixture. */
export interface Water {
  molarMass: number
  density(T: number): number
  viscosity(T: number): number
  surfaceTension(T: number): number
  vapourPressure(T: number): number
  vapourDiffusivity(T: number): number
  sources: SourceNote[]
}

/** A bath liquid. */
export interface Oil {
  id: string
  name: string
  density(T: number): number
  viscosity(T: number): number
  surfaceTension(T: number): number
  /** Tension between this oil and pure water, N/m. */
  waterTension(T: number): number
  /** A user's oil: the library oil that lends what is not given. */
  like?: string
  /** A user's oil may give it: volume of pure alcohol per volume of oil at the activity of the pure alcohol. */
  alcoholSolubility?(T: number): number
  /** A user's oil may give it: diffusivity of the alcohol in the oil, m²/s. */
  alcoholDiffusivity?(T: number): number
  temperatureRange: [number, number]
  sources: SourceNote[]
}

/**
 * Drop/oil tension against alcohol mass fraction:
 * end + (water − end)·exp(−decay·w), N/m. Assumed; all three numbers editable.
 */
export interface InterfaceLaw {
  water: number
  end: number
  decay: number
}
