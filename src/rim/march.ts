/** Growth of one number of waves along a life. */

import { log } from '../numerics/elementary.ts'
import { DenseLU } from '../numerics/luSolve.ts'
import type { RimOperator } from './operator.ts'

/** Of the two-stage, L-stable, second-order diagonally implicit method (SDIRK2): 1 − 1/√2. */
const GAMMA = 1 - Math.SQRT1_2

/** dx/dt = L x with L kept through each step. The size of x is taken out after each step and kept as a logarithm. */
export class RimMarch {
  /** h1, ψ1, ζ; ζ = ±1 or less. */
  readonly x: Float64Array
  /** ln of the growth of ζ since the start. */
  gain = 0
  private readonly lu: DenseLU
  private readonly first: Float64Array
  private readonly second: Float64Array
  private readonly product: Float64Array

  /** Begins with an edge displaced as a whole: h1 = ψ1 = 0, ζ = 1. */
  constructor(readonly size: number) {
    this.x = new Float64Array(size)
    this.x[size - 1] = 1
    this.lu = new DenseLU(size)
    this.first = new Float64Array(size)
    this.second = new Float64Array(size)
    this.product = new Float64Array(size)
  }

  /** One step of dt (s). @returns false if the step could not be solved */
  step({ matrix }: RimOperator, dt: number): boolean {
    const { size, x, lu, first, second } = this
    const { a } = lu
    for (let i = 0; i < a.length; i++) a[i] = -GAMMA * dt * matrix[i]
    for (let i = 0; i < size; i++) a[i * size + i] += 1
    if (!lu.factor()) return false
    times(matrix, x, first)
    lu.solve(first)
    for (let i = 0; i < size; i++) second[i] = x[i] + (1 - GAMMA) * dt * first[i]
    times(matrix, second, this.product)
    second.set(this.product)
    lu.solve(second)
    for (let i = 0; i < size; i++) x[i] += dt * ((1 - GAMMA) * first[i] + GAMMA * second[i])
    return this.rescale()
  }

  private rescale(): boolean {
    const { x, size } = this
    const edge = Math.abs(x[size - 1])
    if (!(edge > 0 && edge < Number.POSITIVE_INFINITY)) return false
    this.gain += log(edge)
    for (let i = 0; i < size; i++) x[i] /= edge
    return true
  }
}

function times(a: Float64Array, x: Float64Array, to: Float64Array): void {
  const n = x.length
  for (let i = 0; i < n; i++) {
    let sum = 0
    for (let j = 0, at = i * n; j < n; j++, at++) sum += a[at] * x[j]
    to[i] = sum
  }
}
