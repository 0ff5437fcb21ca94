/** Runs a stiff system with steps of fixed length, whatever the error estimate says. */
import { type RosenbrockMethod, RosenbrockStepper, type StiffSystem } from '../../src/numerics/rosenbrock.ts'

const unguarded = (system: StiffSystem): StiffSystem => ({
  n: system.n,
  ...(system.workspace ? { workspace: (stages: number) => system.workspace!(stages) } : {}),
  rates: (y, out) => system.rates(y, out),
  linearise: (y, f) => system.linearise(y, f),
  factor: (hg) => system.factor(hg),
  solve: (b) => system.solve(b),
  beginStep: (t, h, y) => system.beginStep(t, h, y),
  errorNorm: () => 0,
  admissible: () => true,
  repair: () => {},
})

/** State after `count` equal steps from `start` over the time `span`. */
export function fixedSteps(
  system: StiffSystem,
  method: RosenbrockMethod,
  start: Float64Array,
  span: number,
  count: number,
): Float64Array {
  const stepper = new RosenbrockStepper(unguarded(system), method)
  stepper.y.set(start)
  stepper.start(0, span)
  for (let k = 0; k < count; k++) {
    stepper.h = span
    if (stepper.step(span / count, 0)) throw new Error(`step ${k} of ${count} cannot be made`)
  }
  return stepper.y
}

/** A small system given by its rates and Jacobian (rows), solved densely. */
export function smallSystem(
  n: number,
  rates: (y: Float64Array, out: Float64Array) => void,
  jacobian: (y: Float64Array) => number[][],
): StiffSystem {
  let J: number[][] = []
  let A: number[][] = []
  const solve = (b: Float64Array) => {
    const rows = A.map((row, p) => [...row, b[p]!])
    for (let c = 0; c < n; c++) {
      let best = c
      for (let p = c + 1; p < n; p++) if (Math.abs(rows[p]![c]!) > Math.abs(rows[best]![c]!)) best = p
      ;[rows[c], rows[best]] = [rows[best]!, rows[c]!]
      for (let p = 0; p < n; p++) {
        if (p === c) continue
        const factor = rows[p]![c]! / rows[c]![c]!
        for (let q = c; q <= n; q++) rows[p]![q] = rows[p]![q]! - factor * rows[c]![q]!
      }
    }
    for (let p = 0; p < n; p++) b[p] = rows[p]![n]! / rows[p]![p]!
  }
  return {
    n,
    rates,
    linearise(y, f) {
      rates(y, f)
      J = jacobian(y)
    },
    factor(hg) {
      A = J.map((row, p) => row.map((v, q) => (p === q ? 1 / hg : 0) - v))
      return true
    },
    solve,
    beginStep: () => false,
    errorNorm: () => 0,
    admissible: () => true,
    repair: () => {},
  }
}
