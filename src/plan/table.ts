/** Tables of figures: one description for the page, the report and the CSV file. Pure. */
import { csvFormatRows } from 'd3-dsv'
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

export interface Table {
  title: string
  columns: readonly Column[]
  /** Numbers in the column's unit; NaN where there is none. */
  rows: readonly (readonly (string | number)[])[]
}

/** A cell for reading. */
export const cellText = (value: string | number, { digits = 3 }: Pick<Column, 'digits'>): string =>
  typeof value === 'string' ? value : figure(value, digits)

/** Heading for reading: "R*, mm". */
export const headText = ({ label, unit }: Column): string => (unit ? `${label}, ${unit}` : label)

const exact = (value: string | number): string =>
  typeof value === 'string' ? value : Number.isFinite(value) ? String(Number(value.toPrecision(7))) : ''

/** CSV with a header row; empty where there is no number. */
export const tableCsv = ({ columns, rows }: Table): string =>
  `${csvFormatRows([columns.map(({ name }) => name), ...rows.map((row) => row.map(exact))])}\n`
