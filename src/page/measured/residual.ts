/** How far a measured curve lies from the present life, in words. */
import type { Life } from '../../life/types.ts'
import { type Comparison, residuals } from '../../measured/compare.ts'
import type { MeasuredCurve } from '../../measured/types.ts'
import { usedPoints } from '../../measured/usable.ts'
import { length, plain } from '../format.ts'

/** Comparisons of a life, by curve; they go with the life. */
const known = new WeakMap<Life, Map<MeasuredCurve, Comparison>>()

/** Compares once per life and curve; null while there is no whole life. */
export function comparison(life: Life | null, curve: MeasuredCurve): Comparison | null {
  if (!life || life.status === 'growing' || life.series.t.length < 2) return null
  const ofLife = known.get(life) ?? new Map<MeasuredCurve, Comparison>()
  known.set(life, ofLife)
  const result = ofLife.get(curve) ?? residuals(usedPoints(curve), life.series.t, life.series.R)
  ofLife.set(curve, result)
  return result
}

/** "r.m.s. 1.7 mm", or that no point falls into the life. */
export function residualText(result: Comparison | null): string {
  if (!result) return ''
  return result.used > 0 ? `r.m.s. ${plain(result.rms * 1e3, 2)} mm` : 'no point within this life'
}

/** What the r.m.s. is made of, for a tip and for the list. */
export function residualDetail(result: Comparison | null): string {
  if (!result || result.used === 0) return ''
  const side = result.bias > 0 ? 'wider' : 'narrower'
  const parts = [`on average ${length(Math.abs(result.bias), 2)} ${side} than this life`]
  if (result.after > 0) parts.push(`${result.after} after its end`)
  if (result.before > 0) parts.push(`${result.before} before its start`)
  return parts.join(', ')
}
