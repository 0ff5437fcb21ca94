/** Words for messages about what the user gave: values, names, places. */
import { distance } from 'fastest-levenshtein'

/** A value as it is shown in a message: short, strings in quotes. */
export function shown(value: unknown): string {
  if (value === undefined) return 'missing'
  if (typeof value === 'string') return JSON.stringify(value.length > 40 ? `${value.slice(0, 40)}…` : value)
  if (Array.isArray(value)) return 'a list'
  if (typeof value === 'object' && value !== null) return 'a group'
  return String(value)
}

/** "density_kgPerM3" → "density". */
const withoutUnit = (name: string): string => name.replace(/_[^.]*$/, '')

/** How many letters two names differ by, with or without their units. */
export function apart(a: string, b: string): number {
  const [one, other] = [a.toLowerCase(), b.toLowerCase()]
  return Math.min(distance(one, other), distance(withoutUnit(one), withoutUnit(other)) + 0.25)
}

/** The name with the least `cost`; undefined when that is over half of `length` letters. */
export function nearest(
  known: readonly string[],
  cost: (name: string) => number,
  length: number,
): string | undefined {
  const [best] = known.map((name) => ({ name, cost: cost(name) })).sort((a, b) => a.cost - b.cost)
  return best && best.cost <= Math.max(2, length / 2) ? best.name : undefined
}

/** " Did you mean density?", or '' when nothing is near. */
export function didYouMean(name: string, known: readonly string[]): string {
  const best = nearest(known, (other) => apart(other, name), name.length)
  return best === undefined ? '' : ` Did you mean ${best}?`
}

/** "0.5 to 100 µL". */
export const rangeWords = ({ min, max, unit }: { min: number; max: number; unit: string }): string =>
  `${min} to ${max}${unit && ` ${unit}`}`

/** A dotted path for reading: list places count from 1. "density.values_kgPerM3, number 3". */
export function pathWords(where: string): string {
  const parts = where.split('.')
  const numbers: string[] = []
  while (/^\d+$/.test(parts.at(-1) ?? '')) numbers.unshift(parts.pop()!)
  const [row, column] = numbers.map((n) => Number(n) + 1)
  const name = parts.join('.')
  if (row === undefined) return name
  return column === undefined ? `${name}, number ${row},` : `${name}, row ${row}, number ${column},`
}

export const isGroup = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value)
