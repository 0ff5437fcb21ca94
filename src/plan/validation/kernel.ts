/** The engine's own equations set up for problems whose answer is known. SI units. */
import { problemOf } from '../../life/problemOf.ts'
import { fieldCount } from '../../model/bathFields.ts'
import { FilmSystem } from '../../model/film.ts'
import { makeFilmMesh } from '../../model/filmMesh.ts'
import { CLOSURE, type DropProblem } from '../../model/problem.ts'
import { CurveSet } from '../../numerics/curveSet.ts'
import { ROS3, RosenbrockStepper } from '../../numerics/rosenbrock.ts'
import { type Bench, NOTHING_LEAVES, NoNumber } from './bench.ts'

type Constants = Partial<Record<keyof typeof CLOSURE, number>>

/** Constants of which none does anything: no pull, a film too viscous to flow inside, no vapour. */
const IDLE: Constants = { gammaA: 0.03, viscosity: 1e12, diffusivity: 1e-9 }

/** A drop of the closed-form liquids on which nothing acts but what is given. */
export function idleProblem(bench: Bench, constants: Constants, given: Partial<DropProblem>): DropProblem {
  const { problem } = problemOf(
    bench.preset({
      ...NOTHING_LEAVES,
      'drop.alcohol': 'reference',
      'bath.liquid': 'reference',
    }),
  )
  const values: Constants = { ...IDLE, ...constants }
  const names = Object.keys(CLOSURE) as (keyof typeof CLOSURE)[]
  const ordered = names.sort((a, b) => CLOSURE[a] - CLOSURE[b])
  return {
    ...problem,
    closures: new CurveSet(ordered.map((name) => () => values[name] ?? 0)),
    dispersion: 0,
    buoyancy: 0,
    breakUp: false,
    ...given,
  }
}

export interface Setting {
  cells: number
  outer?: number
  faces?: Float64Array
  rtol: number
  floor: number
  start?: number
}

/** Faces of equal width, r/R. */
export const evenFaces = (cells: number): Float64Array =>
  Float64Array.from({ length: cells + 1 }, (_, f) => f / cells)

/** A drop of thickness h(r/R) in a solver of its own, which can be taken from moment to moment. */
export class Kernel {
  readonly sys: FilmSystem
  private readonly stepper: RosenbrockStepper

  constructor(
    private readonly bench: Bench,
    problem: DropProblem,
    setting: Setting,
    thickness: (s: number) => number,
  ) {
    const { cells, outer = 16, faces, rtol, floor, start = 0 } = setting
    const mesh = makeFilmMesh(cells, outer, faces)
    this.sys = new FilmSystem(mesh, fieldCount(problem.fields))
    this.sys.setProblem(problem)
    this.sys.rtol = rtol
    this.sys.thicknessFloor = floor
    this.stepper = new RosenbrockStepper(this.sys, ROS3)
    this.sys.fillStart(
      this.stepper.y,
      problem.startRadius,
      (i) => thickness(Math.sqrt(mesh.zc[i]!)),
      () => problem.phi0,
    )
    this.stepper.start(start, 1e-7)
  }

  /** Advances to time t, s. @throws NoNumber where it cannot, Stopped */
  async to(t: number): Promise<void> {
    let steps = 0
    while (this.stepper.t < t * (1 - 1e-13)) {
      const trouble = this.stepper.step(t - this.stepper.t, 0)
      if (trouble) throw new NoNumber(`${trouble} at ${this.stepper.t} s`)
      if (++steps % 32 === 0) await this.bench.breathe()
    }
    this.sys.evaluate(this.stepper.y)
  }

  /** ∫h dA, m³. */
  get volume(): number {
    return this.sys.content(this.stepper.y, 0)
  }

  /** Radius at which the thickness falls through `level` going inward from the rim, m; NaN if nowhere. */
  radiusAt(level: number): number {
    const { h, mesh, R } = this.sys
    const at = (i: number) => Math.sqrt(mesh.zc[i]!) * R
    for (let i = h.length - 2; i >= 0; i--) {
      if (h[i]! < level) continue
      const share = (h[i]! - level) / (h[i]! - h[i + 1]!)
      return at(i) + share * (at(i + 1) - at(i))
    }
    return Number.NaN
  }
}
