/** Colours of films: colorimetry against published numbers, reflection against closed forms, both against another calculation. */
import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { massFractionOfAdditive } from '../../src/liquids/composition.ts'
import { mixtureIndex, oilIndex, SODIUM, waterIndex } from '../../src/liquids/opticalIndices.ts'
import { mixtureOf, mixtures, oilOf, oils } from '../../src/liquids/registry.ts'
import { D65, OBSERVER, WAVELENGTHS, WEIGHTS } from '../../src/optics/cie.ts'
import { deltaE2000, encode, fitted, labOf, linearSrgb, type Triple } from '../../src/optics/colourSpace.ts'
import { dyedColour, dyeShape } from '../../src/optics/dye.ts'
import { colourAt, filmTable, meanColour, thicknessOfPlace } from '../../src/optics/filmTable.ts'
import { monoColour, rowsOf, type Stack, whiteColour } from '../../src/optics/interference.ts'
import {
  bareReflectance,
  firstDark,
  fringeStep,
  meanOver,
  meanReflectance,
  reflectance,
} from '../../src/optics/thinFilm.ts'

const T20 = 293.15
const sums = (spectrum: (i: number) => number): Triple => {
  const xyz: Triple = [0, 0, 0]
  for (const [i, row] of OBSERVER.entries())
    for (const [c, value] of row.entries()) xyz[c]! += value * spectrum(i)
  return xyz
}
const chromaticity = ([x, y, z]: Triple) => [x / (x + y + z), y / (x + y + z)]

/** Water–ethanol on rapeseed oil at 20 °C; composition is the alcohol's share of the volume. */
const ethanol = mixtureOf('ethanol')
const stack: Stack = {
  film: (phi, wavelength) =>
    mixtureIndex(ethanol, massFractionOfAdditive(ethanol, phi, T20), T20, wavelength),
  bath: (wavelength) => oilIndex(oilOf('rapeseed-oil'), T20, wavelength),
}

describe('tables of the CIE', () => {
  it('give the white point of D65 and of equal energy', () => {
    // CIE 15 / ISO 11664-2: D65, 2°: x 0.31272, y 0.32903; equal energy: 1/3 each.
    const [x, y] = chromaticity(sums((i) => D65[i]!))
    expect(x).toBeCloseTo(0.31272, 4)
    expect(y).toBeCloseTo(0.32903, 4)
    const [ex, ey] = chromaticity(sums(() => 1))
    expect(ex).toBeCloseTo(1 / 3, 4)
    expect(ey).toBeCloseTo(1 / 3, 4)
  })
  it('have the sums of CIE 15 at 5 nm', () => {
    // Sums of the 5 nm table from 380 to 780 nm: 21.3714, 21.3711, 21.3715 (CIE 15, table of the observer; from memory).
    const [x, y, z] = sums(() => 1)
    expect(x).toBeCloseTo(21.3714, 2)
    expect(y).toBeCloseTo(21.3711, 2)
    expect(z).toBeCloseTo(21.3715, 2)
  })
  it('make a perfect mirror in D65 white on the screen', () => {
    const xyz: Triple = [0, 0, 0]
    for (const weight of WEIGHTS) for (const [c, value] of weight.entries()) xyz[c]! += value
    for (const c of linearSrgb(xyz)) expect(c).toBeCloseTo(1, 2)
  })
})

describe('differences between colours', () => {
  // Sharma, Wu & Dalal, Color Res. Appl. 30, 21 (2005), table 1: pairs 1–6, 7, 9–20 and seven of measured samples.
  const pairs = [
    [50, 2.6772, -79.7751, 50, 0, -82.7485, 2.0425],
    [50, 3.1571, -77.2803, 50, 0, -82.7485, 2.8615],
    [50, 2.8361, -74.02, 50, 0, -82.7485, 3.4412],
    [50, -1.3802, -84.2814, 50, 0, -82.7485, 1],
    [50, -1.1848, -84.8006, 50, 0, -82.7485, 1],
    [50, -0.9009, -85.5211, 50, 0, -82.7485, 1],
    [50, 0, 0, 50, -1, 2, 2.3669],
    [50, 2.49, -0.001, 50, -2.49, 0.0009, 7.1792],
    [50, 2.49, -0.001, 50, -2.49, 0.001, 7.1792],
    [50, 2.49, -0.001, 50, -2.49, 0.0011, 7.2195],
    [50, 2.49, -0.001, 50, -2.49, 0.0012, 7.2195],
    [50, -0.001, 2.49, 50, 0.0009, -2.49, 4.8045],
    [50, -0.001, 2.49, 50, 0.0011, -2.49, 4.7461],
    [50, 2.5, 0, 50, 0, -2.5, 4.3065],
    [50, 2.5, 0, 73, 25, -18, 27.1492],
    [50, 2.5, 0, 61, -5, 29, 22.8977],
    [50, 2.5, 0, 56, -27, -3, 31.903],
    [50, 2.5, 0, 58, 24, 15, 19.4535],
    [60.2574, -34.0099, 36.2677, 60.4626, -34.1751, 39.4387, 1.2644],
    [63.0109, -31.0961, -5.8663, 62.8187, -29.7946, -4.0864, 1.263],
    [61.2901, 3.7196, -5.3901, 61.4292, 2.248, -4.962, 1.8731],
    [35.0831, -44.1164, 3.7933, 35.0232, -40.0716, 1.5901, 1.8645],
    [22.7233, 20.0904, -46.694, 23.0331, 14.973, -42.5619, 2.0373],
    [36.4612, 47.858, 18.3852, 36.2715, 50.5065, 21.2231, 1.4146],
  ] as const
  it('are those of the published pairs', () => {
    for (const [L1, a1, b1, L2, a2, b2, wanted] of pairs) {
      expect(deltaE2000([L1, a1, b1], [L2, a2, b2])).toBeCloseTo(wanted, 4)
      expect(deltaE2000([L2, a2, b2], [L1, a1, b1])).toBeCloseTo(wanted, 4)
    }
  })
  it('L*a*b* of white, mid grey and the red primary', () => {
    // IEC 61966-2-1 and ISO/CIE 11664-4: red (1, 0, 0) has L* 53.24, a* 80.09, b* 67.20.
    for (const [i, value] of labOf([1, 0, 0]).entries())
      expect(value).toBeCloseTo([53.24, 80.09, 67.2][i]!, 1)
    expect(labOf([1, 1, 1])[0]).toBeCloseTo(100, 3)
    expect(labOf([encode(0.184187), encode(0.184187), encode(0.184187)])[0]).toBeCloseTo(50, 2)
  })
  it('a colour beyond the screen is drawn to the grey of its own luminance, not cut', () => {
    const beyond: Triple = [1.3, 0.2, -0.1]
    const shown = fitted(beyond)
    const Y = ([r, g, b]: Triple) => 0.2126 * r + 0.7152 * g + 0.0722 * b
    expect(Y(shown)).toBeCloseTo(Y(beyond), 12)
    for (const c of shown) expect(c >= 0 && c <= 1).toBe(true)
    // The hue stays: differences of the parts keep their ratio.
    expect((shown[0] - shown[1]) / (shown[1] - shown[2])).toBeCloseTo(1.1 / 0.3, 10)
    expect(fitted([0.3, 0.4, 0.5])).toEqual([0.3, 0.4, 0.5])
    expect(fitted([2, 2, 2])).toEqual([1, 1, 1])
  })
})

describe('indices', () => {
  it('of water are those of the tables', () => {
    // Tilton & Taylor (1938), 20 °C, lines F, D, C against air (from memory); the curve is against vacuum, 1.00027 of that.
    for (const [wavelength, n] of [
      [486.13e-9, 1.33712],
      [SODIUM, 1.33299],
      [656.28e-9, 1.33115],
    ] as const) {
      expect(waterIndex(wavelength) / 1.00027).toBeCloseTo(n, 4)
    }
  })
  it('of mixtures lie within 0.003 of measured ones and have their maximum', () => {
    // CRC Handbook, concentrative properties, 20 °C (from memory); propanols: Chu & Thompson, J. Chem. Eng. Data 7, 358 (1962).
    const tables: Record<string, readonly (readonly [number, number])[]> = {
      ethanol: [
        [0.1, 1.3395],
        [0.3, 1.3535],
        [0.5, 1.3616],
        [0.7, 1.3652],
        [0.8, 1.3658],
        [0.9, 1.365],
        [1, 1.3614],
      ],
      methanol: [
        [0.2, 1.3381],
        [0.4, 1.3425],
        [0.5, 1.3431],
        [0.6, 1.3426],
        [0.8, 1.3385],
        [1, 1.329],
      ],
      '1-propanol': [
        [0.1021, 1.3423],
        [0.295, 1.3575],
        [0.4962, 1.3685],
        [0.6978, 1.3775],
        [0.8923, 1.3838],
        [0.9994, 1.3854],
      ],
      '2-propanol': [
        [0.1015, 1.3419],
        [0.2973, 1.3583],
        [0.4936, 1.3679],
        [0.6924, 1.3742],
        [1, 1.3776],
      ],
    }
    for (const [id, rows] of Object.entries(tables)) {
      const at = (w: number) => mixtureIndex(mixtures[id]!, w, T20, SODIUM)
      for (const [w, n] of rows) expect(Math.abs(at(w) - n), `${id} ${w}`).toBeLessThan(0.003)
    }
    // Leach & Lythgoe, J. Am. Chem. Soc. 27, 964 (1905): methanol rises to about 50 % by mass, ethanol to about 75 %, then falls.
    const peak = (id: string) => {
      const shares = Array.from({ length: 101 }, (_, i) => i / 100)
      const n = shares.map((w) => mixtureIndex(mixtures[id]!, w, T20, SODIUM))
      return shares[n.indexOf(Math.max(...n))]!
    }
    expect(Math.abs(peak('methanol') - 0.5)).toBeLessThan(0.06)
    expect(Math.abs(peak('ethanol') - 0.75)).toBeLessThan(0.06)
  })
  it('every oil has one, above that of any film, falling with the wavelength', () => {
    for (const oil of [...Object.values(oils), null]) {
      const n = oilIndex(oil, T20, SODIUM)
      expect(n).toBeGreaterThan(1.39)
      expect(n).toBeLessThan(1.49)
      expect(oilIndex(oil, T20, 450e-9)).toBeGreaterThan(n)
      expect(oilIndex(oil, T20, 650e-9)).toBeLessThan(n)
    }
  })
})

describe('reflection', () => {
  const [film, bath, wavelength] = [1.36, 1.47, 550e-9]
  it('without a film is that of the bare oil: 3.6 % (Fresnel)', () => {
    expect(bareReflectance(1.47)).toBeCloseTo((0.47 / 2.47) ** 2, 14)
    expect(reflectance(film, bath, wavelength, 0)).toBeCloseTo(bareReflectance(bath), 14)
    expect(meanOver(film, 0, bath, wavelength, 0, 0, 0)).toBeCloseTo(bareReflectance(bath), 6)
  })
  it('is least where the film is a quarter of a wave: ((n² − N)/(n² + N))²', () => {
    // Closed form of the quarter-wave layer, Born & Wolf, § 1.6.
    const dark = firstDark(film, bath, wavelength)
    expect(dark).toBeCloseTo(550e-9 / (4 * 1.36), 15)
    expect(reflectance(film, bath, wavelength, dark)).toBeCloseTo(
      ((film ** 2 - bath) / (film ** 2 + bath)) ** 2,
      12,
    )
    for (let h = 0; h < 2 * dark; h += 1e-9) {
      expect(reflectance(film, bath, wavelength, h)).toBeGreaterThanOrEqual(
        reflectance(film, bath, wavelength, dark) - 1e-15,
      )
    }
  })
  it('of a film with more index than the bath is least without a film and at half a wave', () => {
    expect(firstDark(1.5, 1.4, wavelength)).toBeCloseTo(wavelength / 3, 15)
    expect(reflectance(1.5, 1.4, wavelength, wavelength / 3)).toBeCloseTo(bareReflectance(1.4), 12)
    expect(reflectance(1.5, 1.4, wavelength, wavelength / 6)).toBeGreaterThan(bareReflectance(1.4))
  })
  it('is dark where film and bath agree, and repeats from fringe to fringe', () => {
    expect(reflectance(1, 1, wavelength, 3e-7)).toBe(0)
    for (const h of [0, 3e-8, 2.1e-7, 7e-7]) {
      const next = h + fringeStep(film, wavelength)
      expect(reflectance(film, bath, wavelength, next)).toBeCloseTo(
        reflectance(film, bath, wavelength, h),
        12,
      )
      // Not earlier: half the step changes bright to dark.
      const half = h + fringeStep(film, wavelength) / 2
      expect(
        Math.abs(reflectance(film, bath, wavelength, half) - reflectance(film, bath, wavelength, h)),
      ).toBeGreaterThan(0.002)
    }
  })
  it('lies between 0 and 1 and within its two envelopes', () => {
    for (const n of [1.05, 1.333, 1.36, 1.385, 1.47, 1.8]) {
      for (const N of [1.33, 1.4, 1.48]) {
        for (let h = 0; h < 2e-6; h += 1.7e-8) {
          const R = reflectance(n, N, wavelength, h)
          const quarter = ((n ** 2 - N) / (n ** 2 + N)) ** 2
          expect(R).toBeGreaterThanOrEqual(Math.min(quarter, bareReflectance(N)) - 1e-15)
          expect(R).toBeLessThanOrEqual(Math.max(quarter, bareReflectance(N)) + 1e-15)
        }
      }
    }
  })
  it('averaged in closed form is the average of many', () => {
    const mean = (h: number, width: number) => {
      let sum = 0
      for (let i = 0; i < 2000; i++)
        sum += reflectance(film, bath, wavelength, h + width * ((i + 0.5) / 2000 - 0.5))
      return sum / 2000
    }
    for (const [h, width] of [
      [2e-7, 5e-8],
      [9e-7, 1.1e-7],
      [3e-6, 7e-7],
    ] as const) {
      expect(meanOver(film, 0, bath, wavelength, h, width, 0)).toBeCloseTo(mean(h, width), 6)
    }
    expect(mean(1e-6, 10 * fringeStep(film, wavelength))).toBeCloseTo(meanReflectance(film, bath), 8)
  })
})

interface Reference {
  step_nm: number
  rows: { share: number; index: number; rgb: Triple[] }[]
}
const reference: Reference = JSON.parse(
  readFileSync(new URL('../references/interference.json', import.meta.url), 'utf8'),
)
const labOfLinear = (rgb: Triple) => labOf(fitted(rgb).map(encode) as Triple)

describe('interference colours', () => {
  it('agree with another calculation at 25 thicknesses: ΔE2000 < 1', () => {
    // tests/references/interference.py: matrices instead of Airy's sum, other tables, indices from a handbook.
    let worst = 0
    for (const { share, index, rgb } of reference.rows) {
      const rows = rowsOf(stack, share)
      for (const k of [0, 12, 31, 87, 240]) {
        // The same optical thickness: what differs in the index of the mixture is judged above.
        const h = (1e-9 * reference.step_nm * k) / stack.film(share, SODIUM)
        const difference = deltaE2000(labOf(whiteColour(rows, h)), labOfLinear(rgb[k]!))
        expect(difference, `share ${share} (index ${index}), ${(1e9 * h).toFixed(0)} nm`).toBeLessThan(1)
        worst = Math.max(worst, difference)
      }
    }
    expect(worst).toBeGreaterThan(0)
  })
  it('no film has the colour of the bare oil, at every composition', () => {
    const bare = whiteColour(
      rowsOf({ film: (_, wavelength) => stack.bath(wavelength), bath: stack.bath }, 0),
      0,
    )
    for (const phi of [0, 0.3, 0.6, 1]) {
      for (const [i, c] of whiteColour(rowsOf(stack, phi), 0).entries()) expect(c).toBeCloseTo(bare[i]!, 4)
    }
  })
  it('fade to one grey beyond 10 µm, that of two surfaces without interference', () => {
    const rows = rowsOf(stack, 0.5)
    const grey = labOf(whiteColour(rows, 3e-5, 1e-5))
    for (let h = 1.2e-5; h < 4e-5; h += 3.7e-7) {
      expect(deltaE2000(labOf(whiteColour(rows, h)), grey)).toBeLessThan(1.5)
    }
    expect(Math.hypot(grey[1], grey[2])).toBeLessThan(4)
  })
  it('one wavelength: dark at a quarter of a wave, bright again at a half', () => {
    const n = stack.film(0.5, 589e-9)
    const at = (h: number) => monoColour(stack, 0.5, 589e-9, h)[0]
    expect(at(589e-9 / (2 * n))).toBeCloseTo(at(0), 6)
    expect(at(589e-9 / (4 * n))).toBeLessThan(at(0) - 0.2)
  })
})

describe('the table of colours', () => {
  const shares = [0, 0.25, 0.5, 0.75, 1]
  const known = new Map(shares.map((phi) => [phi, rowsOf(stack, phi)]))
  const ratio = (phi: number) => stack.film(phi, SODIUM) / stack.film(0, SODIUM)
  const table = filmTable(shares, ratio, (phi, h, width) => whiteColour(known.get(phi)!, h, width))
  it('gives the colours from which it was made, between its rows too: ΔE2000 < 1', () => {
    for (const phi of [0, 0.13, 0.4, 0.66, 1]) {
      const rows = rowsOf(stack, phi)
      for (let h = 0; h < 4e-6; h += 6.1e-8) {
        const difference = deltaE2000(labOf(colourAt(table, h, phi)), labOf(whiteColour(rows, h)))
        expect(difference, `${phi}, ${h}`).toBeLessThan(1)
      }
    }
  })
  it('has four cells a fringe at least, up to 30 µm in sodium light', () => {
    const cellAt = (h: number) => {
      let k = 0
      while (thicknessOfPlace(k / 4095) < h) k++
      return thicknessOfPlace(k / 4095) - thicknessOfPlace((k - 1) / 4095)
    }
    const fringe = fringeStep(1.36, SODIUM)
    expect(cellAt(3e-6)).toBeLessThan(fringe / 16)
    expect(cellAt(3e-5)).toBeLessThan(fringe / 4)
  })
  it('means over a pixel add light, not numbers of the screen', () => {
    const grey = filmTable(
      [0],
      () => 1,
      (_, h) => (h < 1e-6 ? [0, 0, 0] : [1, 1, 1]),
    )
    // Half black, half white: half the light is 0.735 on the screen (IEC 61966-2-1).
    expect(meanColour(grey, 0.5e-6, 1.5e-6, 0)[0]).toBeCloseTo(0.735, 2)
    expect(meanColour(grey, 1.5e-6, 0.5e-6, 0)[0]).toBeCloseTo(0.735, 2)
  })
  it('fringes finer than a pixel have their mean', () => {
    const mono = filmTable(
      [0],
      () => 1,
      (_, h, width) => monoColour(stack, 0.5, SODIUM, h, width),
    )
    const n = stack.film(0.5, SODIUM)
    const mean = encode(25 * meanReflectance(n, stack.bath(SODIUM)))
    expect(meanColour(mono, 0, 40 * fringeStep(n, SODIUM), 0)[0]).toBeCloseTo(mean, 2)
    expect(colourAt(mono, 1.5e-3, 0)[0]).toBeCloseTo(mean, 2)
  })
})

describe('a dyed film', () => {
  it('without dye, or without film, is the bare ground', () => {
    expect(dyedColour(0, 1e-3)).toEqual(dyedColour(50, 0))
  })
  it('darkens by Beer–Lambert: twice the strength is twice the thickness', () => {
    const luminance = (strength: number, h: number) => labOf(dyedColour(strength, h))[0]
    for (const [i, c] of dyedColour(20, 1e-4).entries()) expect(c).toBeCloseTo(dyedColour(10, 2e-4)[i]!, 12)
    let last = 101
    for (let h = 0; h < 1e-3; h += 2e-5) {
      expect(luminance(10, h)).toBeLessThan(last)
      last = luminance(10, h)
    }
  })
  it('the stated strength is the decadic one at the peak, for one way through', () => {
    expect(Math.max(...WAVELENGTHS.map((l) => dyeShape(1e9 * l)))).toBe(1)
    // At the peak alone a film of 0.05 mm and 10/mm lets 10^(−2·0.5) through, there and back: red is nearly gone, blue stays.
    const [r, , b] = dyedColour(10, 5e-5)
    expect(r).toBeLessThan(b)
  })
})
