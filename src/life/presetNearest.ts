/** Known keys of a preset and the one nearest to a misspelt one. */
import { apart, nearest } from '../liquids/own/messageWords.ts'
import { KEYS } from './keys.ts'

/** Texts of a preset that are not in the table of keys. */
export const TEXT_LIMITS = { title: 200, note: 2000 } as const
export type TextPath = keyof typeof TEXT_LIMITS

export const isTextPath = (path: string): path is TextPath => Object.hasOwn(TEXT_LIMITS, path)

const leafOf = (path: string): string => path.slice(path.lastIndexOf('.') + 1)
const paths = KEYS.map((key) => key.path)
const groups = new Set(paths.map((path) => path.slice(0, path.indexOf('.'))))
const known: readonly string[] = [...paths, ...groups, 'title', 'note', 'format', 'version', 'liquids']

/** The known key nearest to `path` by spelling, whole or in its last part; undefined when nothing is near. */
export function nearestKey(path: string): string | undefined {
  const leaf = leafOf(path)
  const cost = (other: string) => Math.min(apart(other, path), apart(leafOf(other), leaf) + 0.5)
  return nearest(known, cost, leaf.length)
}
