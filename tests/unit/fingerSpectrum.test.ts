/**
 * Number of fingers on an outline, against outlines and pictures that the test makes from a known number. Closed forms:
 * of r = R(1 + a cos Nθ) the area is πR²(1 + a²/2), the mean radius R, tips lie at R(1 + a), necks at R(1 − a).
 */
import { describe, expect, it } from 'vitest'
import { fingersOf } from '../../src/measured/video/fingerSpectrum.ts'
import { fingersIn } from '../../src/measured/video/fingersInFrame.ts'
import { markDrop } from '../../src/measured/video/mark.ts'
import type { FingerReading } from '../../src/measured/video/types.ts'
import { plainSettings } from '../../src/measured/video/types.ts'
import { chanceRim, evenRim, outlineOf, type Rim, unevenRim } from '../fixtures/fingeredRims.ts'
import { drawScene, dyes, goodLight, poorLight, straw } from '../fixtures/syntheticVideo.ts'

/** Radius of a drop whose fingers are `spacing` px apart. */
const radiusFor = (count: number, spacing: number): number => (count * spacing) / (2 * Math.PI)
const seeds = (many: number): number[] => Array.from({ length: many }, (_, i) => 31 * i + 7)

function within(reading: FingerReading, count: number, label: string): void {
  const said = `${label}: ${reading.verdict} ${reading.count} ± ${reading.countError} instead of ${count}`
  expect(reading.verdict, said).toBe('counted')
  expect(Math.abs(reading.count - count) <= 0.05 * count, said).toBe(true)
  expect(Math.abs(reading.count - count) <= 2.5 * reading.countError, said).toBe(true)
}

describe('fingers of known number, 12 px from one to the next', () => {
  it('all alike: number, spacing, radii, tips and necks', () => {
    for (const count of [8, 12, 30, 61, 120]) {
      const radius = radiusFor(count, 12)
      const height = 2 / radius
      const reading = fingersOf(outlineOf(evenRim(count, height), radius, 0.1, count))
      within(reading, count, `${count}`)
      expect(reading.count).toBeCloseTo(count, 9)
      expect(reading.tips).toBe(count)
      expect(reading.necks).toBe(count)
      expect(Math.abs(reading.meanRadius - radius)).toBeLessThan(0.05)
      expect(Math.abs(reading.areaRadius - radius * Math.sqrt(1 + height ** 2 / 2))).toBeLessThan(0.05)
      expect(Math.abs(reading.tipRadius - (radius + 2))).toBeLessThan(0.2)
      expect(Math.abs(reading.neckRadius - (radius - 2))).toBeLessThan(0.2)
      expect(Math.abs(reading.spacing - 12)).toBeLessThan(0.05)
    }
  })
  it('unequal in height, then in spacing too; nine tenths within 2 standard errors', () => {
    const pulls: number[] = []
    for (const [stray, differ] of [
      [0, 0.35],
      [0.1, 0.25],
    ] as const) {
      for (const count of [30, 60]) {
        for (const seed of seeds(12)) {
          const radius = radiusFor(count, 12)
          const rim = unevenRim(count, 1.8 / radius, stray, differ, seed + count)
          const reading = fingersOf(outlineOf(rim, radius, 0.25, seed))
          within(reading, count, `${count}, stray ${stray}, seed ${seed}`)
          pulls.push(Math.abs(reading.count - count) / reading.countError)
        }
      }
    }
    expect(pulls.filter((pull) => pull <= 2).length / pulls.length).toBeGreaterThanOrEqual(0.9)
  })
  it('waves of many numbers, heights and phases by chance', () => {
    for (const middle of [60, 120]) {
      for (const seed of seeds(12)) {
        const radius = radiusFor(middle, 12)
        const { rim, count } = chanceRim(middle, 1.8 / radius, seed)
        within(fingersOf(outlineOf(rim, radius, 0.25, seed)), count, `${middle}, seed ${seed}`)
      }
    }
  })
  it('fingers with heads, whose rim overhangs', () => {
    const [count, radius] = [24, 120]
    const flat = new Float32Array(6000)
    for (let i = 0; i < 3000; i++) {
      const t = (2 * Math.PI * i) / 3000
      const away = radius + 12 * Math.cos(count * t)
      const angle = t - (1.5 / count) * Math.sin(count * t) * (1 + 0.6 * Math.cos(count * t))
      flat[2 * i] = 200 + away * Math.cos(angle)
      flat[2 * i + 1] = 200 + away * Math.sin(angle)
    }
    const reading = fingersOf(flat)
    within(reading, count, 'overhanging')
    expect(Math.abs(reading.tipRadius - 132)).toBeLessThan(1)
    expect(Math.abs(reading.neckRadius - 108)).toBeLessThan(1)
  })
})

describe('where nothing can be told', () => {
  it('below 6 px a finger there is no number', () => {
    for (const spacing of [5.7, 5, 4, 3, 2]) {
      for (const count of [30, 60]) {
        const radius = radiusFor(count, spacing)
        for (const rim of [evenRim(count, 1.5 / radius), unevenRim(count, 1.5 / radius, 0.1, 0.3, count)]) {
          const { verdict, count: told } = fingersOf(outlineOf(rim, radius, 0.2, count))
          expect(verdict, `${spacing} px: ${told}`).not.toBe('counted')
        }
      }
    }
    const radius = radiusFor(40, 5)
    expect(fingersOf(outlineOf(evenRim(40, 1.5 / radius), radius)).verdict).toBe('fine')
  })
  it('a smooth rim has none, however noisy its outline', () => {
    for (const radius of [20, 60, 200]) {
      for (const noise of [0, 0.1, 0.3, 0.6, 1]) {
        for (const seed of seeds(8)) {
          const oval: Rim = (angle) => 1 + 0.04 * Math.cos(2 * angle) + 0.02 * Math.cos(3 * angle + 1)
          const { verdict, count } = fingersOf(outlineOf(oval, radius, noise, seed))
          expect(verdict, `radius ${radius}, noise ${noise}, seed ${seed}: ${count}`).toBe('none')
        }
      }
    }
  })
  it('what does not go round its own middle is no rim', () => {
    expect(fingersOf([]).verdict).toBe('no-rim')
    expect(fingersOf([0, 0, 1, 0, 1, 1]).verdict).toBe('no-rim')
    const crescent = Float32Array.from({ length: 400 }, (_, i) => {
      const k = Math.floor(i / 2)
      const [r, angle] = k < 100 ? [100, (k / 100) * 4.5] : [90, ((200 - k) / 100) * 4.5]
      return i % 2 === 0 ? r * Math.cos(angle) : r * Math.sin(angle)
    })
    expect(fingersOf(crescent).verdict).toBe('no-rim')
  })
})

describe('an incomplete rim', () => {
  const [count, radius] = [60, radiusFor(60, 12)]
  /** A quarter of the turn is a plain arc. */
  const partial: Rim = (angle) =>
    angle > 1 && angle < 1 + Math.PI / 2 ? 1 : evenRim(count, 2 / radius)(angle)
  it('the rest stands for a stretch that was bridged', () => {
    const reading = fingersOf(outlineOf(partial, radius, 0.1), { bridged: 0.25 })
    within(reading, count, 'bridged')
    expect(Math.abs(reading.seen - 0.75)).toBeLessThan(0.03)
    const whole = fingersOf(outlineOf(evenRim(count, 2 / radius), radius, 0.1))
    expect(reading.countError).toBeGreaterThan(2 * whole.countError)
  })
  it('a stretch that is seen to be smooth has none', () => {
    const reading = fingersOf(outlineOf(partial, radius, 0.1))
    within(reading, 0.75 * count, 'seen')
    expect(Math.abs(reading.spacing - 12)).toBeLessThan(0.5)
  })
  it('with more than half without fingers, or much of it bridged, nothing is told', () => {
    const little: Rim = (angle) => (angle < 4 ? 1 : evenRim(count, 2 / radius)(angle))
    expect(fingersOf(outlineOf(little, radius, 0.1)).verdict).not.toBe('counted')
    expect(fingersOf(outlineOf(partial, radius, 0.1), { bridged: 0.4 }).verdict).toBe('irregular')
  })
})

it('neither place, sense nor starting point of the outline matter', () => {
  const radius = radiusFor(30, 12)
  const rim = unevenRim(30, 1.8 / radius, 0.1, 0.25, 5)
  const first = fingersOf(outlineOf(rim, radius))
  const moved = fingersOf(outlineOf((angle) => rim(angle + 2), radius, 0, 1, { x: 900, y: 120 }))
  const mirrored = fingersOf(outlineOf((angle) => rim(-angle), radius))
  for (const other of [moved, mirrored]) {
    expect(other.count).toBeCloseTo(first.count, 6)
    expect(other.tipRadius).toBeCloseTo(first.tipRadius, 1)
  }
})

describe('drawn as pictures and traced', () => {
  const traced = (rim: Rim | null, radius: number, light: typeof goodLight, seed: number) => {
    const size = Math.ceil(2.7 * radius + 30)
    const frame = drawScene({
      width: size,
      height: size,
      drop: { x: size / 2 + 0.3, y: size / 2 - 0.4, r: radius },
      bath: straw,
      passes: dyes.middling,
      ...light,
      seed,
      ...(rim ? { shape: rim } : {}),
    })
    const settings = plainSettings()
    return fingersIn(frame, settings, null, markDrop(frame, settings))!
  }
  for (const [name, light] of [
    ['good', goodLight],
    ['poor', poorLight],
  ] as const) {
    it(`12 px a finger in ${name} light: within 5 %`, () => {
      const radius = radiusFor(50, 12)
      within(traced(evenRim(50, 1.8 / radius), radius, light, 3), 50, 'alike')
      within(traced(unevenRim(50, 1.8 / radius, 0, 0.35, 4), radius, light, 4), 50, 'of unequal height')
      within(traced(unevenRim(50, 1.8 / radius, 0.1, 0.25, 5), radius, light, 5), 50, 'unequal')
    })
    it(`no number below 6 px a finger and on a smooth rim in ${name} light`, () => {
      for (const spacing of [5, 3]) {
        const radius = radiusFor(60, spacing)
        const { verdict } = traced(evenRim(60, (0.15 * spacing) / radius), radius, light, 6)
        expect(verdict, `${spacing} px`).not.toBe('counted')
      }
      for (const radius of [12, 40, 90])
        expect(traced(null, radius, light, 7).verdict, `${radius} px`).toBe('none')
    })
  }
})
