/** The states of a life at any time, as the engine's own equations see them. */

import { radiusAt } from '../life/sample.ts'
import type { LifeFrames } from '../life/types.ts'
import { locate } from '../life/view.ts'
import { fieldCount } from '../model/bathFields.ts'
import { FilmSystem } from '../model/film.ts'
import { makeFilmMesh } from '../model/filmMesh.ts'
import type { DropProblem } from '../model/problem.ts'

/** One field that holds the whole speed of the bath: nothing is integrated here. */
const TOTAL = { real: [{ weight: 1, length: 1 }] }

/** A film system into which states are laid; its bath is only what it is told. */
export function stateSystem(problem: DropProblem, faces: Float64Array): FilmSystem {
  const sys = new FilmSystem(makeFilmMesh(faces.length - 1, 2, faces), fieldCount(TOTAL))
  // Waves are too quick for the oil: what it takes up is that of the life that they ride on.
  sys.setProblem({ ...problem, fields: TOTAL, uptake: null })
  return sys
}

/** What a state is made of: cells' thickness and alcohol (m), speed of the bath at the faces (m/s), radius (m). */
export interface State {
  R: number
  h(cell: number): number
  psi(cell: number): number
  speed(face: number): number
}

/** Evaluates a state: cell and face quantities, dispersion at its balance, vapour speeds at time t (s). */
export function layState(sys: FilmSystem, y: Float64Array, state: State, t: number): void {
  const { cells } = sys.mesh
  const square = state.R * state.R
  for (let i = 0; i < cells; i++) {
    y[i * sys.block] = state.h(i) * square
    y[i * sys.block + 1] = state.psi(i) * square
    y[i * sys.block + 2] = state.speed(i + 1)
  }
  y[sys.radiusAt] = state.R
  sys.dispersion.reset(sys.problem.dispersion)
  sys.evaluate(y)
  sys.dispersion.update()
  sys.vapour.observe(t)
  sys.vapour.beginStep(t, 0.01 * t)
  sys.layVapour()
}

/** Lays states of a life. */
export class LifeStates {
  readonly sys: FilmSystem
  private readonly y: Float64Array

  constructor(
    problem: DropProblem,
    private readonly frames: LifeFrames,
  ) {
    this.sys = stateSystem(problem, frames.sFaces)
    this.y = this.sys.vector()
  }

  /** Lays the state at time t (s) between the kept moments, at equal r/R. */
  at(t: number): FilmSystem {
    const { frames, sys, y } = this
    const { row, fraction } = locate(frames.t, frames.count, t)
    const next = Math.min(row + 1, frames.count - 1)
    const mix = (values: Float64Array, width: number, i: number) => {
      const a = values[row * width + i]
      return a + fraction * (values[next * width + i] - a)
    }
    const N = frames.inner
    const faces = N + 1 + frames.outer
    const alcohol = (k: number, i: number) => frames.h[k * N + i] * frames.phi[k * N + i]
    layState(
      sys,
      y,
      {
        R: radiusAt(frames, t),
        h: (i) => mix(frames.h, N, i),
        psi: (i) => alcohol(row, i) + fraction * (alcohol(next, i) - alcohol(row, i)),
        speed: (f) => mix(frames.u, faces, f),
      },
      t,
    )
    return sys
  }
}
