/** How the vapour leaves the drop: from the preset's air to the engine's evaporation, with what is to be told of it. */

import { airStream, REYNOLDS_RANGE, speedOfCoefficient } from '../liquids/airStream.ts'
import type { Mixture, SourceNote } from '../liquids/types.ts'
import { water } from '../liquids/water.ts'
import type { Evaporation } from '../model/problem.ts'
import { pow } from '../numerics/elementary.ts'
import { keyOf } from './keys.ts'
import type { AirFacts, Preset } from './types.ts'

/** Drag of the air beyond which it is spoken of, Pa: about a tenth of the pull of a spreading drop, a few mN/m over centimetres. */
const DRAG = 0.01

export const AIR_SOURCES: readonly SourceNote[] = [
  {
    quantity: 'film coefficient from the air speed',
    source:
      'laminar boundary layer on a flat plate, Sh = 0.664 Re^½ Sc^⅓, averaged from the rim of the dish to its middle: Incropera & DeWitt, Fundamentals of Heat and Mass Transfer; held constant though the drop grows (a vapour layer that begins at the drop’s edge would have 2.0 times as much at 1/28 of the dish’s radius, 1.1 at a fifth, 0.8 at half)',
    quality: 'correlated',
    range: `Re ${REYNOLDS_RANGE[0]} to 5·10⁵, a dish filled to the rim, even air`,
  },
  {
    quantity: 'film coefficient, its default',
    source: 'a quiet bench, 4 mm/s chosen; Rimtide’s own choice',
    quality: 'assumed',
    range: 'a room: 1–20 mm/s',
  },
  {
    quantity: 'film coefficient of water beside that of the alcohol',
    source: 'as the diffusivities to the power 2/3: Chilton & Colburn, Ind. Eng. Chem. 26, 1183 (1934)',
    quality: 'correlated',
    range: 'laminar layers, Sc 0.6 and above',
  },
  {
    quantity: 'still air over a disc',
    source: 'diffusion from a flat disc, 4 D R Δc in all: Deegan et al., Nature 389, 827 (1997)',
    quality: 'derived',
    range: 'air at rest, no wall near, vapour no heavier than air',
  },
  {
    quantity: 'draught factor',
    source: 'a real room is one to four times as fast as still air; common practice, no source',
    quality: 'assumed',
    range: '1–4',
  },
  {
    quantity: 'layer of air, one body over the drop',
    source:
      'diffusion from a disc through a layer with the room’s air at its top, solved over rings: in the limits D/δ (δ much thinner than the drop is wide) and still air over a disc. Forms from first contact on as over a wide drop (Crank, The Mathematics of Diffusion, from memory), everywhere alike, also under what the drop spreads to later; between both limits up to 5 % too little while it forms (against D. Shoup & A. Szabo, J. Electroanal. Chem. 140, 237 (1982), from memory). The air does not flow with the surface',
    quality: 'derived',
    range: 'air at rest below δ, no wall near, vapour no heavier than air',
  },
  {
    quantity: 'layer of air, its default',
    source: '3 mm: what a film coefficient of 4 mm/s on a quiet bench comes to; Rimtide’s own choice',
    quality: 'assumed',
    range: 'a room: 0.5–10 mm',
  },
  {
    quantity: 'constant rate, its default',
    source: '0.4 µm/s, what strong ethanol loses in a room; Rimtide’s own choice',
    quality: 'assumed',
    range: 'alcohol alone; water stays',
  },
]

export interface Leaving {
  evaporation: Evaporation
  /** Only of moving air. */
  air: AirFacts | null
  warnings: string[]
}

/** The evaporation of a real mixture at T (K). */
export function leavingOf(preset: Preset, mixture: Mixture, T: number): Leaving {
  const { air } = preset
  const da = mixture.vapourDiffusivity(T)
  const dw = water.vapourDiffusivity(T)
  if (air.mode === 'still') {
    const evaporation: Evaporation = {
      kind: 'disc',
      alcoholDiffusivity: da,
      waterDiffusivity: dw,
      enhancement: air.enhancement,
    }
    return { evaporation, air: null, warnings: [] }
  }
  if (air.mode === 'layer') {
    const evaporation: Evaporation = {
      kind: 'layer',
      alcoholDiffusivity: da,
      waterDiffusivity: dw,
      thickness: air.layer_mm * 1e-3,
    }
    return { evaporation, air: null, warnings: [] }
  }
  if (air.mode === 'constant') {
    const alcoholSpeed = air.constantRate_umPerS * 1e-6
    return { evaporation: { kind: 'uniform', alcoholSpeed, waterSpeed: 0 }, air: null, warnings: [] }
  }
  const facts = airFacts(preset, T, da)
  const { filmCoefficient } = facts
  // Film coefficients of two vapours in the same air go as D^(2/3) (Chilton–Colburn analogy), as Sh ∝ Sc^(1/3) has it too.
  const evaporation: Evaporation = {
    kind: 'uniform',
    alcoholSpeed: filmCoefficient,
    waterSpeed: filmCoefficient * pow(dw / da, 2 / 3),
  }
  return {
    evaporation,
    air: facts,
    warnings: air.speed_mPerS === undefined ? [] : airWarnings(preset, facts),
  }
}

/** The air speed, where it is given, takes the place of the film coefficient; else the speed is what would give it. */
function airFacts({ air, bath }: Preset, T: number, diffusivity: number): AirFacts {
  const length = bath.dishRadius_mm * 1e-3
  const given = air.filmCoefficient_mmPerS * 1e-3
  const speed = air.speed_mPerS ?? speedOfCoefficient(given, length, T, diffusivity)
  const stream = airStream(speed, length, T, diffusivity)
  const fromSpeed = air.speed_mPerS !== undefined
  return {
    fromSpeed,
    speed,
    length,
    filmCoefficient: fromSpeed ? stream.coefficient : given,
    reynolds: stream.reynolds,
    drag: stream.drag,
  }
}

function airWarnings({ air }: Preset, { speed, reynolds, drag, filmCoefficient }: AirFacts): string[] {
  const warnings: string[] = []
  const [least, most] = REYNOLDS_RANGE
  const Re = reynolds < 1e4 ? reynolds.toFixed(0) : reynolds.toPrecision(2).replace(/e\+?(\d+)/, '·10^$1')
  if (reynolds < least) {
    warnings.push(
      `Air of ${speed} m/s over this dish has Re = ${Re}; below ${least} there is no thin boundary layer and the film coefficient comes out too low. Still air is nearer to the truth.`,
    )
  }
  if (reynolds > most) {
    warnings.push(
      `Air of ${speed} m/s over this dish has Re = ${Re}; above 5·10^5 it turns turbulent and carries off more than is computed.`,
    )
  }
  if (drag > DRAG) {
    warnings.push(
      `Air of ${speed} m/s pulls on the surface with about ${drag.toPrecision(2)} Pa, which moves drop and oil; that is left out.`,
    )
  }
  const key = keyOf('air.filmCoefficient_mmPerS')
  if (key?.kind === 'number' && air.filmCoefficient_mmPerS !== key.fallback) {
    warnings.push(
      `The film coefficient of ${air.filmCoefficient_mmPerS} mm/s is not used: the air speed gives ${(1e3 * filmCoefficient).toPrecision(3)} mm/s.`,
    )
  }
  return warnings
}
