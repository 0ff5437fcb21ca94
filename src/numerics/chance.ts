/** Chances: tail of the χ² distribution, runs of one sign, correlation of neighbours. */

/** Complementary error function, x ≥ 0. NIST Digital Library of Mathematical Functions, 7.6.1 and 7.9.1. */
function erfc(x: number): number {
  if (x < 2.5) {
    let term = x
    let sum = x
    for (let n = 1; Math.abs(term) > 1e-17 * sum; n++) {
      term *= (-x * x) / n
      sum += term / (2 * n + 1)
    }
    return 1 - (2 / Math.sqrt(Math.PI)) * sum
  }
  // Continued fraction from below: x + (1/2)/(x + 1/(x + (3/2)/(x + …))).
  let tail = x
  for (let n = 60; n >= 1; n--) tail = x + n / 2 / tail
  return Math.exp(-x * x) / (Math.sqrt(Math.PI) * tail)
}

/**
 * Chance that a χ² of `degrees` degrees of freedom (whole, above 0) is larger than `chiSquared`; NaN where that means
 * nothing. Abramowitz & Stegun, Handbook of Mathematical Functions (1964), 26.4.4 and 26.4.5; terms in logarithms.
 */
export function chiSquaredTail(chiSquared: number, degrees: number): number {
  if (!(chiSquared >= 0) || !(degrees >= 1) || !Number.isInteger(degrees)) return Number.NaN
  if (chiSquared === 0) return 1
  const odd = degrees % 2 === 1
  const logarithm = Math.log(chiSquared)
  // First term of the sum: √(2/π) χ e^(−χ²/2) for odd, e^(−χ²/2) for even numbers of degrees.
  let term = -chiSquared / 2 + (odd ? 0.5 * Math.log(2 / Math.PI) + 0.5 * logarithm : 0)
  let sum = odd ? erfc(Math.sqrt(chiSquared / 2)) : 0
  for (let r = odd ? 1 : 0; 2 * r <= degrees - (odd ? 1 : 2); r++) {
    sum += Math.exp(term)
    term += logarithm - Math.log(2 * r + (odd ? 1 : 2))
  }
  return Math.min(1, sum)
}

export interface Runs {
  /** Runs of one sign, and their mean number and deviation if the order were chance. */
  runs: number
  expected: number
  deviation: number
}

/**
 * Runs of one sign in one or several rows of residuals (zeros are passed over).
 * Wald & Wolfowitz, Annals of Mathematical Statistics 11, 147 (1940); NIST/SEMATECH e-Handbook, 1.3.5.13.
 */
export function runsOf(rows: readonly ArrayLike<number>[]): Runs {
  let runs = 0
  let expected = 0
  let variance = 0
  for (const row of rows) {
    const signs = Array.from(row, Math.sign).filter((sign) => sign === 1 || sign === -1)
    const n = signs.length
    if (n === 0) continue
    const plus = signs.filter((sign) => sign > 0).length
    const product = 2 * plus * (n - plus)
    runs += 1 + signs.filter((sign, i) => i > 0 && sign !== signs[i - 1]).length
    expected += product / n + 1
    if (n > 1) variance += (product * (product - n)) / (n * n * (n - 1))
  }
  return { runs, expected, deviation: Math.sqrt(Math.max(0, variance)) }
}

/** Correlation of neighbours, Σ r_i r_{i+1}/Σ r_i², over one or several rows; NaN if all are zero. */
export function neighbourCorrelation(rows: readonly ArrayLike<number>[]): number {
  let products = 0
  let squares = 0
  for (const row of rows) {
    for (let i = 0; i < row.length; i++) {
      squares += row[i]! ** 2
      if (i > 0) products += row[i]! * row[i - 1]!
    }
  }
  return squares > 0 ? products / squares : Number.NaN
}
