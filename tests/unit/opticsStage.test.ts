/** From a preset to the colours that are shown: on the stage, in its legend, in the picture from above. */
import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { parsePreset } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import { seriesAt } from '../../src/life/sample.ts'
import type { Life, Preset } from '../../src/life/types.ts'
import { createFields, moveTo } from '../../src/life/view.ts'
import { SODIUM } from '../../src/liquids/opticalIndices.ts'
import { decode, deltaE2000, encode, fitted, labOf, type Triple } from '../../src/optics/colourSpace.ts'
import { COLUMNS, type FilmTable, REACH } from '../../src/optics/filmTable.ts'
import { fringeStep } from '../../src/optics/thinFilm.ts'
import { beadsAt } from '../../src/page/beads.ts'
import { legendText } from '../../src/page/colourScale.ts'
import { type FlatScene, flatPixels, thicknessAt } from '../../src/page/stage/flat.ts'
import { acrossOf, flatCaption } from '../../src/page/stage/flatPicture.ts'
import { heightMap } from '../../src/page/stage/heightMap.ts'
import { lookOf, stackOf } from '../../src/page/stage/look.ts'
import { createProfile, fillProfile } from '../../src/page/stage/profile.ts'
import type { ColourBy } from '../../src/page/store.ts'
import { opticsDrop } from '../fixtures/opticsDrop.ts'

function shipped(name: string): Preset {
  const result = parsePreset(readFileSync(`presets/${name}.json`, 'utf8'))
  if (!result.ok) throw new Error(JSON.stringify(result.problems))
  return result.preset
}

function lifeOf(preset: Preset): Life {
  const result = runLifeSync(preset)
  if (!result.ok) throw new Error('no life')
  return result.life
}

const preset = opticsDrop()
const life = lifeOf(preset)
const wish = (colourBy: ColourBy, more = {}) => ({ colourBy, dark: false, wavelength: 589, dye: 10, ...more })

function fieldsAt(time: number) {
  const fields = createFields()
  moveTo(fields, life.frames, preset.bath.dishRadius_mm * 1e-3, time)
  return fields
}
/** When the drop is widest: then its film is thinnest over the widest part. */
const widest = life.frames.t[life.frames.R.indexOf(Math.max(...life.frames.R))]!

/** What the graphics processor reads at a place and row: between neighbours, as light. */
function shaded({ bytes }: FilmTable, place: number, row: number): Triple {
  const x = place * (COLUMNS - 1)
  const k = Math.min(COLUMNS - 2, Math.floor(x))
  const low = Math.floor(row)
  const at = (r: number, c: number) => {
    const i = 3 * (r * COLUMNS + k) + c
    return decode(bytes[i]! / 255) * (1 - x + k) + decode(bytes[i + 3]! / 255) * (x - k)
  }
  const last = bytes.length / (3 * COLUMNS) - 1
  const part = (c: number) => encode(at(low, c) + (row - low) * (at(Math.min(last, low + 1), c) - at(low, c)))
  return [part(0), part(1), part(2)]
}

const reference = JSON.parse(
  readFileSync(new URL('../references/interference.json', import.meta.url), 'utf8'),
) as { step_nm: number; rows: { share: number; rgb: Triple[] }[] }

/** Colour of the other calculation (tests/references/interference.py) at an optical thickness (m) and share of alcohol. */
function independent(optical: number, share: number): Triple {
  const x = (1e9 * optical) / reference.step_nm
  const y = share * (reference.rows.length - 1)
  const [k, j] = [Math.floor(x), Math.min(reference.rows.length - 2, Math.floor(y))]
  const along = (row: Triple[], c: number) => row[k]![c]! + (x - k) * (row[k + 1]![c]! - row[k]![c]!)
  const part = (c: number) => {
    const low = along(reference.rows[j]!.rgb, c)
    return low + (y - j) * (along(reference.rows[j + 1]!.rgb, c) - low)
  }
  return fitted([part(0), part(1), part(2)]).map(encode) as Triple
}

describe('the stage in white light', () => {
  const look = lookOf(wish('white'), life, preset)
  const fields = fieldsAt(widest)
  const profile = createProfile()
  fillProfile(profile, fields, heightMap(true, 20, 0.03, 1e-3), look.scale, look.film)

  it('has at each radius the colour that another calculation gives for its thickness: ΔE2000 < 1', () => {
    const stack = stackOf(preset)
    let compared = 0
    for (let i = 0; i < fields.inner; i++) {
      const optical = fields.h[i]! * stack.film(fields.phi[i]!, SODIUM)
      if (optical > 2.95e-6) continue
      const shown = shaded(look.film!, profile.place[i + 1]!, profile.row[i + 1]!)
      const wanted = independent(optical, fields.phi[i]!)
      const where = `${(1e9 * fields.h[i]!).toFixed(0)} nm at ${(1e3 * profile.r[i + 1]!).toFixed(2)} mm`
      expect(deltaE2000(labOf(shown), labOf(wanted)), where).toBeLessThan(1)
      compared++
    }
    expect(compared).toBeGreaterThan(8)
  })
  it('ends at the edge in the colour of the bare oil, which the bath has too', () => {
    const edge = shaded(look.film!, profile.place[profile.count - 1]!, profile.row[profile.count - 1]!)
    for (const [c, value] of edge.entries()) expect(value).toBeCloseTo(look.bare![c]!, 2)
    const first = fitted(reference.rows[0]!.rgb[0]!).map(encode) as Triple
    expect(deltaE2000(labOf(look.bare!), labOf(first))).toBeLessThan(1)
  })
  it('its legend says what light, and where the first dark fringe lies', () => {
    const text = legendText(look.scale)
    const told = /First dark fringe at (\d+) nm, then every (\d+) nm/.exec(text)!
    expect(text).toContain('white light (D65)')
    // λ/4n and λ/2n of green light, 550 nm, n between water's and the mixture's 1.33–1.37.
    expect(Number(told[1])).toBeGreaterThan(550 / 4 / 1.38)
    expect(Number(told[1])).toBeLessThan(550 / 4 / 1.33)
    expect(Number(told[2]) / Number(told[1])).toBeCloseTo(2, 1)
  })
  it('every liquid and oil, the reference case too, has colours', () => {
    const reference = shipped('reference')
    for (const of of [
      reference,
      opticsDrop(['drop.alcohol', '2-propanol']),
      opticsDrop(['bath.liquid', 'silicone-oil-50']),
    ]) {
      const { film, bare } = lookOf(wish('white'), null, of)
      expect(film!.bytes.some((byte) => byte < 255)).toBe(true)
      for (const c of bare!) expect(c).toBeGreaterThan(0.7)
    }
  })
})

describe('one wavelength', () => {
  it('fringes lie λ/2n apart, whatever the wavelength', () => {
    for (const wavelength of [450, 589, 650]) {
      const look = lookOf(wish('mono', { wavelength }), life, preset)
      const step = fringeStep(stackOf(preset).film(0, 1e-9 * wavelength), 1e-9 * wavelength)
      const grey = (h: number) => shaded(look.film!, Math.asinh(h / 5e-6) / Math.asinh(REACH / 5e-6), 0)[0]
      for (const m of [0, 1, 7]) {
        expect(grey(m * step)).toBeGreaterThan(grey((m + 0.1) * step))
        expect(grey((m + 0.5) * step)).toBeLessThan(grey((m + 0.4) * step))
        expect(grey((m + 0.5) * step)).toBeLessThan(grey(m * step) - 0.1)
      }
    }
  })
})

describe('the picture from above', () => {
  const scene = (colourBy: ColourBy, time = widest, more = {}): FlatScene => ({
    fields: fieldsAt(time),
    look: lookOf(wish(colourBy, more), life, preset),
    beads: null,
    thin: { thin: 0, thinRadius: 0 },
    children: [],
    oil: [0.9, 0.8, 0.6],
    beyond: [0, 0, 0],
    child: [0, 0, 1],
  })
  const at = (bytes: Uint8ClampedArray, size: number, i: number, j: number): Triple => {
    const k = 4 * (size * j + i)
    return [bytes[k]! / 255, bytes[k + 1]! / 255, bytes[k + 2]! / 255]
  }

  it('is round, with the bare oil outside and the film inside', () => {
    const of = scene('white')
    const size = 120
    const across = acrossOf(of)
    const bytes = flatPixels(of, size, across)
    for (const [c, value] of at(bytes, size, 0, 60).entries()) expect(value).toBeCloseTo(of.look.bare![c]!, 2)
    for (let i = 0; i < size; i++) {
      for (let j = 0; j < size; j += 7) {
        expect(at(bytes, size, i, j)).toEqual(at(bytes, size, size - 1 - i, j))
        expect(at(bytes, size, i, j)).toEqual(at(bytes, size, j, i))
      }
    }
    expect(deltaE2000(labOf(at(bytes, size, 60, 60)), labOf(of.look.bare!))).toBeGreaterThan(3)
  })
  it('has the stated scale: the edge is where the life has it', () => {
    const of = scene('dyed', widest, { dye: 200 })
    const size = 400
    const across = acrossOf(of)
    const bytes = flatPixels(of, size, across)
    const ground = of.look.bare!
    let first = 0
    while (Math.abs(at(bytes, size, first, 200)[0] - ground[0]) < 0.004) first++
    const radius = ((size / 2 - first) * across) / size
    expect(Math.abs(radius - of.fields.R)).toBeLessThan((2.5 * across) / size)
  })
  it('fringes finer than a pixel make no pattern: neighbours differ by little', () => {
    const of = scene('mono', life.frames.t[3]!)
    // Early the drop is hundreds of micrometres thick at a steep edge: thousands of fringes on a few dozen pixels.
    const size = 60
    const across = acrossOf(of)
    const bytes = flatPixels(of, size, across)
    const pixel = across / size
    let seen = 0
    for (let i = 31; i < size - 1; i++) {
      const r = (i + 0.5 - size / 2) * pixel
      const crossed =
        Math.abs(thicknessAt(of.fields, r - pixel) - thicknessAt(of.fields, r + pixel)) / 2.17e-7
      if (!(crossed > 40) || r + 2 * pixel > of.fields.R) continue
      expect(Math.abs(at(bytes, size, i, 30)[0] - at(bytes, size, i + 1, 30)[0])).toBeLessThan(0.03)
      seen++
    }
    expect(seen).toBeGreaterThan(5)
  })
  it('shows the beads in their number', () => {
    const bursting = shipped('harbour-lane-bursts')
    const broken = lifeOf(bursting)
    const times = [...broken.series.t]
    const time = times.find((t) => {
      const beads = beadsAt(broken, t)
      return beads?.grown && beads.amplitude > 0.3 * beads.halfBase
    })!
    expect(time).toBeGreaterThan(0)
    const fields = createFields()
    moveTo(fields, broken.frames, bursting.bath.dishRadius_mm * 1e-3, time)
    const beads = beadsAt(broken, time)!
    const { thin, thinRadius } = seriesAt(broken.series, time)
    const look = lookOf(wish('dyed', { dye: 200 }), broken, bursting)
    const of = { ...scene('dyed'), fields, beads, look, thin: { thin, thinRadius } }
    const size = 1400
    const across = 2.2 * fields.R
    const bytes = flatPixels(of, size, across)
    // How far out the dye reaches in each direction: a bead is where that passes from within the round edge to beyond it.
    const reach = (angle: number): number => {
      let r = fields.R + 1.5 * beads.amplitude
      for (; r > fields.R - 1.5 * beads.amplitude; r -= (0.25 * across) / size) {
        const i = Math.floor(size / 2 + (r / across) * size * Math.cos(angle))
        const j = Math.floor(size / 2 - (r / across) * size * Math.sin(angle))
        if (at(bytes, size, i, j)[0] < look.bare![0] - 0.1) break
      }
      return r
    }
    let rises = 0
    let outside = false
    for (let k = 0; k <= 8000; k++) {
      const off = (reach((2 * Math.PI * k) / 8000) - fields.R) / beads.amplitude
      if (!outside && off > 0.35) rises++
      if (Math.abs(off) > 0.35) outside = off > 0
    }
    expect(Math.abs(rises / beads.count - 1), `${rises} of ${beads.count}`).toBeLessThan(0.1)
  })
  it('child drops stand on both halves, where the stage has one of them', () => {
    const of = scene('thickness')
    const child = { r: 1.1 * of.fields.R, angle: Math.PI / 2, radius: 0.02 * of.fields.R, opacity: 1 }
    const size = 200
    const bytes = flatPixels({ ...of, children: [child] }, size, 2.4 * of.fields.R)
    const off = Math.round((1.1 * size) / 2.4)
    expect(at(bytes, size, 100, 100 - off)).toEqual([0, 0, 1])
    expect(at(bytes, size, 100, 100 + off - 1)).toEqual([0, 0, 1])
  })
  it('its caption tells moment, mode and factor', () => {
    const text = flatCaption(scene('white'), 'A drop')
    expect(text).toMatch(/^A drop: .* after touch-down, from straight above, calculated\./)
    expect(text).toContain('white light (D65)')
    expect(text).toContain('25×')
    expect(text).toContain('Round by calculation.')
    expect(flatCaption(scene('mono'), 'A')).toContain('589 nm')
  })
})
