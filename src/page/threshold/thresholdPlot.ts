/** The plots of the threshold panel as data: S and the tensions over the strength. Pure. */
import type { LiquidFacts, Preset } from '../../life/types.ts'
import type { Reach } from '../../plan/neighbours.ts'
import type { Threshold } from '../../plan/threshold.ts'
import { plain } from '../format.ts'
import { roundRange } from '../plots/axis.ts'
import type { Line, Panel } from '../plots/plotData.ts'
import { styleOf } from '../plots/seriesColours.ts'

const percentAxis = (preset: Preset) => ({
  xLabel: preset.drop.alcohol === 'reference' ? 'alcohol, % by volume' : 'alcohol, % by mass',
  xColumn: preset.drop.alcohol === 'reference' ? 'alcohol_percent_vol' : 'alcohol_percent_mass',
  xMin: 0,
  xMax: 100,
  logarithmic: false,
})

const line = (part: Omit<Line, 'width' | 'kind' | 'opacity' | 'dash'> & Partial<Line>): Line => ({
  width: 1.8,
  kind: 'line',
  opacity: 1,
  dash: [],
  ...part,
})

const inMilli = (values: Float64Array): Float64Array => values.map((value) => 1e3 * value)

interface Colours {
  dark: boolean
  ink: string
  life: string
}

/** S over the strength with the zero line, the threshold with its reach, and the drop's point. Powers of mN/m. */
export function spreadingPanel(
  preset: Preset,
  threshold: Threshold,
  reach: Reach | null,
  { ink, life }: Colours,
): Panel {
  const x = inMilli(threshold.curve.w).map((value) => value / 10)
  const S = inMilli(threshold.curve.S)
  // Near water S falls far below all that matters: the axis ends where the curve is still of interest.
  const lowest = Math.max(-30, Math.min(-1, ...S))
  const range = roundRange(lowest, Math.max(1, ...S), true, 5)
  const ends = reach && reach.high > reach.low ? [100 * reach.low, 100 * reach.high] : null
  const shade = ends
    ? [
        line({
          key: 'reach',
          label: '',
          column: 'reach_of_threshold_mN_per_m',
          colour: life,
          kind: 'area',
          x: ends,
          y: [range.max, range.max],
          base: [range.min, range.min],
          opacity: 0.16,
        }),
      ]
    : []
  const { drop } = threshold
  const S0 = 1e3 * drop.S
  const marks = [
    {
      x: 100 * drop.massFraction,
      y: Math.max(S0, range.min),
      label: `this drop: S = ${plain(S0, 2)}`,
      below: S0 < 0,
    },
    ...(threshold.kind === 'between'
      ? [
          {
            x: 100 * threshold.massFraction,
            y: 0,
            label: `spreads from ${plain(100 * threshold.massFraction)} %`,
            below: S0 > 0,
          },
        ]
      : []),
  ]
  return {
    ...percentAxis(preset),
    id: 'spreading',
    title: 'Spreading parameter S = γo − γa − γi',
    yLabel: 'S, mN/m',
    yMin: range.min,
    yMax: range.max,
    lines: [
      ...shade,
      line({
        key: 'zero',
        label: '',
        column: 'zero',
        colour: ink,
        width: 1,
        dash: [5, 4],
        x: [0, 100],
        y: [0, 0],
      }),
      line({ key: 'S', label: 'S', column: 'S_mN_per_m', colour: life, x, y: S }),
    ],
    marks,
    weight: 1.2,
    showX: false,
  }
}

/** The three tensions over the strength. */
export function tensionsPanel(preset: Preset, facts: LiquidFacts, { dark, ink }: Colours): Panel {
  const x = inMilli(facts.curve.w).map((value) => value / 10)
  const curves = { gammaA: inMilli(facts.curve.gammaA), gammaI: inMilli(facts.curve.gammaI) }
  const oil = 1e3 * facts.gammaO
  const range = roundRange(0, Math.max(oil, ...curves.gammaA, ...curves.gammaI), true, 5)
  return {
    ...percentAxis(preset),
    id: 'tensions',
    title: 'Tensions',
    yLabel: 'γ, mN/m',
    yMin: range.min,
    yMax: range.max,
    lines: [
      line({
        key: 'oil',
        label: 'γo oil/air',
        column: 'oil_air_mN_per_m',
        colour: ink,
        width: 1.2,
        dash: [5, 4],
        x: [0, 100],
        y: [oil, oil],
      }),
      line({
        key: 'air',
        label: 'γa drop/air',
        column: 'drop_air_mN_per_m',
        ...styleOf('tension', dark),
        x,
        y: curves.gammaA,
      }),
      line({
        key: 'below',
        label: 'γi drop/oil',
        column: 'drop_oil_mN_per_m',
        ...styleOf('ring', dark),
        colour: styleOf('bath', dark).colour,
        x,
        y: curves.gammaI,
      }),
    ],
    marks: [],
    weight: 1,
    showX: true,
  }
}

/** Value of a curve over the strength at mass fraction w, N/m. */
export function along(w: Float64Array, values: Float64Array, at: number): number {
  const last = w.length - 1
  const place = Math.min(Math.max(at, 0), 1) * last
  const i = Math.min(Math.floor(place), last - 1)
  return values[i]! + (place - i) * (values[i + 1]! - values[i]!)
}

/** A curve whose ends differ by less than this part is taken as level. */
const LEVEL = 1e-9

/**
 * The three numbers of the assumed curve end + (water − end)·e^(−k·w), read off the curve itself. Tensions in N/m. On a level
 * curve (water = end) the tension is the same at every strength and the fall plays no part: `decay` is NaN.
 */
export function assumedLaw({ curve: { w, gammaI } }: LiquidFacts): {
  water: number
  end: number
  decay: number
} {
  const last = w.length - 1
  const [water, half, full] = [gammaI[0]!, gammaI[last >> 1]!, gammaI[last]!]
  if (Math.abs(water - full) <= LEVEL * water) return { water, end: water, decay: Number.NaN }
  // The middle of the strengths is at w = 1/2: (water − half)/(half − full) = e^(k/2).
  const ratio = (water - half) / (half - full)
  const left = ratio ** -2
  return { water, end: (full - water * left) / (1 - left), decay: 2 * Math.log(ratio) }
}
