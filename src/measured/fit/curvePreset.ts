/** The drop of a measured curve: the preset with what the curve states about itself. */
import { type Leaf, type PresetResult, setKeys } from '../../life/preset.ts'
import type { Preset } from '../../life/types.ts'
import { massFractionOfPercent } from '../../liquids/composition.ts'
import { mixtureNamed, oilNamed } from '../../liquids/own/resolve.ts'
import type { CurveMeta, MeasuredCurve } from '../types.ts'

/** Mass fraction of a stated strength; by volume it is meant as on a bottle (20 °C, OIML R 22). */
function massOf(
  { alcoholFraction, fractionBasis }: CurveMeta,
  alcohol: string,
  base: Preset,
): number | undefined {
  const mixture = mixtureNamed(alcohol, base.liquids)
  if (alcoholFraction === undefined || fractionBasis !== 'volume' || !mixture) return alcoholFraction
  if (alcoholFraction === 0 || alcoholFraction === 1) return alcoholFraction
  return massFractionOfPercent(mixture, 100 * alcoholFraction)
}

/** The keys that a curve can state. */
export const STATED = [
  'drop.alcohol',
  'drop.alcoholMassFraction',
  'drop.volume_uL',
  'bath.liquid',
  'bath.depth_mm',
  'air.temperature_C',
  'air.relativeHumidity',
] as const

/** Values that belong to the drop's own oil: they do not hold for another one. */
const OF_THE_OIL = [
  'bath.viscosity_mPas',
  'bath.density_kgPerM3',
  'bath.tension_mNperM',
  'bath.solubility',
  'bath.alcoholDiffusivity_m2PerS',
] as const

const isClosed = (base: Preset): boolean => base.drop.alcohol === 'reference'

/** Whether a stated oil is one that the drop can rest on. */
const knowsOil = (oil: string, base: Preset): boolean =>
  !isClosed(base) && oilNamed(oil, base.liquids) !== undefined

/**
 * What the curve says, as keys of a preset. With the reference liquids (closed forms) alcohol, oil and temperature are not
 * taken, nor humidity, on which nothing hangs there. Another oil comes with its own values.
 */
function statedKeys(meta: CurveMeta, base: Preset): [string, Leaf | null][] {
  const closed = isClosed(base)
  const named =
    meta.alcohol !== undefined && !closed && mixtureNamed(meta.alcohol, base.liquids) !== undefined
  const alcohol = named ? meta.alcohol! : base.drop.alcohol
  const oil = meta.oil !== undefined && knowsOil(meta.oil, base) ? meta.oil : undefined
  const values = [
    named ? alcohol : undefined,
    massOf(meta, alcohol, base),
    meta.volume_uL,
    oil,
    meta.depth_mm,
    closed ? undefined : meta.temperature_C,
    closed ? undefined : meta.relativeHumidity,
  ]
  const keys = STATED.map((path, i): [string, Leaf | undefined] => [path, values[i]])
  const stated = keys.filter((entry): entry is [string, Leaf] => entry[1] !== undefined)
  if (oil === undefined || oil === base.bath.liquid) return stated
  return [...OF_THE_OIL.map((path): [string, null] => [path, null]), ...stated]
}

/** What `statedPreset` cannot take over, in words without the name of the curve; '' if nothing. */
export function untaken({ alcohol, oil, temperature_C }: CurveMeta, base: Preset): string {
  const closed = isClosed(base)
  const told: string[] = []
  if (
    alcohol !== undefined &&
    base.drop.alcohol !== alcohol &&
    (closed || !mixtureNamed(alcohol, base.liquids))
  )
    told.push(`the alcohol “${alcohol.slice(0, 40)}” is not among the liquids; ${base.drop.alcohol} is used.`)
  if (oil !== undefined && base.bath.liquid !== oil && !knowsOil(oil, base))
    told.push(
      `the oil “${oil.slice(0, 40)}” is not ${closed ? 'that of the closed forms' : 'among the oils'}; ${base.bath.liquid} is used.`,
    )
  if (closed && temperature_C !== undefined && temperature_C !== base.air.temperature_C)
    told.push(`its temperature (${temperature_C} °C) means nothing to the closed-form liquids.`)
  return told.join(' ')
}

/** The same with the name of the curve. */
export function notTaken({ meta, name }: MeasuredCurve, base: Preset): string {
  const told = untaken(meta, base)
  return told && `${name}: ${told}`
}

/** The preset with what is stated; problems do not name the curve. */
export const statedPreset = (base: Preset, meta: CurveMeta): PresetResult =>
  setKeys(base, statedKeys(meta, base))

/**
 * The preset with the strength, volume, depth, temperature, humidity, alcohol and oil that the curve states; what it does
 * not state is as in `base`. Problems name the curve.
 */
export function curvePreset(base: Preset, curve: MeasuredCurve): PresetResult {
  const result = statedPreset(base, curve.meta)
  if (result.ok) return result
  const named = ({ where, message }: { where: string; message: string }) => ({
    where,
    message: `${curve.name}: ${message}`,
  })
  return { ok: false, problems: result.problems.map(named) }
}
