/** The rules of what a curve states: drop, bath, room, words, and how it was made. */
import type { ConditionErrors, CurveColour, Provenance } from './types.ts'

const longestText = 20_000

export const CURVE_COLOURS: readonly CurveColour[] = ['vermilion', 'green', 'purple', 'orange', 'sky', 'blue']

export type Bag = Record<string, unknown>

export const isBag = (value: unknown): value is Bag =>
  typeof value === 'object' && value !== null && !Array.isArray(value) && !ArrayBuffer.isView(value)

/** A value in a message, short. */
export const shown = (value: unknown): string => {
  const text = typeof value === 'number' ? String(value) : (JSON.stringify(value) ?? 'nothing')
  return text.length > 40 ? `${text.slice(0, 39)}…` : text
}

/** The rule of one number of the meta data: test, and the permitted range in words. */
const NUMBERS: Record<string, [(x: number) => boolean, string]> = {
  alcoholFraction: [(x) => x >= 0 && x <= 1, '0 to 1'],
  volume_uL: [(x) => x > 0, 'above 0 µL'],
  startTime_s: [() => true, 'a finite number of seconds'],
  depth_mm: [(x) => x > 0, 'above 0 mm'],
  temperature_C: [(x) => x > -273.15 && x < 1000, '−273.15 °C to 1000 °C'],
  relativeHumidity: [(x) => x >= 0 && x <= 1, '0 to 1'],
}

const TEXTS = ['alcohol', 'conditions', 'note', 'oil', 'group'] as const

const SIGMAS: readonly (keyof ConditionErrors)[] = [
  'alcoholFraction',
  'volume_uL',
  'startTime_s',
  'depth_mm',
  'temperature_C',
  'relativeHumidity',
  'radiusScale',
]

/** True for a day such as 2026-11-29 that is in the calendar. */
export function isDay(text: string): boolean {
  const time = /^\d{4}-\d\d-\d\d$/.test(text) ? Date.parse(`${text}T00:00:00Z`) : Number.NaN
  return Number.isFinite(time) && new Date(time).toISOString().startsWith(text)
}

/** What is wrong with one entry of the meta data; '' if nothing is. Unknown entries are wrong. */
export function metaProblem(key: string, value: unknown): string {
  const rule = Object.hasOwn(NUMBERS, key) ? NUMBERS[key]! : null
  if (rule) {
    const good = typeof value === 'number' && Number.isFinite(value) && rule[0](value)
    return good ? '' : `${key} is ${shown(value)}. Permitted: ${rule[1]}.`
  }
  const choices =
    key === 'fractionBasis'
      ? ['mass', 'volume']
      : key === 'colour'
        ? (CURVE_COLOURS as readonly string[])
        : null
  if (choices) {
    return choices.includes(value as string)
      ? ''
      : `${key} is ${shown(value)}. Permitted: ${choices.join(', ')}.`
  }
  if ((TEXTS as readonly string[]).includes(key)) return textProblem(key, value)
  if (key === 'date')
    return typeof value === 'string' && isDay(value)
      ? ''
      : `date is ${shown(value)}. Permitted: a day as 2026-11-29.`
  if (key === 'sigma') return sigmaProblem(value)
  return `${key} is not known here.`
}

/** What is wrong with standard uncertainties of conditions; '' if nothing is. */
function sigmaProblem(value: unknown): string {
  if (!isBag(value)) return `sigma is ${shown(value)}; it must be a group in { }.`
  for (const [key, entry] of Object.entries(value)) {
    if (!(SIGMAS as readonly string[]).includes(key)) return `sigma.${key} is not known here.`
    if (!(typeof entry === 'number' && entry > 0 && Number.isFinite(entry)))
      return `sigma.${key} is ${shown(entry)}. Permitted: above 0.`
  }
  return ''
}

export function textProblem(key: string, value: unknown): string {
  if (typeof value !== 'string') return `${key} is ${shown(value)}; it must be a text.`
  return value.length > longestText
    ? `${key} has ${value.length} characters; at most ${longestText} are kept.`
    : ''
}

const PROVENANCE: Readonly<Record<keyof Provenance, (value: unknown) => boolean>> = {
  sha256: (value) => typeof value === 'string' && /^[0-9a-f]{64}$/.test(value),
  metresPerPixel: (value) => Number.isFinite(value) && Number(value) > 0,
  scaleUncertainty: (value) => Number.isFinite(value) && Number(value) >= 0,
  framesPerSecond: (value) => Number.isFinite(value) && Number(value) > 0,
  difference: (value) => typeof value === 'string' && value.length < 200,
  level: (value) => value === 'found' || Number.isFinite(value),
  version: (value) => typeof value === 'string' && value.length < 200,
  made: (value) => typeof value === 'string' && value.length < 200,
}

/** How a curve was made; entries that make no sense are passed over, since nothing is computed from them. */
export function provenanceOf(value: unknown): Provenance | undefined {
  if (!isBag(value)) return undefined
  const good = Object.entries(PROVENANCE).filter(
    ([key, test]) => Object.hasOwn(value, key) && test(value[key]),
  )
  return good.length > 0 ? Object.fromEntries(good.map(([key]) => [key, value[key]])) : undefined
}
