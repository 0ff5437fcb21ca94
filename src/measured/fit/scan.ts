/** A coarse scan of quick lives for a better start. */
import type { FitProblem } from './problem.ts'
import { report } from './stage.ts'
import type { FitHooks } from './types.ts'

/** The n-th number of a Halton sequence, 0 to 1. Halton, Numerische Mathematik 2, 84 (1960). */
export function halton(n: number, base: number): number {
  let result = 0
  let part = 1 / base
  for (let rest = n; rest > 0; rest = Math.floor(rest / base)) {
    result += part * (rest % base)
    part /= base
  }
  return result
}

const BASES = [2, 3, 5, 7, 11, 13] as const
/** Lives of a scan, by number of unknown numbers. */
const SCANNED = [0, 12, 28, 44, 60] as const
/** How far a scan goes either way in a logarithmic unknown: a factor of 12. */
const WIDE = Math.log(12)

/** Starts that a scan hands on. */
const STARTS = 3

/** The best starts among quick lives spread over the unknowns, best first; those only that are better than `sum`. */
export async function scanForStarts(
  problem: FitProblem,
  sum: number,
  hooks: FitHooks,
): Promise<Float64Array[]> {
  const { parameters } = problem
  const scanned = parameters.slice(0, BASES.length)
  const ranges = scanned.map(({ toParameter, lower, upper, logarithmic }) => {
    const [low, high] = [toParameter(lower), toParameter(upper)]
    return logarithmic ? [Math.max(low, -WIDE), Math.min(high, WIDE)] : [low, high]
  })
  const found: { p: Float64Array; sum: number }[] = []
  const count = SCANNED[Math.min(scanned.length, SCANNED.length - 1)]!
  const points = Array.from({ length: count }, (_, k) => {
    const p = new Float64Array(parameters.length)
    ranges.forEach(([low, high], j) => {
      p[j] = low! + halton(k + 1, BASES[j]!) * (high! - low!)
    })
    return p
  })
  for (const p of problem.over(points, 'quick')) {
    const r = await problem.residuals(p, 'quick')
    if (problem.isStopped()) break
    if (!r || problem.sum(r) >= sum) continue
    const best = problem.sum(r) < Math.min(...found.map((one) => one.sum))
    found.push({ p, sum: problem.sum(r) })
    if (best) await report(problem, 'scan', 'quick', p, problem.sum(r), hooks)
  }
  found.sort((a, b) => a.sum - b.sum)
  return found.slice(0, STARTS).map(({ p }) => p)
}
