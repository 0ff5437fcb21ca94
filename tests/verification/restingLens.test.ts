/**
 * A drop whose tensions hold it together (S < 0) comes to rest on the bath.
 * Answer: the edge slope is √(−2S/γ_eff), the profile a parabola, and a cap of volume V has R = (4V/(π slope))^(1/3).
 * Source: Neumann's triangle in the limit of small slopes (½ γ_eff s² = −S); derived for this project.
 */
import { describe, it } from 'vitest'
import { restingRadius } from '../../src/model/scales.ts'
import { expectClose } from '../matchers.ts'
import { bench, curves, problemWith } from './kernels.ts'

const volume = 1e-9
const levelling = 0.01

function rested(spreading: number, startRadius: number, cells: number) {
  const problem = problemWith({
    volume,
    startRadius,
    oilViscosity: 0.005,
    // No film thin enough for the cut-off: the force at the edge is the whole of S.
    coverage: 1e-12,
    closures: curves({ viscosity: 1e-3, spreading, levelling }),
  })
  const top = (2 * volume) / (Math.PI * startRadius ** 2)
  const b = bench(problem, { cells, rtol: 1e-4 }, (s) => top * (1 - s * s))
  b.to(60)
  return b
}

describe('lens at rest', () => {
  for (const spreading of [-1e-4, -1e-3, -5e-3]) {
    for (const start of [1.2e-3, 3e-3]) {
      it(`has Neumann's slope and the cap's radius within 0.5 %: S = ${spreading}, from ${start} m`, () => {
        const { sys, stepper } = rested(spreading, start, 80)
        const slope = Math.sqrt((-2 * spreading) / levelling)
        const N = sys.mesh.cells
        expectClose(
          sys.h[N - 1]! / (sys.R * sys.mesh.gap[N]!),
          slope,
          { rtol: 5e-3 },
          'slope in the last half cell',
        )
        expectClose((2 * sys.h[0]!) / (1 - sys.mesh.zc[0]!) / sys.R, slope, { rtol: 5e-3 }, 'slope from h(0)')
        expectClose(sys.R, Math.cbrt((4 * volume) / (Math.PI * slope)), { rtol: 5e-3 }, 'radius')
        expectClose(
          restingRadius(volume, spreading, levelling),
          Math.cbrt((4 * volume) / (Math.PI * slope)),
          {
            rtol: 1e-14,
          },
        )
        expectClose(sys.content(stepper.y, 0), volume, { rtol: 1e-12 }, 'volume')
      })
    }
  }
})
