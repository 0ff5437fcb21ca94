/** Which unknowns the data determine, and how the calculation itself moves them. */
import { qr, solveUpper } from '../../numerics/denseSolve.ts'
import type { FitResult } from '../../numerics/fitTypes.ts'
import type { Parameter } from './parameters.ts'
import type { Verdict } from './types.ts'

/** Correlation of two estimates from which the data are said not to tell the unknowns apart. Common practice, no source. */
const MOST_CORRELATION = 0.98

export interface Judged {
  verdict: Verdict
  why: string
}

/** Each unknown with the reason why it is not determined, if so. `errors` in the units of the values. */
export function judge(
  result: FitResult,
  parameters: readonly Parameter[],
  values: readonly number[],
): Judged[] {
  const n = parameters.length
  const name = (j: number) => parameters[j]!.label
  return parameters.map((parameter, j) => {
    if (result.atBound[j]) return atLimit(parameter, values[j]!)
    const error = result.standardErrors[j]!
    const open = (why: string): Judged => ({ verdict: 'not-determined', why })
    if (!Number.isFinite(error) && result.jacobian.length === 0)
      return open('its error is not known: the fit ended too early')
    // What was known beforehand parts what the points do not; the error then tells how well.
    const parted = (...members: number[]) => members.some((k) => parameters[k]!.prior)
    const partners = parameters.flatMap((_, k) =>
      k !== j && !parted(j, k) && Math.abs(result.correlation[j * n + k]!) > MOST_CORRELATION ? [k] : [],
    )
    if (partners.length > 0) {
      const rho = result.correlation[j * n + partners[0]!]!
      return open(
        `the data do not tell it apart from ${list(partners.map(name))} (correlation ${signed(rho)})`,
      )
    }
    const loose = result.loose.find(
      ({ parameters: members, undetermined }) => members.includes(j) && (undetermined || !parted(...members)),
    )
    const others = loose?.parameters.filter((k) => k !== j) ?? []
    if (others.length > 0) {
      return open(
        `the data fix it only together with ${list(others.map(name))} (condition ${condition(loose!.conditionIndex)})`,
      )
    }
    if (loose || !Number.isFinite(error)) return open('it has no visible effect on these points')
    return isWide(parameter, error)
      ? open('its error is as large as the value or its range')
      : { verdict: 'determined', why: '' }
  })
}

/** The error covers a factor e, or half of the range of a linear value. `error` as the fitter has it. */
function isWide({ logarithmic, lower, upper, slope }: Parameter, error: number): boolean {
  return logarithmic ? error > 1 : error * slope(0) > (upper - lower) / 2
}

function atLimit({ lower, unit, label }: Parameter, value: number): Judged {
  const side = value <= lower * (1 + 1e-12) ? 'lower' : 'upper'
  const figure = `${Number(value.toPrecision(4))} ${unit}`.trimEnd()
  const beyond = side === 'lower' ? 'smaller' : 'larger'
  return {
    verdict: 'at-limit',
    why: `at the ${side} end of its range (${figure}); the data ask for a ${beyond} ${label.toLowerCase()}`,
  }
}

const list = (names: readonly string[]): string =>
  names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`

const condition = (index: number): string => (index < 1e4 ? index.toFixed(0) : 'above 10 000')

const signed = (value: number): string => value.toFixed(3).replace('-', '−')

/**
 * By how much the parameters move when the residuals change by `change` (to first order): −(JᵀJ)⁻¹Jᵀ·change over the
 * parameters that are free; NaN where that is not defined.
 */
export function movedBy(result: FitResult, change: ArrayLike<number>): Float64Array {
  const n = result.parameters.length
  const m = result.residuals.length
  const moved = new Float64Array(n).fill(Number.NaN)
  const free = Array.from(moved, (_, j) => j).filter((j) => !result.atBound[j])
  if (result.jacobian.length !== m * n || free.length === 0) return moved
  const a = new Float64Array(m * free.length)
  for (let i = 0; i < m; i++) {
    free.forEach((j, c) => {
      a[i * free.length + c] = result.jacobian[i * n + j]!
    })
  }
  const { r, qtb } = qr(
    a,
    m,
    free.length,
    Float64Array.from({ length: m }, (_, i) => -change[i]!),
  )
  const solved = solveUpper(r, free.length, qtb)
  free.forEach((j, c) => {
    moved[j] = solved?.[c] ?? Number.NaN
  })
  return moved
}
