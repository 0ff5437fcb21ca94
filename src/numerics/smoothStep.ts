/** 0 up to `from`, 1 from `to` on, between them the cubic without a kink. */
export function smoothStep(from: number, to: number, x: number): number {
  const y = Math.min(1, Math.max(0, (x - from) / (to - from)))
  return y * y * (3 - 2 * y)
}
