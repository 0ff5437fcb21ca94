/** The reference liquids in closed form, set up for the solver without the preset's machinery. SI units. */
import type { DropProblem } from '../../src/model/problem.ts'
import { curves, problemWith } from './kernels.ts'

const air = (phi: number) => 1e-3 * (27.6 - 6.4 * phi + 44.4 * Math.exp(-phi / 0.085))
const oil = (phi: number) => 1e-3 * (0.4 + 24.5 * Math.exp(-3.6 * phi))

/** 10 µL of strength φ0 on 10 mm of oil of 50 mPa·s, constant evaporation of 0.4 µm/s; any of it may be replaced. */
export const referenceProblem = (phi0: number, given: Partial<DropProblem> = {}): DropProblem =>
  problemWith({
    phi0,
    phiDry: 0.361,
    closures: curves({
      gammaA: air,
      spreading: (phi) => 0.033 - air(phi) - oil(phi),
      levelling: 5e-3,
      viscosity: 2.5e-3,
      alcoholLoss: (phi) => phi,
      // Counts only where the problem has an oil that takes up alcohol.
      dissolved: (phi) => 0.05 * phi * (2 - phi),
    }),
    evaporation: { kind: 'uniform', alcoholSpeed: 0.4e-6, waterSpeed: 0 },
    dispersion: 1e-7,
    ...given,
  })
