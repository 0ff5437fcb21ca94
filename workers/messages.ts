/** What the life worker answers to; shared by the worker and the page. */
import type { Known, LifeErrors } from '../src/life/errors.ts'
import type { Life, LifeResult, Preset } from '../src/life/types.ts'
import type { Living } from './living.ts'

export interface LifeWorker extends Living {
  /**
   * Computes the life of a preset and calls `progress` with the part that is known. A newer call or
   * `stop(token)` ends an older one, whose answer is then `{ ok: false, reason: 'cancelled' }` or a life
   * with status 'stopped'. Never rejects for a reason of the model: failures are values.
   */
  run(preset: Preset, progress: (life: Life) => void, token: number): Promise<LifeResult>
  /** Estimated errors of the life with this token (a coarser life is run beside it); null if a newer run came first. */
  errors(life: Known, token: number): Promise<LifeErrors | null>
  /** Whether the compiled engine runs here; else the plain one does. */
  compiled(): boolean
  /** Ends the run with this token, if it is still going on. */
  stop(token: number): void
}
