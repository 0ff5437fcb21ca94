/** What stands on a report's first pages. */
import type { Table } from '../../plan/table.ts'
import type { ReportFigure } from './parts.ts'

export interface ResultPages {
  /** The answer, the most important sentence first. */
  sentences: readonly string[]
  figure: ReportFigure
  table: Table
  /** Below the table; '' if nothing is to be said. */
  note: string
  doubts: readonly string[]
}
