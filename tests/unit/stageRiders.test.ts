import { describe, expect, it } from 'vitest'
import type { Life, LifeFrames } from '../../src/life/types.ts'
import { createFields, moveTo } from '../../src/life/view.ts'
import { jumble, onPath, path, speedAt } from '../../src/page/stage/advect.ts'
import { beadAngle, beadsShown } from '../../src/page/stage/beadWave.ts'
import { ChildDrops, mostChildren, passingTimes, thinning } from '../../src/page/stage/childDrops.ts'
import { mostTracers, Tracers } from '../../src/page/stage/tracers.ts'
import { syntheticLife } from '../fixtures/syntheticLife.ts'

const dish = 0.07

/** A flow with a known answer: u = a r under the drop and (no further use) 0 at the wall; R = R0 exp(a t). */
function stretching(a: number, R0: number, end: number): LifeFrames {
  const { frames } = syntheticLife({ moments: 200, inner: 40, outer: 20, end })
  const faces = frames.inner + 1
  for (let k = 0; k < frames.count; k++) {
    frames.t[k] = (end * k) / (frames.count - 1)
    const R = R0 * Math.exp(a * frames.t[k]!)
    frames.R[k] = R
    for (let i = 0; i < faces; i++) {
      frames.surfaceSpeed[k * faces + i] = a * R * frames.sFaces[i]!
      frames.u[k * (faces + frames.outer) + i] = a * R * frames.sFaces[i]!
    }
  }
  return frames
}

describe('riding on the flow', () => {
  const a = 0.4
  const frames = stretching(a, 0.004, 4)
  const steps = 40
  const radii = new Float32Array(steps + 1)

  // Closed form: dr/dt = a r gives r = r0 exp(a t).
  it('follows a uniformly stretched film', () => {
    path(frames, dish, 'film', { r: 0.002, t0: 0, t1: 4, steps }, radii)
    for (const t of [0, 1, 2.5, 4]) {
      expect(onPath(radii, 0, steps, 0, 4, t) / (0.002 * Math.exp(a * t))).toBeCloseTo(1, 2)
    }
  })
  it('gives the same place for the same time, whatever was asked before', () => {
    path(frames, dish, 'film', { r: 0.001, t0: 0.5, t1: 3, steps }, radii)
    const first = onPath(radii, 0, steps, 0.5, 3, 1.7)
    onPath(radii, 0, steps, 0.5, 3, 2.9)
    expect(onPath(radii, 0, steps, 0.5, 3, 1.7)).toBe(first)
  })
  it('keeps film within the edge', () => {
    path(frames, dish, 'film', { r: 0.0041, t0: 0, t1: 4, steps }, radii)
    for (let k = 1; k <= steps; k++) {
      expect(radii[k]!).toBeLessThanOrEqual(0.004 * Math.exp(a * ((4 * k) / steps)) * (1 + 1e-4))
    }
  })
  it('reads speeds off the mesh', () => {
    expect(speedAt(frames, dish, 'bath', 0.003, 0)).toBeCloseTo(a * 0.003, 12)
    expect(speedAt(frames, dish, 'bath', dish, 1)).toBe(0)
  })
})

describe('tracers', () => {
  const { frames } = syntheticLife()
  const all = (tracers: Tracers, t: number) => {
    const seen: number[][] = []
    tracers.at(t, (carrier, now, before, angle, opacity) =>
      seen.push([carrier === 'film' ? 1 : 0, now, before, angle, opacity]),
    )
    return seen
  }

  it('are a function of time alone: a jump gives what playing there gives', () => {
    const played = new Tracers(frames, dish, 0.04, 0.8)
    for (let t = 0; t < 3; t += 0.05) all(played, t)
    expect(all(played, 3)).toEqual(all(new Tracers(frames, dish, 0.04, 0.8), 3))
  })
  it('stay evenly many: opacities of the two generations add up to one', () => {
    const tracers = new Tracers(frames, dish, 0.04, 0.8)
    for (const t of [0.31, 1, 4.44]) {
      const seen = all(tracers, t)
      expect(seen.length).toBe(mostTracers)
      const sum = seen.reduce((total, [, , , , opacity]) => total + opacity!, 0)
      expect(sum / (mostTracers / 2)).toBeCloseTo(1, 9)
      for (const [film, now, , angle] of seen) {
        expect(now).toBeGreaterThanOrEqual(0)
        if (film) expect(now).toBeLessThanOrEqual(0.0281)
        expect(angle).toBeGreaterThanOrEqual(0)
        expect(angle).toBeLessThanOrEqual(Math.PI)
      }
    }
  })
})

describe('child drops', () => {
  it('leave when the booked number passes equal shares', () => {
    const t = Float64Array.of(0, 1, 2, 4)
    const count = Float64Array.of(0, 0, 10, 20)
    expect([...passingTimes(t, count, 4)]).toEqual([1.25, 1.75, 2.5, 3.5])
    expect(passingTimes(t, new Float64Array(4), 4).length).toBe(0)
  })
  const all = (drops: ChildDrops, life: Life, t: number) => {
    const fields = createFields()
    moveTo(fields, life.frames, dish, t)
    const seen: { r: number; angle: number; opacity: number; radius: number }[] = []
    drops.at(t, fields.R, (r, angle, opacity, radius) => seen.push({ r, angle, opacity, radius }))
    return { seen, R: fields.R }
  }

  it('lie outside the edge, none before break-up; the last stay when the drop has gone', () => {
    const life = syntheticLife()
    const drops = new ChildDrops(life.frames, life.series, dish)
    expect(all(drops, life, 0.1).seen).toEqual([])
    for (const k of [60, 100, 159]) {
      const { seen, R } = all(drops, life, life.frames.t[k]!)
      for (const { r } of seen) expect(r).toBeGreaterThanOrEqual(R)
    }
    const last = all(drops, life, 8).seen.length
    expect(last).toBeGreaterThan(100)
    expect(all(drops, life, 80).seen.length).toBe(last)
  })
  it('are a function of time alone: a jump gives what playing there gives', () => {
    const life = syntheticLife()
    const played = new ChildDrops(life.frames, life.series, dish)
    for (let t = 0; t < 6; t += 0.1) all(played, life, t)
    expect(all(played, life, 5)).toEqual(all(new ChildDrops(life.frames, life.series, dish), life, 5))
  })
  it('have the computed number, or one of so many as it says', () => {
    expect([2, 960, 962, 2731, 12001, 7e5].map(thinning)).toEqual([1, 1, 2, 5, 20, 1000])
    for (const total of [1, 40, 961, 5000, 7e5]) {
      const life = syntheticLife()
      life.series.childCount.forEach((count, k) => {
        life.series.childCount[k] = (count / life.series.childCount.at(-1)!) * total
      })
      const drops = new ChildDrops(life.frames, life.series, dish)
      // Left on a bath at rest none is swallowed: the half circle has half of them.
      life.frames.U.fill(0)
      life.frames.u.fill(0)
      const { seen } = all(drops, life, 9)
      expect(Math.abs(seen.length * drops.every * 2 - total)).toBeLessThanOrEqual(drops.every + 1)
      expect(seen.length).toBeLessThanOrEqual(mostChildren)
    }
  })
  it('are as many as have left by then, never fewer than are seen', () => {
    const life = syntheticLife()
    const drops = new ChildDrops(life.frames, life.series, dish)
    life.frames.U.fill(0)
    life.frames.u.fill(0)
    for (let t = 1; t < 8; t += 0.0377) {
      const { seen } = all(drops, life, t)
      // The i-th stands for the middle of its share.
      const least = 2 * drops.every * (seen.length - 0.5)
      if (seen.length > 0) expect(drops.leftBy(t) / least).toBeGreaterThan(0.999)
      expect(drops.leftBy(t)).toBeLessThan(2 * drops.every * (seen.length + 0.51))
    }
  })
  it('leave from the beads of that moment, with their radius', () => {
    const life = syntheticLife()
    const { t, beads, childRadius } = life.series
    const k = life.series.childCount.findIndex((count) => count > 0) - 1
    const drops = new ChildDrops(life.frames, life.series, dish)
    const { seen } = all(drops, life, t[k + 3]!)
    expect(seen.length).toBeGreaterThan(3)
    const now = [k, k + 1, k + 2, k + 3].flatMap((i) =>
      Array.from({ length: beadsShown(beads[i]!) }, (_, j) => beadAngle(beads[i]!, j)),
    )
    for (const { angle, radius } of seen) {
      expect(Math.min(...now.map((at) => Math.abs(at - angle)))).toBeLessThan(1e-9)
      expect(radius).toBe(childRadius[k + 3])
    }
  })

  /** A bath that rests at the edge and flows outwards beyond it with the speed `a` (r − R). */
  function outward(a: number, edgeSpeed = 0): Life {
    const life = syntheticLife({ moments: 120, inner: 40, outer: 40, end: 4 })
    const { frames, series } = life
    const faces = frames.inner + 1
    for (let k = 0; k < frames.count; k++) {
      frames.t[k] = series.t[k] = (4 * k) / (frames.count - 1)
      frames.R[k] = 0.01
      series.beadAmplitude[k] = 1e-3
      series.childRadius[k] = 1e-4
      series.childCount[k] = frames.t[k]! >= 1 ? 40 : 0
      for (let i = 0; i < faces; i++) frames.u[k * (faces + frames.outer) + i] = edgeSpeed
      for (let j = 1; j <= frames.outer; j++) {
        frames.u[k * (faces + frames.outer) + frames.inner + j] =
          edgeSpeed + a * frames.gFaces[j]! * (dish - 0.01)
      }
    }
    return life
  }
  // Closed form: d(gap)/dt = a gap gives gap = gap0 exp(a t).
  it('are carried on by the bath’s surface', () => {
    const life = outward(0.5)
    const drops = new ChildDrops(life.frames, life.series, dish)
    const gaps = (t: number) => all(drops, life, t).seen.map(({ r }) => r - 0.01)
    const [early, late] = [gaps(1.1), gaps(3.1)]
    expect(early.length).toBe(20)
    early.forEach((gap, i) => {
      expect(gap).toBeGreaterThan(0.0008)
      expect(late[i]! / gap / Math.exp(0.5 * 2)).toBeCloseTo(1, 2)
    })
  })
  it('are swallowed, and fade, where the edge overtakes them', () => {
    // The edge runs out at 10 mm/s, the bath beyond it rests: a gap of some 1.1 mm is closed in 0.11 s.
    const life = outward(0, 0.01)
    const { frames } = life
    const faces = frames.inner + 1
    for (let k = 0; k < frames.count; k++) {
      frames.R[k] = 0.01 + 0.01 * frames.t[k]!
      for (let j = 1; j <= frames.outer; j++) frames.u[k * (faces + frames.outer) + frames.inner + j] = 0
    }
    const drops = new ChildDrops(frames, life.series, dish)
    expect(all(drops, life, 1.05).seen.length).toBe(20)
    const { seen, R } = all(drops, life, 1.3)
    for (const { r, opacity } of seen) {
      expect(r).toBeGreaterThanOrEqual(R)
      expect(opacity).toBeLessThan(1)
    }
    expect(all(drops, life, 2).seen).toEqual([])
  })
  it('are scattered without a pattern but always alike', () => {
    const values = Array.from({ length: 2000 }, (_, i) => jumble(i))
    expect(values.every((x) => x >= 0 && x < 1)).toBe(true)
    const mean = values.reduce((a, b) => a + b) / values.length
    expect(Math.abs(mean - 0.5)).toBeLessThan(0.03)
    // Neighbours are not correlated.
    const pairs = values.slice(1).reduce((sum, x, i) => sum + (x - 0.5) * (values[i]! - 0.5), 0) / 1999
    expect(Math.abs(pairs * 12)).toBeLessThan(0.08)
    expect(jumble(7)).toBe(jumble(7))
  })
})
