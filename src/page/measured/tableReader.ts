/** Reads tables: small ones at once, large ones in a worker, so that the page stays quick and the reading can be stopped. */
import { proxy } from 'comlink'
import type { TableWorker } from '../../../workers/table.ts'
import { type CurvesFileResult, readCurvesFile } from '../../measured/curvesFile.ts'
import { readTable, readText } from '../../measured/read.ts'
import type { Choices, Progress, ReadResult } from '../../measured/types.ts'
import type { WorkbookResult } from '../../measured/workbook.ts'
import { type Alive, bear, WorkerDied } from '../lives/alive.ts'

export interface TableReader {
  /** True when a reading may take long. */
  slow: boolean
  /** Rejects with `Stopped` after `stop`, and with an Error if the worker dies. */
  read(choices: Choices, progress?: Progress): Promise<ReadResult>
  /** Ends a reading that is going on; the next one begins anew. */
  stop(): void
}

export class Stopped extends Error {}

/** Tables above so many bytes or characters are read in a worker. */
const large = 300_000

/** `base`: answers that hold unless others are given. */
export function openTable(source: Uint8Array | string, name: string, base: Choices = {}): TableReader {
  const reader = source.length > large ? inWorker(source, name) : atOnce(source, name)
  return { ...reader, read: (choices, progress) => reader.read({ ...base, ...choices }, progress) }
}

function atOnce(source: Uint8Array | string, name: string): TableReader {
  return {
    slow: false,
    read: async (choices) =>
      typeof source === 'string' ? readText(source, name, choices) : readTable(source, name, choices),
    stop() {},
  }
}

const make = (): Worker =>
  new Worker(new URL('../../../workers/table.ts', import.meta.url), { type: 'module' })

/** One reading after the other in a worker of its own, which ends with `stop`; a new one is born when it is needed. */
function createHelper(begin: (worker: Alive<TableWorker>) => void = () => {}) {
  let worker: Alive<TableWorker> | null = null
  function start(): Alive<TableWorker> {
    const born = bear<TableWorker>(make)
    worker = born
    born.death.catch(() => {
      if (worker === born) worker = null
    })
    begin(born)
    return born
  }
  return {
    async ask<R>(read: (remote: Alive<TableWorker>['remote'], sign: () => void) => Promise<R>): Promise<R> {
      const mine = worker ?? start()
      return mine.watch(read(mine.remote, mine.sign))
    },
    stop(): void {
      worker?.end(new Stopped('stopped'))
      worker = null
    },
  }
}

/** Where no worker can be had, the page reads by itself: it stands still meanwhile, but the table is read. */
async function orHere<R>(reading: Promise<R>, here: () => R | Promise<R>): Promise<R> {
  try {
    return await reading
  } catch (error) {
    if (error instanceof WorkerDied && error.unborn) return here()
    throw error
  }
}

const signing = (sign: () => void, progress: Progress): Progress =>
  proxy((part, doing) => {
    sign()
    progress(part, doing)
  })

function inWorker(source: Uint8Array | string, name: string): TableReader {
  // Copied, not handed over: the page keeps the source in case the worker has to be started again.
  const helper = createHelper(({ remote }) => void remote.keep(source, name))
  return {
    slow: true,
    read: (choices, progress = () => {}) =>
      orHere(
        helper.ask((remote, sign) => remote.read(choices, signing(sign, progress)) as Promise<ReadResult>),
        () => atOnce(source, name).read(choices),
      ),
    stop: helper.stop,
  }
}

export interface CurvesReader {
  slow: boolean
  /** As TableReader.read. */
  read(progress?: Progress): Promise<CurvesFileResult>
  stop(): void
}

/** A set of curves as JSON. A file is read where it is understood: its text never comes to the page. */
export function openCurves(source: Blob | string): CurvesReader {
  const text = async () => (typeof source === 'string' ? source : source.text())
  const here = async () => readCurvesFile(await text())
  if ((typeof source === 'string' ? source.length : source.size) <= large)
    return { slow: false, read: here, stop() {} }
  const helper = createHelper()
  return {
    slow: true,
    read: (progress = () => {}) =>
      orHere(
        helper.ask(
          (remote, sign) => remote.readCurves(source, signing(sign, progress)) as Promise<CurvesFileResult>,
        ),
        here,
      ).finally(helper.stop),
    stop: helper.stop,
  }
}

export interface WorkbookReader {
  slow: boolean
  /** As TableReader.read. */
  read(progress?: Progress): Promise<WorkbookResult>
  stop(): void
}

/** The sheets of a workbook. What reads it is loaded with the first one. */
export function openWorkbook(bytes: Uint8Array, name: string): WorkbookReader {
  const here = async () => (await import('../../measured/workbook.ts')).readWorkbook(bytes, name)
  if (bytes.length <= large / 10) return { slow: false, read: here, stop() {} }
  const helper = createHelper()
  return {
    slow: true,
    read: (progress = () => {}) =>
      orHere(
        helper.ask(
          (remote, sign) =>
            remote.readWorkbook(bytes, name, signing(sign, progress)) as Promise<WorkbookResult>,
        ),
        here,
      ).finally(helper.stop),
    stop: helper.stop,
  }
}
