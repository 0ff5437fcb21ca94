/** A scaling as readable text. Pure. */
import type { LeftOut, ScalingReport } from '../plan/scalingReport.ts'
import { inputsTable, meansTable, ratiosTable, trendTable } from '../plan/scalingTables.ts'
import {
  FILM_RATIO_WORDS,
  GROUPING_WORDS,
  spreadWords,
  TREND_QUESTION,
  trendWords,
} from '../plan/scalingWords.ts'
import { cellText, headText, type Table } from '../plan/table.ts'

const LABEL = 40

function tableLines({ title, columns, rows }: Table): string[] {
  if (rows.length === 0) return []
  const cells = [
    columns.map(headText),
    ...rows.map((row) => row.map((value, i) => cellText(value, columns[i]!))),
  ]
  const clipped = cells.map((row) =>
    row.map((text) => (text.length > LABEL ? `${text.slice(0, LABEL - 1)}…` : text)),
  )
  const widths = columns.map((_, i) => Math.max(...clipped.map((row) => row[i]!.length)))
  const line = (row: string[]) =>
    row.map((text, i) => (i < 2 ? text.padEnd(widths[i]!) : text.padStart(widths[i]!))).join('  ')
  return [title, ...clipped.map((row) => `  ${line(row)}`), '']
}

const leftLines = (where: string, left: readonly LeftOut[]): string[] =>
  left.map(({ name, reason }) => `  not in ${where}: ${name}: ${reason}`)

/** The readable text of a scaling. */
export function scalingText(report: ScalingReport): string {
  const { collapse, trend, groups } = report
  return [
    'One curve?',
    `  ${spreadWords(report)}`,
    ...leftLines('the scaled curves', collapse.left),
    '',
    ...trendWords(report),
    ...leftLines('the line', trend.left),
    TREND_QUESTION,
    '',
    ...tableLines(trendTable(report)),
    ...tableLines(inputsTable(report)),
    ...tableLines(ratiosTable(report)),
    ...leftLines('the scales', groups.left),
    ...tableLines(meansTable(report)),
    GROUPING_WORDS,
    FILM_RATIO_WORDS,
    '',
  ].join('\n')
}
