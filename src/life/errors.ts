/** How right a life is: the error of its main numbers, estimated from a coarser companion life. */
import { companionOf } from './accuracy.ts'
import { type RunHooks, runLevelSync, runLife } from './run.ts'
import type { Life, Summary } from './types.ts'

export type LifeErrors = Pick<Summary, 'maxRadiusError' | 'collapseTimeError'>

/** The estimate: this share of the difference from the companion, but at least this part of the value. */
const SHARE = { radius: 1.2, time: 1.5 }
const LEAST = { radius: 1.5e-3, time: 3e-3 }

/** Estimated numerical errors (m and s; NaN where the number itself is NaN) of `life` given its companion. */
export function errorsFrom(life: Life, companion: Life): LifeErrors {
  const a = life.summary
  const b = companion.summary
  const bound = (mine: number, other: number, share: number, least: number) =>
    Number.isNaN(other) ? least * mine * 3 : Math.max(share * Math.abs(mine - other), least * mine)
  return {
    maxRadiusError: bound(a.maxRadius, b.maxRadius, SHARE.radius, LEAST.radius),
    collapseTimeError: bound(a.collapseTime, b.collapseTime, SHARE.time, LEAST.time),
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
