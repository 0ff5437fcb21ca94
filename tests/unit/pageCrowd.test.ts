/** Marks of long measured series: none is left out that would show. Plain geometry, no source needed. */
import { describe, expect, it } from 'vitest'
import { crowd } from '../../src/page/plots/crowd.ts'

/** Points of a long, noisy curve in a plot of 600 × 150 px; every 5000th far off the others. */
const places = Array.from({ length: 50_000 }, (_, i): [number, number] => [
  i * 0.012,
  i % 5000 === 77 ? 5 : 75 + 40 * Math.sin(i / 9000) + 3 * Math.sin(i * 12.9898),
])

describe('marks on one another', () => {
  it('are drawn once, and each point that is not drawn has a mark within half a mark of it', () => {
    const adds = crowd(places.length)
    const drawn = places.filter(([x, y]) => adds(x, y))
    expect(drawn.length).toBeLessThan(places.length / 5)
    for (const [x, y] of places.filter((_, i) => i % 97 === 0)) {
      expect(drawn.some(([a, b]) => Math.abs(a - x) <= 3 && Math.abs(b - y) <= 3)).toBe(true)
    }
    expect(drawn.filter(([, y]) => y === 5)).toHaveLength(10)
  })

  it('are all drawn in a short series; the pixels of the screen make no difference', () => {
    const short = crowd(2000)
    expect(places.slice(0, 2000).every(([x, y]) => short(x, y))).toBe(true)
    const count = (ratio: number) => {
      const adds = crowd(places.length, ratio)
      return places.filter(([x, y]) => adds(x * ratio, y * ratio)).length
    }
    expect(count(2)).toBe(count(1))
  })
})
