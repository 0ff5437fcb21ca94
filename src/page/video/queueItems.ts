/** What is queued to be measured: each recording with how it stands; kept in this browser without its files. */
import { verdictOf } from '../../measured/video/series.ts'
import { plain } from '../format.ts'
import { queueKey } from '../measured/queuedRuns.ts'
import { noRate } from './making.ts'
import type { Recording } from './recordings.ts'
import type { Made } from './renewing.ts'
import { isTimed, type Session, seriesOf, slowing } from './session.ts'

/** `needs`: somebody must look at it; `said` tells why. `failed`: it cannot be measured. */
export type ItemState = 'waiting' | 'measuring' | 'stopped' | 'done' | 'needs' | 'failed'

export interface QueueItem {
  id: string
  name: string
  kind: Recording['kind']
  /** Length of its files together, and their number: what it is known again by. */
  bytes: number
  count: number
  /** Null after a reload, until they are chosen again. */
  files: readonly File[] | null
  sha256?: string
  state: ItemState
  said: string
  /** Points that count. */
  points: number
  /** Part of its frames that was measured, 0–1. */
  share: number
  /** Id of what was measured, on the shelf of unfinished work or in hand; '' = nothing yet. */
  work: string
  /** Id of the measured curve it has become; '' = none. */
  curve: string
  /** What it gave that curve; missing = not known. */
  made?: Made
  /** It has been corrected since: what is measured is not what that curve was given. */
  renew?: boolean
}

const bytesOf = (files: readonly File[]): number => files.reduce((sum, { size }) => sum + size, 0)

export const newItem = ({ name, kind, files }: Recording): QueueItem => ({
  id: `q${Date.now().toString(36)}${Math.floor(Math.random() * 36 ** 6).toString(36)}`,
  name,
  kind,
  bytes: bytesOf(files),
  count: files.length,
  files,
  state: 'waiting',
  said: '',
  points: 0,
  share: 0,
  work: '',
  curve: '',
})

/** True if these files are those of an item, as far as name and length tell. */
export const isOf = (item: QueueItem, { name, kind, files }: Recording): boolean =>
  item.name === name && item.kind === kind && item.count === files.length && item.bytes === bytesOf(files)

/** Lays chosen recordings into the queue: those that are known get their files again, others come behind. */
export function joinItems(
  items: readonly QueueItem[],
  recordings: readonly Recording[],
): { items: QueueItem[]; known: number } {
  const next = [...items]
  let known = 0
  for (const recording of recordings) {
    const at = next.findIndex((item) => isOf(item, recording))
    if (at < 0) next.push(newItem(recording))
    else {
      known++
      next[at] = { ...next[at]!, files: recording.files }
    }
  }
  return { items: next, known }
}

/** How a measured recording stands: ready to become a curve, or what is missing. */
export function assess(state: Session): Pick<QueueItem, 'state' | 'said' | 'points'> {
  const series = seriesOf(state)
  const counting = series.points.filter(({ counts }) => counts)
  const needs = (said: string) => ({ state: 'needs' as const, said, points: counting.length })
  const verdict = verdictOf(series.points)
  if (!verdict.found || counting.length < 2)
    return needs(verdict.found ? 'fewer than two points count' : verdict.text)
  if (!series.scaled) return needs('no scale is set')
  if (!isTimed(state)) return needs(noRate)
  if (state.startKnown === 'no')
    return needs(
      'the drop is in its first frame already: open it and say where it touches down, or tick that every recording begins so',
    )
  const at = (state.startSigma / slowing(state)) * 1e3
  const found = state.startKnown === 'found' ? `; touch-down found, ± ${plain(at, 2)} ms` : ''
  const aside = series.points.length - counting.length
  return {
    state: 'done',
    said: `${aside > 0 ? `${aside} frames without or before the drop` : ''}${found}`.replace(/^; /, ''),
    points: counting.length,
  }
}

/** "done: 212 points" and what else there is to say. */
export function stateWords(item: QueueItem): string {
  const { state, said, points, share, files, curve, renew } = item
  const percent = `${Math.round(100 * share)} %`
  const counted = points === 1 ? 'one point' : `${points} points`
  switch (state) {
    case 'waiting':
      return files ? 'waiting' : 'waiting for its file: choose it again'
    case 'measuring':
      return `measuring ${percent}`
    case 'stopped':
      return files ? `stopped at ${percent}` : `stopped at ${percent}; choose its file again to go on`
    case 'done':
      return `${curve ? (renew ? 'corrected since it was added' : 'among the measured curves') : 'done'}: ${counted}${said ? ` (${said})` : ''}`
    case 'needs':
      return `needs you: ${said}`
    case 'failed':
      return `failed: ${said}`
  }
}

/** Keeps the queue; false if the browser refuses. */
export function keepItems(items: readonly QueueItem[]): boolean {
  try {
    if (items.length === 0) localStorage.removeItem(queueKey)
    else localStorage.setItem(queueKey, JSON.stringify(items.map((item) => ({ ...item, files: null }))))
    return true
  } catch {
    return false
  }
}

/** The queue of the last visit; what was being measured has stopped. Records that make no sense are passed over. */
export function keptItems(): QueueItem[] {
  try {
    const stored: unknown = JSON.parse(localStorage.getItem(queueKey) ?? '[]')
    if (!Array.isArray(stored)) return []
    return stored.flatMap((one: Partial<QueueItem>) => {
      const sound =
        typeof one?.id === 'string' &&
        typeof one.name === 'string' &&
        typeof one.state === 'string' &&
        typeof one.work === 'string' &&
        Number.isFinite(one.bytes)
      if (!sound) return []
      const state = one.state === 'measuring' ? 'stopped' : one.state
      return [{ ...(one as QueueItem), state: state as ItemState, files: null }]
    })
  } catch {
    return []
  }
}
