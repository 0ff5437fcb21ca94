/** How far a measured curve lies from a life, in words. */
import { seriesAt } from '../life/sample.ts'
import type { Life } from '../life/types.ts'
import type { MeasuredCurve } from '../measured/types.ts'
import { plain } from './format.ts'
export function residualText(life: Life | null, curve: MeasuredCurve): string {
  if (!life) return ''
  let sum = 0
  for (let i = 0; i < curve.time.length; i++)
    sum += (curve.radius[i]! - seriesAt(life.series, curve.time[i]!).R) ** 2
  return `r.m.s. ${plain(Math.sqrt(sum / curve.time.length) * 1e3, 2)} mm`
}
