/** Thin: reads large tables away from the page's thread. */
import { expose, transfer } from 'comlink'
import { type CurvesFileResult, readCurvesFile } from '../src/measured/curvesFile.ts'
import { readTable, readText } from '../src/measured/read.ts'
import type { Choices, Progress, ReadResult } from '../src/measured/types.ts'
import type { WorkbookResult } from '../src/measured/workbook.ts'
import type { Living } from './living.ts'

export interface TableWorker extends Living {
  /** Keeps the table for all readings to come. */
  keep(source: Uint8Array | string, name: string): void
  /** Reads what was kept. `progress` is told while it goes on. */
  read(choices: Choices, progress: Progress): ReadResult
  /** Reads a set of curves (JSON); `progress` as above. */
  readCurves(source: Blob | string, progress: Progress): Promise<CurvesFileResult>
  /** Reads the sheets of a workbook (xlsx). */
  readWorkbook(bytes: Uint8Array, name: string, progress: Progress): Promise<WorkbookResult>
}

let source: Uint8Array | string = ''
let name = ''

const buffersOf = (result: ReadResult | CurvesFileResult): ArrayBuffer[] =>
  result.ok
    ? result.curves.flatMap(({ time, radius, uncertainty, excluded, shared }) =>
        [time, radius, uncertainty, excluded, ...(shared ?? []).map(({ shift }) => shift)].flatMap((list) =>
          list ? [list.buffer as ArrayBuffer] : [],
        ),
      )
    : []

const handedOver = <R extends ReadResult | CurvesFileResult>(result: R): R =>
  transfer(result, [...new Set(buffersOf(result))])

const api: TableWorker = {
  alive() {},
  keep(given, as) {
    source = given
    name = as
  },
  read(choices, progress) {
    const result =
      typeof source === 'string'
        ? readText(source, name, choices, progress)
        : readTable(source, name, choices, progress)
    return handedOver(result)
  },
  async readCurves(given, progress) {
    progress(0, 'opening the file')
    const text = typeof given === 'string' ? given : await given.text()
    return handedOver(readCurvesFile(text, progress))
  },
  async readWorkbook(bytes, as, progress) {
    progress(0, 'unpacking the workbook')
    const { readWorkbook } = await import('../src/measured/workbook.ts')
    return readWorkbook(bytes, as)
  },
}

expose(api)
