/** What computes with a FilmState: the compiled engine, or the same sources as they stand. */
import { BINARY } from './binary.generated.ts'
import * as plain from './entry.ts'
import { type FilmState, VECTORS } from './filmState.ts'
import { made } from './memory.ts'

/** Sizes of a system; see FilmState. */
export interface Shape {
  cells: number
  outer: number
  modes: number
  drinks: boolean
  stages: number
  intervals: number
}

/** Vectors are those of `vector` and `stage`: others lie where the compiled engine does not reach. */
export interface Kernels {
  readonly state: FilmState
  /** Another vector of the unknowns. @throws RangeError when there is none left */
  vector(): Float64Array
  stage(k: number): Float64Array
  evaluate(y: Float64Array): void
  evaluateCells(y: Float64Array): void
  layVapour(): void
  /** Rates of the state evaluated last. */
  rates(y: Float64Array, out: Float64Array): void
  linearise(y: Float64Array): void
  /** False where the matrix is singular. */
  factor(hg: number): boolean
  solve(b: Float64Array): void
  errorNorm(y: Float64Array, yNew: Float64Array, error: Float64Array): number
  upwind(f: number, v: number): void
  /** The oil under the drop in a step; see oil.ts. */
  seeOil(): void
  layOil(h: number, cools: boolean): void
  commitUptake(y: Float64Array): void
  commitWarmth(h: number, alcoholHeat: number, waterHeat: number): void
  /** to ← from + scale·Σ weight[j]·stage[j], j < terms. */
  combine(to: Float64Array, from: Float64Array, weight: readonly number[], scale: number, terms: number): void
}

/** The engine's functions, states and vectors being given as they are (plain) or by their addresses (compiled). */
interface Engine<State, Row> {
  evaluate(q: State, y: Row): void
  evaluateCells(q: State, y: Row): void
  layVapour(q: State): void
  ratesOf(q: State, y: Row, out: Row): void
  linearise(q: State, y: Row): void
  factor(q: State, hg: number): number
  solve(q: State, b: Row): void
  errorNorm(q: State, y: Row, yNew: Row, error: Row): number
  upwind(q: State, f: number, v: number): void
  seeOil(q: State): void
  layOil(q: State, h: number, cools: number): void
  commitUptake(q: State, y: Row): void
  commitWarmth(q: State, h: number, alcoholHeat: number, waterHeat: number): void
  combine(to: Row, from: Row, weight: Row, terms: number, parts: Row, stride: number, count: number): void
}

interface Compiled extends Engine<number, number> {
  memory: WebAssembly.Memory
  newState(...shape: Parameters<typeof plain.newState>): number
  rowAt(k: number): number
}

let module: WebAssembly.Module | null | undefined

/** The compiled engine; null where this machine's WebAssembly cannot run it. */
function compiledModule(): WebAssembly.Module | null {
  if (module !== undefined) return module
  module = null
  if (typeof WebAssembly !== 'object' || typeof atob !== 'function') return module
  const bytes = Uint8Array.from(atob(BINARY), (letter) => letter.charCodeAt(0))
  if (WebAssembly.validate(bytes)) module = new WebAssembly.Module(bytes)
  return module
}

/** Whether the compiled engine runs here; without it lives are the same and take two to three times as long. */
export const canCompile = (): boolean => compiledModule() !== null

const sizes = ({
  cells,
  outer,
  modes,
  drinks,
  stages,
  intervals,
}: Shape): Parameters<typeof plain.newState> => [cells, outer, modes, drinks ? 1 : 0, stages, intervals]

export type EngineKind = 'compiled' | 'plain'

let usual: EngineKind = 'compiled'

/** What runs from now on where nothing is said. */
export function useEngine(kind: EngineKind): void {
  usual = kind
}

/** Whether it is the compiled engine that runs where nothing is said. */
export const usesCompiled = (): boolean => usual === 'compiled' && canCompile()

/** @param how 'compiled' where it can be; the usual one unless asked for */
export function kernelsFor(shape: Shape, how: EngineKind = usual): Kernels {
  const compiled = how === 'compiled' ? compiledModule() : null
  return compiled ? compiledKernels(shape, compiled) : plainKernels(shape)
}

function plainKernels(shape: Shape): Kernels {
  const state = plain.newState(...sizes(shape))
  return withFunctions<FilmState, Float64Array>(state, state, plain, (row) => row)
}

function compiledKernels(shape: Shape, compiled: WebAssembly.Module): Kernels {
  const env = {
    abort() {
      throw new Error('the engine ran out of memory')
    },
  }
  const engine = new WebAssembly.Instance(compiled, { env }).exports as unknown as Compiled
  const address = engine.newState(...sizes(shape))
  const { buffer } = engine.memory
  let k = 0
  // The same rows in the same order, seen from outside.
  const state = made(
    () => plain.newState(...sizes(shape)),
    (n) => new Float64Array(buffer, engine.rowAt(k++), n),
  )
  return withFunctions(state, address, engine, (row) => {
    if (row.buffer !== buffer) throw new RangeError('a vector that is not the engine’s own')
    return row.byteOffset
  })
}

function withFunctions<State, Row>(
  state: FilmState,
  q: State,
  engine: Engine<State, Row>,
  at: (row: Float64Array) => Row,
): Kernels {
  const { n, stride, stages, weights, vectors } = state
  const [weightRow, stageRow] = [at(weights), at(stages)]
  let given = 0
  return {
    state,
    vector() {
      if (given >= VECTORS) throw new RangeError('no vector left in the engine')
      const first = given++ * stride
      return vectors.subarray(first, first + n)
    },
    stage: (k) => stages.subarray(k * stride, k * stride + n),
    evaluate: (y) => engine.evaluate(q, at(y)),
    evaluateCells: (y) => engine.evaluateCells(q, at(y)),
    layVapour: () => engine.layVapour(q),
    rates: (y, out) => engine.ratesOf(q, at(y), at(out)),
    linearise: (y) => engine.linearise(q, at(y)),
    factor: (hg) => engine.factor(q, hg) === 1,
    solve: (b) => engine.solve(q, at(b)),
    errorNorm: (y, yNew, error) => engine.errorNorm(q, at(y), at(yNew), at(error)),
    upwind: (f, v) => engine.upwind(q, f, v),
    seeOil: () => engine.seeOil(q),
    layOil: (h, cools) => engine.layOil(q, h, cools ? 1 : 0),
    commitUptake: (y) => engine.commitUptake(q, at(y)),
    commitWarmth: (h, alcoholHeat, waterHeat) => engine.commitWarmth(q, h, alcoholHeat, waterHeat),
    combine(to, from, weight, scale, terms) {
      for (let j = 0; j < terms; j++) weights[j] = weight[j]! * scale
      engine.combine(at(to), at(from), weightRow, terms, stageRow, stride, n)
    },
  }
}
