/** A library liquid as a user's liquid: tables of its values, to begin a file of one's own from. */
import { ZERO_CELSIUS } from '../constants.ts'
import { mixtureOf, oilOf } from '../registry.ts'
import { hazards } from '../safety.ts'
import type { Mixture, SourceNote } from '../types.ts'
import { type QuantityRule, RULES, valueKey, valuesKey } from './rules.ts'
import type { OwnKind, OwnLiquid, OwnQuantity } from './types.ts'

/** Strengths of the copied tables: closer together in weak mixtures, where traces of alcohol act strongly. */
const COPIED_STRENGTHS: readonly number[] = [
  0, 0.005, 0.01, 0.02, 0.03, 0.05, 0.075, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5, 0.55, 0.6, 0.65,
  0.7, 0.75, 0.8, 0.85, 0.9, 0.95, 1,
]
const TEMPERATURES: readonly number[] = [10, 15, 20, 22, 25, 30, 35]

type Value = (w: number, T: number) => number

/** Digits that are kept: more than any of the data are good for, so that a copy gives the library's life. */
const tidy = (value: number): number => Number(value.toPrecision(7))

/** The library's word on where a quantity comes from; several notes are joined. */
function saidOf(rule: QuantityRule, notes: readonly SourceNote[]): Pick<OwnQuantity, 'source' | 'quality'> {
  const own = notes.filter(({ quantity }) => rule.replaces.test(quantity))
  const text = own.map(({ source }) => source).join('; ') || 'Rimtide’s library'
  return { source: `copied from Rimtide: ${text}`.slice(0, 300), quality: own[0]?.quality ?? 'measured' }
}

function tabulated(rule: QuantityRule, value: Value, notes: readonly SourceNote[]): OwnQuantity {
  const said = saidOf(rule, notes)
  const inUnit = (w: number, celsius: number) => tidy(value(w, celsius + ZERO_CELSIUS) / rule.si)
  const strengths = rule.axes.includes('massFraction')
  const table = strengths
    ? COPIED_STRENGTHS.map((w) => TEMPERATURES.map((celsius) => inUnit(w, celsius)))
    : TEMPERATURES.map((celsius) => inUnit(1, celsius))
  return {
    ...(strengths ? { massFraction: [...COPIED_STRENGTHS] } : {}),
    temperature_C: [...TEMPERATURES],
    [valuesKey(rule)]: table,
    ...said,
  }
}

const ruleOf = (kind: OwnKind, name: string): QuantityRule => RULES[kind].find((rule) => rule.name === name)!

function flashPointsOf(id: string): OwnQuantity | undefined {
  const hazard = hazards[id]
  const rule = ruleOf('mixture', 'flashPoint')
  if (!hazard || hazard.flashPoint.length === 0) return undefined
  const said = saidOf(rule, hazard.sources)
  const [only] = hazard.flashPoint
  if (hazard.flashPoint.length === 1) return { [valueKey(rule)]: only![1], ...said }
  return {
    percentByVolume: hazard.flashPoint.map(([percent]) => percent),
    [valuesKey(rule)]: hazard.flashPoint.map(([, celsius]) => celsius),
    ...said,
  }
}

/**
 * A library mixture as a user's liquid, but for its activity coefficients: those of the library vary with the
 * temperature, the two constants of a file do not. Left out, they come from the library itself. @throws RangeError if there is none of that name. */
function copyOfMixture(id: string): OwnLiquid {
  const mixture = mixtureOf(id)
  const table = (name: keyof Mixture, value: Value) => ({
    [name]: tabulated(ruleOf('mixture', name), value, mixture.sources),
  })
  const molar = ruleOf('mixture', 'molarMass')
  const flashPoint = flashPointsOf(id)
  return {
    name: `my ${mixture.name}`,
    like: id,
    note: `Copied from ${mixture.name} of the library. Put your own values, sources and qualities in; what you take out comes from ${mixture.name}, as do the activity coefficients, which vary with the temperature there ("activity" takes van Laar constants of your own).`,
    molarMass: {
      [valueKey(molar)]: tidy(1e3 * mixture.molarMass),
      source: 'standard atomic weights',
      quality: 'derived',
    },
    ...table('density', mixture.density),
    ...table('viscosity', mixture.viscosity),
    ...table('surfaceTension', mixture.surfaceTension),
    ...table('vapourPressure', (_, T) => mixture.vapourPressure(T)),
    ...table('vapourDiffusivity', (_, T) => mixture.vapourDiffusivity(T)),
    ...table('liquidDiffusivity', mixture.liquidDiffusivity),
    ...table('refractiveIndex', mixture.refractiveIndex),
    ...(flashPoint ? { flashPoint } : {}),
  }
}

/** A library oil as a user's liquid. @throws RangeError if there is none of that name. */
function copyOfOil(id: string): OwnLiquid {
  const oil = oilOf(id)
  const table = (name: 'density' | 'viscosity' | 'surfaceTension' | 'waterTension') => ({
    [name]: tabulated(ruleOf('oil', name), (_, T) => oil[name](T), oil.sources),
  })
  return {
    name: `my ${oil.name}`,
    like: id,
    note: `Copied from ${oil.name} of the library. Put your own values, sources and qualities in; what you take out comes from ${oil.name}.`,
    ...table('density'),
    ...table('viscosity'),
    ...table('surfaceTension'),
    ...table('waterTension'),
  }
}

/** A library liquid of either kind as a user's liquid. @throws RangeError if there is none of that name. */
export const copyOf = (kind: OwnKind, id: string): OwnLiquid =>
  kind === 'mixture' ? copyOfMixture(id) : copyOfOil(id)
