/** Above which strength a mixture spreads on an oil. Pure; no life is run. */
import { problemOf } from '../life/problemOf.ts'
import type { LiquidFacts, Preset } from '../life/types.ts'
import { percentByVolume } from '../liquids/composition.ts'
import { mixtureFor, oilFor } from '../liquids/own/resolve.ts'
import type { SourceNote } from '../liquids/types.ts'
import { figure, given, percentText } from './figures.ts'

export interface Threshold {
  /** 'never': S < 0 at every strength. 'always': even water spreads. */
  kind: 'between' | 'never' | 'always'
  /** Strength at which S changes sign: mass fraction, % by volume at 20 °C (real densities), additive volume fraction; NaN unless 'between'. */
  massFraction: number
  percent: number
  phi: number
  /** The drop of this preset: its mass fraction, % by volume at 20 °C and spreading parameter, N/m. */
  drop: { massFraction: number; percent: number; S: number }
  /** S over the strength, N/m; equal lengths. */
  curve: { w: Float64Array; S: Float64Array }
  words: string
  sources: SourceNote[]
}

/** % by volume at 20 °C of a strength; with the closed-form liquids the fraction itself is by volume. */
export function percentOf(preset: Preset, w: number): number {
  if (Number.isNaN(w)) return w
  return preset.drop.alcohol === 'reference' ? 100 * w : percentByVolume(mixtureFor(preset), w)
}

/** "48.7 % by mass (56.7 % by volume)"; the closed-form liquids know no mass. */
export const strengthText = (preset: Preset, w: number): string =>
  preset.drop.alcohol === 'reference'
    ? `${percentText(w)} by volume`
    : `${percentText(w)} by mass (${figure(percentOf(preset, w))} % by volume)`

/** Names of alcohol and oil as they stand in sentences. */
export function pairNames(preset: Preset): { alcohol: string; oil: string } {
  if (preset.drop.alcohol === 'reference')
    return { alcohol: 'the closed-form alcohol', oil: 'the closed-form oil' }
  return { alcohol: mixtureFor(preset).name, oil: oilFor(preset).name }
}

function kindOf({ criticalMassFraction, curve }: LiquidFacts): Threshold['kind'] {
  if (Number.isNaN(criticalMassFraction)) return 'never'
  return curve.S[0]! > 0 ? 'always' : 'between'
}

function wordsOf(preset: Preset, kind: Threshold['kind'], critical: number): string {
  const { alcohol, oil } = pairNames(preset)
  const place = `on ${oil} at ${given(preset.air.temperature_C)} °C`
  if (kind === 'never') return `No mixture of ${alcohol} and water spreads ${place}.`
  if (kind === 'always') return `Every mixture of ${alcohol} and water spreads ${place}, and water too.`
  const w = preset.drop.alcoholMassFraction
  const side =
    Math.abs(w - critical) < 0.02
      ? 'so near to it that it may go either way'
      : w > critical
        ? 'above'
        : 'below'
  return `Mixtures of ${alcohol} and water spread ${place} from ${strengthText(preset, critical)} on. This drop, ${strengthText(preset, w)}, is ${side}.`
}

/**
 * The threshold of a preset's pair. Real %vol at 20 °C stands beside the additive fraction of the model: they differ
 * by the contraction on mixing. The drop/oil tension behind it is assumed: see the band of neighbours.
 */
export function thresholdOf(preset: Preset, facts: LiquidFacts = problemOf(preset).facts): Threshold {
  const kind = kindOf(facts)
  const w = kind === 'between' ? facts.criticalMassFraction : Number.NaN
  return {
    kind,
    massFraction: w,
    percent: percentOf(preset, w),
    phi: kind === 'between' ? facts.criticalPhi : Number.NaN,
    drop: {
      massFraction: preset.drop.alcoholMassFraction,
      percent: percentOf(preset, preset.drop.alcoholMassFraction),
      S: facts.S0,
    },
    curve: { w: facts.curve.w, S: facts.curve.S },
    words: wordsOf(preset, kind, w),
    sources: facts.sources.filter(({ quantity }) => /tension|reference/.test(quantity)),
  }
}
