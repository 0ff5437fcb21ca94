/**
 * The one table of preset keys. Validation, `--set`, the page's controls and the documentation
 * are all made from it: a key exists in a file of `keys/` or nowhere.
 */
import { AIR } from './keys/air.ts'
import { BATH, INTERFACE } from './keys/bath.ts'
import { DROP, RING } from './keys/drop.ts'
import type { Key } from './keys/kinds.ts'
import { MECHANISMS } from './keys/mechanisms.ts'
import { MODEL } from './keys/model.ts'

export type { ChoiceKey, Key, NumberKey, SwitchKey } from './keys/kinds.ts'

export const KEYS: readonly Key[] = [...DROP, ...BATH, ...AIR, ...RING, ...INTERFACE, ...MODEL, ...MECHANISMS]

const byPath = new Map(KEYS.map((key) => [key.path, key]))

/** The key of a dotted path, or undefined. */
export const keyOf = (path: string): Key | undefined => byPath.get(path)
