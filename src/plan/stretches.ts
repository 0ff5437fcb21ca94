/** What becomes of a drop along one input: a few lives, then the borders between outcomes halved. */
import { setKeys } from '../life/preset.ts'
import type { Preset } from '../life/types.ts'
import { coarseToFine, type PointState } from './mapGrid.ts'
import { quickly, type RunLike, Work, type WorkHooks } from './work.ts'

/** The outcome from place `from` to place `to` of a track (0–1). */
export interface Stretch {
  from: number
  to: number
  outcome: PointState
}

export interface Stretches {
  stretches: Stretch[]
  /** Lives run. */
  lives: number
  status: 'growing' | 'done' | 'stopped'
}

export interface StretchWish {
  key: string
  /** Values of the key at evenly spaced places of the track, first to last. */
  values: readonly number[]
  /** Lives are run at every so many places first. */
  coarse: number
}

/** Neighbouring points of the same outcome are one stretch; borders lie half way between different ones. */
export function joined(points: readonly { place: number; outcome: PointState }[]): Stretch[] {
  const known = points.filter(({ outcome }) => outcome !== 'unknown').sort((a, b) => a.place - b.place)
  const stretches: Stretch[] = []
  known.forEach(({ place, outcome }, i) => {
    const last = stretches.at(-1)
    const middle = i === 0 ? 0 : (known[i - 1]!.place + place) / 2
    if (last?.outcome === outcome) last.to = place
    else {
      if (last) last.to = middle
      stretches.push({ from: middle, to: place, outcome })
    }
  })
  const last = stretches.at(-1)
  if (last) last.to = 1
  return stretches
}

export interface StretchHooks extends WorkHooks {
  grown?(so: Stretches): void
}

/** The outcomes along a track: coarse places first, then every border is halved until it is known to one place. */
export async function outcomesAlong(
  preset: Preset,
  { key, values, coarse }: StretchWish,
  run: RunLike,
  hooks: StretchHooks = {},
): Promise<Stretches> {
  const { grown, ...workHooks } = hooks
  const work = new Work(run, workHooks, Math.ceil(values.length / coarse) + 8)
  const base = quickly(preset)
  const last = values.length - 1
  const known = new Map<number, PointState>()
  const state = (status: Stretches['status']): Stretches => ({
    stretches: joined([...known].map(([index, outcome]) => ({ place: index / last, outcome }))),
    lives: work.done,
    status,
  })
  const changedTo = (index: number) => setKeys(base, [[key, values[index]!]])
  const foresee = (index: number): void => {
    const changed = changedTo(index)
    if (changed.ok) work.foresee(changed.preset)
  }
  const ask = async (index: number): Promise<void> => {
    if (known.has(index) || work.stopped) return
    const changed = changedTo(index)
    const life = changed.ok ? await work.life(changed.preset) : undefined
    if (work.stopped) return
    known.set(index, changed.ok ? (life?.summary.outcome ?? 'failed') : 'not-permitted')
    grown?.(state('growing'))
  }
  const places = Array.from({ length: Math.floor(last / coarse) + 1 }, (_, i) => i * coarse)
  if (places.at(-1) !== last) places.push(last)
  const order = coarseToFine(places.length, 1).map(({ index }) => places[index]!)
  for (const index of work.over(order, foresee)) await ask(index)
  await halveBorders(known, foresee, ask, () => work.stopped)
  return state(work.stopped ? 'stopped' : 'done')
}

/** Middles of all borders that are wider than one place, first to last. */
function middles(known: ReadonlyMap<number, PointState>): number[] {
  const order = [...known].sort(([a], [b]) => a - b)
  return order.flatMap(([index, outcome], i) => {
    const next = order[i + 1]
    return next && next[1] !== outcome && next[0] - index > 1 ? [(index + next[0]) >> 1] : []
  })
}

async function halveBorders(
  known: ReadonlyMap<number, PointState>,
  foresee: (index: number) => void,
  ask: (index: number) => Promise<void>,
  stopped: () => boolean,
): Promise<void> {
  for (let next = middles(known); next.length > 0 && !stopped(); next = middles(known)) {
    for (const index of next) foresee(index)
    await ask(next[0]!)
  }
}
