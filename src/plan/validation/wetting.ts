/** Which mixtures spread on which oils. */
import { figure, percentText } from '../figures.ts'
import { OF_TENSION, type Reach } from '../neighbours.ts'
import { thresholdReach } from '../thresholdReach.ts'
import type { Bench, Changes } from './bench.ts'
import { HASEGAWA, UNNAMED } from './sources.ts'
import { type Fact, fact, type Verdict } from './types.ts'

/** A drop has spread if its radius grows by this factor: a resting lens only finds its own. */
const GROWN = 2

interface Pair extends Readonly<Record<string, number>> {
  strength: number
  /** Least, likely and highest threshold, by mass; NaN where nothing spreads. */
  low: number
  threshold: number
  high: number
  /** Largest radius by that at the start. */
  growth: number
}

async function pairOf(bench: Bench, changes: Changes): Promise<Pair> {
  const { summary, preset } = await bench.life(changes)
  const { low, central, high }: Reach = thresholdReach(preset, OF_TENSION)
  const strength = preset.drop.alcoholMassFraction
  return {
    strength,
    low,
    threshold: central,
    high,
    growth: (1e3 * summary.maxRadius) / preset.drop.startRadius_mm,
  }
}

/** That a mixture spreads. Within the reach of the threshold, which the assumed drop/oil tension leaves open, nothing can be told. */
function spreadsVerdict({ strength, low, high, growth }: Pair): Verdict {
  if (Number.isNaN(growth)) return 'cannot tell'
  if (Number.isNaN(high)) return 'disagrees'
  if (strength >= low && strength <= high) return 'cannot tell'
  return strength > high && growth > GROWN ? 'agrees' : 'disagrees'
}

const pairWords = (n: Pair, room: string): string =>
  `${room}: ${Number.isNaN(n.threshold) ? 'nothing spreads' : `spreads from ${percentText(n.threshold)} on (likely ${percentText(n.low)} to ${percentText(n.high)}, by mass)`}; the drop grows ${figure(n.growth, 2)} times as wide`

const REACH =
  'agrees if the drop becomes twice as wide and its strength lies above the likely range of the threshold; cannot tell within that range, which comes from the assumed drop/oil tension (± 2 mN/m for water, ± 10 % in its fall)'

const rapeseed = (percent: number): Fact =>
  fact<Pair>({
    id: `rapeseed-${percent}`,
    fact: `${percent} % ethanol spreads on rapeseed oil (taken as kitchen grade, and % as by mass: neither is stated).`,
    source: UNNAMED,
    tolerance: REACH,
    measure: (bench) =>
      pairOf(bench, {
        'drop.alcohol': 'ethanol',
        'bath.liquid': 'rapeseed-oil-kitchen',
        'drop.alcoholMassFraction': percent / 100,
      }),
    program: (n) => pairWords(n, `${percent} % by mass, kitchen grade`),
    judge: spreadsVerdict,
  })

const sunflower = (id: string, grade: string): Fact =>
  fact<Pair>({
    id: `${id}-40`,
    fact: `40 % 2-propanol by mass spreads on sunflower oil (taken as ${grade}; the grade is not stated).`,
    source: HASEGAWA,
    tolerance: REACH,
    measure: (bench) =>
      pairOf(bench, {
        'drop.alcohol': '2-propanol',
        'bath.liquid': id,
        'drop.alcoholMassFraction': 0.4,
      }),
    program: (n) => pairWords(n, `40 % by mass, ${grade}`),
    judge: spreadsVerdict,
  })

const ALCOHOLS = ['ethanol', '2-propanol', '1-propanol', 'methanol']

const silicone = (grade: string): Fact =>
  fact<{ largest_mNperM: number; growth: number }>({
    id: `silicone-${grade}`,
    fact: `No mixture of water and alcohol spreads on silicone oil (grade ${grade} mm²/s).`,
    source: UNNAMED,
    tolerance: `agrees if S stays below 0 at every strength of all four alcohols and no drop of 70 % becomes ${GROWN} times as wide`,
    async measure(bench) {
      let largest = Number.NEGATIVE_INFINITY
      let growth = 0
      for (const alcohol of ALCOHOLS) {
        const { facts, summary, preset } = await bench.life({
          'drop.alcohol': alcohol,
          'bath.liquid': `silicone-oil-${grade}`,
          'drop.alcoholMassFraction': 0.7,
        })
        largest = Math.max(largest, ...facts.curve.S)
        growth = Math.max(growth, (1e3 * summary.maxRadius) / preset.drop.startRadius_mm)
      }
      return { largest_mNperM: 1e3 * largest, growth }
    },
    program: (n) =>
      `largest S of all strengths and alcohols ${figure(n.largest_mNperM, 2)} mN/m; no drop of 70 % grows more than ${figure(n.growth, 3)} times as wide`,
    judge(n) {
      if (Number.isNaN(n.largest_mNperM + n.growth)) return 'cannot tell'
      return n.largest_mNperM < 0 && n.growth < GROWN ? 'agrees' : 'disagrees'
    },
  })

export const WETTING: readonly Fact[] = [
  sunflower('sunflower-oil', 'clean'),
  sunflower('sunflower-oil-kitchen', 'kitchen grade'),
  rapeseed(40),
  rapeseed(60),
  rapeseed(80),
  silicone('50'),
  silicone('350'),
]
