/**
 * Order of the time-stepping methods with steps of fixed length.
 * (a) y' of the Brusselator against many small steps: the classical order.
 * (b) Kaps' problem y1' = −(1/ε + 2) y1 + y2²/ε, y2' = y1 − y2(1 + y2), whose solution e^(−2t), e^(−t) does not depend
 *     on ε: stiff as ε → 0.
 * (c) a smooth stretch of a drop's life, full coupled system.
 * Sources: ROS3, A. Sandu et al., Atmos. Environ. 31, 3459 (1997), order 3; RODAS, E. Hairer & G. Wanner, Solving
 * Ordinary Differential Equations II, 2nd ed. 1996, order 4, also for ε → 0; Kaps' problem as in K. Dekker & J. G. Verwer,
 * Stability of Runge–Kutta Methods for Stiff Nonlinear Differential Equations (1984), from memory; the Brusselator as in
 * Hairer, Nørsett & Wanner, Solving ODEs I, from memory.
 */
import { describe, expect, it } from 'vitest'
import { RODAS4, ROS3, type RosenbrockMethod } from '../../src/numerics/rosenbrock.ts'
import { expectClose } from '../matchers.ts'
import { fixedSteps, smallSystem } from './fixedSteps.ts'
import { bench } from './kernels.ts'
import { referenceProblem } from './reference.ts'

const METHODS = [ROS3, RODAS4]

/** Observed order between each number of steps and its double. */
const orders = (errors: number[]): number[] => errors.slice(1).map((e, k) => Math.log2(errors[k]! / e))

const brusselator = smallSystem(
  2,
  (y, out) => {
    const [a, b] = [y[0]!, y[1]!]
    out[0] = 1 + a * a * b - 4 * a
    out[1] = 3 * a - a * a * b
  },
  (y) => {
    const [a, b] = [y[0]!, y[1]!]
    return [
      [2 * a * b - 4, a * a],
      [3 - 2 * a * b, -a * a],
    ]
  },
)

const kaps = (epsilon: number) =>
  smallSystem(
    2,
    (y, out) => {
      const [a, b] = [y[0]!, y[1]!]
      out[0] = -(1 / epsilon + 2) * a + (b * b) / epsilon
      out[1] = a - b - b * b
    },
    (y) => [
      [-(1 / epsilon + 2), (2 * y[1]!) / epsilon],
      [1, -1 - 2 * y[1]!],
    ],
  )

describe('order on small systems', () => {
  for (const method of METHODS) {
    it(`${method.name} has its order on the Brusselator`, () => {
      const start = Float64Array.of(1.5, 3)
      const exact = fixedSteps(brusselator, RODAS4, start, 2, 4000).slice()
      const errors = [160, 320, 640].map((n) => {
        const y = fixedSteps(brusselator, method, start, 2, n)
        return Math.hypot(y[0]! - exact[0]!, y[1]! - exact[1]!)
      })
      for (const order of orders(errors)) expectClose(order, method.order, { atol: 0.2 })
    })
    for (const epsilon of [1, 1e-8]) {
      it(`${method.name} has its order in the slow part of Kaps’ problem, ε = ${epsilon}`, () => {
        const errors = [40, 80, 160].map((n) => {
          const y = fixedSteps(kaps(epsilon), method, Float64Array.of(1, 1), 1, n)
          return Math.abs(y[1]! - Math.exp(-1))
        })
        for (const order of orders(errors)) expectClose(order, method.order, { atol: 0.35 })
      })
    }
  }
  it('RODAS keeps order 4 in the stiff part too; ROS3 falls to 2 there', () => {
    const stiff = (method: RosenbrockMethod) =>
      orders(
        [10, 20, 40].map((n) => {
          const y = fixedSteps(kaps(1e-8), method, Float64Array.of(1, 1), 1, n)
          return Math.abs(y[0]! - Math.exp(-2))
        }),
      )
    for (const order of stiff(RODAS4)) expectClose(order, 4, { atol: 0.4 })
    for (const order of stiff(ROS3)) expectClose(order, 2, { atol: 0.3 })
  })
})

describe('order on a drop’s life', () => {
  const problem = referenceProblem(0.5)
  const top = (2 * problem.volume) / (Math.PI * problem.startRadius ** 2)
  const b = bench(problem, { cells: 20, rtol: 1e-3 }, (s) => top * (1 - s * s))
  b.to(2)
  const { sys } = b
  // What is left of fast motions from the larger steps before dies out in many small ones.
  const start = fixedSteps(sys, RODAS4, b.stepper.y, 0.2, 1000).slice()
  const span = 0.2
  const exact = fixedSteps(sys, RODAS4, start, span, 2560).slice()
  /** Largest deviations of the cells' contents and of the bath's speeds, and that of R. */
  const errors = (method: RosenbrockMethod, count: number) => {
    const y = fixedSteps(sys, method, start, span, count)
    let [content, speed] = [0, 0]
    for (let p = 0; p < sys.outerAt; p++) {
      const off = Math.abs(y[p]! - exact[p]!)
      if (p % sys.block < 2) content = Math.max(content, off)
      else speed = Math.max(speed, off)
    }
    return { content, speed, radius: Math.abs(y[sys.radiusAt]! - exact[sys.radiusAt]!) }
  }
  it('ROS3 has order 3 in the contents, 2 in the stiff bath speeds', () => {
    const found = [80, 160, 320].map((n) => errors(ROS3, n))
    for (const order of orders(found.map((e) => e.content))) expectClose(order, 3, { atol: 0.25 })
    for (const order of orders(found.map((e) => e.speed))) expect(order).toBeGreaterThan(1.8)
  })
  it('RODAS4 has order 4 in the contents, at least 2 in the stiff bath speeds', () => {
    const found = [5, 10, 20].map((n) => errors(RODAS4, n))
    for (const order of orders(found.map((e) => e.content))) expectClose(order, 4, { atol: 0.4 })
    for (const order of orders(found.map((e) => e.speed))) expect(order).toBeGreaterThan(1.8)
  })
  it('steps of 20 ms err in R by less than a part in 10⁸', () => {
    for (const method of METHODS) expect(errors(method, 10).radius / exact[sys.radiusAt]!).toBeLessThan(1e-8)
  })
})
