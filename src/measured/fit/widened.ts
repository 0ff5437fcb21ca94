/** Errors with the statistical part multiplied by √χ²ν, for whoever takes the uncertainties for too small. Pure. */
import type { LifeFit } from './types.ts'
import { numberText } from './words.ts'

/**
 * √χ² per degree of freedom where it is above 1; NaN where it is not offered: with weights from the scatter it is in the
 * errors already, and a χ² below 1 makes no error smaller. Birge, Phys. Rev. 40, 207 (1932).
 */
export const wideningOf = ({ reduced }: Pick<LifeFit, 'reduced'>): number =>
  reduced > 1 ? Math.sqrt(reduced) : Number.NaN

/** The fit with wider errors; the same fit where widening is not offered. Systematic parts stay. */
export function widened(fit: LifeFit): LifeFit {
  const factor = wideningOf(fit)
  if (!(factor > 1)) return fit
  const unknowns = fit.unknowns.map((unknown) => {
    const statistical = factor * unknown.statistical
    return { ...unknown, statistical, error: Math.hypot(statistical, unknown.systematic) }
  })
  return { ...fit, unknowns }
}

/** Which errors are shown, in one sentence; '' where there is no choice. */
export function wideningText(fit: Pick<LifeFit, 'reduced'>, wide: boolean): string {
  const factor = wideningOf(fit)
  if (!(factor > 1)) return ''
  const times = `√(χ² per degree of freedom) = ${numberText(factor, 3)}`
  return wide
    ? `The statistical errors shown are multiplied by ${times}.`
    : `The errors shown follow from the stated uncertainties; they are not multiplied by ${times}.`
}
