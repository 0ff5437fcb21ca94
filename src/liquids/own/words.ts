/** Words for messages about a user's liquid. */
import { distance } from 'fastest-levenshtein'

/** A value as it is shown in a message: short, strings in quotes. */
export function shown(value: unknown): string {
  if (value === undefined) return 'missing'
  if (typeof value === 'string') return JSON.stringify(value.length > 40 ? `${value.slice(0, 40)}…` : value)
  if (Array.isArray(value)) return 'a list'
  if (typeof value === 'object' && value !== null) return 'a group'
  return String(value)
}

/** " Did you mean density?", or '' when nothing is near (over half the letters differ). */
export function didYouMean(name: string, known: readonly string[]): string {
  const lower = name.toLowerCase()
  const bare = (text: string) => text.replace(/_.*$/, '')
  const cost = (candidate: string) => {
    const other = candidate.toLowerCase()
    return Math.min(distance(other, lower), distance(bare(other), bare(lower)) + 0.25)
  }
  const [best] = known
    .map((candidate) => ({ candidate, cost: cost(candidate) }))
    .sort((a, b) => a.cost - b.cost)
  return best && best.cost <= Math.max(2, name.length / 2) ? ` Did you mean ${best.candidate}?` : ''
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
