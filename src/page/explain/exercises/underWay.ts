/** The exercise that is under way, noted for this tab: a reload must not cost the user the drop that they had before. */
import { presetFromLink, presetToLink } from '../../../life/preset.ts'
import type { Preset } from '../../../life/types.ts'
import type { Begun } from './types.ts'

export interface UnderWay extends Begun {
  id: string
  /** The user's drop before the first exercise. */
  own: Preset
}

const noteKey = 'rimtide.exercise'

/** Notes it, or with null that there is none. */
export function noteUnderWay(underWay: UnderWay | null): void {
  try {
    if (!underWay) {
      sessionStorage.removeItem(noteKey)
      return
    }
    const { id, own, start, seed } = underWay
    sessionStorage.setItem(
      noteKey,
      JSON.stringify({ id, own: presetToLink(own), start: presetToLink(start), seed }),
    )
  } catch {
    // A refused storage only means that a reload ends the exercise.
  }
}

/** What was noted; null if nothing that can be used. */
export function notedUnderWay(): UnderWay | null {
  try {
    const note: unknown = JSON.parse(sessionStorage.getItem(noteKey) ?? 'null')
    const { id, own, start, seed } = (note ?? {}) as Record<string, unknown>
    if (typeof id !== 'string' || typeof own !== 'string' || typeof start !== 'string') return null
    const [before, begun] = [presetFromLink(own), presetFromLink(start)]
    if (!before.ok || !begun.ok || !Number.isInteger(seed)) return null
    return { id, own: before.preset, start: begun.preset, seed: seed as number }
  } catch {
    return null
  }
}
