/** Tables of a report on how measured curves were made, and on repetitions. Pure. */
import { deviationError, meanCourse, repetitionsOf, unlikeWords } from '../measured/replicates.ts'
import type { MeasuredCurve } from '../measured/types.ts'
import { type Cell, type Column, column, type Table } from './table.ts'

const unknown = Number.NaN

const MADE: readonly Column[] = [
  column('series', 'Series'),
  column('file', 'File'),
  column('sha256', 'SHA-256'),
  column('mm_per_px', 'scale', 'mm per px'),
  column('scale_uncertainty_percent', '±', '%'),
  column('frames_per_s', 'rate', 'frames per s'),
  column('drop_told_by', 'drop told by'),
  column('threshold', 'threshold'),
  column('version', 'version'),
  column('made', 'made'),
]

/** The sum begins a row's text; a line break may stand behind every 16 signs. */
const sumText = (sha256: string | undefined): string => sha256?.replace(/(.{16})(?=.)/g, '$1 ') ?? '–'

/** How each curve was made; curves of which nothing is known are left out. */
export function madeTable(curves: readonly MeasuredCurve[]): Table {
  const rows = curves.flatMap(({ name, file, provenance }): Cell[][] => {
    if (!provenance) return []
    const { sha256, metresPerPixel, scaleUncertainty, framesPerSecond, difference, level, version, made } =
      provenance
    return [
      [
        name,
        file || '–',
        sumText(sha256),
        metresPerPixel === undefined ? unknown : 1e3 * metresPerPixel,
        scaleUncertainty === undefined ? unknown : 100 * scaleUncertainty,
        framesPerSecond ?? unknown,
        difference ?? '–',
        level === undefined
          ? '–'
          : level === 'found'
            ? 'found in each frame'
            : `${Math.round(100 * level)} %`,
        version ?? '–',
        made?.slice(0, 10) ?? '–',
      ],
    ]
  })
  return { title: 'How the curves were made', columns: MADE, rows }
}

const REPEATED: readonly Column[] = [
  column('group', 'Group'),
  column('runs', 'runs'),
  column('from_s', 'mean from', 's'),
  column('to_s', 'to', 's'),
  column('R_max_mean_mm', 'largest mean R', 'mm'),
  column('R_max_sd_mm', 'SD of the runs there', 'mm'),
  column('sd_uncertainty_percent', 'SD itself uncertain by', '%'),
  column('remark', 'remark'),
]

/** Mean and standard deviation of repetitions at the largest mean radius, with the number of runs. */
export function repetitionsTable(curves: readonly MeasuredCurve[]): Table {
  const rows = repetitionsOf(curves).map((one): Cell[] => {
    const { group, curves: own } = one
    const result = meanCourse(own)
    const unlike = unlikeWords(one)
    if (!result.ok)
      return [
        group,
        String(own.length),
        unknown,
        unknown,
        unknown,
        unknown,
        unknown,
        [result.reason, unlike].filter(Boolean).join('; '),
      ]
    const { from, to, mean, deviation, count } = result.course
    const at = mean.reduce((best, value, i) => (value > mean[best]! ? i : best), 0)
    return [
      group,
      String(count),
      from,
      to,
      1e3 * mean[at]!,
      1e3 * deviation[at]!,
      100 * deviationError(count),
      unlike,
    ]
  })
  return { title: 'Repetitions', columns: REPEATED, rows }
}
