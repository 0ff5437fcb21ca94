/** How far threshold and life move with the inputs that are least known: a band of neighbouring lives. */
import { problemOf } from '../life/problemOf.ts'
import type { Life, OutcomeName, Preset } from '../life/types.ts'
import type { Reach } from './reach.ts'
import { thresholdReach } from './thresholdReach.ts'
import { TENSION_WIDTHS, type UncertainId, uncertainOf } from './uncertain.ts'
import { quickly, type RunLike, Work, type WorkHooks } from './work.ts'

export type { Reach } from './reach.ts'

/** What is compared, SI: mass fraction, m, s, s. NaN where there is none. */
export interface Quantities {
  threshold: number
  maxRadius: number
  maxRadiusTime: number
  collapseTime: number
}

/** One input moved down and up, all others as they are. */
export interface Shift {
  input: UncertainId
  label: string
  /** By how much it was moved, in words. */
  amount: string
  low: Quantities
  high: Quantities
}

export interface Band {
  status: 'done' | 'stopped'
  reach: Record<keyof Quantities, Reach>
  shifts: Shift[]
  /** Outcomes that occur among the neighbours, the central one first. */
  outcomes: OutcomeName[]
  /** Neighbours that failed; they are left out of the reach. */
  failures: string[]
}

interface Mover {
  input: UncertainId
  label: string
  /** By how much it is moved, in words; on some it depends what drop it is. */
  amount(preset: Preset): string
  /** @param side −1 down, +1 up. */
  move(preset: Preset, side: -1 | 1): Preset
}

/** The inputs that are moved one at a time. */
const MOVED: readonly UncertainId[] = ['waterTension', 'decay', 'evaporation', 'uptake', 'volume']

/** Each moved by the half-width that it has on a drop. */
export const MOVERS: readonly Mover[] = MOVED.map((id) => {
  const { label, width, amount, moved } = uncertainOf(id)!
  return {
    input: id,
    label,
    amount: (preset) => amount(width(preset)),
    move: (preset, side) => moved(preset, side, width(preset)),
  }
})

const NAMES = ['threshold', 'maxRadius', 'maxRadiusTime', 'collapseTime'] as const

function quantitiesOf(preset: Preset, life: Life | undefined): Quantities {
  const s = life?.summary
  return {
    threshold: problemOf(preset).facts.criticalMassFraction,
    maxRadius: s?.maxRadius ?? Number.NaN,
    maxRadiusTime: s?.maxRadiusTime ?? Number.NaN,
    collapseTime: s?.collapseTime ?? Number.NaN,
  }
}

/** Least and largest value that a quantity can take at all. */
function limitsOf(name: keyof Quantities, preset: Preset, seen: number[]): [number, number] {
  if (name === 'threshold') return [0, 1]
  if (name !== 'maxRadius') return [0, Number.POSITIVE_INFINITY]
  return [Math.min(1e-3 * preset.drop.startRadius_mm, ...seen), 1e-3 * preset.bath.dishRadius_mm]
}

/**
 * Central value and reach. The inputs are independent of one another: their shifts down and up are each added as
 * the root of the sum of squares (common practice, no source), within what is possible at all.
 */
export function reachOf(
  central: number,
  ends: { input: UncertainId; values: number[] }[],
  limits: [number, number],
): Reach {
  const moved = ends.map(({ input, values }) => {
    const known = values.filter((v) => Number.isFinite(v))
    const down = Math.max(0, central - Math.min(central, ...known))
    const up = Math.max(0, Math.max(central, ...known) - central)
    return { input, down, up }
  })
  const widest = moved.reduce((a, b) => (b.down + b.up > a.down + a.up ? b : a), {
    input: undefined,
    down: 0,
    up: 0,
  } as {
    input: UncertainId | undefined
    down: number
    up: number
  })
  return {
    central,
    low: Math.max(limits[0], central - Math.hypot(...moved.map((m) => m.down))),
    high: Math.min(limits[1], central + Math.hypot(...moved.map((m) => m.up))),
    most: widest.input,
  }
}

/** The inputs of the assumed drop/oil curve. */
export const OF_TENSION: readonly UncertainId[] = ['waterTension', 'decay']

/** The same drop with the assumed drop/oil tension at the ends of what is known of it. */
export function tensionNeighbours(preset: Preset): Preset[] {
  const movers = MOVERS.filter(({ input }) => OF_TENSION.includes(input))
  return movers.flatMap(({ move }) => [move(preset, -1), move(preset, 1)])
}

/** How far they are moved, in words. */
export const TENSION_MOVES = TENSION_WIDTHS

/** What the assumed drop/oil tension alone does to the largest radius, m. */
export function tensionReach({ reach, shifts }: Band): Reach {
  const ends = shifts
    .filter(({ input }) => OF_TENSION.includes(input))
    .map(({ input, low, high }) => ({ input, values: [low.maxRadius, high.maxRadius] }))
  return reachOf(reach.maxRadius.central, ends, [0, Number.POSITIVE_INFINITY])
}

function reachesOf(preset: Preset, central: Quantities, shifts: Shift[]): Band['reach'] {
  const entries = NAMES.map((name) => {
    if (name === 'threshold') return [name, thresholdReach(preset)] as const
    const ends = shifts.map(({ input, low, high }) => ({ input, values: [low[name], high[name]] }))
    const seen = ends.flatMap(({ values }) => values).filter((v) => Number.isFinite(v))
    return [name, reachOf(central[name], ends, limitsOf(name, preset, seen))] as const
  })
  return Object.fromEntries(entries) as Band['reach']
}

export interface BandOptions extends WorkHooks {
  /** Keep the preset's accuracy instead of the quick one. */
  ownAccuracy?: boolean
}

/**
 * Runs the life and its neighbours, two for each input. Neighbours may lie a little outside what a preset file permits (an input at
 * the end of its range is still moved), so `run` must not check them. Stopped early, it gives what is known.
 */
export async function bandOf(preset: Preset, run: RunLike, options: BandOptions = {}): Promise<Band> {
  const base = options.ownAccuracy ? preset : quickly(preset)
  const work = new Work(run, options, 1 + 2 * MOVERS.length)
  const outcomes = new Set<OutcomeName>()
  const compare = async (one: Preset): Promise<Quantities> => {
    const life = await work.life(one)
    if (life) outcomes.add(life.summary.outcome)
    return quantitiesOf(one, life)
  }
  const all = [base, ...MOVERS.flatMap(({ move }) => [move(base, -1), move(base, 1)])]
  for (const one of all) work.foresee(one)
  const central = await compare(all[0]!)
  const shifts: Shift[] = []
  for (const [k, { input, label, amount }] of MOVERS.entries()) {
    if (work.stopped) break
    const low = await compare(all[1 + 2 * k]!)
    const high = await compare(all[2 + 2 * k]!)
    shifts.push({ input, label, amount: amount(base), low, high })
  }
  return {
    status: work.stopped ? 'stopped' : 'done',
    reach: reachesOf(base, central, shifts),
    shifts,
    outcomes: [...outcomes],
    failures: work.failures,
  }
}
