/** Radius from a picture, against pictures whose radius is known because the test drew them. */
import { describe, expect, it } from 'vitest'
import { depths, mainPart, piecesOf } from '../../src/measured/video/children.ts'
import { otsu } from '../../src/measured/video/edgeLevel.ts'
import { markDrop } from '../../src/measured/video/mark.ts'
import { areaOf, meanRadius, roundnessOf, traceOutline } from '../../src/measured/video/outline.ts'
import { fillHoles, grow, largestRegion } from '../../src/measured/video/regions.ts'
import { type Frame, plainSettings, type Settings } from '../../src/measured/video/types.ts'
import {
  drawScene,
  dyes,
  goodLight,
  inventedRadius,
  poorLight,
  randomOf,
  ringOf,
  type Scene,
  straw,
} from '../fixtures/syntheticVideo.ts'

const size = { width: 320, height: 240 }
const middle = { x: 158.3, y: 121.7 }

const scene = (r: number, change: Partial<Scene> = {}): Scene => ({
  ...size,
  drop: { ...middle, r },
  bath: straw,
  passes: dyes.middling,
  ...goodLight,
  ...change,
})

const mark = (drawn: Scene, change: Partial<Settings> = {}) =>
  markDrop(drawScene(drawn), { ...plainSettings(), ...change })

/** Fails unless both radii are within `share` of the drawn one or within half a pixel. */
function near(drawn: Scene, share: number, label: string, change: Partial<Settings> = {}) {
  const { drop, flags } = mark(drawn, change)
  const r = drawn.drop!.r
  const permitted = Math.max(share * r, 0.5)
  for (const [name, radius] of [
    ['from the area', drop?.equivalentRadius ?? Number.NaN],
    ['mean of the edge', drop?.edgeRadius ?? Number.NaN],
  ] as const) {
    const said = `${label}: radius ${name} ${radius} px instead of ${r} px, permitted ±${permitted}`
    expect(Math.abs(radius - r) <= permitted, said).toBe(true)
  }
  expect(Math.hypot(drop!.x - drawn.drop!.x, drop!.y - drawn.drop!.y), `${label}: centre`).toBeLessThan(
    permitted,
  )
  return { drop: drop!, flags }
}

describe('a life of a drop, frame by frame', () => {
  for (const [dye, passes] of Object.entries(dyes)) {
    it(`within 1 % or half a pixel in good light, ${dye} contrast`, () => {
      for (const part of [0, 0.1, 0.5, 0.95]) {
        const r = inventedRadius(part, 85)
        near(scene(r, { passes, seed: 10 + 100 * part }), 0.01, `part ${part}`)
      }
    })
    it(`within 3 % in poor light, ${dye} contrast`, () => {
      for (const part of [0, 0.1, 0.5, 0.95]) {
        const r = inventedRadius(part, 85)
        near(scene(r, { passes, ...poorLight, seed: 10 + 100 * part }), 0.03, `part ${part}`)
      }
    })
  }
})

describe('what lies round the drop', () => {
  for (const [light, given, share, gap] of [
    ['good', goodLight, 0.01, 2],
    ['poor', poorLight, 0.03, 5],
  ] as const) {
    it(`child drops are left out in ${light} light`, () => {
      for (const r of [40, 70]) {
        const children = ringOf({ ...middle, r }, 20, 0.06 * r, gap)
        near(scene(r, { ...given, children }), share, `R ${r}`)
      }
    })
    it(`a reflection does no harm in ${light} light`, () => {
      for (const [label, away] of [
        ['inside', 0.4],
        ['on the edge', 0.97],
        ['outside', 1.3],
      ] as const) {
        const reflections = [{ x: middle.x + away * 60, y: middle.y + 5, r: 8, light: 0.6 }]
        const { flags } = near(scene(60, { ...given, reflections }), share, label)
        expect(flags.includes('bridged'), label).toBe(away === 0.97)
      }
    })
  }
  it('child drops that touch the drop are cut off only if that is wanted', () => {
    const children = [{ x: middle.x + 57, y: middle.y, r: 8 }]
    const whole = mark(scene(50, { children }), { cutChildren: false })
    const cut = mark(scene(50, { children }))
    expect(Math.abs(cut.drop!.equivalentRadius - 50)).toBeLessThan(0.5)
    // Two discs that hardly overlap: √(50² + 8²) = 50.64.
    expect(Math.abs(whole.drop!.equivalentRadius - Math.hypot(50, 8))).toBeLessThan(0.1)
    expect(whole.drop!.roundness).toBeLessThan(cut.drop!.roundness)
  })
  it('what lies outside the watched circle is not seen', () => {
    const children = [{ x: 40, y: 40, r: 30 }]
    const drawn = scene(20, { children })
    expect(Math.abs(mark(drawn).drop!.equivalentRadius - 30)).toBeLessThan(0.5)
    near(drawn, 0.01, 'watched', { watch: { x: 170, y: 120, r: 95 } })
  })
  it('a drop that covers most of the watched circle is found', () => {
    const change = {
      children: ringOf({ ...middle, r: 78 }, 20, 3, 4),
      reflections: [{ x: 130, y: 100, r: 5, light: 0.6 }],
    }
    near(scene(78, change), 0.01, 'wide', { watch: { x: 160, y: 121, r: 112 } })
  })
  it('a hot spot of the lamp is no drop and does not hide one', () => {
    const lamp = { x: 120, y: 100, r: 70, gain: 0.2 }
    expect(mark(scene(1, { drop: null, lamp })).flags).toEqual(['no-drop'])
    for (const r of [12, 30, 60]) near(scene(r, { lamp, passes: dyes.strong }), 0.01, `R ${r}`)
  })
  it('a picture of the bare bath takes away what it shows: dish, marks, lamp', () => {
    const marks = [
      { x: 40, y: 40, r: 36 },
      { x: 270, y: 200, r: 30 },
    ]
    const change: Partial<Scene> = { children: marks, lamp: { x: 120, y: 100, r: 70, gain: 0.2 } }
    const bare = drawScene(scene(1, { ...change, drop: null, seed: 5 }))
    for (const r of [15, 35]) {
      const frame = drawScene(scene(r, { ...change, seed: 6 }))
      expect(Math.abs(markDrop(frame, plainSettings()).drop!.equivalentRadius - r)).toBeGreaterThan(0.5)
      const { drop } = markDrop(frame, plainSettings(), bare)
      expect(Math.abs(drop!.equivalentRadius - r)).toBeLessThan(0.5)
    }
    expect(
      markDrop(drawScene(scene(1, { ...change, drop: null, seed: 7 })), plainSettings(), bare).drop,
    ).toBeNull()
  })
  it('a colour that weakens towards the rim does not make the drop smaller', () => {
    near(scene(60, { fading: (part) => 0.6 * part * part }), 0.01, 'fading')
  })
})

describe('differences and levels', () => {
  it('each kind of difference finds a drop that has it', () => {
    near(scene(50), 0.01, 'darker', { difference: 'darker' })
    near(scene(50), 0.01, 'tint', { difference: 'tint' })
    const bright: Partial<Scene> = { bath: [0.1, 0.1, 0.12], passes: [3, 3, 3] }
    near(scene(50, bright), 0.01, 'brighter', { difference: 'brighter' })
    near(scene(50, bright), 0.01, 'colour', { difference: 'colour' })
    expect(mark(scene(50), { difference: 'brighter' }).drop).toBeNull()
  })
  it('a grey shadow has no tint', () => {
    const shadow: Partial<Scene> = { passes: [0.7, 0.7, 0.7] }
    expect(mark(scene(50, shadow), { difference: 'tint' }).flags).toContain('no-drop')
    near(scene(50, shadow), 0.01, 'colour')
  })
  it('a level set by hand is the level of the outline', () => {
    const low = mark(scene(50, { blur: 3 }), { level: 0.08 }).drop!
    const high = mark(scene(50, { blur: 3 }), { level: 0.3 }).drop!
    expect(low.level).toBe(0.08)
    expect(low.equivalentRadius).toBeGreaterThan(50.5)
    expect(high.equivalentRadius).toBeLessThan(49.5)
  })
  it('Otsu’s threshold lies between two heaps', () => {
    const random = randomOf(4)
    const values = Array.from({ length: 900 }, (_, i) => (i % 3 === 0 ? 0.8 : 0.1) + 0.1 * (random() - 0.5))
    const level = otsu(values, -0.5, 1.5)
    expect(level).toBeGreaterThan(0.15)
    expect(level).toBeLessThan(0.75)
  })
})

describe('uncertainty', () => {
  it('covers the error at twice its size, and grows with the blur', () => {
    const found = [0.7, 1.5, 3].map((blur) => {
      const { drop } = near(scene(60, { blur, seed: 3 }), 0.01, `blur ${blur}`)
      expect(Math.abs(drop.equivalentRadius - 60)).toBeLessThan(2 * drop.uncertainty)
      // 10 %–90 % of a normal blur is 2.563 standard deviations; one pixel's own width adds a little.
      expect(Math.abs(drop.blur - 2.563 * Math.hypot(blur, 0.3))).toBeLessThan(0.15 * drop.blur + 0.2)
      return drop.uncertainty
    })
    expect(found[0]!).toBeLessThan(found[1]!)
    expect(found[1]!).toBeLessThan(found[2]!)
  })
})

describe('frames without a usable drop', () => {
  const bare = (change: Partial<Scene>): Scene => ({ ...scene(1), drop: null, ...change })
  it('no drop is said, not guessed', () => {
    for (const light of [goodLight, poorLight]) {
      for (const seed of [1, 2, 3]) {
        const { drop, flags } = mark(bare({ ...light, seed }))
        expect(drop).toBeNull()
        expect(flags).toEqual(['no-drop'])
      }
    }
    expect(mark(bare({}), { level: 0.9 }).flags).toEqual(['no-drop'])
  })
  it('a drop that reaches the border is flagged', () => {
    expect(mark(scene(40, { drop: { x: 20, y: 120, r: 40 } })).flags).toContain('touches-border')
    expect(mark(scene(40), { watch: { ...middle, x: middle.x + 40, r: 70 } }).flags).toContain(
      'touches-border',
    )
    expect(mark(scene(40)).flags).toEqual([])
  })
  it('black, white, tiny and odd pictures give an answer', () => {
    const plain = (width: number, height: number, value: number): Frame => ({
      width,
      height,
      data: new Uint8ClampedArray(4 * width * height).fill(value),
    })
    for (const frame of [
      plain(64, 48, 0),
      plain(64, 48, 255),
      plain(1, 1, 90),
      plain(9, 400, 128),
      plain(0, 0, 0),
    ]) {
      expect(markDrop(frame, plainSettings()).drop).toBeNull()
    }
    const random = randomOf(9)
    const noise = plain(160, 120, 0)
    for (let i = 0; i < noise.data.length; i++) noise.data[i] = 256 * random()
    expect(() => markDrop(noise, plainSettings())).not.toThrow()
  })
  it('the picture itself is not changed', () => {
    const frame = drawScene(scene(30))
    const before = frame.data.slice()
    markDrop(frame, plainSettings())
    expect(frame.data).toEqual(before)
  })
})

describe('regions and outlines', () => {
  const draw = (rows: string[]) => Uint8Array.from(rows.join(''), (sign) => (sign === '#' ? 1 : 0))
  it('the largest region is joined by sides, holes are filled', () => {
    const rows = ['##...', '..###', '..#.#', '..###', '#....']
    const region = largestRegion(draw(rows), 5, 5)!
    expect(region.size).toBe(8)
    expect(fillHoles(region.mask, 5, 5)[2 * 5 + 3]).toBe(1)
    expect(largestRegion(new Uint8Array(9), 3, 3)).toBeNull()
  })
  it('growing goes by the distance of all pairs, the depth of a pixel within a tenth of it', () => {
    const random = randomOf(2)
    const [width, height] = [23, 17]
    for (const share of [0.04, 0.9]) {
      const mask = Uint8Array.from({ length: width * height }, () => (random() < share ? 1 : 0))
      const nearest = (value: number, i: number) => {
        let best = Number.POSITIVE_INFINITY
        mask.forEach((set, j) => {
          const dx = (i % width) - (j % width)
          const dy = Math.floor(i / width) - Math.floor(j / width)
          if (set === value) best = Math.min(best, Math.hypot(dx, dy))
        })
        return best
      }
      for (const reach of [1, 1.5, 3.2]) {
        const grown = grow(mask, width, height, reach)
        mask.forEach((_, i) => {
          expect(grown[i]).toBe(nearest(1, i) <= reach + 1e-9 ? 1 : 0)
        })
      }
      const deep = depths(mask, width, height)
      mask.forEach((_, i) => {
        expect(Math.abs(deep[i]! - nearest(0, i))).toBeLessThanOrEqual(0.1 * nearest(0, i))
      })
    }
  })
  it('a neck is cut, the body stays', () => {
    const mask = new Uint8Array(60 * 40)
    const fill = (x0: number, x1: number, y0: number, y1: number) => {
      for (let y = y0; y < y1; y++) mask.fill(1, y * 60 + x0, y * 60 + x1)
    }
    fill(5, 30, 8, 33)
    fill(30, 40, 19, 21)
    fill(40, 48, 16, 24)
    const [piece, ...more] = piecesOf(mask, 60, 40, 3)
    expect(more).toEqual([])
    expect(piece!.pixels).toContain(20 * 60 + 44)
    expect(piece!.pixels).not.toContain(20 * 60 + 10)
    // 8 px wide on a neck of 2 px: a radius of 4 over 1 and a half pixel for the corners.
    expect(piece!.bulge).toBeGreaterThan(2)
  })
  it('a finger is no thicker than its root', () => {
    const mask = new Uint8Array(60 * 40)
    for (let y = 5; y < 35; y++) mask.fill(1, y * 60 + 5, y * 60 + 35)
    for (let y = 18; y < 22; y++) mask.fill(1, y * 60 + 35, y * 60 + 50)
    const [piece] = piecesOf(mask, 60, 40, 4)
    expect(piece!.pixels).toContain(20 * 60 + 45)
    expect(piece!.bulge).toBeLessThan(1.1)
  })
  it('two parts with a dip between them are told apart, with a saddle above the ridge they are not', () => {
    const width = 60
    const hill = (x: number, r: number, i: number) =>
      Math.max(0, 1 - Math.hypot((i % width) - x, Math.floor(i / width) - 20) / r)
    const values = Float32Array.from({ length: width * 40 }, (_, i) =>
      Math.max(hill(20, 20, i), hill(45, 12, i)),
    )
    const region = Uint8Array.from(values, (value) => (value > 0.1 ? 1 : 0))
    const plane = { width, height: 40, values }
    // The saddle lies where 1 − d/20 = 1 − (25 − d)/12: d = 15.6, at 0.22.
    expect(mainPart(region, plane, 0.2)).toEqual(region)
    const main = mainPart(region, plane, 0.3)
    expect(main[20 * width + 20]).toBe(1)
    expect(main[20 * width + 45]).toBe(0)
  })
  it('a cone’s level line is a circle to a hundredth of a pixel', () => {
    const width = 80
    const values = Float32Array.from(
      { length: width * width },
      (_, i) => 30 - Math.hypot((i % width) + 0.5 - 40.2, Math.floor(i / width) + 0.5 - 39.7),
    )
    const level = 30 - 22.4
    const region = Uint8Array.from(values, (value) => (value > level ? 1 : 0))
    const none = new Uint8Array(values.length)
    const open = new Uint8Array(values.length).fill(1)
    const { outline, touches } = traceOutline(region, { width, height: width, values }, level, none, open)
    expect(touches).toBe(false)
    const { area, centre } = areaOf(outline)
    expect(Math.abs(Math.sqrt(area / Math.PI) - 22.4)).toBeLessThan(0.01)
    expect(Math.hypot(centre.x - 40.2, centre.y - 39.7)).toBeLessThan(0.01)
    expect(Math.abs(meanRadius(outline, centre) - 22.4)).toBeLessThan(0.01)
    expect(Math.abs(roundnessOf(outline) - 1)).toBeLessThan(0.005)
  })
  it('a square is less round than a circle: π/4', () => {
    const width = 200
    const away = (i: number) => Math.max(Math.abs((i % width) - 100), Math.abs(Math.floor(i / width) - 100))
    const values = Float32Array.from({ length: width * width }, (_, i) => (away(i) <= 80 ? 1 : 0))
    const region = Uint8Array.from(values)
    const open = new Uint8Array(values.length).fill(1)
    const plane = { width, height: width, values }
    const { outline } = traceOutline(region, plane, 0.5, new Uint8Array(values.length), open)
    expect(Math.abs(areaOf(outline).area - 161 ** 2)).toBeLessThan(2)
    expect(Math.abs(roundnessOf(outline) - Math.PI / 4)).toBeLessThan(0.03)
  })
})
