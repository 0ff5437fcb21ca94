/** Thickness from a film's colours in white light: films of known thickness, with noise, blur, uneven and tinted light, stray light. */
import { describe, expect, it } from 'vitest'
import { defaultPreset } from '../../src/life/preset.ts'
import { bestCourse } from '../../src/measured/fringes/colourPath.ts'
import { totalSigma } from '../../src/measured/fringes/types.ts'
import { thicknessWhiteLight } from '../../src/measured/fringes/whiteLight.ts'
import type { Triple } from '../../src/optics/colourSpace.ts'
import { filmColours, filmLight } from '../../src/page/fringes/colours.ts'
import { stackOf } from '../../src/page/stage/look.ts'
import { type Film, filmOfLife, randomOf, takePicture } from '../fixtures/filmPictures.ts'

const stack = stackOf(defaultPreset())
const SHARE = 0.55
const colours = filmColours(stack, SHARE)
const exact = filmLight(stack, SHARE)
const known = new Map<number, Triple>()

/** Light of the film through a camera of its own white balance, with stray light. */
function camera(seed: number) {
  const random = randomOf(seed)
  const balance = [0.85 + 0.3 * random(), 1, 0.75 + 0.4 * random()]
  const stray = 0.08 * random()
  return (h: number | null): Triple => {
    const nm = Math.round(1e9 * (h ?? 0))
    const light = known.get(nm) ?? exact(1e-9 * nm)
    known.set(nm, light)
    return light.map((value, c) => Math.max(0, 14 * value + stray) * balance[c]!) as Triple
  }
}

function read(film: Film, seed: number) {
  const { profile } = takePicture(film, camera(seed), seed)
  return thicknessWhiteLight(profile, { colours, index: 1.36, indexSigma: 0.002 })
}

const films: Record<string, Film> = {
  'a wedge to 1.3 µm': { rim: 0.02, h: (r) => 1.3e-6 * (1 - r / 0.02) },
  'a bowl': { rim: 0.02, h: (r) => 0.45e-6 + 2e-6 * ((r / 0.02) ** 2 - 0.4) ** 2 },
  'a life that sheds': filmOfLife('harbour-lane-bursts', 1.6),
  'the reference life': filmOfLife('reference', 4.5),
  'the reference life, later': filmOfLife('reference', 6.8),
}

describe('white light', () => {
  const scores = Object.entries(films).flatMap(([name, film], k) =>
    [1, 2].map((n) => {
      const found = read(film, 31000 + 100 * k + n)
      let [worst, one, two, count] = [0, 0, 0, 0]
      found.h.forEach((h, i) => {
        if (Number.isNaN(h)) return
        const truth = film.h(found.r[i]!)
        const error = Math.abs(h - truth)
        worst = Math.max(worst, error / Math.max(20e-9, 0.03 * truth))
        count++
        if (error <= totalSigma(found, i)) one++
        if (error <= 2 * totalSigma(found, i)) two++
      })
      return { name: `${name} ${n}`, worst, one, two, count }
    }),
  )
  it.each(scores)('$name is found without its order being known, within 3 % or 20 nm', ({ worst, count }) => {
    expect(count).toBeGreaterThan(30)
    expect(worst).toBeLessThan(1)
  })
  it('errors hold', () => {
    const sum = (of: 'one' | 'two' | 'count') => scores.reduce((total, one) => total + one[of], 0)
    expect(sum('one') / sum('count')).toBeGreaterThan(0.6)
    expect(sum('two') / sum('count')).toBeGreaterThan(0.9)
  })
  it.each([
    ['too thick for colours', { rim: 0.02, h: (r: number) => 6e-6 - 2e-6 * (r / 0.02) }],
    ['the same everywhere', { rim: 0.02, h: () => 1.25e-6 }],
  ])('a film %s gives gaps and a sentence, no thickness', (_, film) => {
    const found = read(film, 31900)
    expect(found.h.every(Number.isNaN)).toBe(true)
    expect(found.notes).toHaveLength(1)
  })
})

describe('the course through a grid of thicknesses', () => {
  it('is the cheapest of all courses, tried one by one', () => {
    const random = randomOf(77)
    const [steps, states, perState, most, leave] = [5, 5, 0.3, 2, 1.1]
    const cost = Float64Array.from({ length: steps * states }, () => 3 * random())
    const { best, excess, total } = bestCourse({ steps, states, cost, perState, most, leave })
    const least = new Float64Array(steps * states).fill(Number.POSITIVE_INFINITY)
    for (let code = 0; code < states ** steps; code++) {
      const course = Array.from({ length: steps }, (_, i) => Math.floor(code / states ** i) % states)
      let sum = cost[course[0]!]!
      for (let i = 1; i < steps; i++) {
        const [a, b] = [course[i - 1]!, course[i]!]
        const away = (a === states - 1) !== (b === states - 1)
        const far = !away && Math.abs(a - b) > most && a !== b
        sum +=
          cost[i * states + b]! + (away ? leave : far ? Number.POSITIVE_INFINITY : perState * Math.abs(a - b))
      }
      for (const [i, s] of course.entries()) least[i * states + s] = Math.min(least[i * states + s]!, sum)
    }
    expect(total).toBeCloseTo(Math.min(...least), 9)
    for (let k = 0; k < least.length; k++) expect(excess[k]! + total).toBeCloseTo(least[k]!, 9)
    for (const [i, s] of best.entries()) expect(excess[i * states + s]).toBe(0)
  })
})
