/** Known keys of a preset and the one nearest to a misspelt one. */
import { distance } from 'fastest-levenshtein'
import { KEYS } from './keys.ts'

/** Texts of a preset that are not in the table of keys. */
export const TEXT_LIMITS = { title: 200, note: 2000 } as const
export type TextPath = keyof typeof TEXT_LIMITS

export const isTextPath = (path: string): path is TextPath => Object.hasOwn(TEXT_LIMITS, path)

const leafOf = (path: string): string => path.slice(path.lastIndexOf('.') + 1)
const withoutUnit = (path: string): string => path.replace(/_[^.]*$/, '')
const paths = KEYS.map((key) => key.path)
const groups = new Set(paths.map((path) => path.slice(0, path.indexOf('.'))))
const known: readonly string[] = [...paths, ...groups, 'title', 'note', 'format', 'version', 'liquids']

/** The known key nearest to `path` by spelling, or undefined when nothing is near (over half the letters differ). */
export function nearestKey(path: string): string | undefined {
  const wanted = path.toLowerCase()
  const leaf = leafOf(wanted)
  const cost = (candidate: string): number => {
    const lower = candidate.toLowerCase()
    return Math.min(
      distance(lower, wanted),
      distance(withoutUnit(lower), withoutUnit(wanted)) + 0.25,
      distance(leafOf(lower), leaf) + 0.5,
      distance(withoutUnit(leafOf(lower)), withoutUnit(leaf)) + 0.75,
    )
  }
  const [best] = known
    .map((candidate) => ({ candidate, cost: cost(candidate) }))
    .sort((a, b) => a.cost - b.cost)
  return best && best.cost <= Math.max(2, leaf.length / 2) ? best.candidate : undefined
}
