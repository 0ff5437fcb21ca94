/** Preset → drop problem in SI units, with the facts of its liquids. */

import { additiveVolumeFraction, massFractionOfAdditive } from '../liquids/composition.ts'
import { defaultInterfaceLaw, dropOilTension } from '../liquids/interfaceLaw.ts'
import { knownAt } from '../liquids/knownAt.ts'
import { HEAT_SOURCES } from '../liquids/oilHeat.ts'
import { mixtureFor, oilFor } from '../liquids/own/resolve.ts'
import { outsideWarnings } from '../liquids/range.ts'
import { water } from '../liquids/registry.ts'
import { activity, type Uptake, uptakeOf } from '../liquids/solubility.ts'
import type { Mixture, SourceNote } from '../liquids/types.ts'
import { ambientLiquidVolume, saturatedLiquidVolume } from '../liquids/vapour.ts'
import { meanFlux } from '../model/airTables.ts'
import { CLOSURE, type Cooling, type DropProblem, type Evaporation } from '../model/problem.ts'
import { GRAVITY } from '../model/scales.ts'
import { CurveSet } from '../numerics/curveSet.ts'
import { exp, log } from '../numerics/elementary.ts'
import { accuracyOf } from './accuracy.ts'
import { coolingOf } from './coolingOf.ts'
import { AIR_SOURCES, leavingOf } from './evaporation.ts'
import { draggedLess, type Limit, limitOf } from './mechanisms.ts'
import { MODEL_SOURCES } from './modelSources.ts'
import type { AirFacts, LiquidFacts, Preset } from './types.ts'

/** The liquids of a preset as functions of the alcohol volume fraction φ, and the constants that go with them. */
interface Pairing {
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

/** Diffusivity in the oil of the reference case where its solubility alone is given, m²/s. */
const REFERENCE_OIL = 2e-10

const mN = (value: number | undefined, fallback: number): number =>
  value === undefined ? fallback : value * 1e-3

/** The closed-form liquids of the reference case, mN/m and SI; φ is the strength itself. */
function referencePairing(preset: Preset): Pairing {
  const { drop, bath, air, interface: face } = preset
  const end = mN(face.end_mNperM, 0.4e-3)
  const span = mN(face.water_mNperM, 24.9e-3) - end
  const decay = face.decay ?? 3.6
  return {
    phi0: drop.alcoholMassFraction,
    massFraction: (phi) => phi,
    volumeFraction: (w) => w,
    gammaO: mN(bath.tension_mNperM, 33e-3),
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
    oilViscosity: 0.05,
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
  const { drop, bath, air, interface: face } = preset
  const T = air.temperature_C + 273.15
  const mixture = knownAt(mixtureFor(preset), T)
  const oil = oilFor(preset)
  const clamp = (phi: number) => Math.min(1, Math.max(0, phi))
  const massFraction = once((phi) => massFractionOfAdditive(mixture, clamp(phi), T))
  const saturated = once((phi) => saturatedLiquidVolume(mixture, massFraction(phi), T))
  const standard = defaultInterfaceLaw(oil, T)
  const law = {
    water: mN(face.water_mNperM, standard.water),
    end: mN(face.end_mNperM, standard.end),
    decay: face.decay ?? standard.decay,
  }
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

/** @returns the problem that the engine solves and what is to be told of its liquids. */
export function problemOf(
  preset: Preset,
  fields = accuracyOf(preset).fields,
): { problem: DropProblem; facts: LiquidFacts } {
  const { drop, bath, model, mechanisms } = preset
  const pairing = drop.alcohol === 'reference' ? referencePairing(preset) : realPairing(preset)
  const { gammaO, phi0 } = pairing
  const limit = limitOf(pairing, mechanisms)
  const fixedLevelling =
    model.gammaEff_mNperM === undefined ? pairing.levelling : model.gammaEff_mNperM * 1e-3
  const viscosity = drop.viscosity_mPas === undefined ? pairing.viscosity : () => drop.viscosity_mPas! * 1e-3
  const solubility = bath.solubility ?? pairing.uptake?.solubility ?? 0
  const diffusivity = bath.alcoholDiffusivity_m2PerS ?? pairing.uptake?.diffusivity ?? REFERENCE_OIL
  const curvesOf = ({ gammaA, gammaI, alcoholLoss, waterLoss }: Limit) => {
    const levelling = (phi: number) => {
      if (!mechanisms.levelling) return 0
      if (fixedLevelling !== null) return fixedLevelling
      const a = gammaA(phi)
      const i = gammaI(phi)
      return (a * i) / (a + i)
    }
    const spreading = (phi: number) => gammaO - gammaA(phi) - gammaI(phi)
    return new CurveSet([
      gammaA,
      spreading,
      levelling,
      viscosity,
      alcoholLoss,
      waterLoss,
      pairing.diffusivity,
      (phi) => solubility * pairing.activity(phi),
    ])
  }
  const closures = curvesOf(limit)
  const oilDensity = bath.density_kgPerM3 ?? pairing.oilDensity
  const oilViscosity = bath.viscosity_mPas === undefined ? pairing.oilViscosity : bath.viscosity_mPas * 1e-3
  const density = pairing.density(phi0)
  const problem: DropProblem = {
    volume: drop.volume_uL * 1e-9,
    startRadius: drop.startRadius_mm * 1e-3,
    phi0,
    phiDry: phi0,
    depth: bath.depth_mm * 1e-3,
    dishRadius: bath.dishRadius_mm * 1e-3,
    oilViscosity: mechanisms.bathDrag ? oilViscosity : draggedLess(oilViscosity),
    oilDensity,
    gammaO,
    closures,
    evaporation: pairing.evaporation,
    uptake: mechanisms.uptake && solubility > 0 && diffusivity > 0 ? { diffusivity } : null,
    cooling: coolingWith(pairing, mechanisms),
    coverage: model.filmCutoff_nm * 1e-9,
    coverageLaw: 'saturating',
    evaporationCutoff:
      model.evaporationCutoff_nm === undefined
        ? pairing.evaporationCutoff
        : model.evaporationCutoff_nm * 1e-9,
    dispersion: model.dispersion_m2PerS ?? pairing.dispersion,
    buoyancy: model.gravity ? density * GRAVITY * (1 - density / oilDensity) : 0,
    fields,
    edge: 'contact',
    breakUp: preset.ring.breakUp,
  }
  // The facts are those of the liquids, whatever is switched off: the threshold of the strengths is theirs.
  const flat = !(mechanisms.tensionAbove && mechanisms.tensionBelow)
  const liquids = flat ? curvesOf(pairing) : closures
  const facts = { ...factsOf(pairing, problem, liquids, density, { solubility, diffusivity }), oilViscosity }
  const dry = flat ? criticalPhi(pairing, closures) : facts.criticalPhi
  if (dry > 0) problem.phiDry = dry
  return { problem, facts }
}

/** Nothing cools where nothing evaporates; without a gradient above, the film's temperature makes none. */
function coolingWith({ cooling }: Pairing, on: Preset['mechanisms']): Cooling | null {
  if (!(cooling && on.cooling && on.evaporation)) return null
  return on.tensionAbove ? cooling : { ...cooling, tensionRise: 0 }
}

const spreadingOf =
  ({ volumeFraction }: Pairing, curves: CurveSet) =>
  (w: number): number =>
    curves.at(volumeFraction(w), CLOSURE.spreading)

/** φ where S of these curves rises through zero; NaN if it does not. */
const criticalPhi = (pairing: Pairing, curves: CurveSet): number =>
  pairing.volumeFraction(crossing(spreadingOf(pairing, curves)))

function factsOf(
  pairing: Pairing,
  problem: DropProblem,
  liquids: CurveSet,
  density: number,
  { solubility, diffusivity }: Pick<Uptake, 'solubility' | 'diffusivity'>,
): LiquidFacts {
  const { closures, gammaO } = problem
  const { phi0, volumeFraction } = pairing
  const S = spreadingOf(pairing, liquids)
  const critical = crossing(S)
  const w = Float64Array.from({ length: 101 }, (_, i) => i / 100)
  const warnings = [...pairing.warnings]
  if (phi0 > VERY_STRONG) warnings.push(thinFilmWarning(pairing))
  return {
    phi0,
    S0: closures.at(phi0, CLOSURE.spreading),
    criticalMassFraction: critical,
    criticalPhi: Number.isNaN(critical) ? Number.NaN : volumeFraction(critical),
    startFlux: startFlux(problem),
    air: pairing.air,
    uptake: { solubility, diffusivity, factor: uptakeFactor(pairing.uptake) },
    gammaO,
    gammaA0: closures.at(phi0, CLOSURE.gammaA),
    gammaI0: pairing.gammaI(phi0),
    viscosity: closures.at(phi0, CLOSURE.viscosity),
    density,
    oilViscosity: problem.oilViscosity,
    oilDensity: problem.oilDensity,
    curve: {
      w,
      S: w.map(S),
      gammaA: w.map((x) => pairing.gammaA(volumeFraction(x))),
      gammaI: w.map((x) => pairing.gammaI(volumeFraction(x))),
    },
    sources: pairing.sources,
    warnings,
  }
}

/** Alcohol by volume (volumes added) above which the outermost film is thinner than the coverage cut-off. */
const VERY_STRONG = 0.7

/** Told in the measure of the preset's strength: by mass, or by volume in the reference case, where the two are one. */
function thinFilmWarning({ massFraction, uptake }: Pairing): string {
  const basis = uptake === null ? 'by volume' : 'by mass'
  return (
    `Above about ${(100 * massFraction(VERY_STRONG)).toFixed(0)} % alcohol ${basis} the outermost film is so thin that the result ` +
    'depends on an assumption: how well so thin a film still pulls (the coverage cut-off).'
  )
}

/** What is taken up goes as c*√D: the factor within which that is known, both errors independent. */
function uptakeFactor(uptake: Uptake | null): number {
  if (!uptake) return 1
  const solubility = log(uptake.solubilityFactor)
  const diffusivity = 0.5 * log(uptake.diffusivityFactor)
  return exp(Math.sqrt(solubility * solubility + diffusivity * diffusivity))
}

/** Loss of alcohol at touch-down, m/s (mean over the drop). */
function startFlux(problem: DropProblem): number {
  const { evaporation, closures, phi0, startRadius } = problem
  const y = closures.at(phi0, CLOSURE.alcoholLoss)
  if (evaporation.kind === 'uniform') return evaporation.alcoholSpeed * y
  if (evaporation.kind === 'layer') {
    const { alcoholDiffusivity: D, thickness } = evaporation
    return (D / startRadius) * meanFlux(thickness / startRadius) * y
  }
  // Mean of the still-air flux over a disc: 4 D R Δc over its area.
  return (evaporation.enhancement * 4 * evaporation.alcoholDiffusivity * y) / (Math.PI * startRadius)
}

/** Smallest w in (0, 1) at which S rises through zero; NaN if it does not. */
function crossing(S: (w: number) => number): number {
  let low = 0
  if (S(0) > 0) return 0
  for (let k = 1; k <= 200; k++) {
    if (S(k / 200) > 0) {
      let high = k / 200
      for (let n = 0; n < 50; n++) {
        const middle = (low + high) / 2
        if (S(middle) > 0) high = middle
        else low = middle
      }
      return high
    }
    low = k / 200
  }
  return Number.NaN
}
