/** The table of a map of outcomes: one row a point. As CSV and as Parquet. */
import { csvFormatRows } from 'd3-dsv'
import { AGREES, OPEN, type OutcomeMap } from './mapGrid.ts'
import { OUTPUTS } from './outputs.ts'

/** How a point is known, as the column `run` tells it. */
const HOW = {
  yes: 'yes',
  agrees: 'no: its neighbours agree',
  open: 'no: not yet',
  forbidden: 'no: not permitted',
} as const

function howKnown(map: OutcomeMap, k: number): string {
  if (map.run[k] === OPEN) return HOW.open
  if (map.run[k] === AGREES) return HOW.agrees
  return map.outcome[k] === 'not-permitted' ? HOW.forbidden : HOW.yes
}

type MapColumn = { name: string; numbers: Float64Array } | { name: string; texts: string[] }

/**
 * The columns, the first row of points first. The outcome of a point that was not run is that of its neighbours if they
 * agree; outputs stand only where a life was run (NaN elsewhere, and where that life has none).
 */
export function mapColumns(map: OutcomeMap): MapColumn[] {
  const nx = map.x.length
  const each = <T>(of: (k: number) => T) => Array.from({ length: map.total }, (_, k) => of(k))
  return [
    { name: map.keys[0].path, numbers: Float64Array.from(each((k) => map.x[k % nx]!)) },
    { name: map.keys[1].path, numbers: Float64Array.from(each((k) => map.y[Math.floor(k / nx)]!)) },
    { name: 'outcome', texts: map.outcome },
    { name: 'run', texts: each((k) => howKnown(map, k)) },
    ...OUTPUTS.map(({ id }) => ({ name: id, numbers: map.values[id]! })),
  ]
}

/** Numbers with seven digits; empty where there is none. Units in the column names. */
export function mapCsv(map: OutcomeMap): string {
  const columns = mapColumns(map)
  const cell = (value: number) => (Number.isFinite(value) ? String(Number(value.toPrecision(7))) : '')
  const texts = columns.map((one) => ('texts' in one ? one.texts : Array.from(one.numbers, cell)))
  const rows = Array.from({ length: map.total }, (_, k) => texts.map((column) => column[k]!))
  return `${csvFormatRows([columns.map(({ name }) => name), ...rows])}\n`
}

/** The table as a Parquet file (Apache Parquet: doubles with all their bits, UTF-8 texts; null where there is no number). */
export async function mapParquet(map: OutcomeMap): Promise<ArrayBuffer> {
  // Only for those who ask for the file.
  const { parquetWriteBuffer } = await import('hyparquet-writer')
  return parquetWriteBuffer({
    columnData: mapColumns(map).map((one) =>
      'texts' in one
        ? { name: one.name, data: one.texts, type: 'STRING' as const, nullable: false }
        : {
            name: one.name,
            data: Array.from(one.numbers, (value) => (Number.isFinite(value) ? value : null)),
            type: 'DOUBLE' as const,
          },
    ),
    createdBy: 'rimtide',
  })
}
