/** Solvers at rest: a second live instance of the same code would run slower and cost its set-up. */

import { fieldCount } from '../model/bathFields.ts'
import { type EngineKind, FilmSystem, useEngine } from '../model/film.ts'
import { makeFilmMesh } from '../model/filmMesh.ts'
import { RosenbrockStepper } from '../numerics/rosenbrock.ts'
import type { Accuracy } from './accuracy.ts'
import { Recorder } from './recorder.ts'

/** What a run works with. One run at a time; it begins with `setProblem`, `reset` and `start`, which empty it. */
export interface Engine {
  readonly key: string
  sys: FilmSystem
  stepper: RosenbrockStepper
  recorder: Recorder
}

/** So many engines are kept, the longest unused leaves first: a drop, its companion and their neighbours need no more. */
const KEPT = 4

export { usesCompiled } from '../model/film.ts'

/**
 * Sets whether engines run compiled (where they can) from now on or as the plain sources, which give the same lives to the
 * last bit; those at rest go.
 */
export function runOn(kind: EngineKind): void {
  useEngine(kind)
  dropEngines()
}

/** At rest, the longest unused first. */
const atRest: Engine[] = []

function build(key: string, { inner, outer, method }: Accuracy, fields: number, drinks: boolean): Engine {
  const sys = new FilmSystem(makeFilmMesh(inner, outer), fields, drinks)
  return { key, sys, stepper: new RosenbrockStepper(sys, method), recorder: new Recorder(sys) }
}

/** An engine for an accuracy and a bath that takes up alcohol or does not, from those at rest or new. */
export function takeEngine(accuracy: Accuracy, drinks: boolean): Engine {
  const fields = fieldCount(accuracy.fields)
  const key = `${accuracy.inner}/${accuracy.outer}/${fields}/${accuracy.method.name}/${drinks ? 'drinks' : ''}`
  const at = atRest.findLastIndex((engine) => engine.key === key)
  return at < 0 ? build(key, accuracy, fields, drinks) : atRest.splice(at, 1)[0]!
}

/** Gives an engine back after a sound run. One that gave up or threw is not given back: it goes with its run. */
export function restEngine(engine: Engine): void {
  atRest.push(engine)
  if (atRest.length > KEPT) atRest.shift()
}

/** Lets all engines at rest go; returns how many there were. */
export function dropEngines(): number {
  return atRest.splice(0).length
}
