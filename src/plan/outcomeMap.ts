/** Outcome and all outputs of lives over two keys of a preset, filled in from coarse to fine. */
import { setKeys } from '../life/preset.ts'
import type { Preset } from '../life/types.ts'
import { type NextPoint, nextPoints, noteAgreement } from './mapCells.ts'
import {
  coarseToFine,
  emptyMap,
  type MapStart,
  type MapWish,
  type OutcomeMap,
  RUN,
  spread,
  takeKnown,
} from './mapGrid.ts'
import { OUTPUTS } from './outputs.ts'
import { quickly, type RunLike, Work, type WorkHooks } from './work.ts'

export interface MapHooks extends WorkHooks {
  /** Called after every point with the map so far: always the same object, being filled. */
  grown?(map: OutcomeMap): void
  /** Keep the preset's accuracy instead of the quick one. */
  ownAccuracy?: boolean
  /** A map of the same drop and accuracy: its points are not run again, if its axes have the same ends. */
  known?: OutcomeMap
}

/** A point that is to be run; without a preset where the rules of presets forbid it. */
interface Point extends NextPoint {
  preset: Preset | null
}

class Filling {
  private readonly work: Work

  constructor(
    private readonly map: OutcomeMap,
    private readonly base: Preset,
    run: RunLike,
    private readonly hooks: MapHooks,
  ) {
    const { progress: _, ...workHooks } = hooks
    this.work = new Work(run, workHooks, map.total)
  }

  get stopped(): boolean {
    return this.work.stopped
  }

  private *presets(points: readonly NextPoint[]): Generator<Point> {
    const { map } = this
    const nx = map.x.length
    for (const { index, step } of points) {
      const i = index % nx
      const changed = setKeys(this.base, [
        [map.keys[0].path, map.x[i]!],
        [map.keys[1].path, map.y[(index - i) / nx]!],
      ])
      yield { index, step, preset: changed.ok ? changed.preset : null }
    }
  }

  /** Runs one point. */
  private async fill({ index, preset }: Point): Promise<void> {
    const { map, work } = this
    if (!preset) {
      map.outcome[index] = 'not-permitted'
      return
    }
    const life = await work.life(preset)
    if (work.stopped) return
    map.outcome[index] = life ? life.summary.outcome : 'failed'
    if (life) for (const { id, of } of OUTPUTS) map.values[id]![index] = of(life)
  }

  /** Runs points in their order; the map's share grows from `from` to `to`. */
  async all(points: readonly NextPoint[], from: number, to: number): Promise<void> {
    const { map, work, hooks } = this
    let behind = 0
    for (const point of work.over(this.presets(points), ({ preset }) => preset && work.foresee(preset))) {
      await this.fill(point)
      if (work.stopped) return
      map.run[point.index] = RUN
      map.done++
      map.share = Math.max(map.share, from + ((to - from) * ++behind) / points.length)
      spread(map, point.index, point.step)
      hooks.progress?.(map.done, map.total)
      hooks.grown?.(map)
    }
  }
}

/** Every point that is not known. */
async function fillAll(map: OutcomeMap, filling: Filling): Promise<void> {
  const left = coarseToFine(map.x.length, map.y.length).filter(({ index }) => map.run[index] !== RUN)
  await filling.all(left, map.done / map.total, 1)
}

/** The first grid, then the points of ever smaller cells wherever something changes. */
async function refine(map: OutcomeMap, filling: Filling, by: string | undefined): Promise<void> {
  const levels = Math.ceil(Math.log2(Math.max(2, map.coarse))) + 1
  for (;;) {
    const { points, share } = nextPoints(map, by)
    noteAgreement(map, by)
    if (points.length === 0) return
    await filling.all(points, share, Math.min(1, share + 1 / levels))
    if (filling.stopped) return
  }
}

/** Runs the lives of a map. A failed life is an outcome; a point against the rules of presets is skipped. */
export async function outcomeMap(
  preset: Preset,
  wish: MapWish,
  run: RunLike,
  hooks: MapHooks = {},
): Promise<MapStart> {
  const start = emptyMap(wish)
  if (!start.ok) return start
  const { map } = start
  if (hooks.known) takeKnown(map, hooks.known)
  const filling = new Filling(map, hooks.ownAccuracy ? preset : quickly(preset), run, hooks)
  if (wish.refine && wish.refine.coarse > 1) await refine(map, filling, wish.refine.by)
  else await fillAll(map, filling)
  if (filling.stopped) noteAgreement(map, wish.refine?.by)
  else map.share = 1
  map.status = filling.stopped ? 'stopped' : 'done'
  return { ok: true, map }
}
