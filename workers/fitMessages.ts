/** What the worker for fits answers to; shared by the worker and the page. */
import type { FitOutcome, FitStep, FitWish } from '../src/measured/fit/types.ts'

export interface FitWorker {
  /**
   * Fits, and calls `report` after every step that made it better. One fit at a time: a later call waits. After
   * `stop(token)` it ends within some milliseconds with the best so far. Rejects only if the program itself is wrong.
   */
  run(wish: FitWish, token: number, report: (step: FitStep) => void): Promise<FitOutcome>
  /** Ends the fit with this token, running or waiting. */
  stop(token: number): void
}
