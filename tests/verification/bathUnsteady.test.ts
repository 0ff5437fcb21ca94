/**
 * The bath's inertia: unsteady Stokes flow in a layer of depth H over a no-slip floor, closed dish, flat surface, under a
 * tangential stress of wavenumber k that grows as exp(st). Response G(k, s) = u ηo/(F H), x = kH, p = s H²/νo.
 * Sources: derived for this project from the stream function A(cosh kz − cosh qz) + B(sinh kz/k − sinh qz/q), q² = k² + s/νo,
 * which is 0 with its slope at the floor and 0 at the surface. Numbers: that 2 × 2 system solved with mpmath 1.3 in Python
 * at 40 digits. Limits: Stokes' first problem with given stress; roots of tan x = x as in Abramowitz & Stegun, table 4.19.
 */
import { describe, expect, it } from 'vitest'
import { defaultPreset, setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import { radiusAt } from '../../src/life/sample.ts'
import {
  type BathFields,
  DEEP_FIELDS,
  exactResponse,
  fieldRates,
  fieldResponse,
  SHORT_FIELDS,
  THREE_FIELDS,
  unsteadyResponse,
} from '../../src/model/bathFields.ts'
import { expectClose } from '../matchers.ts'

/** [kH, s H²/νo, G], by mpmath. */
const NUMBERS: [number, number, number][] = [
  [0.01, 0.1, 0.2491688597708653748],
  [0.01, 10, 0.1927239063023788312],
  [1, 0.1, 0.2335139741883153799],
  [8, 100, 0.04806240836339841797],
  [60, 0.1, 0.008333275463766704154],
  [60, 1e4, 0.005661903789690600942],
]

const SETS: [string, BathFields, number, number][] = [
  ['DEEP_FIELDS', DEEP_FIELDS, 0.02, 520],
  ['SHORT_FIELDS', SHORT_FIELDS, 0.03, 60],
]

/** Largest departure from the exact response over a range of kH and s H²/νo. */
function worst(fields: BathFields, kH: [number, number], growth: [number, number], points = 90): number {
  let most = 0
  for (let i = 0; i <= points; i++) {
    const k = kH[0] * (kH[1] / kH[0]) ** (i / points)
    for (let j = 0; j <= points; j++) {
      const p = growth[0] * (growth[1] / growth[0]) ** (j / points)
      most = Math.max(most, Math.abs(fieldResponse(fields, k, 1, 1, p) / unsteadyResponse(k, 1, 1, p) - 1))
    }
  }
  return most
}

describe('exact unsteady response', () => {
  it.each(NUMBERS)('kH = %d, s H²/νo = %d', (k, p, wanted) => {
    expectClose(unsteadyResponse(k / 0.01, 0.01, 0.05, p), (wanted * 0.01) / 0.05, { rtol: 1e-6 })
  })
  it('meets the steady one for slow growth and 1/(k + q) on deep oil', () => {
    for (const k of [0.1, 1, 5])
      expectClose(unsteadyResponse(k, 1, 1, 1e-3), exactResponse(k, 1, 1), { rtol: 1e-4 })
    for (const p of [10, 1e3, 1e5])
      expectClose(unsteadyResponse(30, 1, 1, p), 1 / (30 + Math.sqrt(900 + p)), { rtol: 1e-9 })
  })
})

describe.each(SETS)('%s', (_name, fields, tolerance, longest) => {
  it(`are within ${100 * tolerance} % of it for kH 0.01 to 60, s H²/νo 0.1 to 10 000`, () => {
    expect(worst(fields, [0.01, 60], [0.1, 1e4])).toBeLessThan(tolerance)
  })
  it('are steady within their tolerance up to their shortest length', () => {
    let most = 0
    for (let k = 0.01; k < longest; k *= 1.002)
      most = Math.max(most, Math.abs(fieldResponse(fields, k, 1, 1) / exactResponse(k, 1, 1) - 1))
    expect(most).toBeLessThan(longest > 60 ? 1.35e-3 : 2.7e-3)
  })
  it('decay with νo(4.493/H)² and νo(7.725/H)² as k → 0', () => {
    for (const [x, below, above] of [
      [4.493409458, -30, -10],
      [7.725251837, -80, -45],
    ] as const) {
      // The response has a pole at minus the rate: its reciprocal passes through zero.
      let [low, high] = [below, above] as [number, number]
      const at = (p: number) => 1 / fieldResponse(fields, 0, 1, 1, p)
      expect(at(low) * at(high)).toBeLessThan(0)
      for (let n = 0; n < 60; n++) {
        const middle = (low + high) / 2
        if (at(low) * at(middle) > 0) low = middle
        else high = middle
      }
      expectClose(-low, x * x, { rtol: 1e-3 })
    }
  })
  it('decay at every wavenumber: Routh–Hurwitz of each group', () => {
    const { spread, decay, groups, links } = fieldRates(fields, 1, 1, 1)
    for (const k of [0, 0.1, 1, 3, 10, 30, 100, 1e3, 1e4]) {
      let first = 0
      for (const size of groups) {
        const entry = (i: number, j: number) => {
          if (i === j) return decay[first + i]! + spread[first + i]! * k * k
          return -(links.find(({ to, from }) => to === first + i && from === first + j)?.rate ?? 0)
        }
        expect([1, 3]).toContain(size)
        if (size === 1) expect(entry(0, 0)).toBeGreaterThan(0)
        else expect(hurwitz(entry)).toBe(true)
        first += size
      }
    }
  })
})

/** Whether all eigenvalues of a 3 × 3 matrix have a real part above 0. */
function hurwitz(e: (i: number, j: number) => number): boolean {
  const minor = (i: number, j: number) => e(i, i) * e(j, j) - e(i, j) * e(j, i)
  const trace = e(0, 0) + e(1, 1) + e(2, 2)
  const minors = minor(0, 1) + minor(0, 2) + minor(1, 2)
  const det =
    e(0, 0) * minor(1, 2) -
    e(0, 1) * (e(1, 0) * e(2, 2) - e(1, 2) * e(2, 0)) +
    e(0, 2) * (e(1, 0) * e(2, 1) - e(1, 1) * e(2, 0))
  return trace > 0 && det > 0 && trace * minors > det
}

describe('what was and is', () => {
  it('the common inertia of the reference case is up to 16 % too high in between, and right at both ends', () => {
    const off = (k: number, p: number) =>
      fieldResponse(THREE_FIELDS, k, 1, 1, p) / unsteadyResponse(k, 1, 1, p) - 1
    expectClose(off(1.2, 40), 0.163, { atol: 0.02 })
    expect(Math.abs(off(1.2, 0.1))).toBeLessThan(0.015)
  })
  it('DEEP_FIELDS answer a sudden stress on deep oil with F/(ηo √(s/νo)) within 4 %, s H²/νo 3000 to 300 000', () => {
    // 1/(k + q) of the deep layer, less what the floor's pressure takes, is 1/√p within (1 + kH)/√p.
    for (const p of [3e3, 1e4, 3e4, 1e5, 3e5]) {
      const found = fieldResponse(DEEP_FIELDS, 0.1, 1, 1, p) * Math.sqrt(p)
      expect(Math.abs(found - 1)).toBeLessThan(0.025 + 1.2 / Math.sqrt(p))
    }
  })
})

describe('in a life: the bath of its own inertia against that of the reference case', () => {
  /** R(t) at a twentieth of the time of the largest radius, and that radius, over those of the common inertia, less 1. */
  function shift(viscosity: number): { early: number; largest: number } {
    const [common, own] = ['three-field', 'exact'].map((bath) => {
      const made = setKeys(defaultPreset(), [
        ['model.bath', bath],
        ['ring.breakUp', false],
        ['drop.alcohol', '2-propanol'],
        ['drop.alcoholMassFraction', 0.6],
        ['bath.viscosity_mPas', viscosity],
        ['bath.solubility', 0],
      ])
      if (!made.ok) throw new Error(made.problems[0]!.message)
      const result = runLifeSync(made.preset)
      if (!result.ok) throw new Error('no life')
      return result.life
    })
    const time = 0.05 * own!.summary.maxRadiusTime
    return {
      early: radiusAt(own!.series, time) / radiusAt(common!.series, time) - 1,
      largest: own!.summary.maxRadius / common!.summary.maxRadius - 1,
    }
  }
  it('starts 2 to 6 % behind on kitchen oil, where s H²/νo is 10 to 300, and ends within 1.5 %', () => {
    const { early, largest } = shift(50)
    expect(early).toBeGreaterThan(-0.06)
    expect(early).toBeLessThan(-0.02)
    expect(Math.abs(largest)).toBeLessThan(0.015)
  })
  it('hardly differs on oil so thick that it has no inertia', () => {
    const { early, largest } = shift(1000)
    expect(Math.abs(early)).toBeLessThan(0.005)
    expect(Math.abs(largest)).toBeLessThan(0.01)
  })
})
