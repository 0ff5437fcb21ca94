/** How sharp a moving drop is drawn: common practice, no source. */
import { describe, expect, it } from 'vitest'
import { Sharpness } from '../../src/page/stage/sharpness.ts'

/** Draws `count` pictures `gap` ms apart; the levels that came of it. */
function run(sharpness: Sharpness, from: number, gap: number, count: number): number[] {
  return Array.from({ length: count }, (_, i) => sharpness.moving(from + i * gap))
}

describe('sharpness of a moving drop', () => {
  it('stays whole where pictures come with the display, at 60 and at 30 a second', () => {
    for (const gap of [7, 17, 33]) expect(Math.min(...run(new Sharpness(), 0, gap, 200))).toBe(1)
  })
  it('falls at once where they do not, and not below a third', () => {
    const levels = run(new Sharpness(), 0, 200, 20)
    expect(levels.slice(0, 4)).toEqual([1, 0.5, 0.35, 0.35])
    expect(Math.min(...levels)).toBe(0.35)
  })
  it('begins the next move as coarse as the last one had to be', () => {
    const sharpness = new Sharpness()
    run(sharpness, 0, 200, 5)
    expect(sharpness.coarse).toBe(true)
    expect(sharpness.moving(60_000)).toBe(0.35)
  })
  it('is not misled by one hitch for long, nor tries again and again where it fails', () => {
    const sharpness = new Sharpness()
    sharpness.moving(0)
    expect(sharpness.moving(100)).toBe(0.5)
    expect(run(sharpness, 116, 16, 40).at(-1)).toBe(1)
    let [failures, now] = [0, 10_000]
    // Whole pictures take 80 ms here, coarse ones 16: tries become rare.
    let level = sharpness.moving(now)
    for (let i = 0; i < 2000; i++) {
      now += level === 1 ? 80 : 16
      const next = sharpness.moving(now)
      if (level === 1 && next < 1) failures++
      level = next
    }
    expect(failures).toBeGreaterThanOrEqual(1)
    expect(failures).toBeLessThan(8)
  })
})
