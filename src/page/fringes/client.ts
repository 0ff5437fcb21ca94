/** The page's side of the worker that reads fringes. */
import { transfer } from 'comlink'
import type { FringesWorker } from '../../../workers/fringes.ts'
import type { Reading, Task } from '../../measured/fringes/read.ts'
import type { Frame } from '../../measured/video/types.ts'
import { type Alive, bear } from '../lives/alive.ts'

export interface FringesClient {
  /** The frame's bytes are copied. Rejects if the worker dies. */
  read(frame: Frame, task: Task): Promise<Reading>
  destroy(): void
}

const make = (): Worker =>
  new Worker(new URL('../../../workers/fringes.ts', import.meta.url), { type: 'module' })

export function createFringesClient(): FringesClient {
  let worker: Alive<FringesWorker> | null = null
  return {
    async read({ width, height, data }, task) {
      if (!worker) {
        const born = bear<FringesWorker>(make)
        worker = born
        born.death.catch(() => {
          if (worker === born) worker = null
        })
      }
      const copy = data.slice()
      const frame = transfer({ width, height, data: copy }, [copy.buffer])
      return worker.watch(worker.remote.read(frame, task) as Promise<Reading>)
    },
    destroy() {
      worker?.end()
      worker = null
    },
  }
}
