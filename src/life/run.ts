/** Preset → life. The one way in which page, worker and command line run the engine. */
import type { Life, LifeResult, Preset } from './types.ts'

export interface RunHooks {
  /** Called now and then with the life so far (status 'growing'); its arrays are copies and may be transferred. */
  progress?(life: Life): void
  /** Awaited every few milliseconds of work; must let a real task in, so that a stop can be heard. */
  pause?(): Promise<void>
  /** True ends the run at once; the result is the part that is known (status 'stopped'). */
  cancelled?(): boolean
}

export async function runLife(_preset: Preset, _hooks: RunHooks = {}): Promise<LifeResult> {
  throw new Error('being written')
}

/** As runLife, without pauses. */
export function runLifeSync(_preset: Preset): LifeResult {
  throw new Error('being written')
}
