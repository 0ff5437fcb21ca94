/** What the name of a curve says about its drop: "40 wt% EtOH, 10 µL". Nothing is guessed: what can be meant twice is said so. */
import { NUMBER_IN_TEXT, typedInBox } from '../numerics/typedNumber.ts'
import type { CurveMeta } from './types.ts'

export interface NameReading {
  /** What the name states; `fractionBasis` is missing where the name gives a strength without one. */
  meta: Pick<CurveMeta, 'alcohol' | 'alcoholFraction' | 'fractionBasis' | 'volume_uL'>
  /** What could not be told, in words; '' if nothing. */
  doubt: string
}

/** Words for alcohols by the id of the liquids' registry; the longer ones come first. */
const ALCOHOLS: readonly (readonly [string, RegExp])[] = [
  [
    '2-propanol',
    /(?<![a-z\d])(?:2-?propanol|propan-?2-?ol|iso-?prop(?:anol|yl alcohol)|i-?proh|ipa)(?![a-z])/i,
  ],
  ['1-propanol', /(?<![a-z\d])(?:1-?propanol|propan-?1-?ol|n-?propanol|n-?proh)(?![a-z])/i],
  ['ethanol', /(?<![a-z])(?:ethanol|ethyl alcohol|etoh|c2h5oh)(?![a-z])/i],
  ['methanol', /(?<![a-z])(?:methanol|methyl alcohol|meoh|ch3oh)(?![a-z])/i],
]

const number = `(${NUMBER_IN_TEXT})`
const gap = '[\\s_-]*'
/** Signs of a fraction by mass, by volume, or without a basis, behind a number. */
const BY: readonly (readonly ['mass' | 'volume' | undefined, string])[] = [
  [
    'mass',
    `(?:wt|mass|m|gew|w)\\.?-?${gap}(?:%|pct|percent)|(?:%|pct|percent)${gap}\\(?(?:w/w|m/m|wt|w\\.w\\.|by${gap}(?:mass|weight)|mass|weight)`,
  ],
  [
    'volume',
    `(?:vol|v)\\.?-?${gap}(?:%|pct|percent)|(?:%|pct|percent)${gap}\\(?(?:v/v|vol|abv|by${gap}vol|volume)|abv`,
  ],
  [undefined, '(?:%|pct|percent)'],
]

/** What a percentage is of when it is not the alcohol's. */
const notAlcohol = /^[\s_),-]*(?:r\.?h\.?|rel|humid|water|h2o|oil)(?![a-z])|^[\s_),-]*humid/i
const humidBefore = /(?:\br\.?h\.?|humidity)[\s_=:]*$/i

interface Strength {
  percent: number
  by: 'mass' | 'volume' | undefined
}

function strengthsIn(name: string): Strength[] {
  const found: Strength[] = []
  let rest = name
  for (const [by, sign] of BY) {
    const all = new RegExp(`${number}${gap}(?:${sign})(?![a-z])`, 'gi')
    rest = rest.replace(all, (text: string, digits: string, at: number) => {
      const own = notAlcohol.test(rest.slice(at + text.length)) || humidBefore.test(rest.slice(0, at))
      if (!own) found.push({ percent: typedInBox(digits), by })
      return ' '.repeat(text.length)
    })
  }
  return found
}

function volumesIn(name: string): number[] {
  const all = new RegExp(`${number}${gap}(u|micro|m)(?:l|litres?|liters?)(?![a-z])`, 'gi')
  const list = [...name.matchAll(all)].map(([, digits, unit]) =>
    unit!.toLowerCase() === 'm' ? 1000 * typedInBox(digits!) : typedInBox(digits!),
  )
  return list.map((microlitres) => Number(microlitres.toPrecision(12)))
}

/** Different values of a list; one number stated twice is one. */
const distinct = <T>(list: readonly T[], key: (one: T) => unknown): T[] =>
  list.filter((one, i) => list.findIndex((other) => key(other) === key(one)) === i)

/**
 * Reads a name. A strength is a number with a sign of per cent (0–100) that is not said to be humidity or water; a volume a
 * number with µL or mL; the alcohol one of the registry's under its common names. Two different strengths, volumes or
 * alcohols give none and a doubt.
 */
export function readName(text: string): NameReading {
  const name = text.normalize('NFKC').replace(/[µμ]/g, 'u').replace(/−/g, '-')
  const meta: NameReading['meta'] = {}
  const doubts: string[] = []
  const alcohols = ALCOHOLS.filter(([, words]) => words.test(name)).map(([id]) => id)
  if (alcohols.length === 1) meta.alcohol = alcohols[0]!
  else if (alcohols.length > 1) doubts.push(`it names ${alcohols.join(' and ')}`)
  const strengths = distinct(strengthsIn(name), ({ percent, by }) => `${percent} ${by}`)
  const [first] = strengths
  if (strengths.length > 1) doubts.push(`it holds ${strengths.length} strengths`)
  else if (first && first.percent > 100) doubts.push(`a strength of ${first.percent} % is above 100 %`)
  else if (first) {
    meta.alcoholFraction = Number((first.percent / 100).toPrecision(15))
    if (first.by) meta.fractionBasis = first.by
    else doubts.push('it does not say whether its strength is by mass or by volume')
  }
  const volumes = distinct(volumesIn(name), (one) => one)
  if (volumes.length > 1) doubts.push(`it holds ${volumes.length} volumes`)
  else if (volumes[0] !== undefined && volumes[0] > 0) meta.volume_uL = volumes[0]
  return { meta, doubt: doubts.join('; ') }
}

export interface Offer {
  /** What the name states and the curve does not yet. */
  change: CurveMeta
  /** What the name states otherwise than the curve, in words; '' if nothing. */
  against: string
  doubt: string
}

/** What a curve's name has to offer to what is stated about it. A strength without a basis is offered as by mass, with the doubt. */
export function offerOf({ name, meta }: { name: string; meta: CurveMeta }): Offer {
  const { meta: said, doubt } = readName(name)
  const change: CurveMeta = {}
  const against: string[] = []
  if (said.alcohol !== undefined && meta.alcohol === undefined) change.alcohol = said.alcohol
  else if (said.alcohol !== undefined && said.alcohol !== meta.alcohol) against.push(said.alcohol)
  if (said.alcoholFraction !== undefined) {
    const { fractionBasis = 'mass' } = meta
    if (meta.alcoholFraction === undefined) {
      change.alcoholFraction = said.alcoholFraction
      change.fractionBasis = said.fractionBasis ?? 'mass'
    } else if (
      Math.abs(meta.alcoholFraction - said.alcoholFraction) > 5e-4 ||
      (said.fractionBasis !== undefined && said.fractionBasis !== fractionBasis)
    )
      against.push(
        `${Number((100 * said.alcoholFraction).toPrecision(4))} %${said.fractionBasis ? ` by ${said.fractionBasis}` : ''}`,
      )
  }
  if (said.volume_uL !== undefined && meta.volume_uL === undefined) change.volume_uL = said.volume_uL
  else if (said.volume_uL !== undefined && Math.abs(said.volume_uL - meta.volume_uL!) > 1e-9 * said.volume_uL)
    against.push(`${said.volume_uL} µL`)
  return { change, against: against.join(', '), doubt }
}
