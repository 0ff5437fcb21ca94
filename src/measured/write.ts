/** Curves → a long table, one row a point, that spreadsheets open and readTable reads back to the last bit. */
import { DATE_TITLE, PROVENANCE_TITLES, SHARED_TITLES, SIGMA_TITLES, TITLES } from './tidyTitles.ts'
import type { ConditionErrors, MeasuredCurve, Provenance, SharedCause } from './types.ts'

/** A column: title, and the cell of point i of a curve; '' = nothing is known. */
type Part = [title: string, cell: (curve: MeasuredCurve, i: number) => string]

/**
 * Time on the curve's own clock (s), radius, its standard uncertainty and the parts of it that all points share (mm), whether
 * the point is used, name and group of the curve, then in every row what is known about the drop with its uncertainties; free
 * texts and the making of the curve in its first row only. Columns without an entry are left out. A row never begins with a
 * name, which may look like a comment; names that a spreadsheet would take for a formula get an apostrophe in front.
 */
export function writeCurves(curves: readonly MeasuredCurve[]): string {
  const names = distinctNames(curves)
  const parts: Part[] = [
    [TITLES.time, (curve, i) => plain(curve.time[i])],
    [TITLES.radius, (curve, i) => inMillimetres(curve.radius[i])],
    [TITLES.uncertainty, (curve, i) => inMillimetres(curve.uncertainty?.[i])],
    ...sharedParts(),
    [TITLES.used, (curve, i) => (curve.excluded?.[i] === 1 ? '0' : '1')],
    [TITLES.series, (curve) => textCell(names.get(curve)!)],
    [TITLES.group, ({ meta }) => textCell(meta.group ?? '')],
    ...conditionParts(),
    ...firstRows([
      [TITLES.conditions, ({ meta }) => textCell(meta.conditions ?? '')],
      [TITLES.note, ({ meta }) => textCell(meta.note ?? '')],
      ...provenanceParts(),
    ]),
  ]
  const always = new Set<string>([TITLES.series, TITLES.time, TITLES.radius])
  const whole: Record<string, 'excluded' | 'uncertainty'> = {
    [TITLES.used]: 'excluded',
    [TITLES.uncertainty]: 'uncertainty',
  }
  const filled = ([title, cell]: Part) => {
    const list = whole[title]
    if (list) return curves.some((curve) => curve[list])
    return always.has(title) || curves.some((curve) => curve.time.some((_, i) => cell(curve, i) !== ''))
  }
  const columns = parts.filter(filled)
  const lines = [columns.map(([title]) => title).join(',')]
  for (const curve of curves) {
    for (let i = 0; i < curve.time.length; i++)
      lines.push(columns.map(([, cell]) => cell(curve, i)).join(','))
  }
  return `${lines.join('\n')}\n`
}

const firstRows = (parts: readonly Part[]): Part[] =>
  parts.map(([title, cell]) => [title, (curve, i) => (i === 0 ? cell(curve, i) : '')])

const sharedParts = (): Part[] =>
  (Object.entries(SHARED_TITLES) as [SharedCause, string][]).map(([cause, title]) => [
    title,
    ({ shared }, i) => inMillimetres(shared?.find((one) => one.cause === cause)?.shift[i]),
  ])

const conditionParts = (): Part[] => [
  [TITLES.liquid, ({ meta }) => textCell(meta.alcohol ?? '')],
  ...(['mass', 'volume'] as const).map(
    (basis): Part => [`alcohol_fraction_by_${basis}`, (curve) => plain(fractionBy(curve, basis))],
  ),
  [TITLES.volume, ({ meta }) => plain(meta.volume_uL)],
  [TITLES.contact, ({ meta }) => plain(meta.startTime_s)],
  [TITLES.depth, ({ meta }) => plain(meta.depth_mm)],
  [TITLES.temperature, ({ meta }) => plain(meta.temperature_C)],
  [TITLES.humidity, ({ meta }) => plain(meta.relativeHumidity)],
  [TITLES.oil, ({ meta }) => textCell(meta.oil ?? '')],
  [DATE_TITLE, ({ meta }) => meta.date ?? ''],
  ...(Object.entries(SIGMA_TITLES) as [keyof ConditionErrors, string][]).map(
    ([key, title]): Part => [title, ({ meta }) => plain(meta.sigma?.[key])],
  ),
]

const provenanceParts = (): Part[] =>
  (Object.entries(PROVENANCE_TITLES) as [keyof Provenance, string][]).map(([key, title]) => [
    title,
    ({ provenance }) => {
      const told = provenance?.[key]
      return typeof told === 'number' ? plain(told) : textCell(told ?? '')
    },
  ])

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

/**
 * Metres as millimetres in the shortest text that the reader makes the same bits of: at most 15 digits where they do, else
 * all digits of the double with the point moved, at least 16 of them, which the reader moves back.
 */
function inMillimetres(metres: number | undefined): string {
  if (metres === undefined || Number.isNaN(metres)) return ''
  if (metres === 0) return plain(metres)
  const short = Number((1e3 * metres).toPrecision(15))
  if (short / 1e3 === metres) return plain(short)
  const [mantissa = '', power = '0'] = metres.toExponential().split('e')
  const digits = mantissa.replace('.', '').replace('-', '').padEnd(17, '0')
  const sign = metres < 0 ? '-' : ''
  return `${sign}${digits[0]}.${digits.slice(1)}e${Number(power) + 3}`
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
