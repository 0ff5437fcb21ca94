/** Chances of what becomes of a drop, in words. Pure. */
import type { OutcomeName } from '../life/types.ts'
import type { Chance, Sureness } from './sureness.ts'

/** Said of several drops. */
const THEY: Record<OutcomeName, string> = {
  lens: 'stay lenses',
  spreads: 'are still spread at the end',
  recedes: 'draw back',
  sheds: 'shed child drops',
  dries: 'dry where they lie',
  'reaches-wall': 'reach the wall',
  failed: 'could not be followed',
}

/** "93 of 100"; what is neither none nor all never looks so. */
export function inHundred({ count, of }: Pick<Chance, 'count' | 'of'>): string {
  const share = Math.round((100 * count) / of)
  if (share === 0 && count > 0) return 'fewer than 1 of 100'
  if (share === 100 && count < of) return 'more than 99 of 100'
  return `${share} of 100`
}

const chanceOf = ({ chances, lives }: Sureness, outcome: OutcomeName): Chance =>
  chances.find((one) => one.outcome === outcome) ?? { outcome, count: 0, of: lives, low: 0, high: 0 }

/** An outcome whose chance may be as large as this (by so few lives) is as good as certain; the others are told beside the reason. */
const NEARLY_ALL = 0.96

/**
 * "As far as its inputs are known, 93 of 100 such drops shed child drops."; where another outcome is the likelier one, that too.
 * '' where nearly all drawn drops do the same as the stated one.
 */
export function chanceSentence(sure: Sureness | undefined, outcome: OutcomeName): string {
  if (!sure || sure.lives === 0) return ''
  const own = chanceOf(sure, outcome)
  if (own.count === own.of || own.high > NEARLY_ALL) return ''
  const [likely] = sure.chances
  const other =
    likely && likely.outcome !== outcome && likely.count > own.count
      ? `, and ${inHundred(likely)} ${THEY[likely.outcome]}`
      : ''
  return `As far as its inputs are known, ${inHundred(own)} such drops ${THEY[outcome]}${other}.`
}

/** "93 of 100 (88 to 96) shed child drops; 7 of 100 (4 to 12) draw back": each with the range of the chance itself. */
export const chanceList = ({ chances }: Sureness): string =>
  chances
    .map((one) => {
      const [low, high] = [one.low, one.high].map((part) => Math.round(100 * part))
      return `${inHundred(one)} (${low} to ${high}) ${THEY[one.outcome]}`
    })
    .join('; ')
