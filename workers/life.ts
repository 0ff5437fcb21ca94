/** Thin: computes lives away from the page's thread. */
import { expose, transfer } from 'comlink'
import { usesCompiled } from '../src/life/engines.ts'
import { estimateErrors } from '../src/life/errors.ts'
import { fromLeaves } from '../src/life/presetCheck.ts'
import { runLife } from '../src/life/run.ts'
import { transferables } from '../src/life/transferables.ts'
import type { Life, LifeResult, Preset } from '../src/life/types.ts'
import type { LifeWorker } from './messages.ts'
import { pause } from './pause.ts'

/** Newest token asked for; an older run ends when it sees a newer one. */
let newest = 0
const stopped = new Set<number>()
/** The engine is used by one run at a time: a run waits until the one before has ended. */
let before: Promise<unknown> = warmUp()

/** A life for its own sake: the code is compiled while the page is still being read. The first wish ends it. */
async function warmUp(): Promise<void> {
  const drop = fromLeaves(new Map())
  if (drop.ok) await runLife(drop.preset, { pause, cancelled: () => newest > 0 }, 'quick').catch(() => null)
}

const crashed = (error: unknown): LifeResult => ({
  ok: false,
  reason: 'crashed',
  problems: [{ where: 'engine', message: error instanceof Error ? error.message : String(error) }],
})

async function compute(
  preset: Preset,
  progress: (life: Life) => void,
  cancelled: () => boolean,
): Promise<LifeResult> {
  try {
    return await runLife(preset, { progress, pause, cancelled })
  } catch (error) {
    return crashed(error)
  }
}

const api: LifeWorker = {
  alive() {},
  compiled: usesCompiled,
  async run(preset, progress, token) {
    newest = Math.max(newest, token)
    const cancelled = () => token !== newest || stopped.has(token)
    const turn = before.then(() => {
      if (cancelled()) return { ok: false, reason: 'cancelled', problems: [] } satisfies LifeResult
      return compute(preset, (life) => progress(transfer(life, transferables(life))), cancelled)
    })
    before = turn
    const result = await turn
    stopped.delete(token)
    return result.ok ? transfer(result, transferables(result.life)) : result
  },
  async errors(life, token) {
    const cancelled = () => token !== newest || stopped.has(token)
    const turn = before.then(() => (cancelled() ? null : estimateErrors(life, { pause, cancelled })))
    before = turn.catch(() => null)
    return turn.catch(() => null)
  },
  stop(token) {
    stopped.add(token)
  },
}

expose(api)
