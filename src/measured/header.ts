/** Header cells → roles and units of columns. Whatever is not recognised stays 'unknown' for the caller to decide. */
import type { ColumnRole, ColumnUnit } from './types.ts'
import { lengthUnit, timeUnit } from './units.ts'

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

/** Titles that write.ts gives to what is known about a drop. */
export const TITLES = {
  used: 'used',
  liquid: 'kind of alcohol',
  contact: 'contact (s)',
  depth: 'bath depth (mm)',
  temperature: 'bath temperature (C)',
  conditions: 'conditions',
} as const

const OWN_TITLES: Record<string, keyof typeof TITLES> = Object.fromEntries(
  Object.entries(TITLES).map(([role, title]) => [title.toLowerCase(), role as keyof typeof TITLES]),
)

/** Understands one header cell, e.g. "time (s)", "R_mm", "Zeit [s]", "radius/mm", "± (mm)". */
export function readHeaderCell(text: string): HeaderCell {
  const own = OWN_TITLES[text.trim().toLowerCase()]
  if (own) return { role: own, label: text }
  const words = wordsOf(text)
  const has = (kind: Word) => words.some((word) => SETS[kind].has(word))
  const claims = claimedUnits(text)
  const time = find(text, claims, timeUnit)
  const length = find(text, claims, lengthUnit)
  const unknown = claims.length ? { unknownUnit: claims.at(-1)! } : {}
  const loose = claims.length === 0 && !/\bin\b/i.test(text) ? { loose: true as const } : {}
  const cell = (role: HeaderCell['role'], unit: ColumnUnit | null): HeaderCell => ({
    role,
    ...(unit ? { unit, ...loose } : unknown),
    label: labelOf(text, role),
  })
  if (/\bd[a-z]\s*\/\s*dt\b/i.test(text)) return { role: 'unknown', label: text }
  const timeLike = has('time') && !isTemperature(text, time)
  if (text.includes('±') || has('uncertainty')) {
    if (timeLike || (time && !length)) return { role: 'unknown', label: text }
    return cell('uncertainty', length ?? (/%/.test(text) ? '%' : null))
  }
  if (timeLike && !(length && (has('radius') || has('diameter')))) return cell('time', time)
  if (has('frame') && !length && !has('radius')) return frameCell(text)
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

/** What tells radius columns apart: the label without words for radius and diameter, in lower case. */
export function distinction(label: string): string {
  return wordsOf(label)
    .filter((word) => !SETS.radius.has(word) && !SETS.diameter.has(word) && !SETS.filler.has(word))
    .join(' ')
}

/** True when every filled cell is a bare unit: a second header line as laboratory programs write it. */
export function isUnitRow(cells: readonly string[]): boolean {
  const filled = cells.map(bareUnit).filter((cell) => cell !== '')
  return filled.length > 0 && filled.every((cell) => (timeUnit(cell) ?? lengthUnit(cell)) !== null)
}

export const bareUnit = (cell: string) => cell.replace(/^[[({]|[\])}]$/g, '').trim()

/** A capital T with something other than a time unit is a temperature. */
function isTemperature(text: string, unit: unknown): boolean {
  return !unit && /(^|[^\p{L}])T([^\p{L}]|$)/u.test(text) && /°|\bC\b|\bK\b|deg/.test(text)
}

function frameCell(text: string): HeaderCell {
  const rate = /(\d+(?:\.\d+)?)\s*(?:fps|frames per second|Hz|1\/s)/i.exec(text)
  return { role: 'time', unit: 'frame', label: '', ...(rate ? { framesPerSecond: Number(rate[1]) } : {}) }
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
  if (claims.length) return null
  const loose = text.split(/[\s_,;:.-]+/).filter(Boolean)
  for (let i = loose.length - 1; i >= 1; i--) {
    const found = unit(loose[i]!)
    if (found) return found
  }
  return null
}

function labelOf(text: string, role: HeaderCell['role']): string {
  const isUnit = (part: string) => (role === 'time' ? timeUnit(part) : lengthUnit(part)) !== null
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
  return kept.join(' ').replace(/^[\s,;:/–-]+|[\s,;:/–-]+$/g, '')
}
