/** Thickness from fringes in one wavelength: films of known thickness, photographed with noise, blur and uneven light. */
import { describe, expect, it } from 'vitest'
import { thicknessOneWavelength } from '../../src/measured/fringes/oneWavelength.ts'
import { type Known, type Thickness, totalSigma } from '../../src/measured/fringes/types.ts'
import { bareReflectance, reflectance } from '../../src/optics/thinFilm.ts'
import { type Film, filmOfLife, takePicture } from '../fixtures/filmPictures.ts'

const INDEX = 1.362
const OIL = 1.4725
const WAVELENGTH = 589.3e-9

/** A yellow lamp on a colour camera; the Airy sum, not the cosine that the reading takes it for. */
const sodium = (oil: number) => (h: number | null) => {
  const light = 14 * (h === null ? bareReflectance(oil) : reflectance(INDEX, oil, WAVELENGTH, h))
  return [light, 0.8 * light, 0.05 * light] as const
}

const read = (
  film: Film,
  seed: number,
  known: Known,
  more: { oil?: number; outward?: 'thinner' | 'thicker' | 'unknown' } = {},
) => {
  const { oil = OIL, outward = 'thinner' } = more
  const { profile } = takePicture(film, sodium(oil), seed)
  return thicknessOneWavelength(profile, {
    wavelength: WAVELENGTH,
    wavelengthSigma: 0.5e-9,
    film: { index: INDEX, bath: oil, indexSigma: 0.002, angle: 0 },
    known,
    outward,
  })
}

/** Errors of a run over what is permitted, 3 % or 20 nm, and shares within one and two standard uncertainties. */
function score(found: Thickness, film: Film) {
  let [worst, one, two, count] = [0, 0, 0, 0]
  for (const { from, to, absolute } of found.pieces) {
    const truth = Array.from({ length: to - from + 1 }, (_, j) => film.h(found.r[from + j]!))
    const base = absolute ? 0 : Math.min(...truth)
    truth.forEach((h, j) => {
      const error = Math.abs(found.h[from + j]! - (h - base))
      worst = Math.max(worst, error / Math.max(20e-9, 0.03 * (h - base)))
      const sigma = totalSigma(found, from + j)
      count++
      if (error <= sigma) one++
      if (error <= 2 * sigma) two++
    })
  }
  return { worst, one: one / count, two: two / count, count }
}

const wedge: Film = { rim: 0.02, h: (r) => 1.9e-6 * (1 - r / 0.02) }
const cap: Film = { rim: 0.02, h: (r) => 3.1e-6 * (1 - (r / 0.02) ** 2) }
/** Thinnest away from centre and rim, at a thickness that is neither a bright nor a dark fringe's. */
const bowl = (least: number): Film => ({ rim: 0.02, h: (r) => least + 3e-6 * ((r / 0.02) ** 2 - 0.4) ** 2 })

describe('one wavelength: fringes of closed forms', () => {
  it('lie where Newton’s rings lie: r² falls evenly from fringe to fringe (Born & Wolf, § 7.5, number from memory)', () => {
    const { fringes } = read(cap, 9001, { at: 'rim', r: cap.rim })
    expect(fringes.length).toBeGreaterThan(20)
    for (const { r, bright, order } of fringes) {
      // Both reflections turn the phase alike: bright at whole wavelengths of path, dark half way.
      expect(Math.abs(order % 1)).toBe(bright ? 0 : 0.5)
      const h = (order * WAVELENGTH) / (2 * INDEX)
      const expected = cap.rim * Math.sqrt(1 - h / 3.1e-6)
      // A third of a pixel.
      expect(Math.abs(r - expected)).toBeLessThan(0.35 * (cap.rim / 190))
    }
  })
  it.each([
    ['wedge', wedge, 9002],
    ['cap', cap, 9003],
    ['cap', cap, 9004],
  ])('a %s that thins to nothing at the rim', (_, film, seed) => {
    const found = read(film, seed, { at: 'rim', r: film.rim })
    expect(found.pieces).toMatchObject([{ absolute: true, signed: true }])
    const { worst, two, count } = score(found, film)
    expect(count).toBeGreaterThan(340)
    expect(worst).toBeLessThan(1)
    expect(two).toBeGreaterThan(0.8)
  })
  it('a film above whose index the bath’s lies is dark where it has no thickness', () => {
    const found = read(cap, 9005, { at: 'rim', r: cap.rim }, { oil: 1.33 })
    expect(score(found, cap).worst).toBeLessThan(1)
  })
  // Where the film turns, between a bright and a dark fringe or on one of them: at each tenth of an order.
  it.each([0.65, 0.67, 0.69, 0.715, 0.735, 0.757, 0.78, 0.8, 0.82, 0.845])(
    'a film that is thinnest, %f µm, between centre and rim: differences only, and said so',
    (least) => {
      const film = bowl(1e-6 * least)
      const found = read(film, 9100 + 1000 * least, { at: 'nowhere' })
      expect(found.pieces).toMatchObject([{ absolute: false, signed: true }])
      expect(found.turns).toHaveLength(1)
      // Thinnest at √0.4 of the radius.
      expect(Math.abs(found.turns[0]! / film.rim - Math.sqrt(0.4))).toBeLessThan(0.03)
      expect(score(found, film).worst).toBeLessThan(1)
      expect(found.notes.join(' ')).toMatch(/differences only/i)
    },
  )
})

describe('one wavelength: films of simulated lives', () => {
  // Moments at which the middle has thinned: before and after the film turns near the rim.
  const films = [
    filmOfLife('harbour-lane-spreads', 4.6),
    filmOfLife('harbour-lane-spreads', 3.7),
    filmOfLife('harbour-lane-bursts', 4.8),
    filmOfLife('reference', 6.5),
  ]
  const scores = films.flatMap((film, k) =>
    [1, 2, 3].map((n) => {
      const r = 0.55 * film.rim
      const seed = 5000 + 100 * k + n
      const known = { at: 'place', r, h: film.h(r) + 10e-9 * (n - 2), sigma: 25e-9 } as const
      const found = read(film, seed, known)
      return { film, found, seed, ...score(found, film) }
    }),
  )
  it('are found within 3 % or 20 nm wherever a thickness is told, over at least three orders', () => {
    for (const { found, worst, seed } of scores) {
      expect([seed, Math.max(...found.pieces.map(({ orders }) => orders)) > 3]).toEqual([seed, true])
      expect([seed, worst < 1]).toEqual([seed, true])
    }
  })
  it('with errors that hold: about two thirds within one standard uncertainty, nearly all within two', () => {
    const all = scores.reduce((sum, { count }) => sum + count, 0)
    const share = (of: 'one' | 'two') => scores.reduce((sum, one) => sum + one.count * one[of], 0) / all
    expect(share('one')).toBeGreaterThan(0.6)
    expect(share('two')).toBeGreaterThan(0.88)
  })
  it('a thickness that is known too poorly gives no order, and says how well it must be known', () => {
    const film = films[0]!
    const r = 0.55 * film.rim
    const found = read(film, 5900, { at: 'place', r, h: film.h(r), sigma: 90e-9 })
    expect(found.pieces.every(({ absolute }) => !absolute)).toBe(true)
    expect(found.notes.join(' ')).toMatch(/is not known well enough .* ± 54 nm/)
  })
  it('without a direction the sign is left open, and said so', () => {
    const found = read(films[3]!, 5901, { at: 'nowhere' }, { outward: 'unknown' })
    expect(found.pieces).toHaveLength(1)
    expect(found.pieces[0]!.signed).toBe(false)
    expect(found.notes.join(' ')).toMatch(/upside down/)
  })
  it('an even picture has no fringes: a sentence and gaps, no thickness', () => {
    const { profile } = takePicture(films[0]!, () => [0.3, 0.25, 0.05], 5902)
    const found = thicknessOneWavelength(profile, {
      wavelength: WAVELENGTH,
      wavelengthSigma: 0.5e-9,
      film: { index: INDEX, bath: OIL, indexSigma: 0.002, angle: 0 },
      known: { at: 'nowhere' },
      outward: 'thinner',
    })
    expect(found.pieces).toEqual([])
    expect(found.h.every(Number.isNaN)).toBe(true)
    expect(found.notes.join(' ')).toMatch(/No run of fringes/)
  })
})
