/** Everything that a lab sheet needs, run in a row: the life, its neighbours, the dishes. */
import type { Preset } from '../../life/types.ts'
import { smallestDish } from '../dish.ts'
import { nearestChange } from '../nearestChange.ts'
import { FIRST_LIVES, surely } from '../sureness.ts'
import { type RunLike, Work, type WorkHooks } from '../work.ts'
import { labSheet } from './labSheet.ts'
import type { SheetResult, SheetWish } from './types.ts'

export interface SheetOptions extends Omit<SheetWish, 'life' | 'band' | 'dish' | 'nearest'>, WorkHooks {
  /** Without neighbours and dishes: at once, but without ±. */
  brief?: boolean
}

export type SheetRun = SheetResult | { ok: false; stopped: true; problems: [] }

/** Lives that are run: one, the neighbours and drawn ones, and some for the dishes or the search for a strength that spreads. */
const BAND = 12 + FIRST_LIVES
const LIVES = 1 + BAND + 9

/** Runs what the sheet needs and lays it out. */
export async function sheetOf(preset: Preset, run: RunLike, options: SheetOptions): Promise<SheetRun> {
  let before = 0
  const stage = (lives: number): WorkHooks => {
    const start = before
    before += lives
    return {
      ...options,
      progress: (done) => options.progress?.(start + done, options.brief ? 1 : Math.max(LIVES, start + done)),
    }
  }
  const stopped = { ok: false, stopped: true, problems: [] } as const
  const work = new Work(run, stage(1), 1)
  const life = await work.life(preset)
  if (!life) {
    if (work.stopped) return { ...stopped, problems: [] }
    return { ok: false, problems: work.failures.map((message) => ({ where: 'life', message })) }
  }
  const first = labSheet({ ...options, life })
  if (!first.ok || options.brief) return first
  const { band } = await surely(preset, run, { ...stage(BAND), count: FIRST_LIVES })
  if (band.status === 'stopped') return { ...stopped, problems: [] }
  if (life.summary.outcome === 'lens') {
    const nearest = await nearestChange(preset, run, {
      ...stage(9),
      stock: options.stock,
      have_mL: options.mixture_mL,
    })
    return nearest.kind === 'stopped'
      ? { ...stopped, problems: [] }
      : labSheet({ ...options, life, band, nearest })
  }
  const dish = await smallestDish(preset, run, stage(9))
  if (dish.status === 'stopped') return { ...stopped, problems: [] }
  return labSheet({ ...options, life, band, dish })
}
