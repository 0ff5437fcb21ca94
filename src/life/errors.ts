/** How right a life is: the error of its main numbers, estimated from a coarser companion life. */
import { companionOf } from './accuracy.ts'
import { type RunHooks, runLevelSync, runLife } from './run.ts'
import type { Life, Summary } from './types.ts'

export type LifeErrors = Pick<Summary, 'maxRadiusError' | 'collapseTimeError'>

/** The estimate: this share of the difference from the companion … */
const SHARE = { radius: 2, time: 2.5 }
/** … but at least this part of the value, by accuracy. Tested against finer lives. */
const LEAST = {
  quick: { radius: 8e-3, time: 1.2e-2 },
  normal: { radius: 4e-3, time: 8e-3 },
  fine: { radius: 2e-3, time: 4e-3 },
}

/** Estimated numerical errors (m and s; NaN where the number itself is NaN) of `life` given its companion. */
export function errorsFrom(life: Life, companion: Life): LifeErrors {
  const a = life.summary
  const b = companion.summary
  const least = LEAST[life.preset.model.accuracy]
  const bound = (mine: number, other: number, share: number, part: number) =>
    Number.isNaN(other) ? 3 * part * mine : Math.max(share * Math.abs(mine - other), part * mine)
  return {
    maxRadiusError: bound(a.maxRadius, b.maxRadius, SHARE.radius, least.radius),
    collapseTimeError: bound(a.collapseTime, b.collapseTime, SHARE.time, least.time),
  }
}

/** The life with its errors filled in; unchanged if the companion was stopped. */
export async function withErrors(life: Life, hooks: RunHooks = {}): Promise<Life> {
  const { preset, level } = companionOf(life.preset)
  const result = await runLife(preset, hooks, level)
  return result.ok && result.life.status === 'done' ? filled(life, result.life) : life
}

/** As withErrors, without pauses. */
export function withErrorsSync(life: Life): Life {
  const { preset, level } = companionOf(life.preset)
  const result = runLevelSync(preset, level)
  return result.ok ? filled(life, result.life) : life
}

const filled = (life: Life, companion: Life): Life => ({
  ...life,
  summary: { ...life.summary, ...errorsFrom(life, companion) },
})
