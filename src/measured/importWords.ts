/** Words about what a table gave and what was left out. */
import type { MeasuredCurve, Skipped } from './types.ts'

/** "lines 4–9" */
export const linesOf = ({ line, last }: Skipped): string =>
  last && last !== line ? `lines ${line}–${last}` : `line ${line}`

/** What was left out, in one sentence; '' if nothing. */
export function skippedWords(skipped: readonly Skipped[], most = 5): string {
  if (skipped.length === 0) return ''
  const told = skipped.slice(0, most).map((entry) => `${linesOf(entry)} (${entry.reason})`)
  const more = skipped.length > most ? ` and ${skipped.length - most} more` : ''
  return `Left out: ${told.join('; ')}${more}.`
}

/** "2 curves, 45 points" */
export function countWords(curves: readonly MeasuredCurve[]): string {
  const points = curves.reduce((sum, curve) => sum + curve.time.length, 0)
  return `${curves.length} ${curves.length === 1 ? 'curve' : 'curves'}, ${points} points`
}
