/** From the journals to the tables: row by row in their order, in groups, so that memory does not grow with the rows. */
import { closeSync, fsyncSync, openSync, renameSync, rmSync, writeSync } from 'node:fs'
import { csvFormatRows } from 'd3-dsv'
import { fileWriter, ParquetWriter, type SchemaElement } from 'hyparquet-writer'
import { type Points, pointsOf } from '../../plan/sweep/points.ts'
import { type Column, type ColumnKind, columnsOf, FAILED, NOT_PERMITTED } from '../../plan/sweep/rows.ts'
import type { InputValue, SweepPlan } from '../../plan/sweep/types.ts'
import { breath } from '../breath.ts'
import type { DoneRows } from './done.ts'
import { planText, type SweepFolder, writing } from './folder.ts'

type Cell = InputValue

/** Rows written at once, and of a row group of the Parquet file. */
const GROUP = 10_000

const STORED: Record<ColumnKind, Partial<SchemaElement>> = {
  number: { type: 'DOUBLE' },
  whole: { type: 'INT32' },
  truth: { type: 'BOOLEAN' },
  text: { type: 'BYTE_ARRAY', converted_type: 'UTF8' },
}

const schemaOf = (columns: readonly Column[]): SchemaElement[] => [
  { name: 'root', num_children: columns.length },
  ...columns.map(({ name, kind, mayLack }) => ({
    name,
    repetition_type: mayLack ? ('OPTIONAL' as const) : ('REQUIRED' as const),
    ...STORED[kind],
  })),
]

/** A file that is filled beside its place and takes it when it is whole. */
class Part {
  readonly path: string
  constructor(readonly target: string) {
    this.path = `${target}.part`
    rmSync(this.path, { force: true })
  }
  finish(): void {
    const file = openSync(this.path, 'r+')
    try {
      fsyncSync(file)
    } finally {
      closeSync(file)
    }
    renameSync(this.path, this.target)
  }
  drop(): void {
    rmSync(this.path, { force: true })
  }
}

/** A CSV file that grows. */
class CsvPart extends Part {
  private readonly file: number
  constructor(target: string, head: readonly string[]) {
    super(target)
    this.file = openSync(this.path, 'w')
    this.add([head])
  }
  add(rows: readonly (readonly Cell[])[]): void {
    if (rows.length === 0) return
    const bytes = Buffer.from(
      `${csvFormatRows(rows.map((row) => row.map((cell) => (cell === null ? '' : String(cell)))))}\n`,
    )
    for (let done = 0; done < bytes.length; ) done += writeSync(this.file, bytes, done)
  }
  close(): void {
    closeSync(this.file)
  }
}

export interface Outcomes {
  /** Rows by outcome. */
  counts: Map<string, number>
  failed: number
  refused: number
}

/** A whole row of the table. */
function cellsOf(done: DoneRows, points: Points, row: number): Cell[] {
  const { outputs, outcome, cause } = done.read(row)
  return [row + 1, ...points(row), ...outputs, outcome, cause]
}

interface Tables {
  csv: CsvPart
  failures: CsvPart
  parquetPart: Part
  parquet: ParquetWriter
}

const begin = (plan: SweepPlan, folder: SweepFolder, columns: readonly Column[]): Tables => {
  const parquetPart = new Part(folder.parquet)
  return {
    csv: new CsvPart(
      folder.csv,
      columns.map(({ name }) => name),
    ),
    failures: new CsvPart(folder.failures, ['row', 'outcome', 'cause']),
    parquetPart,
    parquet: new ParquetWriter({
      writer: fileWriter(parquetPart.path),
      schema: schemaOf(columns),
      createdBy: 'rimtide',
      kvMetadata: [{ key: 'rimtide.plan', value: planText(plan) }],
    }),
  }
}

function addGroup(
  tables: Tables,
  columns: readonly Column[],
  rows: readonly Cell[][],
  outcomes: Outcomes,
): void {
  tables.csv.add(rows)
  const bad = rows.map((row) => [row[0]!, ...row.slice(-2)]).filter(([, outcome]) => isBad(outcome!))
  tables.failures.add(bad)
  for (const row of rows) {
    const outcome = String(row.at(-2))
    outcomes.counts.set(outcome, (outcomes.counts.get(outcome) ?? 0) + 1)
  }
  void tables.parquet.write({
    columnData: columns.map(({ name }, i) => ({ name, data: rows.map((row) => row[i]) })),
    rowGroupSize: GROUP,
  })
}

const isBad = (outcome: Cell): boolean => outcome === FAILED || outcome === NOT_PERMITTED

/**
 * Writes results.parquet, results.csv and failures.csv from rows that are all done. Undefined where it was stopped; then, and
 * on an error, the files that were there stay. @throws WrongInput where the disk does not take them
 */
export async function writeResults(
  plan: SweepPlan,
  folder: SweepFolder,
  done: DoneRows,
  stopped: () => boolean,
): Promise<Outcomes | undefined> {
  const columns = columnsOf(plan)
  const points = pointsOf(plan)
  const counts = new Map<string, number>()
  const outcomes: Outcomes = { counts, failed: 0, refused: 0 }
  const careful = <T>(work: () => T): T =>
    writing(
      `The results could not be written in ${folder.told}`,
      work,
      ' No life is lost: the same call, or --collect, writes them from the lives that are kept',
    )
  const tables = careful(() => begin(plan, folder, columns))
  const parts = [tables.parquetPart, tables.csv, tables.failures]
  try {
    for (let from = 0; from < plan.count; from += GROUP) {
      await breath()
      if (stopped()) return undefined
      const size = Math.min(GROUP, plan.count - from)
      const rows = Array.from({ length: size }, (_, i) => cellsOf(done, points, from + i))
      careful(() => addGroup(tables, columns, rows, outcomes))
    }
    careful(() => {
      void tables.parquet.finish()
      for (const part of parts) part.finish()
    })
  } finally {
    tables.csv.close()
    tables.failures.close()
    for (const part of parts) part.drop()
    done.close()
  }
  outcomes.failed = counts.get(FAILED) ?? 0
  outcomes.refused = counts.get(NOT_PERMITTED) ?? 0
  return outcomes
}
