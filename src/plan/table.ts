/** Tables of figures: one description for the page, the report and the CSV file. Pure. */
import { csvFormatRows } from 'd3-dsv'
import { guardText } from '../measured/write.ts'
import { figure } from './figures.ts'

export interface Column {
  /** Name in a CSV file, with the unit in it. */
  name: string
  /** Above the column where people read it, without the unit. */
  label: string
  unit: string
  /** Significant digits where people read it. */
  digits?: number
}

/** A column in which numbers have three digits where people read them. */
export const column = (name: string, label: string, unit = ''): Column => ({ name, label, unit })

/** A text, a number in the column's unit (NaN where there is none), or a number with its own way of being shown. */
export type Cell = string | number | { value: number; text: string }

export interface Table {
  title: string
  columns: readonly Column[]
  rows: readonly (readonly Cell[])[]
}

/** A cell for reading. */
export function cellText(cell: Cell, { digits = 3 }: Pick<Column, 'digits'>): string {
  if (typeof cell === 'object') return cell.text
  return typeof cell === 'string' ? cell : figure(cell, digits)
}

/** Heading for reading: "R*, mm". */
export const headText = ({ label, unit }: Column): string => (unit ? `${label}, ${unit}` : label)

function exact(cell: Cell): string {
  if (typeof cell === 'string') return guardText(cell)
  const value = typeof cell === 'object' ? cell.value : cell
  return Number.isFinite(value) ? String(Number(value.toPrecision(7))) : ''
}

/** CSV with a header row; empty where there is no number. A text that a spreadsheet would take for a formula gets an apostrophe. */
export const tableCsv = ({ columns, rows }: Table): string =>
  `${csvFormatRows([columns.map(({ name }) => name), ...rows.map((row) => row.map(exact))])}\n`
