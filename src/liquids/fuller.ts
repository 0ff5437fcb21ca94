/**
 * Diffusion volumes of Fuller, Ensley & Giddings, J. Phys. Chem. 73, 3679 (1969), as tabulated by
 * Poling, Prausnitz & O'Connell (2001). Atoms: C 15.9, H 2.31, O 6.11; air and water as wholes (water from memory).
 */
import { cbrt, pow, square } from '../numerics/elementary.ts'

export const DIFFUSION_VOLUME = { C: 15.9, H: 2.31, O: 6.11, air: 19.7, water: 13.1 } as const

/** Molar mass of dry air, kg/mol. */
export const AIR_MOLAR_MASS = 0.02896

/** Diffusion volume of an alcohol CnH(2n+2)O. */
export function alkanolDiffusionVolume(carbons: number): number {
  return carbons * DIFFUSION_VOLUME.C + (2 * carbons + 2) * DIFFUSION_VOLUME.H + DIFFUSION_VOLUME.O
}

/** Diffusivity of a vapour in air at 101 325 Pa, m²/s. `molarMass` in kg/mol, `volume` the diffusion volume, T in K. */
export function airDiffusivity(molarMass: number, volume: number, T: number): number {
  const mean = 2e3 / (1 / molarMass + 1 / AIR_MOLAR_MASS) // g/mol
  const size = square(cbrt(volume) + cbrt(DIFFUSION_VOLUME.air))
  return (1e-4 * 0.00143 * pow(T, 1.75)) / (1.01325 * Math.sqrt(mean) * size)
}
