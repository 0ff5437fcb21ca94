/** The liquids of a preset as functions of the composition. */

import { additiveVolumeFraction, massFractionOfAdditive } from '../liquids/composition.ts'
import { dropOilTension } from '../liquids/interfaceLaw.ts'
import { knownAt } from '../liquids/knownAt.ts'
import { HEAT_SOURCES } from '../liquids/oilHeat.ts'
import { mixtureFor, oilFor } from '../liquids/own/resolve.ts'
import { outsideWarnings } from '../liquids/range.ts'
import { water } from '../liquids/registry.ts'
import { activity, type Uptake, uptakeOf } from '../liquids/solubility.ts'
import type { Mixture, SourceNote } from '../liquids/types.ts'
import { ambientLiquidVolume, saturatedLiquidVolume } from '../liquids/vapour.ts'
import type { Cooling, Evaporation } from '../model/problem.ts'
import { exp } from '../numerics/elementary.ts'
import { coolingOf } from './coolingOf.ts'
import { AIR_SOURCES, leavingOf } from './evaporation.ts'
import { interfaceLawOf, REFERENCE_OIL } from './leastKnown.ts'
import { MODEL_SOURCES } from './modelSources.ts'
import type { AirFacts, Preset } from './types.ts'

/** The liquids of a preset as functions of the alcohol volume fraction φ, and the constants that go with them. */
export interface Pairing {
  phi0: number
  massFraction(phi: number): number
  volumeFraction(w: number): number
  gammaO: number
  gammaA(phi: number): number
  gammaI(phi: number): number
  viscosity(phi: number): number
  density(phi: number): number
  alcoholLoss(phi: number): number
  waterLoss(phi: number): number
  diffusivity(phi: number): number
  /** Activity of the alcohol relative to the pure liquid. */
  activity(phi: number): number
  /** What the oil takes up; null in the reference case, which has none unless it is given. */
  uptake: Uptake | null
  cooling: Cooling | null
  oilViscosity: number
  oilDensity: number
  levelling: number | null
  dispersion: number | null
  evaporationCutoff: number
  evaporation: Evaporation
  air: AirFacts | null
  sources: SourceNote[]
  warnings: string[]
}

const mN = (value: number | undefined, fallback: number): number =>
  value === undefined ? fallback : value * 1e-3

/** The closed-form liquids of the reference case, mN/m and SI; φ is the strength itself. */
function referencePairing(preset: Preset): Pairing {
  const { drop, bath, air } = preset
  const { water, end, decay } = interfaceLawOf(preset)
  const span = water - end
  return {
    phi0: drop.alcoholMassFraction,
    massFraction: (phi) => phi,
    volumeFraction: (w) => w,
    gammaO: mN(bath.tension_mNperM, REFERENCE_OIL.tension),
    gammaA: (phi) => 1e-3 * (27.6 - 6.4 * phi + 44.4 * exp(-phi / 0.085)),
    gammaI: (phi) => end + span * exp(-decay * phi),
    viscosity: () => 2.5e-3,
    density: (phi) => 998 - 209 * phi,
    alcoholLoss: (phi) => phi,
    waterLoss: () => 0,
    diffusivity: () => 1e-9,
    activity: (phi) => phi,
    uptake: null,
    cooling: null,
    oilViscosity: REFERENCE_OIL.viscosity,
    oilDensity: 920,
    levelling: 5e-3,
    dispersion: 1e-7,
    evaporationCutoff: 50e-9,
    evaporation: { kind: 'uniform', alcoholSpeed: air.constantRate_umPerS * 1e-6, waterSpeed: 0 },
    air: null,
    sources: [
      {
        quantity: 'all curves of the reference case',
        source: 'closed forms defined for this project',
        quality: 'assumed',
        range: 'alcohol fraction 0–1',
      },
    ],
    warnings: [],
  }
}

/** A function that keeps its values: several curves are tabulated at the same fractions. */
function once<T>(f: (phi: number) => T): (phi: number) => T {
  const known = new Map<number, T>()
  return (phi) => {
    const before = known.get(phi)
    if (before !== undefined) return before
    const value = f(phi)
    known.set(phi, value)
    return value
  }
}

function realPairing(preset: Preset): Pairing {
  const { drop, bath, air } = preset
  const T = air.temperature_C + 273.15
  const mixture = knownAt(mixtureFor(preset), T)
  const oil = oilFor(preset)
  const clamp = (phi: number) => Math.min(1, Math.max(0, phi))
  const massFraction = once((phi) => massFractionOfAdditive(mixture, clamp(phi), T))
  const saturated = once((phi) => saturatedLiquidVolume(mixture, massFraction(phi), T))
  const law = interfaceLawOf(preset)
  const constant = air.mode === 'constant'
  const ambient = ambientLiquidVolume(mixture, air.relativeHumidity, T)
  const leaving = leavingOf(preset, mixture, T)
  const viscosity = bath.viscosity_mPas === undefined ? oil.viscosity(T) : bath.viscosity_mPas * 1e-3
  const uptake = uptakeOf(mixture, oil, T, viscosity)
  const liquids = [...mixture.sources, ...water.sources, ...oil.sources]
  const more = uptake.sources.filter((note) => !liquids.includes(note))
  const sources = [...AIR_SOURCES, ...MODEL_SOURCES, ...HEAT_SOURCES, ...liquids, ...more]
  return {
    phi0: additiveVolumeFraction(mixture, drop.alcoholMassFraction, T),
    massFraction,
    volumeFraction: (w) => additiveVolumeFraction(mixture, w, T),
    gammaO: mN(bath.tension_mNperM, oil.surfaceTension(T)),
    gammaA: once((phi) => mixture.surfaceTension(massFraction(phi), T)),
    gammaI: once((phi) => dropOilTension(law, massFraction(phi))),
    viscosity: (phi) => mixture.viscosity(massFraction(phi), T),
    density: (phi) => mixture.density(massFraction(phi), T),
    alcoholLoss: constant ? (phi) => phi : (phi) => saturated(phi).alcohol,
    waterLoss: constant ? () => 0 : (phi) => saturated(phi).water - ambient.water,
    diffusivity: (phi) => mixture.liquidDiffusivity(massFraction(phi), T),
    activity: (phi) => activity(mixture, massFraction(phi), T),
    uptake,
    cooling: coolingOf(preset, mixture, oil.density(T), drop.alcoholMassFraction, ambient.water),
    oilViscosity: oil.viscosity(T),
    oilDensity: oil.density(T),
    levelling: null,
    dispersion: null,
    evaporationCutoff: 5e-9,
    evaporation: leaving.evaporation,
    air: leaving.air,
    sources,
    warnings: [
      ...rangeWarnings(T, mixture, oil),
      ...outsideWarnings(sources, air.temperature_C),
      ...strengthWarnings(drop.alcoholMassFraction, mixture),
      ...leaving.warnings,
    ],
  }
}

function rangeWarnings(
  T: number,
  ...liquids: { name: string; temperatureRange: [number, number] }[]
): string[] {
  return liquids
    .filter(({ temperatureRange: [low, high] }) => T < low || T > high)
    .map(
      ({ name, temperatureRange: [low, high] }) =>
        `${(T - 273.15).toFixed(1)} °C is outside the data of ${name} (${(low - 273.15).toFixed(0)}–${(high - 273.15).toFixed(0)} °C): the values are extrapolated.`,
    )
}

function strengthWarnings(w: number, { name, strongest = 1 }: Mixture): string[] {
  if (w <= strongest) return []
  const percent = (fraction: number) => `${Number((100 * fraction).toPrecision(3))} %`
  return [
    `${percent(w)} by mass is outside the data of ${name} (up to ${percent(strongest)}): beyond that the last value is used.`,
  ]
}

/** @returns the liquids of a preset; of the reference case its closed forms */
export const pairingOf = (preset: Preset): Pairing =>
  preset.drop.alcohol === 'reference' ? referencePairing(preset) : realPairing(preset)
