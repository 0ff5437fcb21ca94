/** The drop of a measured curve: the preset with what the curve states about itself. */
import { type Leaf, type PresetResult, setKeys } from '../../life/preset.ts'
import type { Preset } from '../../life/types.ts'
import { massFractionOfPercent } from '../../liquids/composition.ts'
import { mixtureNamed } from '../../liquids/own/resolve.ts'
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
  'bath.depth_mm',
  'air.temperature_C',
] as const

/** What the curve says, as keys of a preset. With the reference liquids (closed forms) neither alcohol nor temperature is taken. */
function statedKeys(meta: CurveMeta, base: Preset): [string, Leaf][] {
  const closed = base.drop.alcohol === 'reference'
  const named =
    meta.alcohol !== undefined && !closed && mixtureNamed(meta.alcohol, base.liquids) !== undefined
  const alcohol = named ? meta.alcohol! : base.drop.alcohol
  const values = [
    named ? alcohol : undefined,
    massOf(meta, alcohol, base),
    meta.volume_uL,
    meta.depth_mm,
    closed ? undefined : meta.temperature_C,
  ]
  const keys = STATED.map((path, i): [string, Leaf | undefined] => [path, values[i]])
  return keys.filter((entry): entry is [string, Leaf] => entry[1] !== undefined)
}

/** What `statedPreset` cannot take over, in words without the name of the curve; '' if nothing. */
export function untaken({ alcohol }: CurveMeta, base: Preset): string {
  if (alcohol === undefined || base.drop.alcohol === alcohol) return ''
  if (base.drop.alcohol !== 'reference' && mixtureNamed(alcohol, base.liquids)) return ''
  return `the alcohol “${alcohol.slice(0, 40)}” is not among the liquids; ${base.drop.alcohol} is used.`
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
 * The preset with the strength, volume, depth, temperature and alcohol that the curve states; what it does not state
 * is as in `base`. Problems name the curve.
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
