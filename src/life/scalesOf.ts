/** The scales of a drop: its problem and liquids put into the formulas. */
import type { DropProblem } from '../model/problem.ts'
import { type Scales, scales } from '../model/scales.ts'
import type { LiquidFacts } from './types.ts'

/** @param thickness m, typical of the film */
export const scalesOf = (problem: DropProblem, facts: LiquidFacts, thickness: number): Scales =>
  scales({
    phi0: facts.phi0,
    volume: problem.volume,
    spreading: facts.S0,
    depth: problem.depth,
    oilViscosity: problem.oilViscosity,
    startFlux: facts.startFlux,
    viscosity: facts.viscosity,
    thickness,
  })
