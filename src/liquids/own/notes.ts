/** What is said of a user's liquid: its own sources, and those of the library liquid for what was left out. */
import { ZERO_CELSIUS } from '../constants.ts'
import type { SourceNote } from '../types.ts'
import { RULES } from './rules.ts'
import type { OwnKind, OwnLiquid, OwnQuantity } from './types.ts'

const span = (values: readonly number[], factor = 1): string =>
  `${+(values[0]! * factor).toPrecision(4)}–${+(values.at(-1)! * factor).toPrecision(4)}`

/** The range in words: as given, else that of the table. */
function rangeOf(given: OwnQuantity): string {
  if (given.range) return given.range
  const { massFraction, temperature_C, percentByVolume, at_C } = given
  const parts = [
    ...(Array.isArray(massFraction) ? [`${span(massFraction as number[], 100)} % by mass`] : []),
    ...(Array.isArray(percentByVolume) ? [`${span(percentByVolume as number[])} % by volume`] : []),
    ...(Array.isArray(temperature_C) ? [`${span(temperature_C as number[])} °C`] : []),
    ...(typeof at_C === 'number' ? [`at ${at_C} °C`] : []),
  ]
  return parts.length > 0 ? parts.join(', ') : 'not given'
}

/** Temperatures of the data, °C; nothing where none is named. */
function celsiusOf({ temperature_C, at_C }: OwnQuantity): Pick<SourceNote, 'celsius'> {
  if (Array.isArray(temperature_C))
    return { celsius: [temperature_C[0] as number, temperature_C.at(-1) as number] }
  return typeof at_C === 'number' ? { celsius: [at_C, at_C] } : {}
}

/** Quantities that a mixture and an oil both have carry the pair's name in a mixture. */
const OF_PAIR = new Set(['density', 'viscosity', 'surfaceTension'])

/** Notes of the liquid, its own first. `base` are those of the library liquid named `like`. */
export function notesOf(
  kind: OwnKind,
  liquid: OwnLiquid,
  base: { name: string; sources: readonly SourceNote[] },
): SourceNote[] {
  const given = RULES[kind].filter(({ name }) => liquid[name] !== undefined)
  const own = given.map((rule): SourceNote => {
    const quantity = liquid[rule.name] as OwnQuantity
    const words =
      kind === 'mixture' && OF_PAIR.has(rule.name) ? `${rule.words} of ${liquid.name}–water` : rule.words
    return {
      quantity: words,
      source: quantity.source,
      quality: quantity.quality,
      range: rangeOf(quantity),
      ...celsiusOf(quantity),
    }
  })
  const left = base.sources.filter(({ quantity }) => !given.some(({ replaces }) => replaces.test(quantity)))
  const lent = left.map(
    (note): SourceNote => ({
      ...note,
      source: `taken from ${base.name}: ${note.source}`,
      quality: 'assumed',
    }),
  )
  return [...own, ...lent]
}

/** Temperatures, K, that all tables of the liquid and its library liquid cover. */
export function temperatureRangeOf(
  kind: OwnKind,
  liquid: OwnLiquid,
  base: readonly [number, number],
): [number, number] {
  const axes = RULES[kind].flatMap(({ name }) => {
    const given = liquid[name] as OwnQuantity | undefined
    return Array.isArray(given?.temperature_C) ? [given.temperature_C as number[]] : []
  })
  return [
    Math.max(base[0], ...axes.map((axis) => axis[0]! + ZERO_CELSIUS)),
    Math.min(base[1], ...axes.map((axis) => axis.at(-1)! + ZERO_CELSIUS)),
  ]
}

/** The highest strength (mass fraction) that all tables over the strength cover. */
export function strongestOf(liquid: OwnLiquid): number {
  const axes = RULES.mixture.flatMap(({ name }) => {
    const given = liquid[name] as OwnQuantity | undefined
    return Array.isArray(given?.massFraction) ? [given.massFraction as number[]] : []
  })
  return Math.min(1, ...axes.map((axis) => axis.at(-1)!))
}
