/** A choice of drops in words: drops, errors, what to beware of. */
import { type ChoiceKey, keyOf } from '../../life/keys.ts'
import type { Leaf } from '../../life/preset.ts'
import type { Preset } from '../../life/types.ts'
import { figure, given, withError } from '../figures.ts'
import type { Choice, ChooseWish, Measuring, Unknown, Varied } from './types.ts'

/** Correlation from which on two unknowns cannot be told apart. */
const TOO_ALIKE = 0.95
/** Part of what was known beforehand above which drops have told next to nothing. */
const NOTHING_TOLD = 0.9

/** Value of one input as an experimenter says it. */
function valueWords(key: string, value: Leaf, { drop }: Preset): string {
  const number = (factor = 1) => given(Number((factor * Number(value)).toPrecision(4)))
  if (key === 'drop.alcoholMassFraction')
    return `${number(100)} % by ${drop.alcohol === 'reference' ? 'volume' : 'mass'}`
  if (key === 'drop.volume_uL') return `${number()} µL`
  if (key === 'bath.depth_mm') return `bath ${number()} mm deep`
  if (key === 'air.temperature_C') return `${number()} °C`
  const options = (keyOf(key) as ChoiceKey).options
  return options.find((option) => option.value === value)?.label ?? String(value)
}

/** "60 % by mass, 10 µL, bath 5 mm deep" */
export const dropWords = (vary: readonly Varied[], values: readonly Leaf[], preset: Preset): string =>
  vary.map(({ key }, j) => valueWords(key, values[j]!, preset)).join(', ')

/** Heads of the columns of what varies. */
const HEADS: Readonly<Record<string, readonly [string, string]>> = {
  'drop.alcoholMassFraction': ['Strength', '% by mass'],
  'drop.volume_uL': ['Volume', 'µL'],
  'bath.depth_mm': ['Depth', 'mm'],
  'bath.liquid': ['Oil', ''],
  'air.temperature_C': ['Temperature', '°C'],
}

export function headOf(key: string, { drop }: Preset): { label: string; unit: string } {
  const [label, unit] = HEADS[key] ?? [key, '']
  const byVolume = unit === '% by mass' && drop.alcohol === 'reference'
  return { label, unit: byVolume ? '% by volume' : unit }
}

/** Value of one input in its column. */
export function cellOf(key: string, value: Leaf, preset: Preset): string {
  if (key === 'bath.liquid') return valueWords(key, value, preset)
  const factor = key === 'drop.alcoholMassFraction' ? 100 : 1
  return given(Number((factor * Number(value)).toPrecision(4)))
}

/** An unknown with its expected error (share of its value): "50 ± 3 mPa·s". */
export const expectedWords = ({ value, unit }: Unknown, share: number): string =>
  withError(value, share * value, unit)

const percent = (share: number): string => `${figure(100 * share, 2)} %`

/** How radii are measured, in a sentence. */
export function measuringWords({ points, longest, noise, scale, contact, volume }: Measuring): string {
  const parts = [
    `each radius ± ${figure(noise, 2)} mm`,
    ...(scale > 0 ? [`the scale of each drop ± ${percent(scale)}`] : []),
    ...(contact > 0 ? [`the contact ± ${figure(contact, 2)} s`] : []),
    ...(volume > 0 ? [`each volume ± ${percent(volume)}`] : []),
  ]
  return `${points} radii of each drop over 95 % of its life (at most ${given(longest)} s): ${parts.join(', ')} (1 σ).`
}

type Known = Omit<Choice, 'warnings' | 'notes'>

/** What is to be feared of a choice. */
export function warningsOf({ unknowns, correlation, errors, seen, drops }: Known): string[] {
  const k = unknowns.length
  const warnings: string[] = []
  unknowns.forEach((one, a) => {
    const { middle } = errors[a]!
    if (middle > (NOTHING_TOLD * one.sigma) / one.value)
      warnings.push(
        `${one.label}: known to ± ${percent(one.sigma / one.value)} beforehand, to ± ${percent(middle)} with these drops. They tell next to nothing of it.`,
      )
    unknowns.slice(a + 1).forEach((other, i) => {
      const rho = correlation[a * k + a + 1 + i]!
      if (Math.abs(rho) > TOO_ALIKE)
        warnings.push(
          `${one.label} and ${other.label} cannot be told apart (correlation ${figure(rho, 3)}): vary something else too, or state what is known of one of them.`,
        )
    })
  })
  const dumb = drops.filter(({ candidate }) => seen[candidate]!.remark !== '').length
  if (dumb > 0)
    warnings.push(
      `${dumb === 1 ? 'One of the chosen drops tells' : `${dumb} of the chosen drops tell`} nothing at some values of the unknowns.`,
    )
  return warnings
}

/** What is good to know: what was taken, left out, presupposed. */
export function cautionsOf({ preset, vary }: ChooseWish, known: Known, why: string): string[] {
  const { seen, combinations, forbidden, unknowns } = known
  const notes: string[] = []
  const taken = unknowns.filter(({ stated }) => !stated)
  if (taken.length > 0)
    notes.push(
      `Taken as known beforehand, since nothing is stated: ${taken.map(({ label, value, sigma, unit }) => `${label} ${withError(value, sigma, unit)}`).join('; ')}.`,
    )
  if (seen.length + forbidden < combinations)
    notes.push(`Of ${combinations} combinations ${seen.length}, evenly spread, were looked at.`)
  if (forbidden > 0) notes.push(`${forbidden} combinations are not permitted. ${why}`.trim())
  const dumb = seen.filter(({ remark }) => remark !== '')
  if (dumb.length > 0)
    notes.push(
      `${dumb.length} of ${seen.length} kinds of drops tell nothing, or not everywhere. ${dropWords(vary, dumb[0]!.values, preset)}: ${dumb[0]!.remark}`,
    )
  const lenses = seen.filter(({ outcome }) => outcome === 'lens').length
  if (lenses > 0)
    notes.push(`${lenses} of ${seen.length} kinds of drops stay a lens; they tell what a resting lens tells.`)
  if (vary.some(({ key, values }) => key === 'air.temperature_C' && values.length > 1)) {
    notes.push(
      'Temperature: warm bath and room well before; no flame, no hot plate beside the alcohol. Local rules come first.',
    )
    const oil = unknowns.filter(({ path }) => path.startsWith('bath.') || path.startsWith('interface.'))
    if (oil.length > 0)
      notes.push(`${oil.map(({ label }) => label).join(', ')}: one value is taken for all temperatures.`)
  }
  notes.push('Scale errors count as each drop’s own. With one scale for all drops the errors are larger.')
  return notes
}
