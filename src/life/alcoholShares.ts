/** Where the alcohol of a drop has gone. */
import type { LifeSeries } from './types.ts'

/** Parts of the alcohol at touch-down; they add up to 1. */
export interface AlcoholShares {
  drop: number
  /** Evaporated; negative where vapour of the room has condensed. */
  air: number
  oil: number
  childDrops: number
}

/** At a kept moment, the last if none is given; null without any alcohol. */
export function alcoholShares(
  series: Pick<LifeSeries, 'alcohol' | 'evaporatedAlcohol' | 'inOil' | 'childAlcohol'>,
  moment = series.alcohol.length - 1,
): AlcoholShares | null {
  const start = series.alcohol[0]!
  if (!(start > 0)) return null
  return {
    drop: series.alcohol[moment]! / start,
    air: series.evaporatedAlcohol[moment]! / start,
    oil: series.inOil[moment]! / start,
    childDrops: series.childAlcohol[moment]! / start,
  }
}
