/**
 * A film is drawn out by a fixed pull S at its edge over a deep bath whose motion is still a thin boundary layer.
 * Answer: R = K S^(1/2) (ηo ρo)^(−1/4) t^(3/4); published K lie between 0.665 and 1.52.
 * Source: review values (spreading of one liquid on another; as collected for this project, the review was read, the
 * single papers were not). The pull at one line, as here, is the extreme case: K comes out near the upper end.
 * Lengths are far beyond any dish, so that boundary layer ≪ radius ≪ dish, and boundary layer ≪ depth.
 */
import { describe, expect, it } from 'vitest'
import { expectClose } from '../matchers.ts'
import { bench, curves, lineSlope, problemWith } from './kernels.ts'

const viscosity = 0.05
const density = 920
const S = 0.01

function radii(cells: number): { t: number; R: number; thickness: number }[] {
  const problem = problemWith({
    depth: 2,
    dishRadius: 60,
    startRadius: 1e-3,
    oilViscosity: viscosity,
    oilDensity: density,
    coverage: 1e-11,
    closures: curves({ spreading: S }),
  })
  const b = bench(problem, { cells, outer: 80, rtol: 1e-4, floor: 1e-16 }, (s) => 1e-2 * (1 - s * s))
  return Array.from({ length: 6 }, (_, k) => {
    const t = 60 * 1.4 ** k
    b.to(t)
    return { t, R: b.sys.R, thickness: b.sys.h[0]! }
  })
}

describe('spreading over a boundary layer', () => {
  for (const cells of [60, 120]) {
    it(`has the exponent ¾ within 0.03 and a prefactor within the published bracket (${cells} cells)`, () => {
      const found = radii(cells)
      const slope = lineSlope(
        found.map(({ t }) => Math.log(t)),
        found.map(({ R }) => Math.log(R)),
      )
      expectClose(slope, 0.75, { atol: 0.03 })
      for (const { t, R, thickness } of found) {
        const K = R / (Math.sqrt(S) * (viscosity * density) ** -0.25 * t ** 0.75)
        expect(K, `t = ${t}`).toBeGreaterThan(0.665)
        expect(K, `t = ${t}`).toBeLessThan(1.52)
        // Still a film that covers: the pull is the whole of S.
        expect(thickness).toBeGreaterThan(10 * 1e-11)
      }
    })
  }
})
