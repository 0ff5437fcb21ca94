/** Vapour: boiling points, azeotropes, measured equilibria, diluted alcohol, diffusion, loss into the air. */
import { massFraction } from '../../liquids/composition.ts'
import type { Mixture } from '../../liquids/types.ts'
import { MonotoneCurve } from '../../numerics/monotone.ts'
import { figure } from '../figures.ts'
import { type Bench, type Liquids, NO_UPTAKE, type Told } from './bench.ts'
import { atLeast, atMost, between, worstShare } from './judges.ts'
import { kelvin, tabled } from './liquids.ts'
import { type Fact, fact, PRACTICE } from './types.ts'

const ATMOSPHERE = 101_325

/** Pressure over a mixture of alcohol mole fraction x, Pa, and the alcohol's share of the vapour. */
function vapourOver({ water }: Liquids, mixture: Mixture, x: number, T: number): { p: number; y: number } {
  const [ga, gw] = mixture.activity(x, T)
  const alcohol = x * ga * mixture.vapourPressure(T)
  const p = alcohol + (1 - x) * gw * water.vapourPressure(T)
  return { p, y: alcohol / p }
}

/** The value between low and high at which a rising function is zero; NaN if it has none there. */
export function rootOf(rising: (x: number) => number, low: number, high: number): number {
  if (!(rising(low) <= 0 && rising(high) >= 0)) return Number.NaN
  let [a, b] = [low, high]
  for (let k = 0; k < 60; k++) {
    const middle = (a + b) / 2
    if (rising(middle) > 0) b = middle
    else a = middle
  }
  return (a + b) / 2
}

/** Boiling temperature at 1 atm, K. */
const boiling = (liquids: Liquids, mixture: Mixture, x: number): number =>
  rootOf((T) => vapourOver(liquids, mixture, x, T).p - ATMOSPHERE, kelvin(20), kelvin(110))

/** Where liquid and vapour are alike at 1 atm: alcohol mass fraction and °C. */
function azeotrope(liquids: Liquids, mixture: Mixture): { w: number; celsius: number } {
  const x = rootOf((x) => x - vapourOver(liquids, mixture, x, boiling(liquids, mixture, x)).y, 0.1, 0.9999)
  return { w: massFraction(mixture.molarMass, x), celsius: boiling(liquids, mixture, x) - 273.15 }
}

const BOILING: readonly (readonly [string, number])[] = [
  ['methanol', 64.6],
  ['ethanol', 78.24],
  ['1-propanol', 97.2],
  ['2-propanol', 82.3],
]

const boilingPoints = tabled({
  id: 'boiling',
  fact: `The alcohols boil at 1 atm at ${BOILING.map(([id, t]) => `${id} ${t}`).join(', ')} °C.`,
  source: 'CRC Handbook, from memory',
  tolerance: 'agrees within 0.3 K: handbooks differ by 0.2 K',
  wanted: BOILING.map(([, celsius]) => celsius),
  found: (liquids) => BOILING.map(([id]) => boiling(liquids, liquids.mixture(id), 1) - 273.15),
  gap: 0.3,
  unit: '°C',
})

/** As a sentence begins. */
const begun = (id: string): string => id[0]!.toUpperCase() + id.slice(1)

const azeotropeOf = (id: string, w: number, celsius: number): Fact =>
  fact<{ w: number; celsius: number }>({
    id: `azeotrope-${id}`,
    fact: `${begun(id)} and water boil together unchanged at ${figure(100 * w)} % by mass and ${celsius} °C (1 atm).`,
    source: 'handbook value of the azeotrope, as collected for this project',
    tolerance: 'agrees within 1 % by mass and 0.5 K: handbooks differ by as much',
    measure: ({ liquids }) => azeotrope(liquids, liquids.mixture(id)),
    program: (n) => `${figure(100 * n.w)} % by mass, ${figure(n.celsius)} °C`,
    judge: (n) => atMost(Math.max(Math.abs(n.w - w) / 0.01, Math.abs(n.celsius - celsius) / 0.5), 1),
  })

/** t in °C, alcohol mole fractions of liquid and vapour at 1 atm. */
type Equilibrium = readonly [t: number, x: number, y: number]

const equilibria = (id: string, source: string, rows: readonly Equilibrium[]): Fact =>
  fact<{ temperature_K: number; share: number }>({
    id: `equilibria-${id}`,
    fact: `${begun(id)}–water boils at 1 atm with, °C, mole fraction in liquid and vapour: ${rows.map((row) => row.join(' ')).join('; ')}.`,
    source,
    tolerance: 'agrees within 0.5 K and 0.02 in the vapour: twice what good measurements differ by',
    measure({ liquids }) {
      const mixture = liquids.mixture(id)
      let [temperature, share] = [0, 0]
      for (const [t, x, y] of rows) {
        const T = boiling(liquids, mixture, x)
        temperature = Math.max(temperature, Math.abs(T - kelvin(t)))
        share = Math.max(share, Math.abs(vapourOver(liquids, mixture, x, T).y - y))
      }
      return { temperature_K: temperature, share }
    },
    program: (n) => `off by at most ${figure(n.temperature_K, 2)} K and ${figure(n.share, 2)} in the vapour`,
    judge: (n) => atMost(Math.max(n.temperature_K / 0.5, n.share / 0.02), 1),
  })

const dilute = (id: string, gamma: number, share: number, source: string, reason: string): Fact =>
  fact<{ gamma: number }>({
    id: `dilute-${id}`,
    fact: `A trace of ${id} in water at 25 °C has an activity coefficient of ${gamma}.`,
    source,
    tolerance: `agrees within ${figure(100 * share, 2)} %: ${reason}`,
    measure: ({ liquids }) => ({ gamma: liquids.mixture(id).activity(1e-9, kelvin(25))[0] }),
    program: (n) => `${figure(n.gamma)}, ${figure(n.gamma / gamma, 2)} times as much`,
    judge: (n) => between(n.gamma / gamma, 1 - share, 1 + share),
  })

const DIFFUSION: readonly (readonly [string, number])[] = [
  ['methanol', 0.152],
  ['ethanol', 0.118],
  ['1-propanol', 0.099],
  ['2-propanol', 0.101],
]

const diffusion = tabled({
  id: 'diffusion',
  fact: `The vapours diffuse in air at 25 °C with ${DIFFUSION.map(([id, D]) => `${id} ${D}`).join(', ')} cm²/s.`,
  source: 'measurements, from memory',
  tolerance: 'agrees within 10 %: twice the error of the formula that is used (5 %)',
  wanted: DIFFUSION.map(([, D]) => D),
  found: ({ mixture }) => DIFFUSION.map(([id]) => 1e4 * mixture(id).vapourDiffusivity(kelvin(25))),
  share: 0.1,
  unit: 'cm²/s',
  digits: 3,
})

const LOSSES: readonly (readonly [string, number])[] = [
  ['water', 0.108],
  ['methanol', 0.848],
  ['ethanol', 0.426],
  ['1-propanol', 0.155],
  ['2-propanol', 0.352],
]

/** The radius for which the losses are stated, m. */
const DISC = 5e-3
/** Moments between which the loss of a lens is read, s. */
const BETWEEN = [4, 9] as const

/**
 * Steady loss of a lens of a pure liquid into still dry air at 20 °C as mean over its face, m/s, for a radius of 5 mm (it
 * goes as 1/R). Its air is not steady at first: what has gone is a t + b √t, of which a is told.
 */
async function stillLoss(bench: Bench, id: string): Promise<number> {
  const drop = (startRadius_mm: number): Promise<Told> =>
    bench.life({
      ...NO_UPTAKE,
      // Nothing spreads on it …
      'bath.liquid': 'silicone-oil-350',
      'drop.alcohol': id === 'water' ? 'ethanol' : id,
      'drop.alcoholMassFraction': id === 'water' ? 0 : 1,
      'drop.volume_uL': 50,
      'drop.startRadius_mm': startRadius_mm,
      'air.mode': 'still',
      'air.enhancement': 1,
      'air.relativeHumidity': 0,
      'air.temperature_C': 20,
    })
  // … and set down with the radius at which another came to rest, it keeps that.
  const rested = (await drop(3)).series.R
  const { series } = await drop(1e3 * rested[rested.length - 1]!)
  const lost = new MonotoneCurve(series.t, series.evaporatedVolume)
  const radius = new MonotoneCurve(series.t, series.R)
  const [t1, t2] = BETWEEN
  const [r1, r2] = [Math.sqrt(t1), Math.sqrt(t2)]
  const steady = (lost.at(t2) / r2 - lost.at(t1) / r1) / (r2 - r1)
  const R = (radius.at(t1) + radius.at(t2)) / 2
  return steady / (Math.PI * R * DISC)
}

const still = fact<{ losses_umPerS: number[]; worst: number }>({
  id: 'still-loss',
  fact: `Pure liquids on a disc of 5 mm radius lose into still dry air at 20 °C ${LOSSES.map(([id, j]) => `${id} ${j}`).join(', ')} µm/s (mean over the disc, the steady part).`,
  source:
    'whole loss 4 D R Δc of a disc (Deegan et al., Nature 389, 827 (1997), from memory) with handbook constants; derived for this project',
  tolerance: 'agrees within 3 %: the diffusion volumes are rounded, and the lens does not rest quite still',
  async measure(bench) {
    const losses: number[] = []
    for (const [id] of LOSSES) losses.push(1e6 * (await stillLoss(bench, id)))
    return {
      losses_umPerS: losses,
      worst: worstShare(
        losses,
        LOSSES.map(([, loss]) => loss),
      ),
    }
  },
  program: (n) =>
    `lenses on silicone oil: ${n.losses_umPerS.map((x) => figure(x)).join(', ')} µm/s; furthest off: ${figure(100 * n.worst, 2)} %`,
  judge: (n) => atMost(n.worst, 0.03),
})

const room = fact<{ small: number; large: number; radius_mm: number }>({
  id: 'room',
  fact: 'In a real room a drop evaporates 1 to 4 times as fast as into still air.',
  source: PRACTICE,
  tolerance:
    'agrees if the loss that is set by default is 1 to 4 times that into still air both at touch-down and at the largest radius',
  async measure(bench) {
    const drop = { 'bath.liquid': 'rapeseed-oil', 'drop.alcoholMassFraction': 0.65 }
    const { facts, summary, preset } = await bench.life(drop)
    const calm = await bench.life({ ...drop, 'air.mode': 'still', 'air.enhancement': 1 })
    const small = facts.startFlux / calm.facts.startFlux
    // Into still air the mean loss falls as 1/R.
    const growth = summary.maxRadius / (1e-3 * preset.drop.startRadius_mm)
    return { small, large: small * growth, radius_mm: 1e3 * summary.maxRadius }
  },
  program: (n) =>
    `65 % ethanol on rapeseed oil: ${figure(n.small, 2)} times at touch-down, ${figure(n.large, 2)} times at ${figure(n.radius_mm, 3)} mm`,
  judge: (n) => (between(n.small, 1, 4) === 'agrees' ? between(n.large, 1, 4) : between(n.small, 1, 4)),
})

const intoOil = fact<{ share: number }>({
  id: 'into-oil',
  fact: 'Plant oils take up alcohol, so that part of it leaves the drop downward.',
  source:
    'liquid–liquid equilibria of soybean oil, ethanol and water, Fluid Phase Equilib. 299, 141 (2010), abstract',
  tolerance:
    'agrees if at least 1 % of the alcohol has gone into the oil by the end of the life; how much it should be is known from memory only, within a factor 3, so more is not asked',
  async measure(bench) {
    const { series } = await bench.life({ 'bath.liquid': 'rapeseed-oil', 'drop.alcoholMassFraction': 0.65 })
    const { alcohol, evaporatedAlcohol, childAlcohol } = series
    const end = alcohol.length - 1
    const elsewhere = alcohol[0]! - alcohol[end]! - evaporatedAlcohol[end]! - childAlcohol[end]!
    return { share: elsewhere / alcohol[0]! }
  },
  program: (n) =>
    n.share < 1e-9
      ? '65 % ethanol on rapeseed oil: no alcohol goes into the oil'
      : `65 % ethanol on rapeseed oil: ${figure(100 * n.share, 2)} % of the alcohol goes into the oil`,
  judge: (n) => atLeast(n.share, 0.01),
})

export const VAPOUR: readonly Fact[] = [
  boilingPoints,
  azeotropeOf('ethanol', 0.956, 78.2),
  azeotropeOf('2-propanol', 0.877, 80.3),
  azeotropeOf('1-propanol', 0.717, 87.7),
  equilibria('2-propanol', 'measured equilibria at 1 atm, as collected for this project', [
    [81.48, 0.9535, 0.9325],
    [80.37, 0.809, 0.7745],
    [80.11, 0.6955, 0.6915],
    [80.67, 0.446, 0.592],
    [81.28, 0.298, 0.551],
  ]),
  equilibria('ethanol', 'Perry’s Chemical Engineers’ Handbook', [
    [95.5, 0.019, 0.17],
    [85.3, 0.124, 0.47],
    [80.7, 0.397, 0.612],
    [78.74, 0.676, 0.739],
  ]),
  dilute(
    'ethanol',
    3.7,
    0.2,
    'Henry constant 1.9 mol/(m³ Pa), Sander’s compilation',
    'measured Henry constants scatter by as much',
  ),
  dilute('2-propanol', 7, 0.3, 'from memory', 'as sure as the memory is'),
  diffusion,
  still,
  room,
  intoOil,
]
