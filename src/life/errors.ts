/** How right a life is: the error of its main numbers, estimated from a coarser companion life. */
import { companionOf } from './accuracy.ts'
import { type RunHooks, runLevelSync, runLife } from './run.ts'
import type { Life, Summary } from './types.ts'

export type LifeErrors = Pick<Summary, 'maxRadiusError' | 'collapseTimeError'>

/** The estimate: this share of the difference from the companion … */
const SHARE = { radius: 2, time: 2.5 }
/** … but at least this part of the value, by accuracy. Tested against finer lives. */
const LEAST = {
  quick: { radius: 1.2e-2, time: 2e-2 },
  normal: { radius: 4e-3, time: 8e-3 },
  fine: { radius: 2e-3, time: 4e-3 },
}

/** A life as far as its errors are concerned. */
export type Known = Pick<Life, 'preset' | 'summary'>

/** Estimated numerical errors (m and s; NaN where the number itself is NaN) of a life given its companion's summary. */
export function errorsFrom({ preset, summary }: Known, companion: Summary): LifeErrors {
  const least = LEAST[preset.model.accuracy]
  const bound = (mine: number, other: number, share: number, part: number) =>
    Number.isNaN(other) ? 3 * part * mine : Math.max(share * Math.abs(mine - other), part * mine)
  return {
    maxRadiusError: bound(summary.maxRadius, companion.maxRadius, SHARE.radius, least.radius),
    collapseTimeError: bound(summary.collapseTime, companion.collapseTime, SHARE.time, least.time),
  }
}

/** Runs the companion of a life; null if it was stopped on the way. */
export async function estimateErrors(life: Known, hooks: RunHooks = {}): Promise<LifeErrors | null> {
  const { preset, level } = companionOf(life.preset)
  const result = await runLife(preset, hooks, level)
  return result.ok && result.life.status === 'done' ? errorsFrom(life, result.life.summary) : null
}

/** The life with its errors filled in. */
export function withErrorsSync(life: Life): Life {
  const { preset, level } = companionOf(life.preset)
  const result = runLevelSync(preset, level)
  if (!result.ok) return life
  return { ...life, summary: { ...life.summary, ...errorsFrom(life, result.life.summary) } }
}
