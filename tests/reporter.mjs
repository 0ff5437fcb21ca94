/** Counts of the test phases. */
import { readFileSync } from 'node:fs'

export const NOTHING = Object.freeze({ passed: 0, failed: 0, skipped: 0 })

export const add = (a, b) => ({
  passed: a.passed + b.passed,
  failed: a.failed + b.failed,
  skipped: a.skipped + b.skipped,
})

export const lineOf = ({ passed, failed, skipped }) =>
  `${passed} passed, ${failed} failed, ${skipped} skipped`

/** A phase that only succeeds or not counts as one. */
export const single = (ok) =>
  ok ? { passed: 1, failed: 0, skipped: 0 } : { passed: 0, failed: 1, skipped: 0 }

/** A phase that ended badly without a failed test of its own (crash, time limit, nothing ran) has one failure. */
export function honest(counts, ok) {
  const bad = !ok || counts.passed + counts.failed === 0
  return bad && counts.failed === 0 ? { ...counts, failed: 1 } : counts
}

/** Counts from the last line "N passed, N failed, N skipped" of an output; nothing if there is none. */
export function countsInText(text) {
  const [match] = [...text.matchAll(/^(\d+) passed, (\d+) failed, (\d+) skipped\s*$/gm)].slice(-1)
  if (!match) return NOTHING
  const [passed, failed, skipped] = match.slice(1).map(Number)
  return { passed, failed, skipped }
}

/** Counts from the JSON report of the unit tests; a file that could not be loaded counts as one failure. */
export function countsInReport(path) {
  let report
  try {
    report = JSON.parse(readFileSync(path, 'utf8'))
  } catch {
    return NOTHING
  }
  const broken = report.testResults.filter(
    (file) => file.status === 'failed' && file.assertionResults.length === 0,
  )
  return {
    passed: report.numPassedTests,
    failed: report.numFailedTests + broken.length,
    skipped: report.numPendingTests + report.numTodoTests,
  }
}
