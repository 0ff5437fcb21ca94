/** Preset → life. The one way in which page, worker and command line run the engine. */

import { type Beading, BreakUp } from '../model/breakUp.ts'
import { CLOSURE, type DropProblem } from '../model/problem.ts'
import type { RingShape } from '../model/ring.ts'
import { bodyFrom, findRing } from '../model/ring.ts'
import { restingRadius } from '../model/scales.ts'
import { square } from '../numerics/elementary.ts'
import { accuracyOf, type Level } from './accuracy.ts'
import { bathWarnings } from './bathFlow.ts'
import { type Engine, restEngine, takeEngine } from './engines.ts'
import { HELD } from './held.ts'
import { standsHigh } from './mechanisms.ts'
import { problemOf } from './problemOf.ts'
import type { Recorder } from './recorder.ts'
import { radiusAt } from './sample.ts'
import { scalesOf } from './scalesOf.ts'
import { collapseRadius, type Ending, LASTING, lensRadius, SHED, spread, summarise } from './summary.ts'
import type { Life, LifeResult, LiquidFacts, Preset } from './types.ts'

export interface RunHooks {
  /** Called now and then with the life so far (status 'growing'); its arrays are copies and may be transferred. */
  progress?(life: Life): void
  /** Awaited every few milliseconds of work; must let a real task in, so that a stop can be heard. */
  pause?(): Promise<void>
  /** Only series and summary are wanted: the life has no frames, takes some 5 % less time and a small part of the memory. */
  bare?: boolean
  /** True ends the run at once; the result is the part that is known (status 'stopped'). */
  cancelled?(): boolean
}

/** Work between two pauses, ms. */
const SLICE = 10
/** Work between two progress reports, ms. */
const REPORT = 40
/** Attempted steps after which a run ends. Lives take hundreds; only hopeless cases come here. */
const MOST_ATTEMPTS = 6000
/** Attempted steps after which a run ends if its outcome is plain: a lens at rest, or a collapse that has begun. */
const ENOUGH_ATTEMPTS = 2500

/** A drop that has not spread by this time, s, is taken to stay a lens. */
const RESTING = 10
/**
 * What was not computed is not known: before these times, s, a run that must end has no outcome. A lens comes to rest
 * within a second; no drop rises and falls by a tenth within ten milliseconds (t* of a microlitre on the thinnest oil
 * with the strongest evaporation is 70 ms).
 */
const LEAST_KNOWN = { lens: 1, spread: 0.01 }

/** One run that can be advanced step by step. */
class Run {
  readonly problem: DropProblem
  readonly facts: LiquidFacts
  private readonly recorder: Recorder
  ending: Ending | '' = ''
  cause = ''
  private readonly started = performance.now()
  private worked = 0
  private readonly horizon: number
  private maximum = 0
  private collapsedAt = Number.NaN
  private readonly breakUp = new BreakUp()
  private beadedAt = 0
  private readonly lens: number
  /** Whether the surface's curvature makes a pressure. */
  private readonly levels: boolean
  /** Whether the solver gave up: its engine is not used again. */
  private troubled = false
  private readonly borrowed: Engine

  constructor(
    readonly preset: Preset,
    level: Level,
    bare: boolean,
  ) {
    const accuracy = accuracyOf(preset, level)
    const { problem, facts } = problemOf(preset, accuracy.fields)
    this.problem = problem
    this.facts = facts
    this.borrowed = takeEngine(accuracy, problem.uptake !== null)
    const { sys, stepper } = this.borrowed
    sys.setProblem(problem)
    sys.rtol = accuracy.rtol
    sys.thicknessFloor = accuracy.thicknessFloor
    this.recorder = this.borrowed.recorder
    this.recorder.reset(!bare)
    this.horizon = horizonOf(preset, problem, facts)
    const top = (2 * problem.volume) / (Math.PI * square(problem.startRadius))
    sys.fillStart(
      stepper.y,
      problem.startRadius,
      (i) => top * (1 - sys.mesh.zc[i]),
      () => problem.phi0,
    )
    stepper.start(0, 1e-7)
    this.lens = lensRadius(problem, facts.S0)
    this.levels = problem.closures.at(facts.phi0, CLOSURE.levelling) > 0
    this.observe()
  }

  /** Records the present state and prepares the next step. */
  private observe(): void {
    const { sys, stepper } = this.borrowed
    sys.evaluate(stepper.y)
    const ring = findRing(sys)
    this.recorder.record(stepper.t, stepper.y, ring, this.bead(ring))
  }

  /** Takes the waves on the ring to the present moment and lays the shedding of the next step. */
  private bead(ring: RingShape): Beading {
    const { sys, stepper } = this.borrowed
    // What flows in behind a ring that has just been shed down to the film goes the same way.
    const left = ring.thinCell < 0 && sys.shedFrom < sys.mesh.cells
    const body = left ? bodyFrom(sys, sys.shedFrom) : ring
    const beading = this.breakUp.advance(sys, body, stepper.t - this.beadedAt, this.maximum / this.lens)
    this.beadedAt = stepper.t
    return beading
  }

  /** Steps until done or `ms` of work have passed. */
  advance(ms: number): void {
    const until = performance.now() + ms
    const { sys, stepper } = this.borrowed
    while (!this.ending) {
      const longest = Math.min(this.horizon - stepper.t, this.horizon / 40)
      const trouble = stepper.step(longest, 1e-13)
      if (trouble) {
        sys.evaluate(stepper.y)
        this.ending = this.giveUp('with a vanishing step')
      } else {
        this.observe()
        this.ending = this.endingNow()
      }
      if (performance.now() > until) break
    }
  }

  private endingNow(): Ending | '' {
    const { sys, stepper } = this.borrowed
    const { problem, recorder } = this
    const { R, U } = sys
    const t = stepper.t
    const volume = recorder.last('volume')
    this.maximum = Math.max(this.maximum, R)
    if (R > 0.97 * problem.dishRadius) return 'wall'
    if (volume < 0.01 * problem.volume) return 'gone'
    if (!this.levels && U < 0 && standsHigh(volume, R)) return 'point'
    if (t >= this.horizon * (1 - 1e-12)) return 'horizon'
    const attempts = stepper.counts.factorisations
    if (attempts > MOST_ATTEMPTS || (attempts > ENOUGH_ATTEMPTS && this.plain()))
      return this.giveUp('after many steps')
    if (!spread(problem, this.facts.S0, this.maximum)) return ''
    if (!(t > LASTING * this.collapsedAt)) {
      const below = R < collapseRadius(problem, this.maximum, volume, recorder.last('alcohol'))
      if (!below) this.collapsedAt = Number.NaN
      else if (U < 0 && Number.isNaN(this.collapsedAt)) this.collapsedAt = t
      if (!below || this.collapsedAt === t) return ''
    }
    if (this.preset.model.horizon_s !== undefined) return ''
    return Math.abs(U) < 5e-5 || t > 1.15 * this.collapsedAt + 0.5 ? 'settled' : ''
  }

  /** Whether all that makes the outcome has happened. */
  private plain(): boolean {
    const { sys, stepper } = this.borrowed
    if (spread(this.problem, this.facts.S0, this.maximum)) return sys.R < 0.9 * this.maximum
    return this.facts.S0 < 0 || stepper.t > RESTING
  }

  /** Whether what has been computed is a life with an outcome, if it must end here. */
  private told(): boolean {
    const { sys, stepper } = this.borrowed
    const half = radiusAt(this.recorder.lifeSeries(), 0.5 * stepper.t)
    const held = Math.abs(sys.R - half) < HELD * sys.R
    // A lens may shrink while it dries; one that grows is on its way.
    if (!spread(this.problem, this.facts.S0, this.maximum))
      return (held || sys.R < half) && this.plain() && stepper.t > LEAST_KNOWN.lens
    if (stepper.t < LEAST_KNOWN.spread) return false
    const shed = this.recorder.last('childVolume') > SHED * this.problem.volume
    const past = shed && sys.R < 0.98 * this.maximum
    return this.plain() || past || held
  }

  /** The run cannot go on: a failure, unless its outcome can be told. */
  private giveUp(why: string): Ending {
    this.troubled = true
    const { sys, stepper } = this.borrowed
    const t = `t = ${stepper.t.toPrecision(4)} s`
    if (this.told()) {
      this.cause = `computed until ${t} only (${why})`
      return 'limit'
    }
    let thinnest = 0
    for (let i = 1; i < sys.mesh.cells; i++) if (sys.h[i] < sys.h[thinnest]) thinnest = i
    const place = (Math.sqrt(sys.mesh.zc[thinnest]) * sys.R * 1e3).toFixed(2)
    this.cause =
      `the calculation stuck ${why} at ${t}; the film is thinnest ` +
      `(${(sys.h[thinnest] * 1e9).toPrecision(3)} nm) at r = ${place} mm. ` +
      'Try another accuracy, other numbers of cells, or a larger coverage cut-off.'
    return 'failed'
  }

  life(status: Life['status']): Life {
    const { thickest } = this.recorder
    const frames = this.recorder.frames()
    const series = this.recorder.lifeSeries()
    const { counts } = this.borrowed.stepper
    const effort = {
      steps: counts.accepted,
      rejected: counts.rejected,
      factorisations: counts.factorisations,
      wall_ms: this.worked || performance.now() - this.started,
    }
    const ending = this.ending || 'stopped'
    const summary = summarise(this.problem, this.facts, thickest, series, ending, this.cause, effort)
    const warnings = [...this.facts.warnings, ...bathWarnings(series, this.facts)]
    return { preset: this.preset, status, frames, series, summary, facts: { ...this.facts, warnings } }
  }

  /** Ends the run and gives the solver back. */
  finish(status: Life['status']): Life {
    this.worked = performance.now() - this.started
    const life = this.life(status)
    if (!this.troubled) restEngine(this.borrowed)
    return life
  }
}

/** Longest time that is computed, s. */
function horizonOf(preset: Preset, problem: DropProblem, facts: LiquidFacts): number {
  if (preset.model.horizon_s !== undefined) return preset.model.horizon_s
  const levelling = problem.closures.at(facts.phi0, CLOSURE.levelling)
  const { time } = scalesOf(problem, facts, 1e-3)
  const resting = Number.isFinite(restingRadius(problem.volume, facts.S0, levelling))
  if (resting || !Number.isFinite(time)) return 12
  return Math.min(3600, Math.max(12, 20 * time))
}

/** @param level another accuracy than the preset's, for companion lives */
export async function runLife(
  preset: Preset,
  hooks: RunHooks = {},
  level: Level = preset.model.accuracy,
): Promise<LifeResult> {
  const run = new Run(preset, level, hooks.bare ?? false)
  let reported = performance.now()
  while (!run.ending) {
    run.advance(SLICE)
    if (run.ending) break
    if (hooks.pause) await hooks.pause()
    if (hooks.cancelled?.()) return { ok: true, life: run.finish('stopped') }
    if (hooks.progress && performance.now() - reported > REPORT) {
      hooks.progress(run.life('growing'))
      reported = performance.now()
    }
  }
  return { ok: true, life: run.finish('done') }
}

/** As runLife, without pauses. */
export const runLifeSync = (preset: Preset): LifeResult => runLevelSync(preset, preset.model.accuracy)

/** As runLifeSync at another accuracy than the preset's. */
export function runLevelSync(preset: Preset, level: Level, bare = false): LifeResult {
  const run = new Run(preset, level, bare)
  run.advance(Number.POSITIVE_INFINITY)
  return { ok: true, life: run.finish('done') }
}
