/** The table of preset keys as text. */
import { KEYS, type Key } from '../life/keys.ts'
import { permitted } from '../life/preset.ts'

const line = (key: Key): string => {
  const fallback = key.fallback === null ? 'not set' : String(key.fallback)
  return `${key.path}\n    ${key.help}\n    ${permitted(key)}; default ${fallback}`
}

/** Every key with what it means, what is permitted and its default. */
export const keysText = (): string => `${KEYS.map(line).join('\n')}\n`
