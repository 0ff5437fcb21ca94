/** Tables of a report about measured series: files, points, residuals, what was left out. Pure. */
import type { Life } from '../life/types.ts'
import { againstWords, besideOf, type OwnLives } from '../measured/fit/ownDrop.ts'
import { peakOf } from '../measured/landmarks.ts'
import type { CurveMeta, MeasuredCurve, Skipped } from '../measured/types.ts'
import { usedPoints } from '../measured/usable.ts'
import { given, percentText, withError } from './figures.ts'
import { type Cell, type Column, column, type Table } from './table.ts'

function strengthText({ alcoholFraction, fractionBasis = 'mass', alcohol }: CurveMeta): string {
  if (alcoholFraction === undefined) return alcohol ?? '–'
  const basis = fractionBasis === 'mass' ? 'by mass' : 'by volume'
  return `${percentText(alcoholFraction)} ${basis}${alcohol ? `, ${alcohol}` : ''}`
}

const MEASURED: readonly Column[] = [
  column('series', 'Series'),
  column('file', 'File'),
  column('alcohol', 'Alcohol'),
  column('points_used', 'points used'),
  column('points_set_aside', 'set aside'),
  column('from_s', 'from', 's'),
  column('to_s', 'to', 's'),
  column('R_max_mm', 'largest R', 'mm'),
  column('compared_with', 'compared with'),
  column('rms_mm', 'r.m.s. residual', 'mm'),
  column('bias_mm', 'mean residual', 'mm'),
]

/** The top of a smooth fit through the points about it, with its error, mm. */
function largest(curve: MeasuredCurve): Cell {
  const peak = peakOf(curve)
  if (!peak) return Number.NaN
  const value = 1e3 * peak.radius
  return { value, text: withError(value, 1e3 * peak.radiusError, '') }
}

const none: OwnLives = new Map()

/** The measured series with their files. @param lives of drops that curves state, other than that of `life` */
export function measuredTable(
  curves: readonly MeasuredCurve[],
  life: Life | null,
  lives: OwnLives = none,
): Table {
  const rows = curves.map((curve): Cell[] => {
    const { time } = usedPoints(curve)
    const beside = besideOf(curve, life, lives)
    return [
      curve.name,
      curve.file,
      strengthText(curve.meta),
      String(time.length),
      String(curve.time.length - time.length),
      time[0] ?? Number.NaN,
      time.at(-1) ?? Number.NaN,
      largest(curve),
      againstWords(beside) || '–',
      1e3 * (beside?.compared?.rms ?? Number.NaN),
      1e3 * (beside?.compared?.bias ?? Number.NaN),
    ]
  })
  return { title: 'Measured series', columns: MEASURED, rows }
}

const lines = ({ line, last }: Skipped): string =>
  last && last !== line ? `lines ${line} to ${last}` : `line ${line}`

/** What was left out on reading and by hand, one sentence a curve; empty if nothing was. */
export function leftOutWords(curves: readonly MeasuredCurve[]): string[] {
  return curves.flatMap(({ name, file, origin, excluded, meta }) => {
    const skipped = (origin?.skipped ?? []).map((one) => `${lines(one)} (${one.reason})`)
    const more = origin?.skippedMore ? [`${origin.skippedMore} more`] : []
    const aside = excluded?.reduce((sum, one) => sum + one, 0) ?? 0
    const told = [
      ...(skipped.length > 0 ? [`not read from ${file}: ${[...skipped, ...more].join(', ')}`] : []),
      ...(aside > 0 ? [`${aside} ${aside === 1 ? 'point' : 'points'} set aside by hand`] : []),
      ...(meta.startTime_s ? [`contact at ${given(meta.startTime_s)} s of its own clock`] : []),
      ...(origin?.warnings ?? []),
    ]
    return told.length > 0 ? [`${name}: ${told.join('; ')}`] : []
  })
}

/** Residuals of curves, each against the life of the drop that it states, a row per curve. @param lives as above */
export function residualTable(curves: readonly MeasuredCurve[], life: Life, lives: OwnLives = none): Table {
  const rows = curves.map((curve): Cell[] => {
    const beside = besideOf(curve, life, lives)
    const c = beside?.compared
    const reduced = c && c.weighted > 0 ? c.chiSquared / c.weighted : Number.NaN
    return [
      curve.name,
      c ? String(c.used) : '–',
      c ? String(c.before + c.after) : '–',
      1e3 * (c?.rms ?? Number.NaN),
      1e3 * (c?.bias ?? Number.NaN),
      1e3 * (c?.worst ?? Number.NaN),
      reduced,
      againstWords(beside),
    ]
  })
  const columns = [
    column('series', 'Series'),
    column('points', 'points'),
    column('outside', 'outside the life'),
    column('rms_mm', 'r.m.s.', 'mm'),
    column('bias_mm', 'mean', 'mm'),
    column('worst_mm', 'largest', 'mm'),
    column('chi_squared_per_point', 'χ² per point'),
    column('compared_with', 'compared with'),
  ]
  return { title: 'Residuals, measured minus life', columns, rows }
}
