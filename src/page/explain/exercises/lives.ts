/** Finished lives of several drops, one after the other, by a worker of their own; what was run is kept for a while. */
import { presetToLink } from '../../../life/preset.ts'
import type { Life, Preset } from '../../../life/types.ts'
import { ADVICE } from '../../lives/alive.ts'
import { createLifeClient, type LifeClient, type LifeClientEvents } from '../../lives/workerClient.ts'
import type { Lives } from './types.ts'

/** A newer wish has taken the place of this one. */
export class Superseded extends Error {}

export interface LifeQueue {
  /** Rejects with Superseded, or with words that can be shown. `run` is told after each life. */
  all(drops: Readonly<Record<string, Preset>>, run?: (done: number, total: number) => void): Promise<Lives>
  destroy(): void
}

/** Lives kept: more than any exercise asks for. */
const KEPT = 24

export function createLifeQueue(
  clientOf: (events: LifeClientEvents) => LifeClient = createLifeClient,
): LifeQueue {
  let client: LifeClient | null = null
  let waiting: { of: string; take(life: Life): void; fail(error: Error): void } | null = null
  const kept = new Map<string, Life>()

  const events: LifeClientEvents = {
    life(life) {
      if (life.status !== 'done' || waiting?.of !== presetToLink(life.preset)) return
      const { take } = waiting
      waiting = null
      take(life)
    },
    refused({ problems }) {
      end(new Error(`No life came: ${problems[0]?.message ?? 'no reason was given'}`))
    },
    died(reason, again) {
      if (!again) end(new Error(`The calculation does not run (${reason}). What you can do: ${ADVICE}`))
    },
  }
  function end(error: Error): void {
    waiting?.fail(error)
    waiting = null
  }
  function one(preset: Preset): Promise<Life> {
    const of = presetToLink(preset)
    const known = kept.get(of)
    if (known) return Promise.resolve(known)
    return new Promise<Life>((take, fail) => {
      waiting = { of, take, fail }
      client ??= clientOf(events)
      client.request(preset)
    })
  }
  function keep(of: string, life: Life): void {
    kept.set(of, life)
    for (const oldest of kept.keys()) if (kept.size > KEPT) kept.delete(oldest)
  }

  let newest = 0
  return {
    async all(drops, run = () => {}) {
      const mine = ++newest
      end(new Superseded())
      const lives: Record<string, Life> = {}
      const wanted = Object.entries(drops)
      for (const [i, [name, preset]] of wanted.entries()) {
        const life = await one(preset)
        if (mine !== newest) throw new Superseded()
        keep(presetToLink(preset), life)
        lives[name] = life
        run(i + 1, wanted.length)
      }
      return lives
    },
    destroy() {
      newest++
      end(new Superseded())
      client?.destroy()
    },
  }
}
