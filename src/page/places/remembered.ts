/** What the frame of the page remembers: which part of a place was in sight last, and what was open. */
import type { State } from '../store.ts'
import { type Place, placeInfo } from './places.ts'

const last = new Map<Place, string>()

/** The part of a place that was in sight last in this visit, or its first; '' where it has none. */
export const lastPart = (place: Place): string => last.get(place) ?? placeInfo(place).parts[0]?.id ?? ''

export const rememberPart = (place: Place, part: string): void => {
  if (part) last.set(place, part)
}

const key = 'rimtide.frame'

/** What stays open from visit to visit. */
export type Opened = Pick<State, 'physics' | 'drawer'>

export function rememberedOpened(): Opened {
  try {
    const { physics, drawer } = JSON.parse(localStorage.getItem(key) ?? '{}') as Partial<Opened>
    return { physics: physics === true, drawer: drawer === true }
  } catch {
    return { physics: false, drawer: false }
  }
}

export function rememberOpened({ physics, drawer }: Opened): void {
  try {
    localStorage.setItem(key, JSON.stringify({ physics, drawer }))
  } catch {
    // A refused storage only means that they are closed next time.
  }
}
