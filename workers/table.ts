/** Thin: reads large tables away from the page's thread. */
import { expose, transfer } from 'comlink'
import { readTable, readText } from '../src/measured/read.ts'
import type { Choices, Progress, ReadResult } from '../src/measured/types.ts'

export interface TableWorker {
  /** Keeps the table for all readings to come. */
  keep(source: Uint8Array | string, name: string): void
  /** Reads what was kept. `progress` is told while it goes on. */
  read(choices: Choices, progress: Progress): ReadResult
}

let source: Uint8Array | string = ''
let name = ''

const buffersOf = (result: ReadResult): ArrayBuffer[] =>
  result.ok
    ? result.curves.flatMap(({ time, radius, uncertainty, excluded }) =>
        [time, radius, uncertainty, excluded].flatMap((list) => (list ? [list.buffer as ArrayBuffer] : [])),
      )
    : []

const api: TableWorker = {
  keep(given, as) {
    source = given
    name = as
  },
  read(choices, progress) {
    const result =
      typeof source === 'string'
        ? readText(source, name, choices, progress)
        : readTable(source, name, choices, progress)
    return transfer(result, [...new Set(buffersOf(result))])
  },
}

expose(api)
