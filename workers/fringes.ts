/** Thin: reads fringes away from the page's thread. */
import { expose } from 'comlink'
import { type Reading, readFringes, type Task } from '../src/measured/fringes/read.ts'
import type { Frame } from '../src/measured/video/types.ts'
import type { Living } from './living.ts'

export interface FringesWorker extends Living {
  /** Never rejects for a reason of the picture. */
  read(frame: Frame, task: Task): Reading
}

const api: FringesWorker = { alive() {}, read: readFringes }

expose(api)
