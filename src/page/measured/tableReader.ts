/** Reads tables: small ones at once, large ones in a worker, so that the page stays quick and the reading can be stopped. */
import { proxy, type Remote, releaseProxy, wrap } from 'comlink'
import type { TableWorker } from '../../../workers/table.ts'
import { readTable, readText } from '../../measured/read.ts'
import type { Choices, Progress, ReadResult } from '../../measured/types.ts'

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

export function openTable(source: Uint8Array | string, name: string): TableReader {
  return source.length > large ? inWorker(source, name) : atOnce(source, name)
}

function atOnce(source: Uint8Array | string, name: string): TableReader {
  return {
    slow: false,
    read: async (choices) =>
      typeof source === 'string' ? readText(source, name, choices) : readTable(source, name, choices),
    stop() {},
  }
}

function inWorker(source: Uint8Array | string, name: string): TableReader {
  let worker: Worker | null = null
  let remote: Remote<TableWorker> | null = null
  let end: (error: Error) => void = () => {}
  let ended: Promise<never> = new Promise(() => {})

  function start(): Remote<TableWorker> {
    const born = new Worker(new URL('../../../workers/table.ts', import.meta.url), { type: 'module' })
    worker = born
    ended = new Promise((_, reject) => {
      end = reject
    })
    ended.catch(() => {})
    born.addEventListener('error', (event) => {
      event.preventDefault()
      close(new Error(event.message || 'the reading broke off'))
    })
    remote = wrap<TableWorker>(born)
    // Copied, not handed over: the page keeps the source in case the worker has to be started again.
    void remote.keep(source, name)
    return remote
  }

  function close(error: Error): void {
    const dying = end
    remote?.[releaseProxy]()
    worker?.terminate()
    worker = null
    remote = null
    dying(error)
  }

  return {
    slow: true,
    read(choices, progress = () => {}) {
      const present = remote ?? start()
      return Promise.race([present.read(choices, proxy(progress)) as Promise<ReadResult>, ended])
    },
    stop: () => close(new Stopped('stopped')),
  }
}
