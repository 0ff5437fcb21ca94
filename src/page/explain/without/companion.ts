/** The companion's life: asked for while both drops are looked at, the newest wish first; given back when they are not. */
import { presetToLink } from '../../../life/preset.ts'
import type { Life, Preset } from '../../../life/types.ts'
import { receiveCompanion } from '../../actions.ts'
import { ADVICE } from '../../lives/alive.ts'
import { createLifeClient, type LifeClient, type LifeClientEvents } from '../../lives/workerClient.ts'
import type { Store } from '../../store.ts'
import { companionOf } from './switches.ts'

export interface Companion {
  /** The drop that is to be shown beside the user's; null if none is. */
  readonly wanted: Preset | null
  /** Whether the stored life is not yet that of the wanted drop. */
  readonly late: boolean
  /** Why no life comes, in whole sentences; '' while all is well. */
  readonly trouble: string
  /** Looks again at what is wanted. */
  follow(): void
  destroy(): void
}

/**
 * @param shown whether somebody looks at the two drops; no life is run otherwise
 * @param changed called when there is something new to tell that is not in the store
 */
export function followCompanion(
  store: Store,
  shown: () => boolean,
  changed: () => void,
  clientOf: (events: LifeClientEvents) => LifeClient = createLifeClient,
): Companion {
  let client: LifeClient | null = null
  let wanted: Preset | null = null
  let asked = ''
  let known: { of: string; life: Life } | null = null
  let trouble = ''

  function fail(text: string): void {
    trouble = text
    // The next change asks anew.
    asked = ''
    changed()
  }

  const events: LifeClientEvents = {
    life(life) {
      if (life.status !== 'done') return
      const of = presetToLink(life.preset)
      known = { of, life }
      if (wanted && of === presetToLink(wanted)) receiveCompanion(store, life)
    },
    refused({ problems }) {
      fail(`The changed drop could not be worked out: ${problems[0]?.message ?? 'no reason was given'}`)
    },
    died(reason, again) {
      if (!again)
        fail(`The calculation of the changed drop does not run (${reason}). What you can do: ${ADVICE}`)
    },
  }

  function ask(preset: Preset): void {
    const of = presetToLink(preset)
    if (known?.of === of) {
      asked = of
      if (store.getState().companion !== known.life) receiveCompanion(store, known.life)
      return
    }
    if (asked === of) return
    asked = of
    trouble = ''
    client ??= clientOf(events)
    client.request(preset)
  }

  return {
    get wanted() {
      return wanted
    },
    get late() {
      return wanted !== null && known?.of !== presetToLink(wanted)
    },
    get trouble() {
      return trouble
    },
    follow() {
      const { preset, without, companion } = store.getState()
      wanted = shown() ? companionOf(preset, without) : null
      if (wanted) ask(wanted)
      else if (companion) receiveCompanion(store, null)
    },
    destroy() {
      client?.destroy()
      if (store.getState().companion) receiveCompanion(store, null)
    },
  }
}
