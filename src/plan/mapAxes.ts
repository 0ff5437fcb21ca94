/** Axes of a map: their values, what is wrong with them, and the part of a key's range that is of use. Pure. */
import { keyOf, type NumberKey } from '../life/keys.ts'
import type { Problem } from '../life/types.ts'
import { shownValue } from './figures.ts'

/** One axis: evenly spaced values of a number key, in powers if `logarithmic`. */
export interface MapAxis {
  key: string
  from: number
  to: number
  count: number
  logarithmic?: boolean
}

const MOST_POINTS = 401

/** Values from one end to the other. The same share of the way gives the same bits, whatever the count. */
export function valuesOf({ from, to, count, logarithmic }: MapAxis, integer: boolean): Float64Array {
  return Float64Array.from({ length: count }, (_, i) => {
    // The ends exactly: rounding must not carry them out of the permitted range.
    if (i === 0 || i === count - 1) return i === 0 ? from : to
    const share = i / (count - 1)
    const value = logarithmic ? from * (to / from) ** share : from + (to - from) * share
    return integer ? Math.round(value) : value
  })
}

/** What is wrong with an axis, told at `name`. */
export function axisProblems(name: 'x' | 'y', axis: MapAxis): Problem[] {
  const problems: Problem[] = []
  const add = (message: string) => problems.push({ where: name, message })
  const key = keyOf(axis.key)
  if (key?.kind !== 'number') {
    add(`${shownValue(axis.key)} is not a number of a preset; an axis needs one, e.g. drop.volume_uL.`)
    return problems
  }
  for (const end of ['from', 'to'] as const) {
    const value = axis[end]
    if (value >= key.min && value <= key.max) continue
    add(
      `${axis.key} ${end} ${shownValue(value)}. Permitted: ${key.min} to ${key.max}${key.unit && ` ${key.unit}`}.`,
    )
  }
  if (axis.from === axis.to) add(`${key.label}: the ends must differ.`)
  if (axis.logarithmic && !(axis.from > 0 && axis.to > 0))
    add(`${axis.key}: steps in powers need ends above 0.`)
  if (!Number.isInteger(axis.count) || axis.count < 2 || axis.count > MOST_POINTS) {
    add(
      `${axis.key} has ${shownValue(axis.count)} values. Permitted: whole numbers from 2 to ${MOST_POINTS}.`,
    )
  }
  return problems
}

/** Inputs whose range is better told in ratios. */
const inRatios = (key: NumberKey): boolean =>
  key.min > 0 && !key.integer && (key.logarithmic === true || key.max / key.min >= 30)

/** Ranges that are of use, where the permitted one is far wider. */
const USEFUL: Record<string, [number, number]> = {
  'drop.alcoholMassFraction': [0.2, 1],
  'drop.volume_uL': [1, 50],
  'drop.startRadius_mm': [1, 6],
  'drop.viscosity_mPas': [0.5, 20],
  'bath.depth_mm': [1, 30],
  'bath.dishRadius_mm': [20, 100],
  'bath.viscosity_mPas': [5, 1000],
  'bath.density_kgPerM3': [750, 1100],
  'bath.tension_mNperM': [20, 40],
  'bath.solubility': [0, 0.2],
  'bath.alcoholDiffusivity_m2PerS': [0, 1e-9],
  'air.constantRate_umPerS': [0, 2],
  'air.filmCoefficient_mmPerS': [0.5, 20],
  'air.speed_mPerS': [0.03, 3],
  'air.layer_mm': [1, 30],
  'interface.water_mNperM': [15, 40],
  'interface.end_mNperM': [0.5, 8],
  'interface.decay': [1, 6],
  'model.innerCells': [40, 160],
  'model.outerCells': [20, 80],
  'model.evaporationCutoff_nm': [2, 100],
  'model.gammaEff_mNperM': [1, 60],
  'model.dispersion_m2PerS': [1e-9, 1e-6],
  'model.horizon_s': [5, 600],
}

/** An axis over a range, with steps in powers where they suit the key and both ends are above 0. @param path a number key */
export function axisOver(path: string, from: number, to: number, count: number): MapAxis {
  const logarithmic = inRatios(keyOf(path) as NumberKey) && from > 0 && to > 0
  return { key: path, from, to, count, logarithmic }
}

/** An axis over the useful part of a key's range. @param path a number key */
export function axisFor(path: string, count: number): MapAxis {
  const key = keyOf(path) as NumberKey
  const [from, to] = USEFUL[path] ?? [key.min, key.max]
  return axisOver(path, from, to, count)
}
