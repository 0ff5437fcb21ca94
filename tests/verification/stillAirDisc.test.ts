/**
 * A flat disc of liquid evaporates into still air: local flux (2/π) D Δc/√(R² − r²).
 * Answer: the whole is 4 D R Δc; the flux integrated exactly over rings must sum to it exactly.
 * Sources: R. D. Deegan et al., Nature 389, 827 (1997), from memory; the sessile-drop formula
 * π R D (1 − H) c_v (0.27 θ² + 1.30), which tends to 4.084 R D Δc at θ → 0: H. Hu & R. G. Larson,
 * J. Phys. Chem. B 106, 1334 (2002). Start-up Δc √(D/πt): one-dimensional diffusion into a half-space, textbook
 * (J. Crank, The Mathematics of Diffusion, from memory).
 */
import { describe, it } from 'vitest'
import { BOOKS } from '../../src/model/film.ts'
import { expectClose } from '../matchers.ts'
import { type Bench, bench, curves, problemWith, uniform } from './kernels.ts'

const D = 1e-5
const saturation = 1e-4

function disc(R: number, cells: number, even: boolean, enhancement = 1): Bench {
  const problem = problemWith({
    startRadius: R,
    evaporation: { kind: 'disc', alcoholDiffusivity: D, waterDiffusivity: 2 * D, enhancement },
    evaporationCutoff: 0,
    closures: curves({ alcoholLoss: saturation }),
  })
  const faces = even ? { faces: uniform(cells) } : {}
  // So thick that the cut-off of dry cells (1 nm) lies beneath rounding.
  return bench(problem, { cells, rtol: 1e-3, ...faces }, () => 0.1)
}

/** Volume lost per time over a step of length h from t, m³/s. */
function loss({ sys, stepper }: Bench, t: number, h: number): number {
  const rates = sys.vector()
  sys.beginStep(t, h, stepper.y)
  sys.rates(stepper.y, rates)
  return 2 * Math.PI * rates[sys.booksAt + BOOKS.lostVolume]!
}

/** So late that the air's field has long formed. */
const LATE = 1e40

describe('disc in still air', () => {
  for (const R of [1e-3, 2.5e-2]) {
    for (const cells of [8, 80, 160]) {
      for (const even of [true, false]) {
        it(`loses 4 D R Δc to 1e-12: R = ${R} m, ${cells} ${even ? 'even' : 'bunched'} cells`, () => {
          expectClose(loss(disc(R, cells, even), LATE, 1), 4 * D * R * saturation, { rtol: 1e-12 })
        })
      }
    }
  }
  it('agrees with the flat limit of the sessile-drop formula within 2.2 %', () => {
    const R = 5e-3
    expectClose(loss(disc(R, 80, false), LATE, 1), 1.3 * Math.PI * R * D * saturation, { rtol: 0.022 })
  })
  it('adds the start-up flux Δc √(D/πt), meant over the step, and the draught factor', () => {
    const R = 5e-3
    const area = Math.PI * R * R
    const steady = 4 * D * R * saturation
    for (const [t, h] of [
      [0, 0.1],
      [1, 1e-3],
      [10, 5],
    ] as const) {
      const mean = (2 * saturation * Math.sqrt(D / Math.PI) * (Math.sqrt(t + h) - Math.sqrt(t))) / h
      expectClose(
        loss(disc(R, 40, false, 2.5), t, h),
        2.5 * (steady + area * mean),
        { rtol: 1e-10 },
        `t = ${t}`,
      )
    }
  })
})
