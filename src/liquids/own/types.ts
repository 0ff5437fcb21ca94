/** Liquids that the user gives: an alcohol–water pair or an oil, as it stands in a preset or a liquid file. */
import type { Quality } from '../types.ts'

/** One quantity as it is given; the keys carry the unit (see rules.ts). Checked by check.ts. */
export interface OwnQuantity {
  source: string
  quality: Quality
  range?: string
  [key: string]: string | number | number[] | number[][] | undefined
}

/** A liquid as it is given: words, and quantities by name. What is left out comes from the library liquid `like`. */
export interface OwnLiquid {
  name: string
  like: string
  note?: string
  safetyNote?: string
  [quantity: string]: string | OwnQuantity | undefined
}

/** The user's liquids of one preset. */
export interface OwnLiquids {
  mixture?: OwnLiquid
  oil?: OwnLiquid
}

export type OwnKind = 'mixture' | 'oil'

/** Name of the choice that stands for the user's liquid. */
export const OWN = 'own'

/** What is wrong with a value: its dotted path (numbers count from 0) and a message that tells what would be right. */
export interface OwnProblem {
  where: string
  message: string
}
