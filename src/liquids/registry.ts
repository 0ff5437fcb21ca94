import { ethanol } from './ethanol.ts'
import { methanol } from './methanol.ts'
import { oilTable } from './oils.ts'
import { propanol1 } from './propanol1.ts'
import { propanol2 } from './propanol2.ts'
import type { Mixture, Oil } from './types.ts'

export { water } from './water.ts'

const byId = <T extends { id: string }>(items: readonly T[]): Record<string, T> =>
  Object.fromEntries(items.map((item) => [item.id, item]))

/** All mixtures by id. */
export const mixtures: Record<string, Mixture> = byId([ethanol, propanol2, propanol1, methanol])

/** All bath liquids by id. */
export const oils: Record<string, Oil> = byId(oilTable)

/** @throws RangeError naming the known ids if there is no such mixture. */
export const mixtureOf = (id: string): Mixture => pick(mixtures, id, 'alcohol')

/** @throws RangeError naming the known ids if there is no such oil. */
export const oilOf = (id: string): Oil => pick(oils, id, 'bath liquid')

function pick<T>(table: Record<string, T>, id: string, what: string): T {
  const found = Object.hasOwn(table, id) ? table[id] : undefined
  if (!found) throw new RangeError(`${what} "${id}" is not known; known are ${Object.keys(table).join(', ')}`)
  return found
}
