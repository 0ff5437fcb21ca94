/** What a sensitivity runs over: the uncertain inputs with their widths, or inputs with ranges and widths of their own. */

import { keyOf, type NumberKey } from '../life/keys.ts'
import { getKey, setKey } from '../life/preset.ts'
import type { Preset, Problem } from '../life/types.ts'
import { figure, given } from './figures.ts'
import { deviations } from './samplePoints.ts'
import { spreadsOf, UNCERTAIN, type UncertainId, uncertainOf } from './uncertain.ts'

/** An input of a sensitivity. */
export interface Varied {
  /** Name in plans and column heads. */
  id: string
  label: string
  /** Its width or range in words. */
  amount: string
  /** Where that comes from. */
  basis: string
  /** The drop with this input where a part `u` (0–1) of its distribution lies below. @throws Error where no drop can have it */
  at(preset: Preset, u: number): Preset
}

/** Own numbers of a plan: a half-width (one standard deviation), or a range in which every value is as likely. */
export type OwnWidth = { width: number } | { from: number; to: number }

export interface Variation {
  inputs: Varied[]
  left: { id: string; label: string; reason: string }[]
}

export type VariationResult = ({ ok: true } & Variation) | { ok: false; problems: Problem[] }

/** Fewer inputs make no question, more no sequence. */
const MOST_INPUTS = 40

/** Key of a dotted path with a number, and its value in the preset; the default of the liquids is no number of the preset. */
function numberOf(preset: Preset, path: string): { key: NumberKey; value: number | undefined } | undefined {
  const key = keyOf(path)
  if (key?.kind !== 'number') return undefined
  const value = getKey(preset, path)
  return { key, value: typeof value === 'number' ? value : undefined }
}

const withUnit = (text: string, unit: string): string => (unit ? `${text} ${unit}` : text)

function placed(preset: Preset, path: string, value: number): Preset {
  const made = setKey(preset, path, value)
  if (made.ok) return made.preset
  throw new Error(made.problems.map(({ message }) => message).join(' '))
}

/** One input of the table with a width of its own. */
function ofTable(preset: Preset, id: UncertainId, width: number): Varied {
  const input = uncertainOf(id)!
  return {
    id,
    label: input.label,
    amount: input.amount(width),
    basis: width === input.width(preset) ? input.basis(preset) : 'the plan',
    at: (p, u) => input.moved(p, deviations([u])[0]!, width),
  }
}

function ofKey(preset: Preset, path: string, own: OwnWidth): Varied | string {
  const { key, value } = numberOf(preset, path)!
  const { min, max, unit } = key
  const range = withUnit(`${given(min)} to ${given(max)}`, unit)
  const base = { id: path, label: key.label.toLowerCase(), basis: 'the plan' }
  if ('width' in own) {
    if (value === undefined) return `this preset gives no number for it: write "from" and "to" (${range})`
    return {
      ...base,
      amount: withUnit(`± ${figure(own.width, 2)}`, unit),
      at: (p, u) => placed(p, path, Math.min(max, Math.max(min, value + own.width * deviations([u])[0]!))),
    }
  }
  const { from, to } = own
  if (!(from >= min && to <= max)) return `"from" and "to" leave the range. Permitted: ${range}`
  return {
    ...base,
    amount: `${withUnit(`${given(from)} to ${given(to)}`, unit)}, evenly`,
    at: (p, u) => placed(p, path, from + u * (to - from)),
  }
}

/** What is wrong with an own width of the table's inputs; '' if nothing. */
function tableTrouble(id: UncertainId, own: OwnWidth): string {
  const { distribution } = uncertainOf(id)!
  if (!('width' in own))
    return 'an input of the table takes "width"; "from" and "to" go with the key of an input, as "drop.volume_uL"'
  if (distribution === 'log-normal' && own.width < 1)
    return 'its width is a factor. Permitted: 1 or more (1 holds it fixed)'
  return ''
}

/** All uncertain inputs that act on a drop. */
export function usualVariation(preset: Preset): Variation {
  const { acting, left } = spreadsOf(preset)
  return { inputs: acting.map(({ input, width }) => ofTable(preset, input.id, width)), left }
}

/** All uncertain inputs that act on a drop, or those that a plan names with their widths and ranges. */
export function variationOf(
  preset: Preset,
  own?: Readonly<Record<string, OwnWidth | true>>,
): VariationResult {
  if (!own) return { ok: true, ...usualVariation(preset) }
  const problems: Problem[] = []
  const keys: Varied[] = []
  const widths: Partial<Record<UncertainId, number>> = {}
  const only: UncertainId[] = []
  for (const [name, asked] of Object.entries(own)) {
    const complain = (message: string) =>
      problems.push({ where: `inputs.${name}`, message: `Input ${name}: ${message}.` })
    const input = uncertainOf(name)
    if (input) {
      const trouble = asked === true ? '' : tableTrouble(input.id, asked)
      if (trouble) complain(trouble)
      only.push(input.id)
      if (asked !== true && 'width' in asked) widths[input.id] = asked.width
    } else if (!numberOf(preset, name)) {
      const names = UNCERTAIN.map(({ id }) => id).join(', ')
      complain(`there is no such input. There are: ${names}; and every key with a number, as drop.volume_uL`)
    } else if (asked === true) complain('the table has no width for it: give one, or "from" and "to"')
    else {
      const made = ofKey(preset, name, asked)
      if (typeof made === 'string') complain(made)
      else keys.push(made)
    }
  }
  if (problems.length > 0) return { ok: false, problems }
  const { acting, left } = spreadsOf(preset, { widths, only })
  // Values of keys first: what the table moves starts from them.
  const inputs = [...keys, ...acting.map(({ input, width }) => ofTable(preset, input.id, width))]
  if (inputs.length === 0 || inputs.length > MOST_INPUTS)
    return {
      ok: false,
      problems: [
        { where: 'inputs', message: `${inputs.length} inputs that act. Permitted: 1 to ${MOST_INPUTS}.` },
      ],
    }
  return { ok: true, inputs, left: left.filter(({ reason }) => reason !== 'not asked for') }
}
