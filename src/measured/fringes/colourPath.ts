/**
 * The continuous course of the thickness whose colours fit best (dynamic programming over a grid of thicknesses; Viterbi, IEEE
 * Trans. Inf. Theory 13, 260 (1967)), and how much worse the best course through any other thickness is at each step.
 */

export interface Costs {
  /** Steps and states; the last state stands for films too thick to show colours. */
  steps: number
  states: number
  /** Half of χ² of each step in each state, row by row. */
  cost: Float64Array
  /** What a change by one state costs, and most states that are passed from one step to the next. */
  perState: number
  most: number
  /** What it costs to leave the grid to the last state or to come back. */
  leave: number
}

export interface Course {
  /** Best state of each step. */
  best: Int32Array
  /** Cost of the best course through each state of each step, less that of the best of all. */
  excess: Float64Array
  total: number
}

/** Cheapest way to come from `from` into every state. */
function spread(from: Float64Array, into: Float64Array, { states, perState, most, leave }: Costs): void {
  const last = states - 1
  let least = Number.POSITIVE_INFINITY
  for (let s = 0; s < last; s++) least = Math.min(least, from[s]!)
  const back = from[last]! + leave
  for (let s = 0; s < last; s++) {
    let best = Math.min(from[s]!, back)
    const [low, high] = [Math.max(0, s - most), Math.min(last - 1, s + most)]
    for (let k = low; k <= high; k++) {
      const cost = from[k]! + perState * Math.abs(s - k)
      if (cost < best) best = cost
    }
    into[s] = best
  }
  into[last] = Math.min(from[last]!, least + leave)
}

/** Costs of the best courses up to each step, without the step's own cost. */
function sweep(costs: Costs, forward: boolean): Float64Array {
  const { steps, states, cost } = costs
  const reached = new Float64Array(steps * states)
  const from = new Float64Array(states)
  const into = new Float64Array(states)
  for (let n = 1; n < steps; n++) {
    const [i, before] = forward ? [n, n - 1] : [steps - 1 - n, steps - n]
    for (let s = 0; s < states; s++) from[s] = reached[before * states + s]! + cost[before * states + s]!
    spread(from, into, costs)
    reached.set(into, i * states)
  }
  return reached
}

export function bestCourse(costs: Costs): Course {
  const { steps, states, cost } = costs
  const excess = sweep(costs, true)
  const behind = sweep(costs, false)
  const best = new Int32Array(steps)
  let total = Number.POSITIVE_INFINITY
  for (let i = 0; i < steps; i++) {
    let least = Number.POSITIVE_INFINITY
    for (let s = 0; s < states; s++) {
      const at = i * states + s
      excess[at]! += behind[at]! + cost[at]!
      if (excess[at]! < least) {
        least = excess[at]!
        best[i] = s
      }
    }
    for (let s = 0; s < states; s++) excess[i * states + s]! -= least
    total = Math.min(total, least)
  }
  return { best, excess, total }
}
