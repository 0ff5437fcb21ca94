/** A fit in words and figures, for page and command line. */
import type { Profile, Side } from './profile.ts'
import type { FittedCause, FittedUnknown, LifeFit } from './types.ts'

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

/** "± 0.50 statistical, ± 1.2 systematic" in the unit of the value; '' where nothing but noise is in the error. */
export function partsText({ statistical, systematic, unit, verdict }: FittedUnknown): string {
  if (verdict !== 'determined' || !(systematic > 0)) return ''
  const part = (value: number, name: string) => `± ${withUnit(numberText(value, 2), unit)} ${name}`
  return `${part(statistical, 'statistical')}, ${part(systematic, 'systematic')}`
}

/** "known beforehand as 10 ± 0.2 µL; 0.4 σ off"; '' without a prior. */
export function priorText({ prior, unit }: FittedUnknown): string {
  if (!prior) return ''
  const known = pairText(prior.value, prior.sigma)
  return `known beforehand as ${withUnit(`${known.value} ± ${known.error}`, unit)}; ${pullText(prior.pull)} off`
}

/** "+1.2 σ" */
export const pullText = (pull: number): string =>
  `${pull > 0 ? '+' : ''}${sign(pull.toFixed(1)).replace('−0.0', '0.0')} σ`

/** What is stated of a cause and what the fit makes of it, in its unit. */
export function causeTexts({ prior, value, error, unit }: FittedCause): { stated: string; found: string } {
  const text = (v: number, e: number) => {
    const pair = pairText(v, e)
    return withUnit(`${pair.value} ± ${pair.error}`, unit)
  }
  return { stated: text(prior.value, prior.sigma), found: text(value, error) }
}

/** An interval of a profile in one sentence. */
export function profileText({ label, unit, best, lower, upper }: Profile): string {
  const end = (side: Side, name: string): string => {
    if (side.kind === 'unknown') return `the ${name} end was not found`
    if (side.kind === 'rough')
      return `the ${name} end is not known, for χ² jumps by more than 1 from life to life (a finer accuracy may help)`
    const value = withUnit(numberText(side.value, 4), unit)
    return side.kind === 'found' ? value : `no ${name} end within the range (${value})`
  }
  const off = (side: Side) => (side.kind === 'found' ? Math.abs(side.value - best) : Number.NaN)
  const [minus, plus] = [off(lower), off(upper)]
  const around =
    minus > 0 && plus > 0
      ? `${withUnit(pairText(best, Math.min(minus, plus)).value, unit)}, −${numberText(minus, 2)} +${numberText(plus, 2)}`
      : withUnit(numberText(best, 4), unit)
  return `${label}: ${around}; χ² has risen by 1 at: ${end(lower, 'lower')}; ${end(upper, 'upper')}.`
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

/** Standard error of a value with the calculation's own part in quadrature, as far as that is known. */
export const wholeError = ({ error, numerical }: Pick<FittedUnknown, 'error' | 'numerical'>): number =>
  Number.isFinite(numerical) ? Math.hypot(error, numerical) : error

/** Share of the calculation itself in a value; '' where it is not known. */
export function numericalText(unknown: FittedUnknown): string {
  const { numerical, unit, verdict } = unknown
  if (verdict !== 'determined' || !Number.isFinite(numerical)) return ''
  const whole = withUnit(numberText(wholeError(unknown), 2), unit)
  return `a finer calculation would move it by ${withUnit(numberText(numerical, 2), unit)}: ± ${whole} in all`
}
