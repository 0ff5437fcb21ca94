/** A user's liquid → the functions that everything else uses. What is left out comes from the library liquid `like`. */
import { antoinePressure } from '../antoine.ts'
import { mixtureOf, oilOf } from '../registry.ts'
import type { Mixture, Oil } from '../types.ts'
import { vanLaar } from '../vanLaar.ts'
import { notesOf, strongestOf, temperatureRangeOf } from './notes.ts'
import { type Surface, surfaceOf } from './quantity.ts'
import { RULES, valueKey } from './rules.ts'
import { OWN, type OwnKind, type OwnLiquid, type OwnQuantity } from './types.ts'

const ruleOf = (kind: OwnKind, name: string) => RULES[kind].find((rule) => rule.name === name)!

/** The quantity of a liquid: as given, else that of the library. */
function quantity(
  kind: OwnKind,
  liquid: OwnLiquid,
  name: string,
  base: Surface,
  startsAtWater = false,
): Surface {
  const given = liquid[name] as OwnQuantity | undefined
  return given ? surfaceOf(given, ruleOf(kind, name), base, startsAtWater) : base
}

function activityOf(liquid: OwnLiquid, base: Mixture): Mixture['activity'] {
  const given = liquid.activity as OwnQuantity | undefined
  if (!given) return base.activity
  if (given.model === 'ideal') return () => [1, 1]
  const constants = { A: given.vanLaarA as number, B: given.vanLaarB as number }
  return (x) => vanLaar(constants, x)
}

function pressureOf(liquid: OwnLiquid, base: Mixture): Mixture['vapourPressure'] {
  const given = liquid.vapourPressure as OwnQuantity | undefined
  if (!given) return base.vapourPressure
  if (given.antoineA_log10Pa === undefined) {
    const surface = quantity('mixture', liquid, 'vapourPressure', (_, T) => base.vapourPressure(T))
    return (T) => surface(1, T)
  }
  const { antoineA_log10Pa: A, antoineB_K: B, antoineC_K: C } = given as unknown as Record<string, number>
  return (T) => antoinePressure({ A: A!, B: B!, C: C! }, T)
}

/** The pair alcohol–water of a checked user's liquid. */
export function buildMixture(liquid: OwnLiquid): Mixture {
  const base = mixtureOf(liquid.like)
  const mass = liquid.molarMass as OwnQuantity | undefined
  const make = (name: string, lent: Surface, startsAtWater = false) =>
    quantity('mixture', liquid, name, lent, startsAtWater)
  const vapour = make('vapourDiffusivity', (_, T) => base.vapourDiffusivity(T))
  return {
    id: OWN,
    name: liquid.name,
    molarMass: mass ? (mass[valueKey(ruleOf('mixture', 'molarMass'))] as number) * 1e-3 : base.molarMass,
    density: make('density', base.density, true),
    viscosity: make('viscosity', base.viscosity, true),
    surfaceTension: make('surfaceTension', base.surfaceTension, true),
    activity: activityOf(liquid, base),
    vapourPressure: pressureOf(liquid, base),
    vapourDiffusivity: (T) => vapour(1, T),
    liquidDiffusivity: make('liquidDiffusivity', base.liquidDiffusivity),
    refractiveIndex: make('refractiveIndex', base.refractiveIndex, true),
    temperatureRange: temperatureRangeOf('mixture', liquid, base.temperatureRange),
    strongest: strongestOf(liquid),
    like: liquid.like,
    sources: notesOf('mixture', liquid, base),
  }
}

/** A quantity of an oil that only a user's oil has: as given, else absent. At one temperature it holds at all. */
function optional<Name extends 'alcoholSolubility' | 'alcoholDiffusivity'>(liquid: OwnLiquid, name: Name) {
  if (!liquid[name]) return {}
  const surface = quantity('oil', liquid, name, () => 1)
  return { [name]: (T: number) => surface(0, T) } as Pick<Oil, Name>
}

/** The bath of a checked user's liquid. */
export function buildOil(liquid: OwnLiquid): Oil {
  const base = oilOf(liquid.like)
  const make = (name: 'density' | 'viscosity' | 'surfaceTension' | 'waterTension') => {
    const surface = quantity('oil', liquid, name, (_, T) => base[name](T))
    return (T: number) => surface(0, T)
  }
  return {
    id: OWN,
    name: liquid.name,
    density: make('density'),
    viscosity: make('viscosity'),
    surfaceTension: make('surfaceTension'),
    waterTension: make('waterTension'),
    like: liquid.like,
    ...optional(liquid, 'alcoholSolubility'),
    ...optional(liquid, 'alcoholDiffusivity'),
    temperatureRange: temperatureRangeOf('oil', liquid, base.temperatureRange),
    sources: notesOf('oil', liquid, base),
  }
}
