/** What the stage says of the beads and of the child drops that it shows. */
import { type Beads, beadWords } from '../beads.ts'
import { count } from '../format.ts'
import { leastChild } from './childDrops.ts'

/** Both in one line; '' if there is nothing to say. */
export function captionOf(...notes: string[]): string {
  const text = notes.filter(Boolean).join(' · ')
  return text && `Estimate: ${text}`
}

/** @param shown 0–1, how far they show in the picture; NaN if there is none */
export function beadNote(beads: Beads | null, shown: number): string {
  if (!beads?.grown) return ''
  return `${beadWords(beads)}${shown === 0 ? ', too fine to draw here' : ''}`
}

export interface ChildrenShown {
  /** Drops in the picture, and those of them that are drawn wider than they are. */
  shown: number
  enlarged: number
  /** All that have left so far, round the whole drop. */
  total: number
  /** One of so many is drawn. */
  every: number
}

export function childNote({ shown, enlarged, total, every }: ChildrenShown): string {
  if (shown === 0) return ''
  const drawn = every > 1 ? `, 1 of every ${every} drawn` : ''
  const size =
    enlarged === 0 ? 'to scale' : `${enlarged < shown ? 'small ones' : 'all'} enlarged to ${leastChild} px`
  return `${count(total)} child drops${drawn}, ${size}`
}
