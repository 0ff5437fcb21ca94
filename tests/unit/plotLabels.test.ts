/**
 * Figures for paper: no label lies over a point, a bar, a line or another label, nothing is cut, and the saved table reads back.
 * What is drawn is taken from the finished SVG text, not from the code that places. Common practice, no source.
 */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readText } from '../../src/measured/read.ts'
import type { MeasuredCurve } from '../../src/measured/types.ts'
import { csvText } from '../../src/page/plots/dataTable.ts'
import type { Line, Panel } from '../../src/page/plots/plotData.ts'
import { textWidth } from '../../src/page/plots/svgLegend.ts'
import { svgText } from '../../src/page/plots/svgText.ts'
import { radiusPanel } from '../../src/page/plots/tracesModel.ts'
import { titledSvg } from '../../src/page/report/titled.ts'
import { curveStyle, lookOf } from '../../src/page/theme.ts'
import { syntheticLife } from '../fixtures/syntheticLife.ts'

interface Box {
  words: string
  left: number
  right: number
  top: number
  bottom: number
}

/** Boxes of the level texts of a picture: type of 12 px reaches 9 px above its line and 3 below. */
function boxesOf(svg: string): Box[] {
  return [...svg.matchAll(/<text x="([-\d.]+)" y="([-\d.]+)"([^>]*)>([^<]*)</g)].flatMap(
    ([, x, y, more, words]) => {
      if (more!.includes('rotate')) return []
      const size = Number(/font-size="(\d+)"/.exec(more!)?.[1] ?? 12) / 12
      const width = textWidth(words!.replace(/&#\d+;/g, 'x')) * size
      const anchor = /text-anchor="(\w+)"/.exec(more!)?.[1]
      const left = Number(x) - (anchor === 'end' ? width : anchor === 'middle' ? width / 2 : 0)
      return [
        { words: words!, left, right: left + width, top: Number(y) - 9 * size, bottom: Number(y) + 3 * size },
      ]
    },
  )
}

/** Places along everything that is drawn inside the frames: ends of strokes, and places between them. */
function inkOf(svg: string): [number, number][] {
  const drawn = [...svg.matchAll(/<g clip-path[^>]*>(.*?)<\/g>/g)].flatMap(([, inside]) =>
    [...inside!.matchAll(/<path d="([^"]*)" fill="none"/g)].map(([, d]) => d!),
  )
  const ink: [number, number][] = []
  for (const d of drawn) {
    let [x, y] = [0, 0]
    for (const [, command, rest] of d.matchAll(/([MLVHhvla])([^MLVHhvlaZz]*)/g)) {
      const numbers = (rest!.match(/-?[\d.]+(?:e-?\d+)?/g) ?? []).map(Number)
      const [fromX, fromY] = [x, y]
      if (command === 'M' || command === 'L') [x, y] = [numbers[0]!, numbers[1]!]
      else if (command === 'V') y = numbers[0]!
      else if (command === 'h') x += numbers[0]!
      else if (command === 'v') y += numbers[0]!
      else if (command === 'l') [x, y] = [x + numbers[0]!, y + numbers[1]!]
      else continue
      const steps = command === 'M' ? 0 : Math.ceil(Math.hypot(x - fromX, y - fromY))
      for (let k = 0; k <= steps; k++) {
        const part = steps === 0 ? 1 : k / steps
        ink.push([fromX + part * (x - fromX), fromY + part * (y - fromY)])
      }
    }
  }
  return ink
}

function touches(svg: string): string[] {
  const boxes = boxesOf(svg)
  const [, width, height] = /viewBox="0 0 (\S+) (\S+)"/.exec(svg)!.map(Number)
  const frames = [
    ...svg.matchAll(/<clipPath[^>]*><rect x="(\S+)" y="(\S+)" width="(\S+)" height="(\S+)"/g),
  ].map((m) => m.slice(1).map(Number))
  const inFrame = (x: number, y: number) =>
    frames.some(([l, t, w, h]) => x >= l! && x <= l! + w! && y >= t! && y <= t! + h!)
  const found: string[] = []
  const ink = inkOf(svg).filter(([x, y]) => inFrame(x, y))
  boxes.forEach((a, i) => {
    if (a.left < 0 || a.right > width! || a.bottom > height!) found.push(`"${a.words}" leaves the picture`)
    if (ink.some(([x, y]) => x > a.left && x < a.right && y > a.top && y < a.bottom))
      found.push(`"${a.words}" lies on a line or point`)
    for (const b of boxes.slice(i + 1)) {
      if (a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom)
        found.push(`"${a.words}" lies on "${b.words}"`)
    }
  })
  return found
}

const line = (more: Partial<Line>): Line => ({
  key: 'k',
  label: '',
  column: 'a_mm',
  colour: '#0072b2',
  dash: [],
  width: 1.6,
  kind: 'line',
  x: [],
  y: [],
  opacity: 1,
  ...more,
})
const panelOf = (lines: Line[], marks: Panel['marks'] = []): Panel => ({
  id: 'p',
  title: 'Radius',
  xLabel: 't, s',
  yLabel: 'R, mm',
  xColumn: 't_s',
  xMin: 0,
  xMax: 10,
  yMin: 0,
  yMax: 40,
  logarithmic: false,
  lines,
  marks,
  weight: 1,
  showX: true,
})

const walk = fc
  .record({
    points: fc.boolean(),
    label: fc.constantFrom(
      'R',
      '60 % A',
      '60 % B, second run',
      'a life with a rather long name of its own',
      '',
    ),
    y: fc.array(fc.double({ min: -2, max: 44, noNaN: true }), { minLength: 2, maxLength: 40 }),
    end: fc.double({ min: 1, max: 10, noNaN: true }),
    error: fc.boolean(),
  })
  .map(({ points, label, y, end, error }) =>
    line({
      label,
      y,
      x: y.map((_, i) => (i / (y.length - 1)) * end),
      ...(points ? { kind: 'points' as const, width: 1 } : {}),
      ...(points && error ? { base: y.map((_, i) => 0.3 + 0.1 * (i % 7)) } : {}),
    }),
  )
const mark = fc.record({
  x: fc.double({ min: 0, max: 10, noNaN: true }),
  y: fc.double({ min: 0, max: 40, noNaN: true }),
  label: fc.constantFrom('28 mm at 3.1 s', 'thin spot 1.2 µm · rim'),
  below: fc.boolean(),
})

describe('labels touch nothing', () => {
  it('whatever is drawn', () => {
    fc.assert(
      fc.property(
        fc.array(walk, { minLength: 1, maxLength: 5 }),
        fc.array(mark, { maxLength: 2 }),
        fc.boolean(),
        (lines, marks, bare) => {
          const svg = svgText([panelOf(lines, marks)], {
            title: 'Radius against time',
            subtitle: 'a drop',
            bare,
          })
          expect(touches(svg)).toEqual([])
          expect(svg).not.toContain('…')
          // Every label stands somewhere, whole.
          const words = boxesOf(svg)
            .map((box) => box.words)
            .join(' ')
          for (const { label } of lines) for (const part of label.split(' ')) expect(words).toContain(part)
        },
      ),
      { numRuns: 150, seed: 5 },
    )
  })

  it('the check sees a label that lies on a point', () => {
    const svg = svgText([panelOf([line({ kind: 'points', x: [5], y: [20], label: 'a' })])], {
      title: '',
      subtitle: '',
    })
    const [, x, y] = /<path d="M(\S+) (\S+)a2\.5/.exec(svg)!.map(Number)
    const spoiled = svg.replace('</svg>', `<text x="${x! - 20}" y="${y! + 4}">over it</text></svg>`)
    expect(touches(svg)).toEqual([])
    expect(touches(spoiled)).toEqual(['"over it" lies on a line or point'])
  })

  it('a label finds its line where there is room, so that no legend is needed', () => {
    const x = [0, 2, 4, 6]
    const svg = svgText([panelOf([line({ label: 'near its end', x, y: [5, 9, 14, 20] })])], {
      title: '',
      subtitle: '',
    })
    const box = boxesOf(svg).find(({ words }) => words === 'near its end')!
    const end = 66 + 0.6 * (760 - 66 - 120)
    expect(Math.abs(box.left - end)).toBeLessThan(30)
  })

  it('long titles, subtitles and notices are told whole, above the plot', () => {
    const long =
      'Harbour Lane evening school, bench 3: a drop of ethanol and water on rapeseed oil, the third of the evening, with the lamp from the left'
    const notice = 'Made with gravity and evaporation switched off: not a forecast of a real drop.'
    const svg = svgText([panelOf([line({ x: [0, 9], y: [30, 39], label: 'R' })])], {
      title: long,
      subtitle: long,
      notice,
    })
    expect(touches(svg)).toEqual([])
    const told = boxesOf(svg)
      .map(({ words }) => words)
      .join(' ')
    expect(told).toContain(notice)
    expect(told.split(long).length).toBe(3)
    const single = titledSvg(
      { title: long, caption: '', svg: svgText([panelOf([])], { title: '', subtitle: '', bare: true }) },
      long,
      notice,
    )
    expect(
      boxesOf(single)
        .map(({ words }) => words)
        .join(' '),
    ).toContain(`${notice} ${long} ${long}`)
  })

  it('is as wide on paper as the text of a page: 170 mm, with type of 7 to 9 points', () => {
    const svg = svgText([panelOf([])], { title: 't', subtitle: '' })
    const [, mm] = /width="([\d.]+)mm"/.exec(svg)!.map(Number)
    const [, units] = /viewBox="0 0 (\d+)/.exec(svg)!.map(Number)
    expect(mm).toBe(170)
    // One point is 1/72 inch (ISO 12639 and common practice).
    const points = ((12 * mm!) / units! / 25.4) * 72
    expect(points).toBeGreaterThan(7)
    expect(points).toBeLessThan(9)
  })
})

describe('the table of a plot', () => {
  const curve = (name: string): MeasuredCurve => ({
    id: name,
    name,
    file: '',
    meta: {},
    time: Float64Array.of(0.25, 1, 2.5),
    radius: Float64Array.of(0.004, 0.0091, 0.012),
    uncertainty: Float64Array.of(0.0001, 0.0002, Number.NaN),
  })
  const names = ['60 % A', 'diameter check (2), time', 'minutes, px']

  it('is read by the import of measured curves: radii, times, names, uncertainties', () => {
    const panel = radiusPanel(syntheticLife(), {
      timeSpan: 9,
      dark: false,
      lifeColour: '#14507a',
      pins: [],
      measured: names.map((name) => ({ curve: curve(name), colour: '#000' })),
    })
    const csv = csvText([panel], 'Made with gravity switched off: not a forecast of a real drop.')
    expect(csv.startsWith('# Made with gravity')).toBe(true)
    const read = readText(csv, 'radius.csv')
    if (!read.ok) throw new Error(read.problems.map(({ message }) => message).join())
    expect(read.curves.map(({ name }) => name)).toEqual([...names, expect.any(String)])
    for (const made of read.curves.slice(0, 3)) {
      expect([...made.time]).toEqual([0.25, 1, 2.5])
      expect(Array.from(made.radius, (r) => Number(r.toPrecision(9)))).toEqual([0.004, 0.0091, 0.012])
      expect(Array.from(made.uncertainty!, (s) => Number(s.toPrecision(9)))).toEqual([
        0.0001,
        0.0002,
        Number.NaN,
      ])
    }
    const life = read.curves[3]!
    const { series } = syntheticLife()
    expect(life.time.length).toBe(series.t.length)
    expect(life.radius[5]!).toBeCloseTo(series.R[5]!, 8)
    // No more digits than a plot has, and none of binary fractions.
    expect(csv.replace(/0\.0+/g, '')).not.toMatch(/(?:\d\.?){9}/)
  })
})

describe('looks', () => {
  const made = (alcoholFraction?: number, alcohol?: string) => ({
    meta: { ...(alcoholFraction === undefined ? {} : { alcoholFraction }), ...(alcohol ? { alcohol } : {}) },
  })
  it('the same strength has the same colour and mark, another one another', () => {
    const curves = [made(0.6), made(0.5), made(0.6), made(), made(), made(0.5), made(0.6, 'methanol')]
    const styles = curves.map((curve, i) => curveStyle(curve, lookOf(curves, i)))
    expect(styles[2]).toEqual(styles[0])
    expect(styles[5]).toEqual(styles[1])
    const different = [styles[0], styles[1], styles[3], styles[4], styles[6]].map((style) =>
      JSON.stringify(style),
    )
    expect(new Set(different).size).toBe(5)
  })
})
