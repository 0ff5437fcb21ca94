import { csvParseRows } from 'd3-dsv'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { createFields, moveTo, pullsAt } from '../../src/life/view.ts'
import { linearTicks, logLabels, logTicks, roundRange, tickLabels } from '../../src/page/plots/axis.ts'
import { radiusAfterKey } from '../../src/page/plots/cursorKeys.ts'
import { csvText } from '../../src/page/plots/dataTable.ts'
import { type Line, lastPoint, type Panel, placeOnY, spread } from '../../src/page/plots/plotData.ts'
import { arrow, pullsDrawing } from '../../src/page/plots/pullsDrawing.ts'
import { balanceText, decimalsFor, pullBalance } from '../../src/page/plots/pullsModel.ts'
import { fileName } from '../../src/page/plots/saving.ts'
import { limitsOf, logRange, sectionPanels } from '../../src/page/plots/sectionModel.ts'
import { paperColours } from '../../src/page/plots/seriesColours.ts'
import { marksAt } from '../../src/page/plots/shown.ts'
import { pathData, svgText } from '../../src/page/plots/svgText.ts'
import { budgetPanel, radiusPanel, thicknessPanel } from '../../src/page/plots/tracesModel.ts'
import { syntheticLife } from '../fixtures/syntheticLife.ts'

const life = syntheticLife()
const choice = { timeSpan: 9, dark: false, lifeColour: '#14507a', pins: [], measured: [] }

const line = (more: Partial<Line> = {}): Line => ({
  key: 'a',
  label: 'a',
  column: 'a_mm',
  colour: '#000',
  dash: [],
  width: 1,
  kind: 'line',
  x: [0, 1, 2],
  y: [0, 5, 10],
  opacity: 1,
  ...more,
})
const panel = (lines: Line[], more: Partial<Panel> = {}): Panel => ({
  id: 'p',
  title: 'Title',
  xLabel: 'x, s',
  yLabel: 'y, mm',
  xColumn: 't_s',
  xMin: 0,
  xMax: 2,
  yMin: 0,
  yMax: 10,
  logarithmic: false,
  lines,
  marks: [],
  weight: 1,
  showX: true,
  ...more,
})

describe('axes', () => {
  it('chooses round ticks with room between them', () => {
    expect(linearTicks(0, 8, 400, 60)).toEqual([0, 2, 4, 6, 8])
    expect(linearTicks(-30, 30, 600, 60)).toEqual([-30, -20, -10, 0, 10, 20, 30])
    expect(linearTicks(1, 1, 400, 60)).toEqual([])
    fc.assert(
      fc.property(
        fc.double({ min: -1e4, max: 1e4, noNaN: true }),
        fc.double({ min: 1e-4, max: 1e5, noNaN: true }),
        (from, width) => {
          const ticks = linearTicks(from, from + width, 300, 50)
          expect(ticks.length).toBeLessThanOrEqual(7)
          for (const tick of ticks) {
            expect(tick).toBeGreaterThanOrEqual(from - 1e-6 * width)
            expect(tick).toBeLessThanOrEqual(from + width * (1 + 1e-6))
          }
        },
      ),
    )
  })
  it('chooses powers of ten, fewer where they would crowd', () => {
    expect(logTicks(0.05, 1500, 200, 14)).toEqual([0.1, 1, 10, 100, 1000])
    expect(logTicks(0.05, 1500, 60, 20)).toEqual([0.01, 1, 100].filter((tick) => tick > 0.05))
    expect(logTicks(0, 10, 60, 20)).toEqual([])
    expect(logTicks(0.4, 6, 180, 14)).toEqual([0.5, 1, 2, 5])
    expect(logTicks(0.4, 6, 40, 14)).toEqual([1])
    expect(logTicks(2, 8, 180, 14)).toEqual([2, 5])
  })
  it('writes ticks with equal decimals, powers of ten as they are', () => {
    expect(tickLabels([-0.5, 0, 0.25])).toEqual(['−0.50', '0.00', '0.25'])
    expect(logLabels([0.1, 1, 1000])).toEqual(['0.1', '1', '1000'])
  })
  it('rounds ranges outwards and never gives an empty one', () => {
    expect(roundRange(26.3, 33.1, false, 3)).toEqual({ min: 25, max: 35 })
    expect(roundRange(0.02, 0.49, true, 3)).toEqual({ min: 0, max: 0.6 })
    const flat = roundRange(5, 5, false)
    expect(flat.max).toBeGreaterThan(flat.min)
    expect(logRange(Number.POSITIVE_INFINITY, 1e-3)).toEqual({ min: 0.05, max: 1500 })
  })
  it('keeps labels apart and inside', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: 0, max: 100, noNaN: true }), { maxLength: 6 }), (wanted) => {
        const places = spread(wanted, 12, 100)
        const sorted = [...places].sort((a, b) => a - b)
        for (let i = 1; i < sorted.length; i++) expect(sorted[i]! - sorted[i - 1]!).toBeGreaterThan(11.99)
        for (const place of places) expect(place).toBeLessThanOrEqual(100.01)
      }),
    )
    expect(spread([50], 12, 100)).toEqual([50])
  })
  it('finds the end of a line and places on a logarithmic axis', () => {
    expect(lastPoint(line({ y: [1, 2, Number.NaN] }), { xMin: 0, xMax: 2 })).toBe(1)
    expect(lastPoint(line(), { xMin: 0, xMax: 1.5 })).toBe(1)
    expect(lastPoint(line({ x: [], y: [] }), { xMin: 0, xMax: 1 })).toBe(-1)
    expect(placeOnY({ yMin: 0.1, yMax: 1000, logarithmic: true }, 10)).toBeCloseTo(0.5, 12)
    expect(placeOnY({ yMin: 0.1, yMax: 1000, logarithmic: true }, 0)).toBe(-0.2)
  })
})

describe('SVG', () => {
  it('lifts the pen at gaps', () => {
    const place = { x: (v: number) => v, y: (v: number) => v }
    expect(pathData({ x: [0, 1, 2, 3], y: [1, 2, Number.NaN, 4] }, place)).toBe('M0 1L1 2M3 4')
  })
  it('is well-formed, stands alone and shows text as text', () => {
    const text = svgText(
      [panel([line({ label: '<b>&"x"' })], { marks: [{ x: 1, y: 5, label: 'm', below: false }] })],
      {
        title: 'A <script>',
        subtitle: 's',
      },
    )
    expect(text).toMatch(/^<svg xmlns="http:\/\/www.w3.org\/2000\/svg" /)
    expect(text).not.toMatch(/<script|<b>|NaN|undefined|Infinity/)
    const opened = text.match(/<[a-zA-Z][^>]*[^/]>/g)!.length
    const closed = text.match(/<\/[a-zA-Z]+>/g)!.length
    expect(opened).toBe(closed)
  })
  it('draws the middle of the data in the middle of the plot', () => {
    const d = svgText([panel([line()])], { title: '', subtitle: '', panelHeight: 120 }).match(
      /<path d="(M66 [^"]*)" fill="none" stroke="#000"/,
    )![1]!
    const points = d
      .split(/[ML]/)
      .filter(Boolean)
      .map((p) => p.split(' ').map(Number))
    expect(points[1]![0]).toBeCloseTo((points[0]![0]! + points[2]![0]!) / 2, 2)
    expect(points[1]![1]).toBeCloseTo((points[0]![1]! + points[2]![1]!) / 2, 2)
    expect(points[0]![1]! - points[2]![1]!).toBeCloseTo(120, 6)
  })
  it('keeps dash, colour and unit of every line', () => {
    const text = svgText([panel([line({ dash: [6, 3], colour: '#d55e00' })])], { title: '', subtitle: '' })
    expect(text).toContain('stroke="#d55e00"')
    expect(text).toContain('stroke-dasharray="6 3"')
    expect(text).toContain('y, mm')
    expect(text).toContain('x, s')
  })
})

describe('table', () => {
  const rows = (panels: Panel[]) => csvParseRows(csvText(panels))

  it('has one x column for lines over the same x', () => {
    const x = [0, 1, 2]
    const table = rows([panel([line({ x }), line({ x, key: 'b', column: 'b_mm', y: [1, Number.NaN, 3] })])])
    expect(table).toEqual([
      ['t_s', 'a_mm', 'b_mm'],
      ['0', '0', '1'],
      ['1', '5', ''],
      ['2', '10', '3'],
    ])
  })
  it('fills up shorter curves with empty cells and names their x column', () => {
    const table = rows([panel([line(), line({ x: [7], y: [8], column: 'c, "odd"' })])])
    expect(table[0]).toEqual(['t_s (a_mm)', 'a_mm', 't_s (c, "odd")', 'c, "odd"'])
    expect(table[1]).toEqual(['0', '0', '7', '8'])
    expect(table[3]).toEqual(['2', '10', '', ''])
  })
  it('gives the height of an area, not its upper border', () => {
    expect(rows([panel([line({ kind: 'area', base: [0, 1, 2] })])])[2]).toEqual(['1', '4'])
  })
})

describe('section', () => {
  const fields = createFields()
  moveTo(fields, life.frames, 0.07, 3.2)
  const made = sectionPanels(fields, marksAt(life, 3.2), limitsOf(life), {
    span: 0.04,
    logarithmic: true,
    dark: false,
    ghosts: [],
  })
  it('has four panels over the stage’s axis', () => {
    expect(made.map((p) => p.id)).toEqual(['thickness', 'alcohol', 'tension', 'speed'])
    for (const p of made) expect([p.xMin, p.xMax]).toEqual([-40, 40])
    expect(made.filter((p) => p.showX).map((p) => p.id)).toEqual(['speed'])
  })
  it('mirrors the fields about the axis, in the units of the axis', () => {
    const h = made[0]!.lines[0]!
    const n = h.x.length
    for (let i = 0; i < n; i++) {
      expect(h.x[i]).toBe(-h.x[n - 1 - i]!)
      expect(h.y[i]).toBe(h.y[n - 1 - i])
    }
    expect(h.y[n / 2]).toBeCloseTo(1e6 * fields.h[0]!, 9)
    expect(h.x[n - 1]).toBeCloseTo(1e3 * fields.R, 9)
    expect(h.y[n - 1]).toBe(0)
  })
  it('marks thin spot and ring with their numbers', () => {
    expect(made[0]!.marks.map((m) => m.label.split(' ')[0])).toEqual(['thin', 'rim'])
    const [thin, ring] = made[0]!.marks
    expect(thin!.y).toBeLessThan(ring!.y)
    expect(thin!.label).toMatch(/^thin spot [\d.]+ (nm|µm) at [\d.]+ mm$/)
  })
  it('tells the beads beside the ring and in the table, as an estimate', () => {
    const beads = {
      count: 143.7,
      spacing: 1.214e-3,
      amplitude: 1e-4,
      halfBase: 1.6e-4,
      dropRadius: 1.15e-4,
      grown: true,
    }
    const at = (more: typeof beads) =>
      sectionPanels(fields, { ...marksAt(life, 3.2), beads: more }, limitsOf(life), {
        span: 0.04,
        logarithmic: true,
        dark: false,
        ghosts: [],
      })
    const ring = at(beads)[0]!.marks[1]!.label
    expect(ring).toMatch(/^rim [\d.]+ µm at [\d.]+ mm · about 140 beads, 1\.2 mm apart \(estimate\)$/)
    expect(svgText(at(beads), { title: '', subtitle: '' })).toContain('about 140 beads')
    const [head, first] = csvParseRows(csvText(at(beads)))
    const of = (name: string) => first![head!.indexOf(name)]
    expect(of('beads (estimate)')).toBe('143.7')
    expect(of('bead_spacing_mm (estimate)')).toBe('1.214')
    expect(of('bead_drop_size_um (estimate)')).toBe('115')
    const small = at({ ...beads, grown: false })
    expect(small[0]!.marks[1]!.label).not.toContain('bead')
    expect(csvText(small)).not.toContain('bead')
  })
  it('has no mark where there is no ring', () => {
    const bare = {
      thin: Number.NaN,
      thinRadius: Number.NaN,
      ring: Number.NaN,
      ringRadius: Number.NaN,
      beads: null,
    }
    const again = sectionPanels(fields, bare, limitsOf(life), {
      span: 0.04,
      logarithmic: false,
      dark: true,
      ghosts: [],
    })
    expect(again[0]!.marks).toEqual([])
    expect(again[0]!.logarithmic).toBe(false)
  })
})

describe('traces', () => {
  it('stack the budgets up to the starting volume at all times', () => {
    const { lines } = budgetPanel(life, choice)
    expect(lines.map((l) => l.key)).toEqual([
      'drop alcohol',
      'drop water',
      'child alcohol',
      'child water',
      'evaporated alcohol',
      'evaporated water',
    ])
    for (let i = 1; i < lines.length; i++) expect(lines[i]!.base).toBe(lines[i - 1]!.y)
    const { volume, childVolume, evaporatedVolume } = life.series
    const top = lines.at(-1)!.y
    for (const k of [0, 50, 159]) {
      expect(top[k]).toBeCloseTo(1e9 * (volume[k]! + childVolume[k]! + evaporatedVolume[k]!), 9)
    }
  })
  it('have the beads in their tables: number, spacing round the edge, radius of a drop', () => {
    for (const panel of [radiusPanel(life, choice), thicknessPanel(life, choice)]) {
      const [head, ...body] = csvParseRows(csvText([panel]))
      const column = (name: string) => body.map((row) => row[head!.indexOf(name)]!)
      const [n, spacing] = [column('beads (estimate)'), column('bead_spacing_mm (estimate)')]
      expect(n[0]).toBe('')
      for (const k of [60, 120]) {
        expect(Number(n[k])).toBeCloseTo(life.series.beads[k]!, 3)
        // All of them stand round the edge: n times the spacing is 2πR.
        expect((Number(n[k]) * Number(spacing[k])) / (2e3 * Math.PI * life.series.R[k]!)).toBeCloseTo(1, 5)
        expect(Number(column('bead_drop_size_um (estimate)')[k])).toBeCloseTo(60, 6)
      }
    }
  })
  it('leave out child drops where there are none', () => {
    const keys = budgetPanel(syntheticLife({ breakUp: false }), choice).lines.map((l) => l.key)
    expect(keys.some((key) => key.startsWith('child'))).toBe(false)
  })
  it('show this life, pins and measurements together', () => {
    const curve = {
      id: 'm',
      name: 'bench 3',
      time: Float64Array.of(0, 1),
      radius: Float64Array.of(0.002, 0.06),
      meta: {},
      file: 'x.csv',
    }
    const pin = { id: 'pin', label: 'weaker', life, colour: '#d55e00', dash: [7, 3] }
    const made = radiusPanel(life, { ...choice, pins: [pin], measured: [{ curve, colour: '#0072b2' }] })
    expect(made.lines.map((l) => [l.key, l.kind])).toEqual([
      ['pin', 'line'],
      ['m', 'points'],
      ['R', 'line'],
    ])
    expect(made.yMax).toBeGreaterThanOrEqual(60)
  })
  it('tell the thicknesses apart by colour, dash and label', () => {
    const { lines, logarithmic } = thicknessPanel(life, choice)
    expect(logarithmic).toBe(true)
    for (const of of ['colour', 'dash', 'label'] as const) {
      expect(new Set(lines.map((l) => String(l[of]))).size).toBe(3)
    }
  })
})

describe('balance of pulls', () => {
  const some = fc.double({ min: -500, max: 500, noNaN: true })

  it('adds up to zero as shown, whatever the rounding', () => {
    fc.assert(
      fc.property(some, some, some, (above, below, capillary) => {
        const drag = -(above + below + capillary)
        const balance = pullBalance({ above, below, capillary, drag, edge: 0.003, place: 'film' })
        const read = (text: string) => Number(text.replace('−', '-'))
        const shown = balance.rows.map((row) => read(row.shown))
        expect(shown.reduce((a, b) => a + b)).toBeCloseTo(0, 9)
        expect(read(balance.sum)).toBe(0)
        const unit = 10 ** -(balance.rows[0]!.shown.split('.')[1]?.length ?? 0)
        balance.rows.forEach((row, i) => {
          expect(Math.abs(shown[i]! - row.value)).toBeLessThanOrEqual(2 * unit)
          expect(Math.abs(row.value)).toBeLessThanOrEqual(balance.limit * (1 + 1e-12))
        })
      }),
    )
  })
  it('gives the largest three digits', () => {
    expect([0, 0.0123, 1.5, 42, 4000].map(decimalsFor)).toEqual([2, 4, 2, 1, 0])
  })
  it('says what it shows', () => {
    const fields = createFields()
    moveTo(fields, life.frames, 0.07, 2)
    const inside = pullBalance(pullsAt(fields, 0.5 * fields.R))
    expect(balanceText(inside)).toMatch(/^Pulls on the bath in pascal.*bath drag −[\d.]+; sum 0\.0*\.$/)
    expect(balanceText(pullBalance(pullsAt(fields, 2 * fields.R)))).toMatch(/^Outside the drop/)
    const drawing = pullsDrawing(inside, {
      width: 300,
      dark: false,
      colours: paperColours,
      heading: '',
      words: balanceText(inside),
    })
    expect(drawing.match(/<title>/g)!.length).toBe(4)
    expect(drawing).not.toMatch(/NaN|undefined/)
  })
  it('points its arrows the right way and shows tiny pulls as dots', () => {
    expect(arrow(100, 160, 10, 'red')).toContain('L160.0 10.0')
    expect(arrow(100, 40, 10, 'red')).toContain('L40.0 10.0')
    expect(arrow(100, 100.2, 10, 'red')).toContain('<circle')
  })
})

describe('small things', () => {
  it('moves the hair line by keys and stops at marks and ends', () => {
    const stops = [0, 0.01, 0.02, 0.03]
    const keyed = (key: string, radius: number, shift = false) =>
      radiusAfterKey(key, shift, radius, 0.03, stops)
    expect(keyed('PageUp', 0.01)).toBe(0.02)
    expect(keyed('PageDown', 0.01)).toBe(0)
    expect(keyed('End', 0)).toBe(0.03)
    expect(keyed('Home', 0.02)).toBe(0)
    expect(keyed('ArrowRight', 0.03)).toBe(0.03)
    expect(keyed('ArrowLeft', 0.01, true)).toBeCloseTo(0.0085, 12)
    expect(keyed('a', 0.01)).toBeNull()
  })
  it('makes file names that every system takes', () => {
    expect(fileName('rimtide', 'Früh: 50 % <x>/..\\')).toBe('rimtide-fru-h-50-x')
    expect(fileName('…')).toBe('rimtide')
  })
})
