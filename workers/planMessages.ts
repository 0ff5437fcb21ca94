/** What the worker for whole series of lives answers to; shared by the worker and the page. */
import type { Preset } from '../src/life/types.ts'
import type { ProfileOutcome, ProfilePoint, ProfileWish } from '../src/measured/fit/profile.ts'
import type { Course, FitOutcome, FitStep, FitWish } from '../src/measured/fit/types.ts'
import type { ChoiceResult, ChooseWish } from '../src/plan/choose/types.ts'
import type { Envelope } from '../src/plan/envelope.ts'
import type { Family, Wanted } from '../src/plan/family.ts'
import type { MapStart, MapWish, OutcomeMap } from '../src/plan/mapGrid.ts'
import type { NearestChange } from '../src/plan/nearestChange.ts'
import type { Reach } from '../src/plan/reach.ts'
import type { Samples } from '../src/plan/samples.ts'
import type { Sensitivity } from '../src/plan/sensitivity.ts'
import type { SheetOptions, SheetRun } from '../src/plan/sheet/sheetOf.ts'
import type { Strength } from '../src/plan/strength.ts'
import type { Stretches, StretchWish } from '../src/plan/stretches.ts'
import type { SureBand } from '../src/plan/sureness.ts'
import type { Validation } from '../src/plan/validation/validate.ts'
import type { Fingers } from '../src/rim/fingers.ts'
import type { Living } from './living.ts'

/** The kinds of work, what each asks for, what it gives and what it reports on the way. */
export interface PlanKinds {
  /** `count` drawn lives in all; `known`: what there is of them, and what it took. */
  band: {
    ask: { preset: Preset; count: number; known?: { band: SureBand; samples: Samples; seconds: number } }
    give: { band: SureBand; samples: Samples; envelope: Envelope | null; bandSeconds: number }
    report: never
  }
  nearest: {
    ask: { preset: Preset; stock: Strength; have_mL: number }
    /** What would make it spread, and how sure the threshold is (mass fraction). */
    give: { nearest: NearestChange; threshold: Reach }
    report: never
  }
  /** The life of a measured curve's own drop; null after a stop. */
  course: { ask: { preset: Preset }; give: Course | null; report: never }
  stretches: { ask: { preset: Preset; wish: StretchWish }; give: Stretches; report: Stretches }
  sheet: {
    ask: { preset: Preset; options: Omit<SheetOptions, 'progress' | 'cancelled' | 'pause'> }
    give: SheetRun
    report: { done: number; total: number }
  }
  /** `known`: a map of the same drop, whose points are not run again. */
  map: {
    ask: { preset: Preset; wish: MapWish; known?: OutcomeMap | undefined }
    give: MapStart
    report: OutcomeMap
  }
  /** Which input the spread comes from, over so many base points. */
  sensitivity: { ask: { preset: Preset; base: number }; give: Sensitivity; report: Sensitivity }
  /** After a stop: the best so far. */
  fit: { ask: FitWish; give: FitOutcome; report: FitStep }
  /** After a stop: what was found so far. */
  profile: { ask: ProfileWish; give: ProfileOutcome; report: { points: ProfilePoint[]; lives: number } }
  /** How the rim breaks; null if stopped or if there is no life. `share` of the work done, 0–1. */
  fingers: { ask: { preset: Preset }; give: Fingers | null; report: { share: number } }
  /** How right the program is; it depends on no drop. */
  validation: { ask: Record<string, never>; give: Validation; report: { done: number; total: number } }
  /** After a stop: nothing. */
  choose: { ask: ChooseWish; give: ChoiceResult; report: { done: number; total: number } }
  family: { ask: { wanted: readonly Wanted[] }; give: Family; report: { done: number; total: number } }
}
export type PlanKind = keyof PlanKinds

export interface PlanWorker extends Living {
  /**
   * Does the work and calls `report` on the way (for the kinds that report). One piece of work at a time: a later
   * call waits. After `stop(token)` it ends within some milliseconds with what is known by then.
   * Rejects only if the program itself is wrong.
   */
  run<K extends PlanKind>(
    kind: K,
    ask: PlanKinds[K]['ask'],
    token: number,
    report: (so: PlanKinds[K]['report']) => void,
  ): Promise<PlanKinds[K]['give']>
  /** Ends the work with this token, running or waiting. */
  stop(token: number): void
  /** Before any work: so many lives may be computed at the same time, its own included. `grow` asks for one more hand. */
  helped(most: number, grow: () => void): void
  /** A hand is at the far end of a port. */
  join(hand: number, port: MessagePort): void
  /** A hand that was asked for will not come. */
  miss(): void
  /** A hand is gone; what it had is done again. */
  leave(hand: number, reason: string): void
}
