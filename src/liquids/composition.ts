import { clampFraction, T20 } from './constants.ts'
import type { Mixture } from './types.ts'
import { WATER_MOLAR_MASS } from './water.ts'

/** Alcohol mole fraction of mass fraction w; molar mass of the alcohol in kg/mol. */
export function moleFraction(molarMass: number, w: number): number {
  const alcohol = w / molarMass
  return alcohol / (alcohol + (1 - w) / WATER_MOLAR_MASS)
}

/** Alcohol mass fraction of mole fraction x; molar mass of the alcohol in kg/mol. */
export function massFraction(molarMass: number, x: number): number {
  const alcohol = x * molarMass
  return alcohol / (alcohol + (1 - x) * WATER_MOLAR_MASS)
}

/** Alcohol volume fraction of mass fraction w if volumes simply added; T in K. */
export function additiveVolumeFraction(mixture: Mixture, w: number, T: number): number {
  const alcohol = w / mixture.density(1, T)
  return alcohol / (alcohol + (1 - w) / mixture.density(0, T))
}

/** Alcohol mass fraction of volume fraction phi if volumes simply added; T in K. */
export function massFractionOfAdditive(mixture: Mixture, phi: number, T: number): number {
  const alcohol = phi * mixture.density(1, T)
  return alcohol / (alcohol + (1 - phi) * mixture.density(0, T))
}

/**
 * Strength in % by volume at 20 °C as on a bottle: volume of the pure alcohol over the volume of the
 * mixture, with the real densities (the definition of OIML R 22 and of labels).
 */
export function percentByVolume(mixture: Mixture, w: number): number {
  return (100 * w * mixture.density(w, T20)) / mixture.density(1, T20)
}

/**
 * Alcohol mass fraction of a strength in % by volume at 20 °C.
 * @throws RangeError outside 0–100.
 */
export function massFractionOfPercent(mixture: Mixture, percent: number): number {
  if (!(percent >= 0 && percent <= 100)) {
    throw new RangeError(`strength ${percent} % by volume: permitted 0–100`)
  }
  let low = 0
  let high = 1
  while (high - low > 1e-12) {
    const middle = (low + high) / 2
    if (percentByVolume(mixture, middle) < percent) low = middle
    else high = middle
  }
  return (low + high) / 2
}

/** What comes of pouring an alcohol–water mixture and water together. Volumes in the unit that was given. */
export interface Pouring {
  /** Volume after mixing. */
  volume: number
  /** Volume lost by mixing (positive: the sum shrinks). */
  contraction: number
  /** Alcohol mass fraction. */
  w: number
  /** Strength, % by volume at 20 °C. */
  percent: number
}

/**
 * Mixing two liquids at temperature T (K, default 20 °C): volume `first` of mass fraction `wFirst` and volume
 * `second` of `wSecond` (default pure alcohol and pure water).
 * @throws RangeError if a volume is negative or both are zero.
 */
export function pour(
  mixture: Mixture,
  first: number,
  second: number,
  wFirst = 1,
  wSecond = 0,
  T: number = T20,
): Pouring {
  if (!(first >= 0 && second >= 0 && first + second > 0)) {
    throw new RangeError(`volumes ${first} and ${second}: must be zero or more, not both zero`)
  }
  const m1 = first * mixture.density(clampFraction(wFirst), T)
  const m2 = second * mixture.density(clampFraction(wSecond), T)
  const w = (m1 * clampFraction(wFirst) + m2 * clampFraction(wSecond)) / (m1 + m2)
  const volume = (m1 + m2) / mixture.density(w, T)
  return { volume, contraction: first + second - volume, w, percent: percentByVolume(mixture, w) }
}
