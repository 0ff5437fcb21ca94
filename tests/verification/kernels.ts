/** Sets the engine's own kernels up for problems whose answer is known. SI units. */
import { DEEP_FIELDS, fieldCount } from '../../src/model/bathFields.ts'
import { FilmSystem } from '../../src/model/film.ts'
import { makeFilmMesh } from '../../src/model/filmMesh.ts'
import type { DropProblem } from '../../src/model/problem.ts'
import { CurveSet } from '../../src/numerics/curveSet.ts'
import { ROS3, type RosenbrockMethod, RosenbrockStepper } from '../../src/numerics/rosenbrock.ts'

type Curve = number | ((phi: number) => number)

export interface Curves {
  gammaA: Curve
  spreading: Curve
  levelling: Curve
  viscosity: Curve
  alcoholLoss: Curve
  waterLoss: Curve
  diffusivity: Curve
  dissolved: Curve
}

/** Closures of which each does nothing unless given: no tension, a film too viscous to flow inside, no vapour. */
export function curves(given: Partial<Curves>): CurveSet {
  const all: Curves = {
    gammaA: 0.03,
    spreading: 0,
    levelling: 0,
    viscosity: 1e12,
    alcoholLoss: 0,
    waterLoss: 0,
    diffusivity: 1e-9,
    dissolved: 0,
    ...given,
  }
  const order = [
    'gammaA',
    'spreading',
    'levelling',
    'viscosity',
    'alcoholLoss',
    'waterLoss',
    'diffusivity',
    'dissolved',
  ] as const
  return new CurveSet(
    order.map((name) => {
      const curve = all[name]
      return typeof curve === 'number' ? () => curve : curve
    }),
  )
}

/** A drop on a deep creeping bath on which nothing acts; what a problem is about is given. */
export function problemWith(given: Partial<DropProblem>): DropProblem {
  return {
    volume: 10e-9,
    startRadius: 2.5e-3,
    phi0: 0.5,
    phiDry: 0.5,
    depth: 0.01,
    dishRadius: 0.07,
    oilViscosity: 0.05,
    oilDensity: 920,
    gammaO: 0.033,
    closures: curves({}),
    uptake: null,
    cooling: null,
    evaporation: { kind: 'uniform', alcoholSpeed: 0, waterSpeed: 0 },
    coverage: 50e-9,
    coverageLaw: 'saturating',
    evaporationCutoff: 50e-9,
    dispersion: 0,
    buoyancy: 0,
    fields: DEEP_FIELDS,
    edge: 'contact',
    breakUp: false,
    ...given,
  }
}

/** Faces of equal width. */
export const uniform = (cells: number): Float64Array =>
  Float64Array.from({ length: cells + 1 }, (_, f) => f / cells)

export interface Bench {
  sys: FilmSystem
  stepper: RosenbrockStepper
  /** Radius of the middle (in r²) of cell i, m. */
  radius(cell: number): number
  /** Advances to time t, s; throws if it cannot. */
  to(t: number): void
}

export interface Setting {
  cells: number
  outer?: number
  faces?: Float64Array
  rtol: number
  floor?: number
  method?: RosenbrockMethod
  start?: number
}

/** Lays a drop of thickness h(r/R) and fraction φ(r/R), given at the cells' middles, into a solver of its own. */
export function bench(
  problem: DropProblem,
  setting: Setting,
  thickness: (s: number) => number,
  phi: (s: number) => number = () => problem.phi0,
): Bench {
  const { cells, outer = 16, faces, rtol, floor, method = ROS3, start = 0 } = setting
  const mesh = faces ? makeFilmMesh(cells, outer, faces) : makeFilmMesh(cells, outer)
  const sys = new FilmSystem(mesh, fieldCount(problem.fields), problem.uptake !== null)
  sys.setProblem(problem)
  sys.rtol = rtol
  if (floor !== undefined) sys.thicknessFloor = floor
  const stepper = new RosenbrockStepper(sys, method)
  const at = (i: number) => Math.sqrt(mesh.zc[i]!)
  sys.fillStart(
    stepper.y,
    problem.startRadius,
    (i) => thickness(at(i)),
    (i) => phi(at(i)),
  )
  stepper.start(start, 1e-7)
  return {
    sys,
    stepper,
    radius: (i) => at(i) * stepper.y[sys.radiusAt]!,
    to(t) {
      while (stepper.t < t * (1 - 1e-13)) {
        const trouble = stepper.step(t - stepper.t, 0)
        if (trouble) throw new Error(`${trouble} at t = ${stepper.t}`)
      }
      sys.evaluate(stepper.y)
    },
  }
}

/** Radius at which the thickness falls through `level`, going inward from the rim; linear between cells, m. */
export function radiusAt(b: Bench, level: number): number {
  const { h } = b.sys
  for (let i = h.length - 2; i >= 0; i--) {
    if (h[i]! < level) continue
    const x = (h[i]! - level) / (h[i]! - h[i + 1]!)
    return b.radius(i) + x * (b.radius(i + 1) - b.radius(i))
  }
  return Number.NaN
}

/** Bessel function J_n by its series (n = 0, 1; |x| up to 40 to about 1e-9 is not needed here: used to x = 25). */
export function besselJ(n: 0 | 1, x: number): number {
  // Integral representation with the trapezoidal rule, which converges geometrically for a periodic integrand.
  const points = 64 + 2 * Math.ceil(Math.abs(x))
  let sum = 0
  for (let k = 0; k < points; k++) {
    const angle = (2 * Math.PI * (k + 0.5)) / points
    sum += Math.cos(n * angle - x * Math.sin(angle))
  }
  return sum / points
}

/** Zeros of J1 above 0: Abramowitz & Stegun, Handbook of Mathematical Functions, table 9.5. */
export const J1_ZEROS = [3.8317059702, 7.0155866698, 10.1734681351, 13.3236919363, 16.4706300509] as const

/** Slope of the least-squares line through (x, y). */
export function lineSlope(x: readonly number[], y: readonly number[]): number {
  const mx = x.reduce((a, b) => a + b, 0) / x.length
  const my = y.reduce((a, b) => a + b, 0) / y.length
  let top = 0
  let bottom = 0
  x.forEach((v, i) => {
    top += (v - mx) * (y[i]! - my)
    bottom += (v - mx) ** 2
  })
  return top / bottom
}
