/** The smallest change of strength that makes a mixture spread which is too weak: found by running lives, not by rule. */
import { problemOf } from '../life/problemOf.ts'
import type { Preset } from '../life/types.ts'
import { figure, given, percentText } from './figures.ts'
import { type Amendment, amendmentOf } from './recipe.ts'
import type { Strength } from './strength.ts'
import { pairNames, percentOf, strengthText } from './threshold.ts'
import { thresholdReach } from './thresholdReach.ts'
import { quickly, type RunLike, Work, type WorkHooks } from './work.ts'

/** A strength and what becomes of the drop there. */
export interface Found {
  massFraction: number
  /** % by volume at 20 °C. */
  percent: number
  /** Largest radius, m. */
  maxRadius: number
}

export type NearestChange =
  | { kind: 'spreads'; words: string }
  | { kind: 'none'; words: string }
  | { kind: 'stopped'; words: string }
  | {
      kind: 'stronger'
      /** Lowest strength that spreads to the wanted multiple of the start radius, found to 0.2 % by mass. */
      lowest: Found
      /** The next whole per cent above it that is also clear of the threshold's reach (see thresholdReach). */
      suggested: Found
      /** What to add to the mixture that is there; undefined without a stock or if the stock is too weak. */
      amendment: Amendment | undefined
      words: string
    }

export interface NearestOptions extends WorkHooks {
  /** The bottle at hand, and how much mixture of the preset's strength is there, mL. */
  stock?: Strength
  have_mL?: number
  /** A drop counts as spread from this multiple of its start radius on. */
  multiple?: number
}

const RESOLUTION = 0.002

const at = (preset: Preset, w: number): Preset => ({
  ...preset,
  drop: { ...preset.drop, alcoholMassFraction: w },
})

/** Strengths tried upwards from the threshold until one spreads. */
function ladder(from: number): number[] {
  const rungs: number[] = []
  for (let step = 0.01; from + step < 1; step *= 2) rungs.push(from + step)
  return [...rungs, 1]
}

class Search {
  readonly found = new Map<number, number>()

  constructor(
    readonly preset: Preset,
    readonly work: Work,
    readonly wanted: number,
  ) {}

  /** Whether the drop grows to the wanted radius at a strength, and not only as a wide lens. */
  async spreads(w: number): Promise<boolean> {
    const life = await this.work.life(at(this.preset, w))
    if (!life) return false
    this.found.set(w, life.summary.maxRadius)
    return life.summary.outcome !== 'lens' && life.summary.maxRadius >= this.wanted
  }

  of = (w: number): Found => ({
    massFraction: w,
    percent: percentOf(this.preset, w),
    maxRadius: this.found.get(w) ?? Number.NaN,
  })

  /** Lowest strength in (low, high] that spreads, where `high` is known to. */
  async bisect(low: number, high: number): Promise<number> {
    let [a, b] = [low, high]
    while (b - a > RESOLUTION && !this.work.stopped) {
      const middle = (a + b) / 2
      if (await this.spreads(middle)) b = middle
      else a = middle
    }
    return b
  }
}

const stopped = { kind: 'stopped', words: 'Stopped before it was found.' } as const

/** Finds the nearest change of strength; see NearestChange. */
export async function nearestChange(
  preset: Preset,
  run: RunLike,
  options: NearestOptions = {},
): Promise<NearestChange> {
  const base = quickly(preset)
  const wanted = (options.multiple ?? 1.5) * 1e-3 * preset.drop.startRadius_mm
  const search = new Search(base, new Work(run, options, 14), wanted)
  const { work } = search
  const own = preset.drop.alcoholMassFraction
  if (await search.spreads(own)) {
    return { kind: 'spreads', words: `It spreads to ${figure(1e3 * search.of(own).maxRadius)} mm as it is.` }
  }
  if (work.stopped) return stopped
  const { alcohol, oil } = pairNames(preset)
  const none = { kind: 'none', words: `No strength of ${alcohol} makes this drop spread on ${oil}.` } as const
  const { criticalMassFraction } = problemOf(base).facts
  if (Number.isNaN(criticalMassFraction)) return none
  let low = Math.max(own, criticalMassFraction)
  let high = Number.NaN
  for (const rung of ladder(low)) {
    if (await search.spreads(rung)) {
      high = rung
      break
    }
    if (work.stopped) return stopped
    low = rung
  }
  if (Number.isNaN(high)) return none
  const lowest = await search.bisect(low, high)
  const clear = Math.max(lowest + RESOLUTION, thresholdReach(base).high)
  const suggested = Math.min(1, Math.ceil(100 * clear) / 100)
  await search.spreads(suggested)
  if (work.stopped) return stopped
  return strongerChange(preset, search.of(lowest), search.of(suggested), options)
}

function strongerChange(
  preset: Preset,
  lowest: Found,
  suggested: Found,
  { stock, have_mL = 50 }: NearestOptions,
): NearestChange {
  const there = `At ${strengthText(preset, suggested.massFraction)} it would spread to ${figure(1e3 * suggested.maxRadius)} mm`
  if (!stock || preset.drop.alcohol === 'reference') {
    return { kind: 'stronger', lowest, suggested, amendment: undefined, words: `${there}.` }
  }
  const made = amendmentOf({
    alcohol: preset.drop.alcohol,
    liquids: preset.liquids,
    stock,
    have: { by: 'mass', value: preset.drop.alcoholMassFraction },
    want: { by: 'mass', value: suggested.massFraction },
    volume_mL: have_mL,
    temperature_C: preset.air.temperature_C,
  })
  if (!made.ok) {
    const why = made.problems.map((p) => p.message).join(' ')
    return { kind: 'stronger', lowest, suggested, amendment: undefined, words: `${there}. ${why}` }
  }
  const words = `${there}: add ${figure(made.amendment.add_mL)} mL of the stock to your ${given(have_mL)} mL of ${percentText(preset.drop.alcoholMassFraction)}.`
  return { kind: 'stronger', lowest, suggested, amendment: made.amendment, words }
}
