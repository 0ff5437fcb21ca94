/** How far the oil's flow is the one that the model has: creeping flow with its inertia, without what the flow carries of itself. */
import type { LifeSeries, LiquidFacts } from './types.ts'

/**
 * U R/νo above which the oil's own inertia is no longer linear. The layer that the edge drags is √(νo R/U) thick; from about 30
 * on it is thinner than a fifth of the radius, and what it carries along counts against what diffuses. Common practice, no source.
 */
export const LINEAR = 30

/** The edge has set out once it is this part of its first radius away: the jerk at touch-down carries nothing far. */
const SET_OUT = 0.5

/** Largest U R/νo once the edge has set out (0 if it never does): speed of the edge, radius, kinematic viscosity of the oil. */
export function bathReynolds(
  { U, R }: Pick<LifeSeries, 'U' | 'R'>,
  { oilDensity, oilViscosity }: Pick<LiquidFacts, 'oilDensity' | 'oilViscosity'>,
): number {
  let most = 0
  for (let k = 0; k < U.length; k++) {
    if (Math.abs(R[k]! - R[0]!) > SET_OUT * R[0]!) most = Math.max(most, Math.abs(U[k]!) * R[k]!)
  }
  return (most * oilDensity) / oilViscosity
}

/** What is to be told of the oil's flow; nothing where the model holds. */
export function bathWarnings(
  series: Pick<LifeSeries, 'U' | 'R'>,
  facts: Pick<LiquidFacts, 'oilDensity' | 'oilViscosity'>,
): string[] {
  const reynolds = bathReynolds(series, facts)
  if (!(reynolds > LINEAR)) return []
  return [
    `The oil is runny for this drop: the Reynolds number of its flow reaches ${Number(reynolds.toPrecision(2))} (above about ${LINEAR}, the oil carries its own momentum along, which is left out).`,
  ]
}
