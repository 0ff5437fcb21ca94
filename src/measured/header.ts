/** Header cells → roles and units of columns. Whatever is not recognised stays 'unknown' for the caller to decide. */
import { NUMBER_IN_TEXT, numberInText } from '../numerics/typedNumber.ts'
import { ownRole } from './tidyTitles.ts'
import type { ColumnRole, ColumnUnit } from './types.ts'
import { areaUnit, lengthUnit, pixelUnit, timeUnit } from './units.ts'

export interface HeaderCell {
  role: Exclude<ColumnRole, 'ignore'> | 'unknown'
  unit?: ColumnUnit
  /** The unit stands loose in the title ("t_min"), neither in brackets nor behind a slash or "in". */
  loose?: true
  /** What stands where a unit should, but is none: "furlong". */
  unknownUnit?: string
  /** Frame rate named in a frame column, 1/s. */
  framesPerSecond?: number
  /** What is left when role word and unit are taken away; the name of a curve. */
  label: string
}

const WORDS = {
  time: 't time zeit temps tiempo tempo tijd tid elapsed',
  frame: 'frame frames bild bildnummer image img',
  radius: 'r radius radii rayon radio raggio straal halbmesser rad',
  diameter: 'd diameter diameters durchmesser diamètre diametre diámetro diametro dia diam ø ⌀',
  area: 'area areas fläche flaeche aire superficie oppervlak oppervlakte',
  uncertainty:
    'sigma σ err error errors uncertainty uncertainties unc std stdev stddev sd se sem stderr deviation fehler unsicherheit incertitude incertezza incertidumbre δ delta dr ur',
  series:
    'series serie reihe name curve run sample label drop drops id tropfen probe versuch experiment trial kurve',
  note: 'note notes comment comments remark remarks bemerkung',
  alcohol: 'alcohol ethanol methanol propanol isopropanol',
  mass: 'mass weight wt masse',
  volume: 'volume vol volumen',
  filler: 'the of in no nr number number and edge measured mean average avg',
} as const

type Word = keyof typeof WORDS
const SETS = Object.fromEntries(
  Object.entries(WORDS).map(([key, list]) => [key, new Set(list.split(' '))]),
) as Record<Word, Set<string>>

/** Titles of the tables that are saved from plots: the name of the curve stands in brackets, whatever words it holds. */
const NAMED = /^(t_s|R_mm|uncertainty_mm)\s*\((.+)\)$/

function namedTitle(text: string): HeaderCell | null {
  const [, title, name = ''] = NAMED.exec(text.trim()) ?? []
  if (title === undefined || isUnit(name.trim())) return null
  if (title === 't_s') return { role: 'time', unit: 's', label: '' }
  return { role: title === 'R_mm' ? 'radius' : 'uncertainty', unit: 'mm', label: name }
}

/** Understands one header cell, e.g. "time (s)", "R_mm", "Zeit [s]", "radius/mm", "± (mm)". */
export function readHeaderCell(text: string): HeaderCell {
  const own = ownRole(text)
  if (own === 'humidity') return { role: own, unit: 'share', label: text }
  if (own && own !== 'ignore') return { role: own, label: text }
  const named = namedTitle(text)
  if (named) return named
  const words = wordsOf(text)
  const has = (kind: Word) => words.some((word) => SETS[kind].has(word))
  const claims = claimedUnits(text)
  const time = find(text, claims, timeUnit)
  const length = find(text, claims, sizeUnit)
  const area = find(text, claims, areaUnit)
  const unknown = claims.length ? { unknownUnit: claims.at(-1)! } : {}
  const stated = claims.some((claim) => timeUnit(claim) ?? sizeUnit(claim) ?? areaUnit(claim))
  const loose = !stated && !/\bin\b/i.test(text) ? { loose: true as const } : {}
  const cell = (role: HeaderCell['role'], unit: ColumnUnit | null): HeaderCell => ({
    role,
    ...(unit ? { unit, ...loose } : unknown),
    label: labelOf(text, role),
  })
  if (/\bd[a-z]\s*\/\s*dt\b/i.test(text)) return { role: 'unknown', label: text }
  const timeLike = has('time') && !isTemperature(text, time)
  if (text.includes('±') || has('uncertainty')) {
    if (timeLike || (time && !length)) return { role: 'unknown', label: text }
    return cell('uncertainty', area ?? length ?? (/%/.test(text) ? '%' : null))
  }
  if (timeLike && !(length && (has('radius') || has('diameter')))) return cell('time', time)
  if (has('frame') && !length && !has('radius')) return frameCell(text)
  if (has('area') && !has('radius') && !has('diameter'))
    return cell('area', area ?? (length === 'px' ? 'px²' : null))
  if (area) return cell(labelOf(text, 'area') === 'A' ? 'area' : 'unknown', area)
  if (has('radius') && has('diameter')) return cell('unknown', length)
  if (has('diameter')) return cell('diameter', length)
  if (has('radius') || words.some((word) => /^r\d+$/.test(word))) return cell('radius', length)
  if (has('alcohol') && has('mass') !== has('volume')) {
    const basis = has('mass') ? 'mass' : 'volume'
    return { role: 'alcohol', unit: /%|percent/.test(text) ? `${basis} %` : basis, label: text }
  }
  if (has('volume') && /[uµμ]l\b/i.test(text)) return { role: 'volume', unit: 'uL', label: text }
  if (has('series') && words.every((word) => SETS.series.has(word) || SETS.filler.has(word))) {
    return { role: 'series', label: text }
  }
  if (words.some((word) => SETS.note.has(word))) return { role: 'note', label: text }
  if (timeUnit(text.trim())) return { role: 'time', unit: timeUnit(text.trim())!, label: '' }
  return cell('unknown', length)
}

const sizeUnit = (text: string) => lengthUnit(text) ?? pixelUnit(text)

/** What tells radius columns apart: the label without words for radius and diameter, in lower case. */
export function distinction(label: string): string {
  return wordsOf(label)
    .filter(
      (word) =>
        !SETS.radius.has(word) && !SETS.diameter.has(word) && !SETS.area.has(word) && !SETS.filler.has(word),
    )
    .join(' ')
}

/** Stand in a line of units without being one of time, length or area; '#' counts frames. */
const OTHER_UNITS = /^(?:#|-|–|—|%|°?C|K|[uµμ]L|a\.?u\.?)$/

const isUnit = (cell: string) => (timeUnit(cell) ?? sizeUnit(cell) ?? areaUnit(cell)) !== null

/** True when every filled cell is a bare unit: a second header line as laboratory programs write it. */
export function isUnitRow(cells: readonly string[]): boolean {
  const filled = cells.map(bareUnit).filter((cell) => cell !== '')
  return filled.some(isUnit) && filled.every((cell) => isUnit(cell) || OTHER_UNITS.test(cell))
}

/** A title with the unit that stands in a line of its own. */
export function withUnit(title: string, unit: string): string {
  const bare = bareUnit(unit)
  if (bare === '' || /^[-–—]$/.test(bare)) return title.trim()
  if (bare === '#') return readHeaderCell(title).role === 'time' ? `${title} (frame)` : title.trim()
  return `${title} (${bare})`.trim()
}

export const bareUnit = (cell: string) => cell.replace(/^[[({]|[\])}]$/g, '').trim()

/** A capital T with something other than a time unit is a temperature. */
function isTemperature(text: string, unit: unknown): boolean {
  return !unit && /(^|[^\p{L}])T([^\p{L}]|$)/u.test(text) && /°|\bC\b|\bK\b|deg/.test(text)
}

const RATE = new RegExp(`(${NUMBER_IN_TEXT})\\s*(?:fps|frames per second|Hz|1\\/s)`, 'i')

function frameCell(text: string): HeaderCell {
  const rate = numberInText(RATE.exec(text)?.[1] ?? '')
  return { role: 'time', unit: 'frame', label: '', ...(Number.isNaN(rate) ? {} : { framesPerSecond: rate }) }
}

function wordsOf(text: string): string[] {
  return text
    .replace(/[µμ]/g, 'u')
    .toLowerCase()
    .split(/[^\p{L}\p{N}⌀]+/u)
    .filter(Boolean)
}

/** Pieces that stand where a unit stands: in brackets, or behind the last slash. "(t)" is an argument. */
function claimedUnits(text: string): string[] {
  const claims: string[] = []
  for (const found of text.matchAll(/[([{]([^)\]}]*)[)\]}]/g)) claims.push(found[1]!.trim())
  const outside = text.replace(/[([{][^)\]}]*[)\]}]/g, '')
  const slash = /\/\s*([^/]+)$/.exec(outside)
  if (slash) claims.push(slash[1]!.trim())
  return claims.filter((claim) => claim !== 't' && claim !== 'R' && claim !== 'r')
}

/** The last claimed unit that is one; without claims, the last loose word behind the first that is one. */
function find<U extends ColumnUnit>(text: string, claims: string[], unit: (s: string) => U | null): U | null {
  for (const claim of [...claims].reverse()) {
    const found = unit(claim)
    if (found) return found
  }
  // "R_mm (run 1)": what stands in brackets is a name.
  const loose = text
    .replace(/[([{].*[)\]}]/g, ' ')
    .split(/[\s_,;:.-]+/)
    .filter(Boolean)
  for (let i = loose.length - 1; i >= 1; i--) {
    const found = unit(loose[i]!)
    if (found) return found
  }
  return null
}

function labelOf(text: string, role: HeaderCell['role']): string {
  const isUnit = (part: string) =>
    (role === 'time' ? timeUnit(part) : (sizeUnit(part) ?? areaUnit(part))) !== null
  const bare = text
    .replace(/[([{]([^)\]}]*)[)\]}]/g, (whole, inner: string) =>
      isUnit(inner.trim()) || inner === 't' ? ' ' : whole,
    )
    .replace(/\/\s*\S+$/, (whole) => (isUnit(whole.slice(1).trim()) ? ' ' : whole))
  const drop = role === 'unknown' || role === 'series' ? null : SETS[role as Word]
  const kept = bare.split(/[\s_]+/).filter((word, i) => {
    const plain = word.toLowerCase().replace(/[^\p{L}\p{N}]/gu, '')
    return word && !drop?.has(plain) && !(i > 0 && isUnit(word)) && plain !== 'in'
  })
  const label = kept.join(' ').replace(/^[\s,;:/–-]+|[\s,;:/–-]+$/g, '')
  return /^\(([^()]*(?:\([^()]*\)[^()]*)*)\)$/.exec(label)?.[1] ?? label
}
