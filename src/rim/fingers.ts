/** How the rim of a drop breaks: whether it beads, when, in how many waves, and into what drops. */
import { accuracyOf } from '../life/accuracy.ts'
import { runLife } from '../life/run.ts'
import type { Life, Preset } from '../life/types.ts'
import { NOISE } from '../model/breakUp.ts'
import { cbrt, exp, log } from '../numerics/elementary.ts'
import { RimGrowth, type RimHooks, rateAt, type Waves } from './growth.ts'
import type { RingFacts } from './ringFacts.ts'
import { MOST_WAVES, NEEDED_GAIN } from './scope.ts'

/** The band takes so many times more and less noise. */
const NOISE_BAND = 10
/** ln G up to which a change of the drop/oil tension within what is known of it may undo the beads. */
const NEAR_GAIN = 15
/** The table begins at this part of the time of the largest radius, or when something has grown if anything does: before, the displaced edge still finds its shape. */
const SETTLED = 0.13
/** A drop whose radius grows by less than this factor makes no rim. */
const SPREADS = 1.2
/** Numbers of waves with which to begin. */
const COARSE = Array.from({ length: 9 }, (_, i) => 14 * exp((i * log(MOST_WAVES / 14)) / 8))

export interface FingersTable {
  t_s: number[]
  /** Number of waves that has grown most by then, its length, its growth rate at that moment and ln of its growth. */
  count: number[]
  wavelength_mm: number[]
  growth_perS: number[]
  gain: number[]
}

export interface Fingers {
  /** 'depends': it hangs on the drop/oil tension, which is known to some 2 mN/m only. */
  verdict: 'beads' | 'none' | 'depends'
  /** When the bulges are as high as the ring; NaN if not before the largest radius. `low` and `high` with ten times more and less noise. */
  appear_s: { low: number; value: number; high: number }
  /** Of the waves that are first to be seen, at that time; of those that have grown most by the largest radius if none are seen; NaN where nothing grows. */
  count: number
  wavelength_mm: number
  growth_perS: number
  /** Largest ln G over all numbers of waves at the largest radius, and the number; no number (NaN) where nothing grows. */
  gainAtLargest: number
  countAtLargest: number
  /** Radius of a drop made of one wavelength of the ring. */
  dropRadius_um: number
  table: FingersTable
}

/** Largest growth rate (1/s) at one moment and its wavelength (m), beside the ring's facts. SI units. */
export interface RimMoment extends RingFacts {
  t: number
  R: number
  U: number
  growth: number
  wavelength: number
  /** ln G of the waves that have grown most by then, and their number. */
  gain: number
  count: number
}

export interface FingersDetail {
  fingers: Fingers
  moments: RimMoment[]
  waves: Waves[]
}

const NONE: Fingers = {
  verdict: 'none',
  appear_s: { low: Number.NaN, value: Number.NaN, high: Number.NaN },
  count: Number.NaN,
  wavelength_mm: Number.NaN,
  growth_perS: Number.NaN,
  gainAtLargest: Number.NaN,
  countAtLargest: Number.NaN,
  dropRadius_um: Number.NaN,
  table: { t_s: [], count: [], wavelength_mm: [], growth_perS: [], gain: [] },
}

/** Top of the parabola in ln n through the largest value and its neighbours: [n, value]. `waves` in order of n. */
function peak(
  waves: readonly Waves[],
  value: (one: Waves) => number,
): { n: number; value: number; at: number } {
  let at = 0
  for (let w = 1; w < waves.length; w++) if (value(waves[w]) > value(waves[at])) at = w
  const best = { n: waves[at].n, value: value(waves[at]), at }
  if (at === 0 || at === waves.length - 1) return best
  const x0 = log(waves[at - 1].n / best.n)
  const x1 = log(waves[at + 1].n / best.n)
  const d0 = (value(waves[at - 1]) - best.value) / x0
  const d1 = (value(waves[at + 1]) - best.value) / x1
  const bend = (d1 - d0) / (x1 - x0)
  if (!(bend < 0)) return best
  const tilt = d0 - bend * x0
  const x = Math.min(Math.max(-tilt / (2 * bend), x0), x1)
  return { n: best.n * exp(x), value: best.value + x * (tilt + bend * x), at }
}

/** First moment at which a bulge from `noise` (m) is as high as the ring, and its waves. */
function appearance(
  times: Float64Array,
  waves: readonly Waves[],
  rings: readonly RingFacts[],
  noise: number,
): { t: number; wave: number; k: number } | null {
  let first: { t: number; wave: number; k: number } | null = null
  waves.forEach(({ gain, bulge }, wave) => {
    // ln of the bulge by the ring's height.
    const excess = (k: number) => log(noise * bulge[k]) + gain[k] - log(rings[k].height)
    for (let k = 2; k < times.length; k++) {
      const here = excess(k)
      if (!(here >= 0)) continue
      const before = excess(k - 1)
      const share = before < 0 ? -before / (here - before) : 1
      const t = times[k - 1] + share * (times[k] - times[k - 1])
      if (first === null || t < first.t) first = { t, wave, k }
      break
    }
  })
  return first
}

/** Numbers between those known around place `at`. */
function between(waves: readonly Waves[], at: number): number[] {
  const n = waves.map((one) => one.n)
  const found: number[] = []
  if (at > 0) found.push(Math.sqrt(n[at - 1] * n[at]))
  if (at + 1 < n.length) found.push(Math.sqrt(n[at] * n[at + 1]))
  return found
}

const inOrder = (waves: Waves[]): Waves[] => waves.sort((a, b) => a.n - b.n)

/** The whole calculation on one life; null if it was stopped. Its ring must not have been shed (`forFingers`). */
export async function fingersInDetail(life: Life, hooks: RimHooks = {}): Promise<FingersDetail | null> {
  const { summary, preset } = life
  const spreads = summary.maxRadius > SPREADS * preset.drop.startRadius_mm * 1e-3
  // Without levelling nothing drives beads (Plateau–Rayleigh), and nothing sets their length: what the operator then has is
  // growth without end toward the shortest waves, which is no number of beads.
  const levels = preset.mechanisms.levelling
  if (!spreads || !levels || summary.outcome === 'failed') return { fingers: NONE, moments: [], waves: [] }
  const growth = new RimGrowth(life)
  const rings = growth.rings()
  const all = COARSE.length + 4
  let past = 0
  const more = async (numbers: readonly number[]) => {
    const found = await growth.carry(numbers, hooks, (share) =>
      hooks.progress?.(Math.min(1, (past + share * numbers.length) / all)),
    )
    past += numbers.length
    return found
  }
  const coarse = await more(COARSE)
  if (!coarse) return null
  const last = growth.times.length - 1
  const seen = appearance(growth.times, coarse, rings, NOISE)
  const wanted = new Set(between(coarse, peak(coarse, (one) => one.gain[last]).at))
  if (seen) for (const n of between(coarse, seen.wave)) wanted.add(n)
  const fine = await more([...wanted])
  if (!fine) return null
  const waves = inOrder([...coarse, ...fine])
  const told = momentsOf(growth.times, waves, rings)
  return { fingers: fingersFrom(growth.times, waves, told), moments: told, waves }
}

/** Waves longer than so many bases of the ring follow the changes of the whole rim, and are not looked at for the fastest. */
const LONGEST = 10

function momentsOf(
  times: Float64Array,
  waves: readonly Waves[],
  rings: readonly (RingFacts & { R: number; U: number })[],
): RimMoment[] {
  return rings.map((ring, k) => {
    const round = 2 * Math.PI * ring.R
    const short = waves.filter(({ n }) => !(round / n > LONGEST * ring.base))
    const fastest = peak(short.length > 0 ? short : waves, (one) => rateAt(times, one, k))
    const most = peak(waves, (one) => one.gain[k])
    return {
      ...ring,
      t: times[k],
      growth: fastest.value,
      wavelength: round / fastest.n,
      gain: most.value,
      count: most.n,
    }
  })
}

/** Growth rate at moment k of waves of number n, linear in ln n between those that were carried. */
function rateOf(times: Float64Array, waves: readonly Waves[], n: number, k: number): number {
  const above = waves.findIndex((one) => one.n >= n)
  if (above === 0) return rateAt(times, waves[0], k)
  if (above < 0) return rateAt(times, waves[waves.length - 1], k)
  const [low, high] = [waves[above - 1], waves[above]]
  const share = log(n / low.n) / log(high.n / low.n)
  return (1 - share) * rateAt(times, low, k) + share * rateAt(times, high, k)
}

function fingersFrom(times: Float64Array, waves: readonly Waves[], told: readonly RimMoment[]): Fingers {
  const last = told.length - 1
  const gainUpTo = told.slice(1).reduce((most, { gain }) => Math.max(most, gain), Number.NEGATIVE_INFINITY)
  const seen = appearance(times, waves, told, NOISE)
  const when = (noise: number) => appearance(times, waves, told, noise)?.t ?? Number.NaN
  const k = seen ? seen.k : last
  // Waves that only die away have no number worth telling.
  const most = gainUpTo > 0 ? told[last].count : Number.NaN
  const count = seen ? waves[seen.wave].n : most
  const wavelength = (2 * Math.PI * told[k].R) / count
  const settled = told.findIndex(({ t }) => t >= SETTLED * times[last])
  const grown = told.findIndex(({ gain }, k) => k >= settled && gain > 0)
  const begin = Math.max(settled, grown)
  const shown = told.slice(begin)
  return {
    verdict: gainUpTo < NEEDED_GAIN ? 'none' : 'beads',
    appear_s: { low: when(NOISE * NOISE_BAND), value: seen?.t ?? Number.NaN, high: when(NOISE / NOISE_BAND) },
    count: Math.round(count),
    wavelength_mm: 1e3 * wavelength,
    growth_perS: Number.isNaN(count) ? count : rateOf(times, waves, count, k),
    gainAtLargest: told[last].gain,
    countAtLargest: Math.round(most),
    dropRadius_um: 1e6 * cbrt((3 * told[k].section * wavelength) / (4 * Math.PI)),
    table: {
      t_s: shown.map(({ t }) => t),
      count: shown.map((one) => Math.round(one.count)),
      wavelength_mm: shown.map((one) => (2e3 * Math.PI * one.R) / one.count),
      growth_perS: shown.map((one, i) => rateOf(times, waves, one.count, i + begin)),
      gain: shown.map(({ gain }) => gain),
    },
  }
}

/** Cells under the drop that show a ring well enough (with half as many ln G comes out less than half), and that are enough. */
const LEAST_CELLS = 60
const MOST_CELLS = 160
const showsRing = (cells: number): boolean => cells >= LEAST_CELLS && cells <= MOST_CELLS

/** The same drop without break-up, on a mesh that shows the ring. */
function forFingers(preset: Preset): Preset {
  const { innerCells, outerCells, ...model } = preset.model
  const right = showsRing(accuracyOf(preset).inner)
  const accuracy = model.accuracy === 'quick' ? 'normal' : model.accuracy
  return {
    ...preset,
    ring: { ...preset.ring, breakUp: false },
    model: right ? preset.model : { ...model, accuracy },
  }
}

export interface FingersOptions extends RimHooks {
  /** The same drop with the drop/oil tension at the ends of what is known; `tensionNeighbours` of src/plan gives them. Only near the threshold are they tried. */
  neighbours?: readonly Preset[]
}

/**
 * The fingers of a life or of a preset's life. A life that sheds its ring is computed once more without break-up, since
 * the question is what the whole ring would do, and so is one whose mesh is too
 * coarse for a ring or needlessly fine. Null if it was stopped, or if there is no life.
 */
export async function fingersOf(of: Life | Preset, options: FingersOptions = {}): Promise<Fingers | null> {
  const { progress, neighbours = [], ...hooks } = options
  const life = await wholeLife(of, hooks)
  if (!life) return null
  const parts = 1 + neighbours.length
  const detail = await fingersInDetail(life, { ...hooks, progress: (share) => progress?.(share / parts) })
  if (!detail) return null
  const { fingers } = detail
  if (fingers.verdict === 'beads' && fingers.gainAtLargest > NEAR_GAIN) return fingers
  for (const [i, neighbour] of neighbours.entries()) {
    const other = await fingersOf(neighbour, {
      ...hooks,
      progress: (share) => progress?.((1 + i + share) / parts),
    })
    if (!other) return null
    if (other.verdict !== fingers.verdict) return { ...fingers, verdict: 'depends' }
  }
  progress?.(1)
  return fingers
}

async function wholeLife(of: Life | Preset, { pause, cancelled }: RimHooks): Promise<Life | null> {
  const known = 'frames' in of
  if (known && !of.preset.ring.breakUp && showsRing(of.frames.inner)) return of
  const hooks = { ...(pause && { pause }), ...(cancelled && { cancelled }) }
  const result = await runLife(forFingers(known ? of.preset : of), hooks)
  return result.ok && result.life.status === 'done' ? result.life : null
}
