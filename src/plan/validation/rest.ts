/** Lenses and puddles at rest, and the budgets of whole lives. */
import { puddleThickness } from '../../model/scales.ts'
import { figure } from '../figures.ts'
import { type Changes, NOTHING_LEAVES } from './bench.ts'
import { atMost, between } from './judges.ts'
import { type Fact, fact } from './types.ts'

const LENS: Changes = {
  ...NOTHING_LEAVES,
  'drop.alcohol': 'reference',
  'bath.liquid': 'reference',
  'drop.alcoholMassFraction': 0.3,
  'model.filmCutoff_nm': 2,
  'model.gammaEff_mNperM': 5,
  'model.horizon_s': 60,
}

const lens = fact<{ radius_mm: number; wanted_mm: number }>({
  id: 'resting-lens',
  fact: 'A lens at rest has the edge slope √(−2S/γ_eff) and with its volume the radius (4V/(π slope))^⅓.',
  source: 'Neumann’s triangle for small slopes; derived for this project',
  tolerance: 'agrees within 1 %: it comes to rest but slowly, and is looked at after a minute',
  async measure(bench) {
    const { facts, series, preset } = await bench.life(LENS)
    const slope = Math.sqrt((-2 * facts.S0) / (1e-3 * preset.model.gammaEff_mNperM!))
    return {
      radius_mm: 1e3 * series.R[series.R.length - 1]!,
      wanted_mm: 1e3 * Math.cbrt((4e-9 * preset.drop.volume_uL) / (Math.PI * slope)),
    }
  },
  program: (n) => `${figure(n.radius_mm, 4)} mm; the closed form gives ${figure(n.wanted_mm, 4)} mm`,
  judge: (n) => between(n.radius_mm / n.wanted_mm, 0.99, 1.01),
})

const puddle = fact<{ thickness_mm: number }>({
  id: 'puddle',
  fact: 'A wide puddle of 880 kg/m³ on oil of 920 kg/m³ with S = −5 mN/m is 5.16 mm thick.',
  source: 'Langmuir, J. Chem. Phys. 1, 756 (1933), from memory; derived again for this project',
  tolerance: 'agrees within 0.1 %: the digits given',
  measure: () => ({ thickness_mm: 1e3 * puddleThickness(-5e-3, 880, 920) }),
  program: (n) => `${figure(n.thickness_mm)} mm`,
  judge: (n) => between(n.thickness_mm / 5.16, 0.999, 1.001),
})

const BUDGETS: readonly Changes[] = [
  { 'drop.alcoholMassFraction': 0.65 },
  { 'bath.liquid': 'rapeseed-oil-kitchen', 'drop.alcoholMassFraction': 0.65, 'ring.breakUp': true },
  { 'drop.alcoholMassFraction': 0.65, 'air.mode': 'still' },
]

const budget = fact<{ worst: number }>({
  id: 'budget',
  fact: 'Nothing is lost: what is left, has evaporated and was shed adds up to what was set down, of the liquid and of the alcohol.',
  source: 'conservation of mass',
  tolerance: 'agrees within 1e-9: rounding in the arithmetic of some hundred steps',
  async measure(bench) {
    let worst = 0
    for (const drop of BUDGETS) {
      const { volumeClosure, alcoholClosure } = (await bench.life(drop)).summary
      worst = Math.max(worst, volumeClosure, alcoholClosure)
    }
    return { worst }
  },
  program: (n) =>
    `three lives (moving air, still air, with break-up): the sums are off by at most ${n.worst.toExponential(0)}`,
  judge: (n) => atMost(n.worst, 1e-9),
})

export const REST: readonly Fact[] = [budget, lens, puddle]
