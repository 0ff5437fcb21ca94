/** The oils of the library, and what is told of fire and air limits. */
import { flashPoint, hazards } from '../../liquids/safety.ts'
import { figure } from '../figures.ts'
import { atMost, worstGap } from './judges.ts'
import { kelvin, tabled } from './tabled.ts'
import { type Fact, fact } from './types.ts'

type Range = readonly [id: string, low: number, high: number]

/** How far the values lie outside their ranges, in their unit. */
const outside = (values: readonly number[], ranges: readonly Range[]): number =>
  values.reduce((worst, x, i) => {
    const [, low, high] = ranges[i]!
    const off = Math.max(0, low - x, x - high)
    return off > worst || Number.isNaN(off) ? off : worst
  }, 0)

const ranged = (
  given: Pick<Fact, 'id' | 'fact' | 'source' | 'tolerance'>,
  quantity: 'waterTension' | 'surfaceTension' | 'viscosity',
  ranges: readonly Range[],
  celsius: number,
): Fact =>
  fact<{ values: number[]; outside: number }>({
    ...given,
    measure({ liquids }) {
      const values = ranges.map(([id]) => 1e3 * liquids.oil(id)[quantity](kelvin(celsius)))
      return { values, outside: outside(values, ranges) }
    },
    program: (n) =>
      `${ranges.map(([id], i) => `${id.replaceAll('-', ' ')} ${figure(n.values[i]!)}`).join(', ')} ${quantity === 'viscosity' ? 'mPa·s' : 'mN/m'}`,
    judge: (n) => atMost(n.outside, 1e-9),
  })

const CLEAN = ['rapeseed-oil', 'sunflower-oil', 'olive-oil', 'soybean-oil', 'castor-oil']
const KITCHEN = ['rapeseed-oil-kitchen', 'sunflower-oil-kitchen']

export const OILS: readonly Fact[] = [
  ranged(
    {
      id: 'clean-oil-water',
      fact: 'Clean plant oils have 23 to 26 mN/m against water.',
      source: 'pendant drops of pure triglycerides, as collected for this project',
      tolerance: 'agrees within the range',
    },
    'waterTension',
    CLEAN.map((id) => [id, 23, 26]),
    22,
  ),
  ranged(
    {
      id: 'kitchen-oil-water',
      fact: 'Refined kitchen oils have 14.5 to 22.9 mN/m against water, falling with age.',
      source: 'measurements, as collected for this project',
      tolerance: 'agrees within the range',
    },
    'waterTension',
    KITCHEN.map((id) => [id, 14.5, 22.9]),
    22,
  ),
  ranged(
    {
      id: 'oil-air',
      fact: 'Kitchen oils have about 33 to 34 mN/m against air, all nearly the same.',
      source: 'measurements, partly from memory',
      tolerance: 'agrees within the range',
    },
    'surfaceTension',
    [...CLEAN.filter((id) => id !== 'castor-oil'), ...KITCHEN].map((id) => [id, 33, 34]),
    22,
  ),
  ranged(
    {
      id: 'oil-viscosity',
      fact: 'At 25 °C oils have, in mPa·s: sunflower 49 to 55, rapeseed 58 to 63, olive 63 to 68, soybean 50, castor 650.',
      source: 'from memory',
      tolerance: 'agrees within the ranges, single values within 10 %: bottles differ by as much',
    },
    'viscosity',
    [
      ['sunflower-oil', 49, 55],
      ['rapeseed-oil', 58, 63],
      ['olive-oil', 63, 68],
      ['soybean-oil', 45, 55],
      ['castor-oil', 585, 715],
    ],
    25,
  ),
  tabled({
    id: 'silicone-air',
    fact: 'Silicone oil has about 20.8 mN/m against air (22 °C).',
    source: 'from memory',
    tolerance: 'agrees within 0.5 mN/m: grades differ by as much',
    wanted: [20.8, 20.8],
    found: ({ oil }) =>
      ['50', '350'].map((grade) => 1e3 * oil(`silicone-oil-${grade}`).surfaceTension(kelvin(22))),
    gap: 0.5,
    unit: 'mN/m',
    digits: 3,
  }),
]

const FLASH: readonly (readonly [percent: number, celsius: number])[] = [
  [10, 49],
  [20, 36],
  [40, 26],
  [60, 22],
  [80, 20],
  [96, 17],
]

export const SAFETY: readonly Fact[] = [
  fact<{ values: number[]; worst: number }>({
    id: 'flash-ethanol',
    fact: `The vapour of ethanol–water can be lit from ${FLASH.map(([p, c]) => `${c} °C at ${p}`).join(', ')} % by volume on.`,
    source: 'table of flash points, as collected for this project',
    tolerance: 'agrees within 1 K: flash points are measured to 2 K',
    measure() {
      const values = FLASH.map(([percent]) => flashPoint('ethanol', percent) ?? Number.NaN)
      return {
        values,
        worst: worstGap(
          values,
          FLASH.map(([, c]) => c),
        ),
      }
    },
    program: (n) => `${n.values.map((c) => figure(c, 2)).join(', ')} °C`,
    judge: (n) => atMost(n.worst, 1),
  }),
  fact<{ flash_C: number; limit_ppm: number; low: number; high: number }>({
    id: 'fire-2-propanol',
    fact: '2-propanol can be lit from 11.7 °C on, its vapour burns between 2.0 and 12.7 % in air, and 400 ppm is its limit in the air of a workplace.',
    source: 'NIOSH Pocket Guide to Chemical Hazards',
    tolerance: 'agrees if all four numbers are told: they are for caution, not for calculation',
    measure() {
      const hazard = hazards['2-propanol']
      const [low = Number.NaN, high = Number.NaN] = hazard?.explosive ?? []
      return {
        flash_C: flashPoint('2-propanol', 100) ?? Number.NaN,
        limit_ppm: hazard?.limitPpm ?? Number.NaN,
        low,
        high,
      }
    },
    program: (n) =>
      `${figure(n.flash_C)} °C; ${figure(n.low, 2)} to ${figure(n.high)} %; ${figure(n.limit_ppm)} ppm`,
    judge: (n) => atMost(worstGap([n.flash_C, n.low, n.high, n.limit_ppm], [11.7, 2, 12.7, 400]), 0.05),
  }),
]
