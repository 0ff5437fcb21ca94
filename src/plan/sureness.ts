/** What the drawn lives of a drop tell of it: bands, ranges and the chances of what becomes of it. Pure. */
import type { OutcomeName, Preset } from '../life/types.ts'
import { correlation, quantile, wilson } from './chances.ts'
import type { Envelope } from './envelope.ts'
import { type Band, bandOf } from './neighbours.ts'
import { ONE_SIGMA, type Reach, TWO_SIGMA } from './reach.ts'
import { type SampleOptions, type Samples, samplesOf, type Told } from './samples.ts'
import type { RunLike } from './work.ts'

export interface Chance {
  outcome: OutcomeName
  count: number
  of: number
  /** Range of the chance itself, 68 %: that of so many lives. */
  low: number
  high: number
}

export interface Sureness {
  /** Lives that count, and those that failed. */
  lives: number
  failed: number
  /** The most likely one first. */
  chances: Chance[]
  /** 68 and 95 % of the drops that have such a number (`of` of them) lie within. */
  ranges: Record<keyof Told, { one: Reach; two: Reach; of: number }>
}

/** A band whose ranges are those of drawn lives. */
export interface SureBand extends Band {
  sure: Sureness
}

const sorted = (values: readonly number[]): number[] => [...values].sort((a, b) => a - b)

const within = (values: readonly number[], [low, high]: readonly [number, number]): [number, number] => [
  quantile(values, low),
  quantile(values, high),
]

function rangesOf({ base, drops, inputs }: Samples): Sureness['ranges'] {
  const range = (name: keyof Told): Sureness['ranges'][keyof Told] => {
    const having = drops.filter(({ told }) => Number.isFinite(told[name]))
    const found = having.map(({ told }) => told[name])
    const shares = inputs.map((_, k) => {
      const z = having.map((drop) => drop.z[k]!)
      return correlation(z, found) ** 2
    })
    const largest = Math.max(0, ...shares)
    const most = largest > 0 ? inputs[shares.indexOf(largest)] : undefined
    const central = base?.told[name] ?? Number.NaN
    const reach = (part: readonly [number, number]): Reach => {
      const [low, high] = within(sorted(found), part)
      return { central, low, high, most }
    }
    return { one: reach(ONE_SIGMA), two: reach(TWO_SIGMA), of: found.length }
  }
  return {
    maxRadius: range('maxRadius'),
    maxRadiusTime: range('maxRadiusTime'),
    collapseTime: range('collapseTime'),
    life: range('life'),
  }
}

function chancesOf({ drops }: Samples): Chance[] {
  const counts = new Map<OutcomeName, number>()
  for (const { outcome } of drops) counts.set(outcome, (counts.get(outcome) ?? 0) + 1)
  return [...counts]
    .sort((a, b) => b[1] - a[1])
    .map(([outcome, count]) => {
      const [low, high] = wilson(count, drops.length)
      return { outcome, count, of: drops.length, low, high }
    })
}

export const surenessOf = (samples: Samples): Sureness => ({
  lives: samples.drops.length,
  failed: samples.failures.length,
  chances: chancesOf(samples),
  ranges: rangesOf(samples),
})

/** Fewer lives make no band. */
const LEAST = 8

/**
 * The band of R(t) about the drop as it is stated: at each time 68 % (and, `wide`, 95 %) of the drawn lives lie within. As
 * differences from the stated life of the same mesh, so that it can be laid about a finer one. null where there is none.
 */
export function envelopeOf({ base, drops, times }: Samples): Envelope | null {
  if (!base || drops.length < LEAST || !((times.at(-1) ?? 0) > 0)) return null
  const columns = Array.from(times, (_, i) => sorted(drops.map(({ R }) => R[i]!)))
  const side = (p: number, sign: 1 | -1): Float64Array =>
    times.map((_, i) => sign * (quantile(columns[i]!, p) - base.R[i]!))
  const [low, high] = ONE_SIGMA
  const [lowest, highest] = TWO_SIGMA
  return {
    t: times,
    down: side(low, -1),
    up: side(high, 1),
    wide: { down: side(lowest, -1), up: side(highest, 1) },
  }
}

/** A band of neighbours with the ranges and outcomes of drawn lives in the place of those of its shifts. */
export function sureBand(band: Band, samples: Samples): SureBand {
  const sure = surenessOf(samples)
  const { maxRadius, maxRadiusTime, collapseTime } = sure.ranges
  const found = sure.lives >= LEAST
  const [own] = band.outcomes
  const others = sure.chances.map(({ outcome }) => outcome).filter((name) => name !== own)
  return {
    ...band,
    status: samples.status === 'stopped' ? 'stopped' : band.status,
    reach: found
      ? {
          threshold: band.reach.threshold,
          maxRadius: maxRadius.one,
          maxRadiusTime: maxRadiusTime.one,
          collapseTime: collapseTime.one,
        }
      : band.reach,
    outcomes: found && own ? [own, ...others] : band.outcomes,
    sure,
  }
}

/** Drawn lives of a lab sheet and of the page's first answer, and of its last. */
export const FIRST_LIVES = 32
export const ALL_LIVES = 64

/** The neighbours one at a time, and as many drawn lives as are asked for. `known`: what there is of both. */
export async function surely(
  preset: Preset,
  run: RunLike,
  { known, ...options }: Omit<SampleOptions, 'known'> & { known?: { band: Band; samples: Samples } },
): Promise<{ band: SureBand; samples: Samples; envelope: Envelope | null }> {
  let before = 0
  const hooks = {
    ...options,
    progress: (done: number, total: number) => options.progress?.(before + done, before + total),
  }
  const band = known?.band ?? (await bandOf(preset, run, hooks))
  before = known ? 0 : NEIGHBOURS
  const samples = await samplesOf(preset, run, { ...hooks, known: known?.samples ?? null })
  return { band: sureBand(band, samples), samples, envelope: envelopeOf(samples) }
}

/** Lives of a band of neighbours. */
const NEIGHBOURS = 11
