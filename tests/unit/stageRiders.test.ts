import { describe, expect, it } from 'vitest'
import type { LifeFrames } from '../../src/life/types.ts'
import { jumble, onPath, path, speedAt } from '../../src/page/stage/advect.ts'
import { ChildDrops, mostChildren, passingTimes } from '../../src/page/stage/childDrops.ts'
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
  it('keeps film within the edge and the outside outside', () => {
    path(frames, dish, 'film', { r: 0.0041, t0: 0, t1: 4, steps }, radii)
    for (let k = 1; k <= steps; k++) {
      expect(radii[k]!).toBeLessThanOrEqual(0.004 * Math.exp(a * ((4 * k) / steps)) * (1 + 1e-4))
    }
    path(frames, dish, 'bath', { r: 0.004, t0: 0, t1: 4, steps, outside: true }, radii)
    for (let k = 1; k <= steps; k++) {
      expect(radii[k]!).toBeGreaterThanOrEqual(0.004 * Math.exp(a * ((4 * k) / steps)) * (1 - 1e-4))
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
  it('lie outside the rim, none before break-up, all at the end', () => {
    const life = syntheticLife()
    const drops = new ChildDrops(life.frames, life.series, dish, 0.001)
    expect(drops.at(0.1, () => {})).toBe(0)
    for (const k of [60, 100, 159]) {
      drops.at(life.frames.t[k]!, (r) => {
        expect(r).toBeGreaterThan(life.frames.R[k]! * 0.999)
      })
    }
    expect(drops.at(8, () => {})).toBe(mostChildren)
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
