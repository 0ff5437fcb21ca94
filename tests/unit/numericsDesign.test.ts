/** Optimal designs against closed forms. */
import { describe, expect, it } from 'vitest'
import {
  bestDesign,
  type Criterion,
  type DesignProblem,
  exchanged,
  scoreOf,
} from '../../src/numerics/design/exchange.ts'
import { addInformation, inverseOf, traceOfInverse } from '../../src/numerics/design/information.ts'
import { randomStream } from '../../src/numerics/sampling/random.ts'

/** Observations at places x with derivatives f(x) by the unknowns, at one draw or several. */
function problemOf(
  places: readonly number[],
  models: readonly ((x: number) => readonly number[])[],
  criterion: Criterion,
): DesignProblem {
  const k = models[0]!(0.5).length
  const information = new Float64Array(models.length * places.length * k * k)
  models.forEach((model, d) => {
    places.forEach((x, c) => {
      const at = (d * places.length + c) * k * k
      addInformation(information.subarray(at, at + k * k), model(x), k)
    })
  })
  const prior = new Float64Array(k * k)
  return { candidates: places.length, unknowns: k, draws: models.length, information, prior, criterion }
}

const grid = (from: number, to: number, count: number) =>
  Array.from({ length: count }, (_, i) => from + ((to - from) * i) / (count - 1))

/** The chosen places with how often. */
function chosenPlaces(problem: DesignProblem, places: readonly number[], n: number): [number, number][] {
  const { chosen } = bestDesign(problem, n, 6, 1)
  const times = new Map<number, number>()
  for (const c of chosen) times.set(places[c]!, (times.get(places[c]!) ?? 0) + 1)
  return [...times].toSorted((a, b) => a[0] - b[0])
}

// Atkinson, Donev & Tobias, Optimum Experimental Designs, with SAS (2007), chapters 9 and 11; the same in Fedorov (1972).
describe('D-optimal designs on −1 to 1', () => {
  const places = grid(-1, 1, 41)
  it('of a straight line lie at both ends in equal parts', () => {
    const line = problemOf(places, [(x) => [1, x]], 'D')
    expect(chosenPlaces(line, places, 6)).toEqual([
      [-1, 3],
      [1, 3],
    ])
  })
  it('of a parabola lie at the ends and in the middle in equal parts', () => {
    const parabola = problemOf(places, [(x) => [1, x, x * x]], 'D')
    const found = chosenPlaces(parabola, places, 9)
    expect(found.map(([x]) => x)).toEqual([-1, expect.closeTo(0, 12), 1])
    expect(found.map(([, times]) => times)).toEqual([3, 3, 3])
  })
  it('of a cubic lie at ±1 and ±1/√5 (roots of the derivative of Legendre’s P₃)', () => {
    // Guest, Annals of Mathematical Statistics 29, 294 (1958).
    const fine = [...grid(-1, 1, 41), -1 / Math.sqrt(5), 1 / Math.sqrt(5)].toSorted((a, b) => a - b)
    const cubic = problemOf(fine, [(x) => [1, x, x * x, x ** 3]], 'D')
    const found = chosenPlaces(cubic, fine, 8)
    const at = [-1, -1 / Math.sqrt(5), 1 / Math.sqrt(5), 1]
    expect(found).toEqual(at.map((x) => [expect.closeTo(x, 12), 2]))
  })
  it('do not hang on the units of the unknowns', () => {
    const line = problemOf(places, [(x) => [1e3, 1e-4 * x]], 'D')
    expect(chosenPlaces(line, places, 4)).toEqual([
      [-1, 2],
      [1, 2],
    ])
  })
})

describe('A-optimal designs', () => {
  it('of a parabola on −1 to 1 put half of the points in the middle, a quarter at each end', () => {
    // Atkinson et al., chapter 10: weights 1/4, 1/2, 1/4.
    const places = grid(-1, 1, 41)
    const parabola = problemOf(places, [(x) => [1, x, x * x]], 'A')
    expect(chosenPlaces(parabola, places, 8).map(([, times]) => times)).toEqual([2, 4, 2])
  })
})

describe('D-optimal designs of decays', () => {
  it('of e^(−k t) lie at t = 1/k', () => {
    // Box & Lucas, Biometrika 46, 77 (1959); Atkinson et al., chapter 17.
    for (const k of [0.5, 1, 2]) {
      const places = grid(0, 4, 81)
      const decay = problemOf(places, [(t) => [-t * Math.exp(-k * t)]], 'D')
      expect(chosenPlaces(decay, places, 3)).toEqual([[expect.closeTo(1 / k, 12), 3]])
    }
  })
  it('of two first-order reactions one after the other lie at 1.23 and 6.86 (Box & Lucas 1959, θ = 0.7 and 0.2)', () => {
    const [a, b] = [0.7, 0.2]
    const model = (t: number) => {
      const [ea, eb] = [Math.exp(-a * t), Math.exp(-b * t)]
      const q = a - b
      return [(-b / q ** 2) * (eb - ea) + (a / q) * t * ea, (a / q ** 2) * (eb - ea) - (a / q) * t * eb]
    }
    const places = grid(0, 12, 1201)
    const found = chosenPlaces(problemOf(places, [model], 'D'), places, 2)
    expect(found[0]![0]).toBeCloseTo(1.23, 2)
    expect(found[1]![0]).toBeCloseTo(6.86, 2)
  })
  it('over two places of what is not known lie between the two optima: t = 2/(k₁ + k₂)', () => {
    // Mean of ln det: d/dt Σ (2 ln t − 2 kᵢ t) = 0.
    const places = grid(0, 4, 401)
    const models = [0.5, 1.5].map((k) => (t: number) => [-t * Math.exp(-k * t)])
    expect(chosenPlaces(problemOf(places, models, 'D'), places, 1)).toEqual([[expect.closeTo(1, 12), 1]])
  })
})

describe('exchange', () => {
  it('finds what trying all designs finds, for random information', () => {
    const random = randomStream(7)
    for (const criterion of ['D', 'A'] as const) {
      for (let round = 0; round < 5; round++) {
        const rows = Array.from({ length: 7 }, () => [random() - 0.5, random() - 0.5])
        const problem = problemOf(
          rows.map((_, i) => i),
          [(i) => rows[i] ?? [0, 0]],
          criterion,
        )
        let best = Number.NEGATIVE_INFINITY
        for (let a = 0; a < 7; a++)
          for (let b = a; b < 7; b++)
            for (let c = b; c < 7; c++) best = Math.max(best, scoreOf(problem, [a, b, c]))
        expect(bestDesign(problem, 3, 10, round).score).toBeCloseTo(best, 9)
      }
    }
  })
  it('takes what is known beforehand into account: one point then tells the other unknown', () => {
    const places = grid(-1, 1, 5)
    const line = problemOf(places, [(x) => [1, x]], 'D')
    line.prior[0] = 1e6
    const { chosen } = bestDesign(line, 1, 3, 1)
    expect(Math.abs(places[chosen[0]!]!)).toBe(1)
  })
  it('gives the same design for the same seed, and none that is worse than its start', () => {
    const places = grid(-1, 1, 21)
    const problem = problemOf(places, [(x) => [1, x, x * x]], 'D')
    expect(bestDesign(problem, 4, 5, 3)).toEqual(bestDesign(problem, 4, 5, 3))
    expect(exchanged(problem, [0, 3, 9]).score).toBeGreaterThanOrEqual(scoreOf(problem, [0, 3, 9]))
  })
})

describe('matrices', () => {
  it('inverse and its trace of a matrix with a known inverse', () => {
    // The 3 × 3 Hilbert matrix has the whole-number inverse 9, −36, 30; −36, 192, −180; 30, −180, 180.
    const hilbert = Float64Array.from({ length: 9 }, (_, e) => 1 / (1 + Math.floor(e / 3) + (e % 3)))
    const inverse = inverseOf(hilbert, 3)!
    for (const [e, one] of [9, -36, 30, -36, 192, -180, 30, -180, 180].entries())
      expect(inverse[e]).toBeCloseTo(one, 8)
    expect(traceOfInverse(hilbert, 3, new Float64Array(9))).toBeCloseTo(9 + 192 + 180, 8)
    expect(inverseOf([1, 1, 1, 1], 2)).toBeNull()
  })
})
