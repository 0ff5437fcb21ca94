import { expect } from 'vitest'

/** Permitted deviation: atol + rtol·|expected|. */
export interface Tolerance {
  rtol?: number
  atol?: number
}

/** True if |actual − expected| ≤ atol + rtol·|expected|; never for NaN. */
export function isClose(actual: number, expected: number, { rtol = 0, atol = 0 }: Tolerance): boolean {
  return Math.abs(actual - expected) <= atol + rtol * Math.abs(expected)
}

/** Fails with both numbers and the deviation if `actual` is not close to `expected`. `label` names the case in a loop. */
export function expectClose(actual: number, expected: number, tolerance: Tolerance, label = ''): void {
  const { rtol = 0, atol = 0 } = tolerance
  const permitted = atol + rtol * Math.abs(expected)
  const message = `${label ? `${label}: ` : ''}${actual} instead of ${expected}, off by ${actual - expected}, permitted ±${permitted}`
  expect(isClose(actual, expected, tolerance), message).toBe(true)
}
