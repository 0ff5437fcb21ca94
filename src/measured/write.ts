/** Curves → CSV that spreadsheets open and readTable reads back to the last bit. */
import { TITLES } from './header.ts'
import type { MeasuredCurve } from './types.ts'

/**
 * One row per point: time on the curve's own clock (s), radius (m), uncertainty (m), whether the point is used, name, and
 * with the first point of each curve what is known about the drop. Names that a spreadsheet would take for a formula get an apostrophe in front.
 */
export function writeCurves(curves: readonly MeasuredCurve[]): string {
  const has = (test: (curve: MeasuredCurve) => unknown) => curves.some((curve) => test(curve) !== undefined)
  const parts: [string, (curve: MeasuredCurve, i: number) => string][] = [
    ['time (s)', (curve, i) => plain(curve.time[i])],
    ['radius (m)', (curve, i) => plain(curve.radius[i])],
  ]
  if (has((curve) => curve.uncertainty)) {
    parts.push(['uncertainty (m)', (curve, i) => plain(curve.uncertainty?.[i])])
  }
  const names = distinctNames(curves)
  parts.push(['curve', (curve) => textCell(names.get(curve)!)])
  const first = (value: (curve: MeasuredCurve) => string) => (curve: MeasuredCurve, i: number) =>
    i === 0 ? value(curve) : ''
  for (const basis of ['mass', 'volume'] as const) {
    if (!curves.some((curve) => fractionBy(curve, basis) !== undefined)) continue
    parts.push([`alcohol fraction by ${basis}`, first((curve) => plain(fractionBy(curve, basis)))])
  }
  if (has((curve) => curve.excluded)) {
    parts.splice(3, 0, [TITLES.used, (curve, i) => (curve.excluded?.[i] === 1 ? '0' : '1')])
  }
  const texts = [
    ['liquid', 'alcohol'],
    ['conditions', 'conditions'],
  ] as const
  const numbers = [
    ['contact', 'startTime_s'],
    ['depth', 'depth_mm'],
    ['temperature', 'temperature_C'],
  ] as const
  for (const [role, key] of numbers) {
    if (has(({ meta }) => meta[key])) parts.push([TITLES[role], first(({ meta }) => plain(meta[key]))])
  }
  for (const [role, key] of texts) {
    if (has(({ meta }) => meta[key]))
      parts.push([TITLES[role], first(({ meta }) => textCell(meta[key] ?? ''))])
  }
  if (has((curve) => curve.meta.volume_uL))
    parts.push(['volume (uL)', first((curve) => plain(curve.meta.volume_uL))])
  if (has((curve) => curve.meta.note)) parts.push(['note', first((curve) => textCell(curve.meta.note ?? ''))])
  const rows = [parts.map(([title]) => title)]
  for (const curve of curves) {
    for (let i = 0; i < curve.time.length; i++) rows.push(parts.map(([, cell]) => cell(curve, i)))
  }
  return rows.map((cells) => `${cells.join(',')}\n`).join('')
}

const fractionBy = ({ meta }: MeasuredCurve, basis: 'mass' | 'volume') =>
  (meta.fractionBasis ?? 'mass') === basis ? meta.alcoholFraction : undefined

/** Text for a cell that no spreadsheet takes for a formula; line ends become blanks. */
export function guardText(text: string): string {
  const line = text.replace(/[\r\n\t]+/g, ' ').trim()
  return /^'*[=+\-@]/.test(line) ? `'${line}` : line
}

/** Always in quotes, so that no mark in a name can be taken for the table's separator. */
const textCell = (text: string) => (text === '' ? '' : `"${guardText(text).replaceAll('"', '""')}"`)

/** Takes back what guardText put in front. */
export const unguardText = (text: string) => text.replace(/^'(?='*[=+\-@])/, '')

/** Shortest text that reads back to the same bits; NaN becomes an empty cell. */
function plain(value: number | undefined): string {
  if (value === undefined || Number.isNaN(value)) return ''
  return Object.is(value, -0) ? '-0' : String(value)
}

/** Curves are told apart by their names when the table is read back. */
function distinctNames(curves: readonly MeasuredCurve[]): Map<MeasuredCurve, string> {
  const taken = new Set<string>()
  const names = new Map<MeasuredCurve, string>()
  curves.forEach((curve, k) => {
    const base = guardText(curve.name) === '' ? `curve ${k + 1}` : curve.name
    let name = base
    for (let n = 2; taken.has(guardText(name)); n++) name = `${base} (${n})`
    taken.add(guardText(name))
    names.set(curve, name)
  })
  return names
}
