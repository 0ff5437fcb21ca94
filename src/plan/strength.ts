/** Strengths of alcohol–water mixtures: by mass, by volume at 20 °C, by mole. Pure. */

import type { Problem } from '../life/types.ts'
import { massFraction, massFractionOfPercent, moleFraction, percentByVolume } from '../liquids/composition.ts'
import type { Mixture } from '../liquids/types.ts'
import { typedNumber } from '../numerics/typedNumber.ts'
import { figure, shownValue } from './figures.ts'

/** A strength as it is given. 'volume' is in % at 20 °C as on a bottle (0–100), the others are fractions (0–1). */
export interface Strength {
  by: 'mass' | 'volume' | 'mole'
  value: number
}

/** One strength in all its measures. */
export interface Strengths {
  /** Alcohol mass fraction, 0–1. */
  mass: number
  /** % by volume at 20 °C, 0–100: volume of the pure alcohol over that of the mixture (OIML R 22). */
  percent: number
  /** Alcohol mole fraction, 0–1. */
  mole: number
}

export type StrengthResult = { ok: true; strength: Strengths } | { ok: false; problems: Problem[] }

/** All measures of a mass fraction w (0–1). */
export const strengthsOfMass = (mixture: Mixture, w: number): Strengths => ({
  mass: w,
  percent: percentByVolume(mixture, w),
  mole: moleFraction(mixture.molarMass, w),
})

const NAMES = { mass: '% by mass', volume: '% by volume', mole: '% by mole' }

const WHOSE: Record<string, string> = {
  stock: 'The strength of the stock',
  want: 'The wanted strength',
  have: 'The strength that is there',
}
const whose = (where: string): string => WHOSE[where] ?? `The strength (${where})`

/** Converts a strength; `where` names it in the message if it is not a strength at all. */
export function strengthsOf(mixture: Mixture, { by, value }: Strength, where: string): StrengthResult {
  const top = by === 'volume' ? 100 : 1
  if (!(value >= 0 && value <= top)) {
    const hint = value > 1 && value <= 100 ? '; a percentage by mass is written like 50%w' : ''
    const percent = shownValue(by === 'volume' ? value : Number((100 * value).toPrecision(12)))
    const fraction = by === 'volume' ? '' : `, a fraction of 0 to 1`
    const message = `${whose(where)} is ${percent} ${NAMES[by]}. Permitted: 0 to 100 %${fraction}${hint}.`
    return { ok: false, problems: [{ where, message }] }
  }
  return { ok: true, strength: strengthsOfMass(mixture, massOf(mixture, by, value)) }
}

function massOf(mixture: Mixture, by: Strength['by'], value: number): number {
  if (by === 'mass') return value
  if (by === 'mole') return massFraction(mixture.molarMass, value)
  if (value === 0 || value === 100) return value / 100
  return massFractionOfPercent(mixture, value)
}

export type StrengthText = { ok: true; strength: Strength } | { ok: false; problems: Problem[] }

const UNITS: Record<string, (n: number) => Strength> = {
  '%vol': (value) => ({ by: 'volume', value }),
  '%w': (n) => ({ by: 'mass', value: n / 100 }),
  w: (value) => ({ by: 'mass', value }),
  x: (value) => ({ by: 'mole', value }),
}

/** How a strength is written. */
export const STRENGTH_FORMS = '96%vol (by volume, as on the bottle), 50%w or 0.5w (by mass), 0.28x (by mole)'

/**
 * Reads a strength with its measure: "96%vol", "50%w", "0.5w", "0.28x"; blanks do not matter. A number without a
 * measure is refused, never guessed. The size of the number is checked by strengthsOf.
 */
export function readStrength(text: string, where: string): StrengthText {
  const refuse = (why: string): StrengthText => ({
    ok: false,
    problems: [{ where, message: `${whose(where)} is ${shownValue(text)}: ${why}` }],
  })
  const parts = /^([+\u2212\u2013-]?(?:\d+\.?\d*|\.\d+|nan))(%vol|%w|w|x|%|)$/i.exec(
    text.replace(/[\s\u00a0]/g, ''),
  )
  if (!parts) {
    const comma = /^\s*\d+,\d+/.test(text) ? 'write it with a decimal point. ' : ''
    return refuse(`${comma}A strength is written as ${STRENGTH_FORMS}.`)
  }
  const [, digits, unit] = parts as unknown as [string, string, string]
  const make = UNITS[unit.toLowerCase()]
  if (!make) return refuse(`by mass or by volume? Write ${STRENGTH_FORMS}.`)
  return { ok: true, strength: make(typedNumber(digits)) }
}

/** "50.0 % by mass = 57.9 % by volume (20 °C) = 28.1 % by mole". */
export const strengthWords = ({ mass, percent, mole }: Strengths): string =>
  `${figure(100 * mass)} % by mass = ${figure(percent)} % by volume (20 °C) = ${figure(100 * mole)} % by mole`
