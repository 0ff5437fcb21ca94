/** The liquids that a preset names, the user's own among them. */
import { mixtureOf, mixtures, oilOf, oils } from '../registry.ts'
import { type Hazard, hazards } from '../safety.ts'
import type { Mixture, Oil } from '../types.ts'
import { buildMixture, buildOil } from './build.ts'
import { hazardOfOwn } from './hazard.ts'
import { OWN, type OwnLiquid, type OwnLiquids } from './types.ts'

/** What is needed of a preset. */
interface Named {
  drop: { alcohol: string }
  liquids?: OwnLiquids | undefined
}
interface NamedBath {
  bath: { liquid: string }
  liquids?: OwnLiquids | undefined
}

const built = new WeakMap<OwnLiquid, Mixture>()
const builtOils = new WeakMap<OwnLiquid, Oil>()

function once<T>(known: WeakMap<OwnLiquid, T>, liquid: OwnLiquid, make: (liquid: OwnLiquid) => T): T {
  const found = known.get(liquid) ?? make(liquid)
  known.set(liquid, found)
  return found
}

/** The mixture of a name, or undefined if it is neither in the library nor given. */
export function mixtureNamed(id: string, own: OwnLiquids | undefined): Mixture | undefined {
  if (id === OWN) return own?.mixture && once(built, own.mixture, buildMixture)
  return Object.hasOwn(mixtures, id) ? mixtures[id] : undefined
}

/** The oil of a name, or undefined if it is neither in the library nor given. */
export function oilNamed(id: string, own: OwnLiquids | undefined): Oil | undefined {
  if (id === OWN) return own?.oil && once(builtOils, own.oil, buildOil)
  return Object.hasOwn(oils, id) ? oils[id] : undefined
}

/** The mixture of a preset. @throws RangeError if it names none, as the closed forms do. */
export const mixtureFor = ({ drop, liquids }: Named): Mixture =>
  mixtureNamed(drop.alcohol, liquids) ?? mixtureOf(drop.alcohol)

/** The oil of a preset. @throws RangeError if it names none, as the closed forms do. */
export const oilFor = ({ bath, liquids }: NamedBath): Oil =>
  oilNamed(bath.liquid, liquids) ?? oilOf(bath.liquid)

/** What can hurt about an alcohol; undefined where nothing is known of it. */
export function hazardNamed(id: string, own: OwnLiquids | undefined): Hazard | undefined {
  if (id === OWN) return own?.mixture && hazardOfOwn(own.mixture)
  return Object.hasOwn(hazards, id) ? hazards[id] : undefined
}
