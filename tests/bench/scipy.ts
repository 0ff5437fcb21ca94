/**
 * `npm run bench -- --scipy`: the reference life at 0.50, "quick", by the engine and by SciPy's BDF on the same
 * semi-discrete equations (written again in NumPy, bdf.py, and checked against the engine's rates), both in one run on
 * one core. Errors are those of time integration: against the engine at a tolerance so small that nothing changes.
 */
import { spawnSync } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { BOOKS as BOOK_COUNT, DONOR_SHARE, DRY, LEAST, NO_WETNESS, WET } from '../../src/engine/places.ts'
import { accuracyOf } from '../../src/life/accuracy.ts'
import { problemOf } from '../../src/life/problemOf.ts'
import type { Preset } from '../../src/life/types.ts'
import { fieldCount } from '../../src/model/bathFields.ts'
import { FilmSystem } from '../../src/model/film.ts'
import { makeFilmMesh } from '../../src/model/filmMesh.ts'
import type { DropProblem } from '../../src/model/problem.ts'
import { RODAS4, RosenbrockStepper } from '../../src/numerics/rosenbrock.ts'

const UNTIL = 8
const TIMES = [0.5, 1, 2, 3, 4, 5, 6, 7, 8]
const REPEATS = 20

export interface ScipyComparison {
  scipy: string
  rates_differ: number
  engine_ms: number
  engine_error_R_percent: number
  runs: { rtol: number; ms: number; error_R_percent: number; evaluations: number }[]
  /** Time of the cheapest BDF run whose error is no larger than the engine's, in times of the engine; null without one. */
  ratio: number | null
}

interface Drop {
  sys: FilmSystem
  problem: DropProblem
}

function lay(drop: Drop, stepper: RosenbrockStepper): void {
  const { sys, problem } = drop
  sys.setProblem(problem)
  const top = (2 * problem.volume) / (Math.PI * problem.startRadius ** 2)
  sys.fillStart(
    stepper.y,
    problem.startRadius,
    (i) => top * (1 - sys.mesh.zc[i]!),
    () => problem.phi0,
  )
  stepper.start(0, 1e-7)
}

/** R at TIMES, each met by a step. */
function radii(drop: Drop, stepper: RosenbrockStepper): number[] {
  lay(drop, stepper)
  return TIMES.map((t) => {
    while (stepper.t < t * (1 - 1e-12)) {
      const trouble = stepper.step(t - stepper.t, 1e-13)
      if (trouble) throw new Error(`the engine stopped at ${stepper.t} s: ${trouble}`)
    }
    return stepper.y[drop.sys.radiusAt]!
  })
}

const worst = (mine: number[], truth: number[]) =>
  100 * Math.max(...mine.map((R, k) => Math.abs(R / truth[k]! - 1)))

/** What bdf.py needs: mesh, constants, the start, and a state in the middle of the life with its rates. */
function described(drop: Drop, preset: Preset, stepper: RosenbrockStepper): object {
  const { sys, problem } = drop
  const { mesh } = sys
  lay(drop, stepper)
  const start = Array.from(stepper.y)
  while (stepper.t < 3) stepper.step(0.05, 1e-13)
  const rates = sys.vector()
  sys.beginStep(stepper.t, 1e-3, stepper.y)
  sys.rates(stepper.y, rates)
  const evaporation = problem.evaporation
  if (evaporation.kind !== 'uniform') throw new Error('bdf.py knows constant evaporation only')
  return {
    cells: mesh.cells,
    modes: sys.modes,
    outer: mesh.outer,
    ...Object.fromEntries(
      (['s', 'area', 'zc', 'gap', 'weight', 'g'] as const).map((key) => [key, Array.from(mesh[key])]),
    ),
    spread: mesh.spread.map((a) => Array.from(a)),
    slope: mesh.slope.map((a) => Array.from(a)),
    decay: Array.from(sys.decay),
    gain: Array.from(sys.gain),
    outerAt: sys.outerAt,
    booksAt: sys.booksAt,
    radiusAt: sys.booksAt + BOOK_COUNT,
    constants: {
      dry: DRY,
      wet: WET,
      noWetness: NO_WETNESS,
      least: LEAST,
      donorShare: DONOR_SHARE,
      gammaO: problem.gammaO,
      coverage: problem.coverage,
      evaporationCutoff: problem.evaporationCutoff,
      phiDry: problem.phiDry,
      dispersion: problem.dispersion,
      dish: problem.dishRadius,
      // The three fields of the reference case spread alike.
      spreading: sys.spread[0]!,
      vapourSpeed: evaporation.alcoholSpeed,
      levelling: 5e-3,
      viscosity: (preset.drop.viscosity_mPas ?? 2.5) * 1e-3,
    },
    start,
    middle: Array.from(stepper.y),
    middleRates: Array.from(rates),
    until: UNTIL,
    times: TIMES,
    tolerances: [1e-2, 3e-3, 1e-3, 3e-4, 1e-4],
  }
}

/** Null where Python with SciPy is not to be had. */
export function compareWithScipy(preset: Preset): ScipyComparison | null {
  const accuracy = accuracyOf(preset)
  const { problem } = problemOf(preset, accuracy.fields)
  const sys = new FilmSystem(makeFilmMesh(accuracy.inner, accuracy.outer), fieldCount(accuracy.fields))
  const drop = { sys, problem }
  const exact = new RosenbrockStepper(sys, RODAS4)
  Object.assign(sys, { rtol: 1e-5, thicknessFloor: 1e-11 })
  const truth = radii(drop, exact)
  Object.assign(sys, { rtol: accuracy.rtol, thicknessFloor: accuracy.thicknessFloor })
  const stepper = new RosenbrockStepper(sys, accuracy.method)
  const times: number[] = []
  let mine: number[] = []
  for (let k = 0; k < REPEATS; k++) {
    const began = performance.now()
    mine = radii(drop, stepper)
    times.push(performance.now() - began)
  }
  const engine = times.slice(5).sort((a, b) => a - b)[Math.floor((REPEATS - 5) / 2)]!
  const script = fileURLToPath(new URL('./bdf.py', import.meta.url))
  const result = spawnSync('python3', [script], {
    input: JSON.stringify(described(drop, preset, stepper)),
    encoding: 'utf8',
    env: { ...process.env, OMP_NUM_THREADS: '1', OPENBLAS_NUM_THREADS: '1' },
  })
  if (result.status !== 0) {
    console.log(
      `no comparison with SciPy: ${(result.stderr || String(result.error)).trim().split('\n').at(-1)}`,
    )
    return null
  }
  const answer = JSON.parse(result.stdout)
  const error = worst(mine, truth)
  const runs = answer.runs.map((run: { rtol: number; ms: number; R: number[]; evaluations: number }) => ({
    rtol: run.rtol,
    ms: run.ms,
    error_R_percent: run.R.length === TIMES.length ? worst(run.R, truth) : Number.NaN,
    evaluations: run.evaluations,
  }))
  const equal = runs.filter((run: { error_R_percent: number }) => run.error_R_percent <= error)
  const cheapest = Math.min(...equal.map((run: { ms: number }) => run.ms))
  return {
    scipy: answer.scipy,
    rates_differ: answer.ratesDiffer,
    engine_ms: engine,
    engine_error_R_percent: error,
    runs,
    ratio: equal.length ? cheapest / engine : null,
  }
}
