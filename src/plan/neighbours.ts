/** How far threshold and life move with the inputs that are least known: a band of neighbouring lives. */
import { problemOf } from '../life/problemOf.ts'
import type { Life, OutcomeName, Preset } from '../life/types.ts'
import { figure } from './figures.ts'
import { quickly, type RunLike, Work, type WorkHooks } from './work.ts'

export type UncertainInput = 'waterTension' | 'decay' | 'evaporation' | 'uptake' | 'volume'

/** What is compared, SI: mass fraction, m, s, s. NaN where there is none. */
export interface Quantities {
  threshold: number
  maxRadius: number
  maxRadiusTime: number
  collapseTime: number
}

/** One input moved down and up, all others as they are. */
export interface Shift {
  input: UncertainInput
  label: string
  /** By how much it was moved, in words. */
  amount: string
  low: Quantities
  high: Quantities
}

/** A number with the reach of its neighbours. */
export interface Reach {
  central: number
  low: number
  high: number
  /** The input that moves it most; undefined if none does. */
  most: UncertainInput | undefined
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
  input: UncertainInput
  label: string
  /** By how much it is moved, in words; on some it depends what drop it is. */
  amount(preset: Preset): string
  /** @param side −1 down, +1 up. */
  move(preset: Preset, side: -1 | 1): Preset
}

/** Water value (mN/m) and decay of the assumed drop/oil curve, read off the curve itself: end + (water − end) e^(−k w). */
function interfaceLawOf(preset: Preset): { water: number; decay: number } {
  const { gammaI, w } = problemOf(preset).facts.curve
  const half = gammaI[w.length >> 1]!
  const last = w.length - 1
  const decay = Math.log((gammaI[0]! - half) / (half - gammaI[last]!)) / (w[last]! / 2)
  return { water: 1e3 * gammaI[0]!, decay }
}

const EVAPORATION = {
  constant: 'constantRate_umPerS',
  moving: 'filmCoefficient_mmPerS',
  still: 'enhancement',
  layer: 'layer_mm',
} as const

/** Factor within which the uptake by the oil is known: that of the liquids, or less where the user gave a value (fitted, say). */
const uptakeFactor = (preset: Preset): number =>
  preset.bath.solubility === undefined ? problemOf(preset).facts.uptake.factor : OWN_UPTAKE
const OWN_UPTAKE = 1.3
const byFactor = (factor: number): string => `× and ÷ ${figure(factor, 2)}`

/** The inputs that are moved and by how much. Half-widths: common practice, no source. */
export const MOVERS: readonly Mover[] = [
  {
    input: 'waterTension',
    label: 'drop/oil tension of water',
    amount: () => '± 2 mN/m',
    move: (p, side) => ({
      ...p,
      interface: { ...p.interface, water_mNperM: interfaceLawOf(p).water + 2 * side },
    }),
  },
  {
    input: 'decay',
    label: 'fall of the drop/oil tension',
    amount: () => '± 10 %',
    move: (p, side) => ({
      ...p,
      interface: { ...p.interface, decay: interfaceLawOf(p).decay * (1 + 0.1 * side) },
    }),
  },
  {
    input: 'evaporation',
    label: 'evaporation',
    amount: () => '± 30 %',
    move: (p, side) => {
      const key = EVAPORATION[p.air.mode]
      // A film coefficient that comes from an air speed is moved itself: it goes only as the root of the speed.
      const { speed_mPerS: speed, ...air } = p.air
      const film = speed === undefined ? undefined : problemOf(p).facts.air?.filmCoefficient
      const value = film === undefined ? p.air[key] : 1e3 * film
      // The flux through a layer goes as 1/δ.
      const factor = p.air.mode === 'layer' ? 1 / (1 + 0.3 * side) : 1 + 0.3 * side
      return { ...p, air: { ...air, [key]: value * factor } }
    },
  },
  {
    input: 'uptake',
    label: 'uptake by the oil',
    amount: (p) => byFactor(uptakeFactor(p)),
    move: (p, side) => {
      const solubility = problemOf(p).facts.uptake.solubility * uptakeFactor(p) ** side
      return { ...p, bath: { ...p.bath, solubility } }
    },
  },
  {
    input: 'volume',
    label: 'volume of the drop',
    amount: () => '± 5 %',
    move: (p, side) => ({ ...p, drop: { ...p.drop, volume_uL: p.drop.volume_uL * (1 + 0.05 * side) } }),
  },
]

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
  ends: { input: UncertainInput; values: number[] }[],
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
    input: UncertainInput | undefined
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

/** The threshold (mass fraction) with its reach; runs no life. NaN where nothing spreads. */
export function thresholdReach(preset: Preset): Reach {
  const critical = (p: Preset) => problemOf(p).facts.criticalMassFraction
  const ends = MOVERS.map(({ input, move }) => ({
    input,
    values: [critical(move(preset, -1)), critical(move(preset, 1))],
  }))
  return reachOf(critical(preset), ends, [0, 1])
}

/** The inputs of the assumed drop/oil curve. */
const OF_TENSION: readonly UncertainInput[] = ['waterTension', 'decay']

/** The same drop with the assumed drop/oil tension at the ends of what is known of it. */
export function tensionNeighbours(preset: Preset): Preset[] {
  const movers = MOVERS.filter(({ input }) => OF_TENSION.includes(input))
  return movers.flatMap(({ move }) => [move(preset, -1), move(preset, 1)])
}

/** How far they are moved, in words. */
export const TENSION_MOVES = 'of water ± 2 mN/m, fall ± 10 %'

/** What the assumed drop/oil tension alone does to the largest radius, m. */
export function tensionReach({ reach, shifts }: Band): Reach {
  const ends = shifts
    .filter(({ input }) => OF_TENSION.includes(input))
    .map(({ input, low, high }) => ({ input, values: [low.maxRadius, high.maxRadius] }))
  return reachOf(reach.maxRadius.central, ends, [0, Number.POSITIVE_INFINITY])
}

function reachesOf(preset: Preset, central: Quantities, shifts: Shift[]): Band['reach'] {
  const entries = NAMES.map((name) => {
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
