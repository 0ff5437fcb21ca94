/** Preset → drop problem in SI units, with the facts of its liquids. */

import type { Uptake } from '../liquids/solubility.ts'
import { meanFlux } from '../model/airTables.ts'
import { CLOSURE, type Cooling, type DropProblem } from '../model/problem.ts'
import { GRAVITY } from '../model/scales.ts'
import { accuracyOf } from './accuracy.ts'
import { uptakeFactor } from './leastKnown.ts'
import { type LiquidCurves, liquidCurves } from './liquidCurves.ts'
import { draggedLess } from './mechanisms.ts'
import { type Pairing, pairingOf } from './pairing.ts'
import type { LiquidFacts, Preset } from './types.ts'

/** Diffusivity in the oil of the reference case where its solubility alone is given, m²/s. */
const REFERENCE_DIFFUSIVITY = 2e-10

/** @returns the problem that the engine solves and what is to be told of its liquids. */
export function problemOf(
  preset: Preset,
  fields = accuracyOf(preset).fields,
): { problem: DropProblem; facts: LiquidFacts } {
  const { drop, bath, model, mechanisms } = preset
  const pairing = pairingOf(preset)
  const { gammaO, phi0 } = pairing
  const solubility = bath.solubility ?? pairing.uptake?.solubility ?? 0
  const diffusivity = bath.alcoholDiffusivity_m2PerS ?? pairing.uptake?.diffusivity ?? REFERENCE_DIFFUSIVITY
  const curves = liquidCurves(preset, pairing, {
    solubility,
    viscosity: drop.viscosity_mPas === undefined ? pairing.viscosity : () => drop.viscosity_mPas! * 1e-3,
    levelling: model.gammaEff_mNperM === undefined ? pairing.levelling : model.gammaEff_mNperM * 1e-3,
  })
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
    closures: curves.closures,
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
  const facts = { ...factsOf(pairing, problem, curves, density, { solubility, diffusivity }), oilViscosity }
  if (curves.dryPhi > 0) problem.phiDry = curves.dryPhi
  return { problem, facts }
}

/** Nothing cools where nothing evaporates; without a gradient above, the film's temperature makes none. */
function coolingWith({ cooling }: Pairing, on: Preset['mechanisms']): Cooling | null {
  if (!(cooling && on.cooling && on.evaporation)) return null
  return on.tensionAbove ? cooling : { ...cooling, tensionRise: 0 }
}

function factsOf(
  pairing: Pairing,
  problem: DropProblem,
  { criticalMassFraction, curve }: LiquidCurves,
  density: number,
  { solubility, diffusivity }: Pick<Uptake, 'solubility' | 'diffusivity'>,
): LiquidFacts {
  const { closures, gammaO } = problem
  const { phi0, volumeFraction } = pairing
  const warnings = [...pairing.warnings]
  if (phi0 > VERY_STRONG) warnings.push(thinFilmWarning(pairing))
  return {
    phi0,
    S0: closures.at(phi0, CLOSURE.spreading),
    criticalMassFraction,
    criticalPhi: Number.isNaN(criticalMassFraction) ? Number.NaN : volumeFraction(criticalMassFraction),
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
    // A life's own: its rows may be handed over to another thread.
    curve: {
      w: curve.w.slice(),
      S: curve.S.slice(),
      gammaA: curve.gammaA.slice(),
      gammaI: curve.gammaI.slice(),
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
