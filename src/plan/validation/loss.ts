/** How alcohol leaves the drop: into the air and into the oil. */
import { MonotoneCurve } from '../../numerics/monotone.ts'
import { figure } from '../figures.ts'
import { type Bench, NO_COOLING, NO_UPTAKE, type Told } from './bench.ts'
import { atLeast, atMost, between, worstShare } from './judges.ts'
import { kelvin, tabled } from './tabled.ts'
import { type Fact, fact, PRACTICE } from './types.ts'

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
      ...NO_COOLING,
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
    `lenses on silicone oil, kept as warm as the room: ${n.losses_umPerS.map((x) => figure(x)).join(', ')} µm/s; furthest off: ${figure(100 * n.worst, 2)} %`,
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

export const LOSS: readonly Fact[] = [diffusion, still, room, intoOil]
