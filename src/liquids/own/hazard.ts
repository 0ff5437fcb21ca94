/** What can hurt about a liquid that the user gives: what the user says, and that the program knows no better. */
import { COMMON_CAUTIONS, type Hazard, hazards } from '../safety.ts'
import { RULES, valueKey, valuesKey } from './rules.ts'
import type { OwnLiquid, OwnQuantity } from './types.ts'

const SHEET =
  'Its hazards are not known here: read its safety data sheet first. Treat it as highly flammable and as harmful to eyes and skin.'

function flashPoints(given: OwnQuantity | undefined): [number, number][] {
  const rule = RULES.mixture.find(({ name }) => name === 'flashPoint')!
  if (!given) return []
  const single = given[valueKey(rule)]
  if (typeof single === 'number') return [[100, single]]
  const percent = given.percentByVolume as number[]
  const celsius = given[valuesKey(rule)] as number[]
  return percent.map((p, i) => [p, celsius[i]!])
}

/** Hazards of a user's mixture. The flash point is that of the file, never that of `like`. */
export function hazardOfOwn(liquid: OwnLiquid): Hazard {
  const given = liquid.flashPoint as OwnQuantity | undefined
  const words = hazards[liquid.like]?.cautions.find((text) => text.includes('toxic'))
  return {
    flashPoint: flashPoints(given),
    cautions: [
      ...(liquid.safetyNote ? [liquid.safetyNote] : []),
      SHEET,
      ...(words ? [`Like ${liquid.like}: ${words}`] : []),
      ...COMMON_CAUTIONS,
    ],
    sources: given
      ? [
          {
            quantity: 'flash point',
            source: given.source,
            quality: given.quality,
            range: given.range ?? 'not given',
          },
        ]
      : [],
  }
}
