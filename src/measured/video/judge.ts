/**
 * Which frames of a recording show something else than the drop: lamp glare, what is too faint or too ragged to be
 * measured, and what jumps in a way that a drop does not. Looks at all frames together. Lengths in pixels.
 */
import { endOfLife } from './lifetime.ts'
import { medianOf } from './light.ts'
import { keyOf, type Reading, type Rejection, type RejectionKind, type Sight } from './sight.ts'
import { jumpOf, tracksOf } from './tracks.ts'
import type { DropMark, FrameResult } from './types.ts'

const percent = (share: number): string =>
  `${(100 * share).toFixed(share < 0.0995 ? 1 : 0)} %`.replace('.0 %', ' %')

/** What is brighter than the bath by more than this, and clipped on more than that share, is glare in itself. */
const brightGain = 0.05
const clippedShare = 0.3

/** Outlines that are rougher than this are no drop; less will do if the outline is long as well. */
const mostRagged = 0.22
const fairlyRagged = 0.12
const leastRoundness = 0.6

function rejectionOf({ drop, flags }: FrameResult): Rejection | null {
  if (!drop) return null
  const { gain, clipped, ragged, roundness, contrast, calmNoise } = drop
  if (gain > brightGain && clipped > clippedShare) {
    const text = `looks like lamp glare: brighter than the bath, and clipped on ${percent(clipped)} of its area`
    return { kind: 'glare', text: () => text }
  }
  if (flags.includes('faint')) {
    const text = `too faint: differs by ${percent(contrast)} from the bath, the noise is ${percent(calmNoise)}`
    return { kind: 'faint', text: () => text }
  }
  if (ragged > mostRagged || (ragged > fairlyRagged && roundness < leastRoundness)) {
    const text = `ragged: the outline strays by ${percent(ragged)} of the radius from a circle, roundness ${roundness.toFixed(2)}`
    return { kind: 'ragged', text: () => text }
  }
  return null
}

const alikePlace = (a: DropMark, b: DropMark): boolean =>
  Math.hypot(a.x - b.x, a.y - b.y) <= Math.max(2, 0.1 * Math.min(a.equivalentRadius, b.equivalentRadius))

const alikeSize = (a: number, b: number): boolean => Math.abs(a - b) <= Math.max(1.5, 0.05 * Math.max(a, b))

/** Sights at the same place, whatever their size. */
function heapsOf(sights: readonly Sight[]): Sight[][] {
  const heaps: Sight[][] = []
  for (const sight of sights) {
    const heap = heaps.find(([first]) => alikePlace(first!.drop, sight.drop))
    if (heap) heap.push(sight)
    else heaps.push([sight])
  }
  return heaps
}

/** Fewest frames that can show that something stays as it is. */
const fewest = 3

/** Median size of a heap if nine tenths of it have that size; null if it grows or shrinks, or is too small to tell. */
function steadySize(heap: readonly Sight[]): number | null {
  if (heap.length < fewest) return null
  const radius = medianOf(Float64Array.from(heap, ({ drop }) => drop.equivalentRadius))
  const same = heap.filter(({ drop }) => alikeSize(drop.equivalentRadius, radius)).length
  return same >= 0.9 * heap.length ? radius : null
}

/** What neither moves nor grows although it is bright, or was there before the drop. */
function standing(sights: readonly Sight[], before: DropMark | null): Map<number, Rejection> {
  const found = new Map<number, Rejection>()
  const put = (heap: readonly Sight[], kind: RejectionKind, words: string) => {
    for (const { key } of heap) found.set(key, { kind, text: () => words })
  }
  for (const heap of heapsOf(sights)) {
    const size = steadySize(heap)
    if (size === null || !before || !alikePlace(before, heap[0]!.drop)) continue
    if (alikeSize(before.equivalentRadius, size)) {
      put(heap, 'present', 'was there before touch-down, at the same place and of the same size')
    }
  }
  for (const heap of heapsOf(sights.filter(({ drop }) => drop.gain > brightGain))) {
    if (steadySize(heap) === null) continue
    const words = `looks like lamp glare or the dish: brighter than the bath, and neither moves nor grows in ${heap.length} frames`
    put(heap, 'glare', words)
  }
  return found
}

/** Light that differs from the bath's by less than this share is neither brighter nor darker. */
const leastGain = 0.015

/**
 * Sights brighter than the bath where the drop is darker, or the other way round: what a picture of the bath leaves where
 * the drop lay in most frames, or glare. The drop is what weighs more, by contrast and light together.
 */
function reversed(sights: readonly Sight[]): Map<number, Rejection> {
  const clear = sights.filter(({ drop }) => Math.abs(drop.gain) > leastGain)
  const sum = clear.reduce((all, { drop }) => all + drop.contrast * drop.gain, 0)
  const other = clear.filter(({ drop }) => drop.gain * sum < 0)
  const words =
    sum < 0 ? 'brighter than the bath, the drop is darker' : 'darker than the bath, the drop is brighter'
  return new Map(other.map(({ key }) => [key, { kind: 'reversed', text: () => words }]))
}

/** A drop's contrast may fall to this share of what it mostly is. */
const leastShare = 0.12

/** Frames of the drop itself in which hardly anything of it is left. */
function fadedOf(main: readonly Sight[]): Map<number, Rejection> {
  const usual = medianOf(Float64Array.from(main, ({ drop }) => drop.contrast))
  const faded = main.filter(({ drop }) => drop.contrast < leastShare * usual)
  return new Map(
    faded.map(({ key, drop }) => {
      const text = `too faint: differs by ${percent(drop.contrast)} from the bath, the drop mostly by ${percent(usual)}`
      return [key, { kind: 'faint', text: () => text }]
    }),
  )
}

/** A drop whose middle is pale looks hollow all its life; what is hollow by so much more has broken up. */
const mostHollow = 0.2

/** Child drops that lie in a ring where the drop was: their outline encloses bath. */
function brokenUp(sights: readonly Sight[]): Map<number, Rejection> {
  if (sights.length === 0) return new Map()
  const usual = medianOf(Float64Array.from(sights, ({ drop }) => drop.hollow ?? 0))
  const found = sights.filter(({ drop }) => (drop.hollow ?? 0) > usual + mostHollow)
  return new Map(
    found.map(({ key, drop }) => {
      const text = `broken up: ${percent(drop.hollow!)} of the area within the outline is bath`
      return [key, { kind: 'broken', text: () => text }]
    }),
  )
}

/** All that is seen after the drop's last sight: it is said so, and where it lies. */
function afterwards(sights: readonly Sight[], main: readonly Sight[]): Map<number, Rejection> {
  const last = main.at(-1)
  const when = last ? (last.key / 1e6).toFixed(3) : ''
  return new Map(
    sights
      .filter(({ key }) => last && key > last.key)
      .map((sight) => {
        const why = jumpOf(sight, main)
        const text = (length: (pixels: number) => string) =>
          `after the drop was last seen, at ${when} s of the recording: ${why(length)}`
        return [sight.key, { kind: 'collapsed', text }]
      }),
  )
}

/**
 * The frames that do not count unless the user says so, by their key, each with its reason. `before` is what was found
 * in a picture from before touch-down (null: none, or nothing was found).
 */
export function judge(
  readings: Iterable<Reading>,
  before: FrameResult | null = null,
): ReadonlyMap<number, Rejection> {
  const sorted = [...readings].sort((a, b) => a.time - b.time)
  const rejections = new Map<number, Rejection>()
  const sights: Sight[] = []
  for (const { time, result } of sorted) {
    if (!result.drop || result.flags.includes('touches-border')) continue
    sights.push({ key: keyOf(time), drop: result.drop })
    const rejection = rejectionOf(result)
    if (rejection) rejections.set(keyOf(time), rejection)
  }
  const left = () => sights.filter(({ key }) => !rejections.has(key))
  const add = (more: ReadonlyMap<number, Rejection>) => {
    for (const [key, rejection] of more) rejections.set(key, rejection)
  }
  add(standing(sights, before?.drop ?? null))
  add(brokenUp(left()))
  add(reversed(left()))
  const { main, jumps } = tracksOf(left())
  const faded = fadedOf(main)
  const seen = main.filter(({ key }) => !faded.has(key))
  const life = seen.slice(
    0,
    endOfLife(
      seen,
      sorted.map(({ time }) => keyOf(time)),
    ) + 1,
  )
  const rest = left().filter(({ key }) => !faded.has(key))
  add(jumps)
  add(faded)
  add(afterwards(rest, life))
  return rejections
}

/** Of one frame, and of several. */
const kindWords: Record<RejectionKind, readonly [string, string]> = {
  glare: ['looks like lamp glare or the dish', 'look like lamp glare or the dish'],
  present: ['shows what was there before touch-down', 'show what was there before touch-down'],
  faint: ['is too faint', 'are too faint'],
  ragged: ['is too ragged', 'are too ragged'],
  broken: ['has broken up', 'have broken up'],
  jumped: ['jumps', 'jump'],
  reversed: ['differs the other way round', 'differ the other way round'],
  collapsed: ['comes after the drop’s end', 'come after the drop’s end'],
}

/** "20 are too faint, 1 jumps", the most frequent first; empty for none. */
export function tally(rejections: Iterable<Rejection>): string {
  const counts = new Map<RejectionKind, number>()
  for (const { kind } of rejections) counts.set(kind, (counts.get(kind) ?? 0) + 1)
  return [...counts]
    .sort((a, b) => b[1] - a[1])
    .map(([kind, count]) => `${count} ${kindWords[kind][count === 1 ? 0 : 1]}`)
    .join(', ')
}
