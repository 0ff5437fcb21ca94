/** A fit in words and figures, for page and command line. */
import type { FittedUnknown, LifeFit } from './types.ts'

const sign = (text: string): string => text.replace('-', '−')

/** `value` to the place (power of ten) `place`. */
function toPlace(value: number, place: number): string {
  if (place < 0) return sign(value.toFixed(Math.min(20, -place)))
  const unit = 10 ** place
  return sign((Math.round(value / unit) * unit).toFixed(0))
}

/**
 * Value and error with the error to two significant digits and the value to the same place
 * (JCGM 100:2008, Guide to the expression of uncertainty in measurement, 7.2.6).
 */
export function pairText(value: number, error: number): { value: string; error: string } {
  if (!(error > 0) || !Number.isFinite(error)) return { value: numberText(value), error: '–' }
  const rounded = Number(error.toPrecision(2))
  const place = Math.floor(Math.log10(rounded) + 1e-12) - 1
  return { value: toPlace(value, place), error: toPlace(rounded, place) }
}

/** A number without an error: four significant digits, not in powers of ten where that can be avoided. */
export function numberText(value: number, digits = 4): string {
  if (!Number.isFinite(value)) return '–'
  if (value === 0) return '0'
  const place = Math.floor(Math.log10(Math.abs(value)) + 1e-12) - digits + 1
  return Math.abs(place) > 9 ? sign(value.toExponential(digits - 1)) : toPlace(value, place)
}

const withUnit = (text: string, unit: string): string => (unit ? `${text} ${unit}` : text)

/** "59.30 ± 0.50 mPa·s"; what is not determined never looks as if it were. */
export function unknownText({ value, error, unit, verdict }: FittedUnknown): string {
  if (verdict === 'not-determined') return 'not determined'
  if (verdict === 'at-limit') return `${withUnit(numberText(value), unit)} (at its limit)`
  const pair = pairText(value, error)
  return withUnit(`${pair.value} ± ${pair.error}`, unit)
}

/** Why an unknown is not determined or at a limit, and where the fit ended; '' if it is determined. */
export function reasonText({ value, unit, verdict, why }: FittedUnknown): string {
  if (verdict === 'determined') return ''
  return verdict === 'at-limit' ? why : `${why}; the fit ended at ${withUnit(numberText(value, 3), unit)}`
}

/** A chance in words: below what anybody would believe its digits mean nothing. */
export const smallChance = (chance: number): string => (chance < 1e-3 ? 'below 0.001' : numberText(chance, 2))

/** How well the lives meet the points, in one sentence. */
export function goodnessText(fit: LifeFit): string {
  const { degreesOfFreedom: n, points } = fit
  if (fit.weights === 'scatter') {
    return `${points} points scatter about the fit by ${numberText(1e3 * fit.scatter, 2)} mm (${n} degrees of freedom).`
  }
  const chance = smallChance(fit.chance)
  return `χ² per degree of freedom ${numberText(fit.reduced, 3)} (${points} points, ${n} degrees of freedom); a larger one by chance: ${chance}.`
}

/** Order of the residuals, in one sentence. */
export function chanceText({ randomness: { runs, expected, deviation, neighbours } }: LifeFit): string {
  if (!(deviation > 0)) return 'There are too few residuals to judge their order.'
  return `Residuals: ${runs} runs of one sign, ${expected.toFixed(1)} ± ${deviation.toFixed(1)} if it were chance; correlation of neighbours ${sign(neighbours.toFixed(2))}.`
}

/** Share of the calculation itself in a value; '' where it is not known. */
export function numericalText({ numerical, unit, verdict }: FittedUnknown): string {
  if (verdict !== 'determined' || !Number.isFinite(numerical)) return ''
  return `a finer calculation would move it by ${withUnit(numberText(numerical, 2), unit)}`
}
