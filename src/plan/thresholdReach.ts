/** How sure the threshold is: drawn from the widths of the inputs that it rests on. Runs no life. */
import { interfaceLawOf, oilNumbersOf } from '../life/leastKnown.ts'
import { problemOf } from '../life/problemOf.ts'
import type { Preset } from '../life/types.ts'
import { dropOilTension } from '../liquids/interfaceLaw.ts'
import { correlation, quantile } from './chances.ts'
import { ONE_SIGMA, type Reach } from './reach.ts'
import { samplePoints } from './samplePoints.ts'
import { movedAll, spreadsOf, type UncertainId } from './uncertain.ts'

/** The threshold is where the tension of the oil holds those of the drop: nothing else acts on it. */
const RESTS_ON: readonly UncertainId[] = ['temperature', 'oilTension', 'waterTension', 'decay']
const POINTS = 256

interface Tensions {
  w: Float64Array
  /** Drop against air at the strengths `w`, N/m. */
  gammaA(temperature_C: number): (k: number) => number
}

/** Straight between two temperatures: over some kelvin the tension of a mixture hardly bends. */
function tensionsOf(preset: Preset): Tensions {
  const T = preset.air.temperature_C
  const curveAt = (t: number) =>
    problemOf({ ...preset, air: { ...preset.air, temperature_C: t } }).facts.curve
  const [low, high] = [curveAt(T - 2), curveAt(T + 2)]
  return {
    w: low.w,
    gammaA: (t) => (k) => low.gammaA[k]! + ((t - T + 2) / 4) * (high.gammaA[k]! - low.gammaA[k]!),
  }
}

/** Strength from which on a drop spreads: 0 if water does, 1 if no strength does. */
function thresholdWith(preset: Preset, { w, gammaA }: Tensions): number {
  const law = interfaceLawOf(preset)
  const { tension } = oilNumbersOf(preset)
  const gamma = gammaA(preset.air.temperature_C)
  const S = (k: number): number => tension - gamma(k) - dropOilTension(law, w[k]!)
  let before = S(0)
  if (before > 0) return 0
  for (let k = 1; k < w.length; k++) {
    const now = S(k)
    if (now > 0) return w[k - 1]! + (w[k]! - w[k - 1]!) * (before / (before - now))
    before = now
  }
  return 1
}

/** What the range of the threshold comes from: "temperature ± 1 °C, …". */
export const thresholdInputs = (preset: Preset): string =>
  spreadsOf(preset, { only: RESTS_ON })
    .acting.map(({ input, width }) => `${input.label} ${input.amount(width)}`)
    .join(', ')

/**
 * The threshold (mass fraction) with the range in which 68 % of the drops drawn from the stated widths have theirs; NaN where
 * nothing spreads. @param of the inputs that count
 */
export function thresholdReach(preset: Preset, of: readonly UncertainId[] = RESTS_ON): Reach {
  const central = problemOf(preset).facts.criticalMassFraction
  if (Number.isNaN(central)) return { central, low: central, high: central, most: undefined }
  const { acting } = spreadsOf(preset, { only: of })
  const tensions = tensionsOf(preset)
  const points = samplePoints(acting.length, 0, POINTS)
  const found = points.map((z) => thresholdWith(movedAll(preset, acting, z), tensions))
  const sorted = [...found].sort((a, b) => a - b)
  const shares = acting.map((_, k) => {
    const z = points.map((point) => point[k]!)
    return correlation(z, found) ** 2
  })
  const most = acting[shares.indexOf(Math.max(...shares))]
  return {
    central,
    low: Math.min(central, quantile(sorted, ONE_SIGMA[0])),
    high: Math.max(central, quantile(sorted, ONE_SIGMA[1])),
    most: most?.input.id,
  }
}
