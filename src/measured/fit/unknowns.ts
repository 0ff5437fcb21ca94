/** What can be fitted: keys of the preset, how they are scaled, where they start. */
import { keyOf, type NumberKey } from '../../life/keys.ts'
import { getKey } from '../../life/preset.ts'
import { problemOf } from '../../life/problemOf.ts'
import type { LiquidFacts, Preset } from '../../life/types.ts'
import { START_TIME } from './types.ts'

/** Preset keys that can be fitted, the usual ones first. */
export const FITTABLE = [
  'bath.solubility',
  'air.constantRate_umPerS',
  'air.filmCoefficient_mmPerS',
  'air.speed_mPerS',
  'air.enhancement',
  'air.layer_mm',
  'bath.viscosity_mPas',
  'interface.water_mNperM',
  'interface.end_mNperM',
  'interface.decay',
  'bath.depth_mm',
  'drop.volume_uL',
  'drop.startRadius_mm',
  'drop.alcoholMassFraction',
] as const

/** Keys of the evaporation, of which a drop uses one. */
const EVAPORATION: readonly string[] = FITTABLE.filter((path) => path.startsWith('air.'))

/** The key by which the evaporation of this drop can be moved. */
export function evaporationKey({ air }: Preset): string {
  if (air.mode === 'constant') return 'air.constantRate_umPerS'
  if (air.mode === 'still') return 'air.enhancement'
  if (air.mode === 'layer') return 'air.layer_mm'
  return air.speed_mPerS === undefined ? 'air.filmCoefficient_mmPerS' : 'air.speed_mPerS'
}

/** The unknowns that say something of this drop, `startTime` last. */
export const unknownsOf = (preset: Preset): string[] => [
  ...FITTABLE.filter((path) => whyNotFitted(path, preset) === ''),
  START_TIME,
]

/** Why a path cannot be fitted with this drop; '' if it can. */
export function whyNotFitted(path: string, preset: Preset): string {
  if (path === START_TIME) return ''
  if (!(FITTABLE as readonly string[]).includes(path)) {
    return `${JSON.stringify(path.slice(0, 60))} cannot be fitted. Permitted: ${[...FITTABLE, START_TIME].join(', ')}.`
  }
  if (path === 'bath.solubility' && !(presentValue(preset, path) > 0)) {
    return `${path} is 0 with this drop: its oil takes up nothing. Give it a value above 0 to fit it.`
  }
  const used = evaporationKey(preset)
  if (!EVAPORATION.includes(path) || path === used) return ''
  const { mode, speed_mPerS } = preset.air
  const speed = speed_mPerS === undefined ? '' : ' and an air speed'
  return `${path} has no effect with air.mode "${mode}"${mode === 'moving' ? speed : ''}; the unknown of its evaporation is ${used}.`
}

/** How an unknown is told to the fitter. */
export interface Scaling {
  /** Logarithm of the value (values of either size matter alike) or the value itself. */
  logarithmic: boolean
  lower: number
  upper: number
  /** Change of a value on a linear scale that counts as one. */
  unit: number
}

/** Where the key's range begins at 0 a logarithmic unknown ends at this part of its top. */
const LEAST_PART = 1e-5

/** Strength alone is fitted as it is: its effect hangs on how far it is from the threshold, not on its logarithm. */
export function scalingOf(path: string): Scaling {
  const { min, max } = keyOf(path) as NumberKey
  if (path === 'drop.alcoholMassFraction') return { logarithmic: false, lower: min, upper: max, unit: 0.5 }
  return { logarithmic: true, lower: min > 0 ? min : LEAST_PART * max, upper: max, unit: 1 }
}

/** Constants of the drop/oil curve end + (water − end) e^(−k w), mN/m, read off the curve itself (equidistant points). */
function interfaceOf({ curve }: LiquidFacts): Record<'water' | 'end' | 'decay', number> {
  const { gammaI, w } = curve
  const last = w.length - 1
  const [first, half, end] = [gammaI[0]!, gammaI[last / 2]!, gammaI[last]!]
  const ratio = (half - end) / (first - half)
  const fall = (first - half) / (1 - ratio)
  return { water: 1e3 * first, end: 1e3 * (first - fall), decay: (-2 * Math.log(ratio)) / w[last]! }
}

/** The value that a drop has, its own or that of the liquids, in the unit of the key. */
export function presentValue(preset: Preset, path: string): number {
  const own = getKey(preset, path)
  if (typeof own === 'number') return own
  const { facts } = problemOf(preset)
  if (path === 'bath.viscosity_mPas') return 1e3 * facts.oilViscosity
  if (path === 'bath.solubility') return facts.uptake.solubility
  const law = interfaceOf(facts)
  if (path === 'interface.water_mNperM') return law.water
  if (path === 'interface.end_mNperM') return law.end
  return path === 'interface.decay' ? law.decay : Number.NaN
}
