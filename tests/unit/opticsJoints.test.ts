/**
 * What stands between a drop and the colours shown for it, other than the colours themselves: composition, light, legend, what is
 * kept, and which way round the picture lies.
 */
import { describe, expect, it } from 'vitest'
import { runLifeSync } from '../../src/life/run.ts'
import { cellValue, createFields, moveTo } from '../../src/life/view.ts'
import { ethanol } from '../../src/liquids/ethanol.ts'
import { mixtureIndex, SODIUM } from '../../src/liquids/opticalIndices.ts'
import { decode, encode, type Triple } from '../../src/optics/colourSpace.ts'
import { colourAt, meanColour } from '../../src/optics/filmTable.ts'
import { colourTable, tableSize } from '../../src/page/colour.ts'
import { legendText, placeOf } from '../../src/page/colourScale.ts'
import { type FlatScene, flatPixels, pixelColour, thicknessAt } from '../../src/page/stage/flat.ts'
import { lookOf, stackOf } from '../../src/page/stage/look.ts'
import type { ColourBy } from '../../src/page/store.ts'
import { opticsDrop } from '../fixtures/opticsDrop.ts'
import { expectClose } from '../matchers.ts'

const preset = opticsDrop()
const result = runLifeSync(preset)
if (!result.ok) throw new Error('no life')
const { life } = result
const wish = (colourBy: ColourBy, more = {}) => ({ colourBy, dark: false, wavelength: 589, dye: 10, ...more })
const fields = createFields()
const widest = life.frames.t[life.frames.R.indexOf(Math.max(...life.frames.R))]!
moveTo(fields, life.frames, preset.bath.dishRadius_mm * 1e-3, widest)
const scene = (colourBy: ColourBy, more = {}): FlatScene => ({
  fields,
  look: lookOf(wish(colourBy, more), life, preset),
  beads: null,
  thin: { thin: 0, thinRadius: 0 },
  children: [],
  oil: [0.9, 0.8, 0.6],
  beyond: [0, 0, 0],
  child: [0, 0, 1],
})

describe('the film’s index', () => {
  it('is that of the share of volume: half ethanol by volume is 44.2 % by mass', () => {
    // Densities at 20 °C: ethanol 789.2, water 998.2 kg/m³ (CRC Handbook); half and half of both volumes.
    const w = (0.5 * 789.2) / (0.5 * 789.2 + 0.5 * 998.2)
    const film = stackOf(preset).film(0.5, SODIUM)
    expectClose(film, mixtureIndex(ethanol, w, 293.15, SODIUM), { atol: 2e-4 })
    expect(Math.abs(mixtureIndex(ethanol, 0.5, 293.15, SODIUM) - film)).toBeGreaterThan(1e-3)
  })
})

describe('the legend', () => {
  it('of one wavelength tells the fringes of that wavelength', () => {
    for (const wavelength of [450, 650]) {
      const text = legendText(lookOf(wish('mono', { wavelength }), life, preset).scale)
      const [, first, step] = /dark fringe at (\d+) nm, then every (\d+) nm/.exec(text)!.map(Number)
      // λ/4n and λ/2n, n between water's and the mixture's.
      for (const [told, part] of [
        [first!, 4],
        [step!, 2],
      ] as const) {
        expect(told).toBeGreaterThan(wavelength / part / 1.385)
        expect(told).toBeLessThan(wavelength / part / 1.325)
      }
      expect(text).toContain(`Light of ${wavelength} nm`)
    }
  })
  it('has at each thickness the colour that the stage has there', () => {
    const { scale, table, film } = lookOf(wish('dyed', { dye: 3 }), life, preset)
    for (const h of [2e-5, 1e-4, 2.5e-4, 4e-4]) {
      const k = Math.round(placeOf(scale, h) * (tableSize - 1))
      const stage = colourAt(film!, h, 0)
      for (let c = 0; c < 3; c++) expect(Math.abs(table[3 * k + c]! / 255 - stage[c]!)).toBeLessThan(0.012)
    }
  })
  it('of white light begins with the bare oil and has its dark fringe where its words have it', () => {
    const { scale, table } = lookOf(wish('white'), life, preset)
    const told = Number(/dark fringe at (\d+) nm/.exec(legendText(scale))![1])
    const bright = (k: number) => table[3 * k + 1]!
    let least = 0
    for (let k = 0; (1e3 * scale.max * k) / (tableSize - 1) < 200; k++)
      if (bright(k) < bright(least)) least = k
    const thickness = (1e3 * scale.max * least) / (tableSize - 1)
    expectClose(thickness, told, { atol: (1.1 * 1e3 * scale.max) / (tableSize - 1) })
  })
  it('of white light tells the fringes of the film’s mean composition', () => {
    const { phi } = life.frames
    const cells = life.frames.count * life.frames.inner
    let mean = 0
    for (let i = 0; i < cells; i++) mean += phi[i]! / cells
    const n = stackOf(preset).film(mean, 550e-9)
    const text = legendText(lookOf(wish('white'), life, preset).scale)
    expect(text).toContain(`at ${Math.round(550 / 4 / n)} nm, then every ${Math.round(550 / 2 / n)} nm`)
  })
  it('says the right way round whether thick is light or dark', () => {
    for (const dark of [false, true]) {
      const { scale } = lookOf(wish('thickness', { dark }), life, preset)
      const table = colourTable('thickness', dark)
      const light = (k: number) => table[3 * k]! + table[3 * k + 1]! + table[3 * k + 2]!
      expect(scale.note).toBe(`Thick is ${light(tableSize - 1) > light(0) ? 'light' : 'dark'}.`)
    }
  })
  it('of an older life is that of its own liquids', () => {
    const silicone = opticsDrop(['bath.liquid', 'silicone-oil-50'])
    expect(lookOf(wish('white'), life, silicone).bare).toEqual(lookOf(wish('white'), life, preset).bare)
    expect(lookOf(wish('white'), null, silicone).bare).not.toEqual(lookOf(wish('white'), null, preset).bare)
  })
})

describe('tables that are kept', () => {
  it('are not taken for another light, dye, temperature or liquid', () => {
    const film = (colourBy: ColourBy, of = preset, more = {}) =>
      Array.from(lookOf(wish(colourBy, more), null, of).film!.bytes).join()
    const differ = (...all: string[]) => expect(new Set(all).size).toBe(all.length)
    differ(film('mono'), film('mono', preset, { wavelength: 450 }))
    differ(film('dyed'), film('dyed', preset, { dye: 200 }))
    differ(film('white'), film('white', opticsDrop(['drop.alcohol', '2-propanol'])))
    differ(film('mono'), film('mono', opticsDrop(['air.temperature_C', 35])))
    differ(film('mono'), film('mono', opticsDrop(['bath.liquid', 'silicone-oil-50'])))
  })
})

describe('a pixel of the picture from above', () => {
  it('has the composition of its own place', () => {
    const of = scene('mono', { wavelength: 450 })
    const r = 0.9 * fields.R
    const pixel = 1e-7
    const phi = cellValue(fields, 'phi', r)
    expect(Math.abs(phi - cellValue(fields, 'phi', 0))).toBeGreaterThan(0.1)
    const wanted = colourAt(of.look.film!, thicknessAt(fields, r), phi)
    const shown = pixelColour(of, null, r, 0, pixel)
    for (let c = 0; c < 3; c++) expectClose(shown[c]!, wanted[c]!, { atol: 2e-3 })
  })
  it('has the mean light of all that it covers', () => {
    const of = scene('mono')
    const { film } = of.look
    // Over a fringe and a half, from one thickness to the other.
    const [a, b] = [1e-6, 1.33e-6]
    const mean = meanColour(film!, a, b, 0.5)[0]
    let light = 0
    for (let k = 0; k < 200; k++)
      light += decode(colourAt(film!, a + ((k + 0.5) / 200) * (b - a), 0.5)[0]) / 200
    expectClose(mean, encode(light), { atol: 0.01 })
    // The same along the film, wherever a pixel covers about a fringe and a half.
    const pixel = 0.01 * fields.R
    let met = 0
    for (let s = 0.3; s < 0.97; s += 0.01) {
      const r = s * fields.R
      const crossed = Math.abs(thicknessAt(fields, r - pixel / 2) - thicknessAt(fields, r + pixel / 2))
      if (crossed < 1.6e-7 || crossed > 4e-7) continue
      const parts = Array.from({ length: 100 }, (_, k) => r + ((k + 0.5) / 100 - 0.5) * pixel)
      const fine = parts.reduce(
        (sum, at) => sum + decode(pixelColour(of, null, at, 0, pixel / 100)[0]) / 100,
        0,
      )
      expectClose(pixelColour(of, null, r, 0, pixel)[0], encode(fine), { atol: 0.05 }, `at ${s}`)
      met++
    }
    expect(met).toBeGreaterThan(3)
  })
  it('is coloured by the quantity at its own place', () => {
    const of = scene('alcohol')
    for (const s of [0.1, 0.5, 0.9]) {
      const shown = pixelColour(of, null, s * fields.R, 0, 1e-7)
      const k = Math.round(placeOf(of.look.scale, cellValue(fields, 'phi', s * fields.R)) * (tableSize - 1))
      for (let c = 0; c < 3; c++)
        expect(Math.abs(255 * shown[c]! - of.look.table[3 * k + c]!)).toBeLessThan(12)
    }
  })
  it('of a child drop lies in its direction: to the right at 0, up and down at a right angle', () => {
    const size = 200
    const at = (angle: number, i: number, j: number): Triple => {
      const child = { r: 1.1 * fields.R, angle, radius: 0.02 * fields.R, opacity: 1 }
      const bytes = flatPixels({ ...scene('thickness'), children: [child] }, size, 2.4 * fields.R)
      const k = 4 * (size * j + i)
      return [bytes[k]! / 255, bytes[k + 1]! / 255, bytes[k + 2]! / 255]
    }
    const off = Math.round((1.1 * size) / 2.4)
    expect(at(0, 100 + off, 100)).toEqual([0, 0, 1])
    expect(at(0, 100 - off, 100)).not.toEqual([0, 0, 1])
    expect(at(Math.PI, 100 - off, 100)).toEqual([0, 0, 1])
  })
})
