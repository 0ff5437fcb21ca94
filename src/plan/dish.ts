/** The smallest dish whose wall does not disturb the drop, found by comparing lives. */
import type { Preset } from '../life/types.ts'
import { quickly, type RunLike, Work, type WorkHooks } from './work.ts'

export interface Dish {
  status: 'done' | 'stopped' | 'failed'
  /** Smallest inner radius, m, to the millimetre; NaN if not found. */
  radius: number
  /** Largest radius of the drop in it and in the wide dish that it was compared with, m. */
  maxRadius: number
  wideMaxRadius: number
  /** Inner radius of the wide dish, m. */
  wideRadius: number
  /** The criterion in words. */
  criterion: string
}

/** Change of the largest radius that counts as undisturbed. */
const PERMITTED = 0.01
const NARROWEST_MM = 10
const WIDEST_MM = 300

const within = (preset: Preset, radius_mm: number): Preset => ({
  ...preset,
  bath: { ...preset.bath, dishRadius_mm: radius_mm },
})

/** Dish without a noticeable wall: the wall's influence dies out over about the depth of the oil. */
const wideDish = (maxRadius_mm: number, depth_mm: number): number =>
  Math.min(WIDEST_MM, Math.ceil(2 * maxRadius_mm + 6 * depth_mm))

const CRITERION = 'the largest radius changes by under 1 % against a very wide dish'

/**
 * Bisects the dish radius between the drop's own largest radius and a wide dish. The model knows the wall only as the
 * place where the oil stands still: a meniscus there is not in it, so take a dish well above this radius.
 */
export async function smallestDish(preset: Preset, run: RunLike, hooks: WorkHooks = {}): Promise<Dish> {
  const base = quickly(preset)
  const work = new Work(run, hooks, 9)
  const radiusIn = async (mm: number): Promise<number> => {
    const life = await work.life(within(base, mm))
    if (!life || life.summary.outcome === 'reaches-wall') return Number.NaN
    return life.summary.maxRadius
  }
  let wide = WIDEST_MM
  let wideMax = await radiusIn(wide)
  const nothing = (): Dish => ({
    status: work.stopped ? 'stopped' : 'failed',
    radius: Number.NaN,
    maxRadius: Number.NaN,
    wideMaxRadius: wideMax,
    wideRadius: 1e-3 * wide,
    criterion: CRITERION,
  })
  if (Number.isNaN(wideMax)) return nothing()
  const nearer = wideDish(1e3 * wideMax, preset.bath.depth_mm)
  if (nearer < wide) {
    wide = nearer
    wideMax = await radiusIn(wide)
    if (Number.isNaN(wideMax)) return nothing()
  }
  const least = Math.max(NARROWEST_MM, 1.01 * preset.drop.startRadius_mm)
  let low = Math.max(least, Math.floor(1e3 * wideMax))
  let high = wide
  let best = wideMax
  while (high - low > 1 && !work.stopped) {
    const middle = Math.round((low + high) / 2)
    const there = await radiusIn(middle)
    if (Math.abs(there / wideMax - 1) < PERMITTED) {
      high = middle
      best = there
    } else low = middle
  }
  if (work.stopped) return nothing()
  return {
    status: 'done',
    radius: 1e-3 * high,
    maxRadius: best,
    wideMaxRadius: wideMax,
    wideRadius: 1e-3 * wide,
    criterion: CRITERION,
  }
}
