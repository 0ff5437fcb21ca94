/** What rides on the flow and the lines on the drop: filled into the scene's streaks for one moment. */
import type { Life } from '../../life/types.ts'
import type { Fields } from '../../life/view.ts'
import { ChildDrops, leastChild } from './childDrops.ts'
import type { FlatChild } from './flat.ts'
import type { Framing } from './framing.ts'
import type { ChildrenShown } from './notes.ts'
import { type Profile, profileHeight } from './profile.ts'
import { type Streaks, streakKind } from './streaks.ts'
import { Tracers } from './tracers.ts'

export class Riders {
  private readonly tracers: Tracers
  private readonly drops: ChildDrops | null

  /** @param span radial span, m @param timeSpan s */
  constructor(life: Life, span: number, timeSpan: number) {
    const dish = life.preset.bath.dishRadius_mm * 1e-3
    this.tracers = new Tracers(life.frames, dish, 1.15 * span, Math.max(0.1, timeSpan / 10))
    const leave = (life.series.childCount.at(-1) ?? 0) > 0
    this.drops = leave ? new ChildDrops(life.frames, life.series, dish) : null
  }

  /** @param calm radius up to which the film has its mean height and tracers can lie on it, m */
  put(streaks: Streaks, { R, time }: Fields, profile: Profile, frame: Framing, calm: number): ChildrenShown {
    // A small drop would be covered by its tracers.
    const crowd = Math.min(1, (R * frame.scale) / 160) ** 2
    this.tracers.at(time, (carrier, now, before, angle, opacity) => {
      const onFilm = carrier === 'film'
      if (onFilm ? now > calm : now < R) return
      const last = onFilm ? Math.min(before, calm) : Math.max(before, R)
      const y0 = onFilm ? profileHeight(profile, last) : 0
      const y1 = onFilm ? profileHeight(profile, now) : 0
      const strength = onFilm ? 0.7 * crowd : 0.45
      streaks.put(streakKind[carrier], angle, last, y0, now, y1, strength * opacity)
    })
    return this.putChildren(streaks, time, R, frame)
  }

  /** The child drops that are drawn, for a flat picture. */
  children({ time, R }: Fields): FlatChild[] {
    const all: FlatChild[] = []
    this.drops?.at(time, R, (r, angle, opacity, radius) => all.push({ r, angle, opacity, radius }))
    return all
  }

  /** To scale where they are wide enough for that. */
  private putChildren(streaks: Streaks, time: number, R: number, frame: Framing): ChildrenShown {
    const { drops } = this
    let enlarged = 0
    const shown = drops?.at(time, R, (r, angle, opacity, radius) => {
      const width = 2 * frame.scale * radius
      if (!(width >= leastChild)) enlarged++
      streaks.put(streakKind.child, angle, r, 0, r, 0, opacity, Math.max(leastChild, width || 0))
    })
    const total = drops?.leftBy(time) ?? 0
    return { shown: shown ?? 0, enlarged, total, every: drops?.every ?? 1 }
  }
}
