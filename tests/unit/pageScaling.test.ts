/** The plots of the scaling section as data, and labels that go under a plot. */
import { describe, expect, it } from 'vitest'
import { COLLAPSE_RULES } from '../../src/measured/scaling.ts'
import type { Line, Panel } from '../../src/page/plots/plotData.ts'
import { legendLines, svgLegend, textWidth, wrapText } from '../../src/page/plots/svgLegend.ts'
import { svgText } from '../../src/page/plots/svgText.ts'
import { collapsePanel, lineAt, trendPanel } from '../../src/page/scaling/models.ts'
import type { ShownSeries } from '../../src/page/scaling/series.ts'
import type { ScalingItem } from '../../src/plan/scalingItem.ts'
import { scalingReport } from '../../src/plan/scalingReport.ts'

const parts = Array.from({ length: 41 }, (_, i) => i / 40)
const colours = { ink: '#222222', life: '#0072b2' }

/** A triangle from 0 up to `most` (m) at half of `end` (s) and down to 0. */
const item = (
  name: string,
  most: number,
  end: number,
  mass: number,
  more: Partial<ScalingItem> = {},
): ScalingItem => ({
  id: name,
  name,
  kind: 'simulated',
  inRow: true,
  series: {
    name,
    time: parts.map((x) => x * end),
    radius: parts.map((x) => most * (1 - Math.abs(2 * x - 1))),
  },
  maxRadius: most,
  maxRadiusError: 0.001,
  strength: { mass, volume: mass + 5 },
  inputs: null,
  note: '',
  lens: false,
  ...more,
})

const shown = (items: ScalingItem[]): ShownSeries[] =>
  items.map((one, i) => ({ item: one, colour: `#00000${i}`, dash: [i], marker: 'diamond', first: true }))

const items = [
  item('a', 0.02, 8, 60),
  item('b', 0.01, 4, 40),
  item('m', 0.016, 5, 50, { kind: 'measured', inRow: false }),
  item('n', 0.02, 5, 60, { kind: 'measured', inRow: false }),
]
const report = scalingReport(items, { rule: COLLAPSE_RULES[0]!, by: 'mass' })

describe('scaled radius', () => {
  const panel = collapsePanel(report, shown(items), colours)
  it('shows band, series and mean, measured ones as points of their own shape', () => {
    expect(panel.lines.map(({ key, kind }) => [key, kind])).toEqual([
      ['band', 'area'],
      ['a', 'line'],
      ['b', 'line'],
      ['m', 'points'],
      ['n', 'points'],
      ['mean', 'line'],
    ])
    expect(panel.lines[3]).toMatchObject({ marker: 'diamond', colour: '#000002' })
  })
  it('the mean of triangles is their triangle: 1 where the largest radius is, 0.3 at the collapse', () => {
    const mean = panel.lines.at(-1)!
    // The collapse (0.3 of the largest) comes at (1 − 0.3/2) of the time, the largest radius at 0.5/0.85 of that.
    expect(lineAt(mean, 0.5 / 0.85)).toBeCloseTo(1, 1)
    expect(lineAt(mean, 1)).toBeCloseTo(0.3, 3)
    expect(lineAt(mean, 1.2)).toBeNaN()
  })
})

describe('largest radius', () => {
  it('joins a row of lives in the order of their strength, with the numerical error about it', () => {
    const { lines, yMax, xMin, xMax } = trendPanel(report, colours)
    const row = lines.find(({ key }) => key === 'row')!
    expect([row.x, row.y]).toEqual([
      [40, 60],
      [10, 20],
    ])
    expect(lines.find(({ key }) => key === 'row error')).toMatchObject({ y: [11, 21], base: [9, 19] })
    expect(lines.find(({ key }) => key === 'line measured')!.y[0]).toBeCloseTo(12, 10)
    expect(yMax).toBeGreaterThanOrEqual(21)
    expect([xMin, xMax]).toEqual([35, 65])
  })
  it('by volume, unit on the axis', () => {
    const panel = trendPanel(scalingReport(items, { rule: COLLAPSE_RULES[0]!, by: 'volume' }), colours)
    expect(panel.xLabel).toContain('% by volume at 20 °C')
    expect(panel.lines.find(({ key }) => key === 'row')!.x).toEqual([45, 65])
  })
  it('nothing chosen: no line at all', () => {
    const none = scalingReport([], { rule: COLLAPSE_RULES[0]!, by: 'mass' })
    expect(trendPanel(none, colours).lines).toEqual([])
    expect(collapsePanel(none, [], colours).lines).toEqual([])
  })
})

describe('labels without room', () => {
  const line = (label: string): Line => ({
    key: label,
    label,
    column: label,
    colour: '#d55e00',
    dash: [],
    width: 1,
    kind: 'line',
    x: [0, 1],
    y: [0, 1],
    opacity: 1,
  })
  const panel = (lines: Line[]): Panel => ({
    ...trendPanel(report, colours),
    xMin: 0,
    xMax: 1,
    yMin: 0,
    yMax: 1,
    lines,
    marks: [],
  })
  const long = 'A measured series with a name that is far too long for the margin'

  it('stand under the plot, the picture grows by their rows', () => {
    const options = { title: 't', subtitle: '' }
    const short = svgText([panel([line('R')])], options)
    const both = svgText([panel([line('R'), line(long)])], options)
    const height = (text: string) => Number(/ viewBox="0 0 \S+ ([\d.]+)"/.exec(text)![1])
    expect(height(both)).toBeGreaterThan(height(short))
    const places = [...both.matchAll(/<text x="([\d.]+)" y="([\d.]+)"[^>]*>([^<]*)</g)]
    const of = (words: string) => places.find(([, , , text]) => text === words)!
    expect(Number(of(long)[2])).toBeGreaterThan(height(short) - 20)
    expect(Number(of('R')[2])).toBeLessThan(height(short) / 2)
    for (const [, x, y, words] of places.filter(([, , , text]) => text === long)) {
      expect(Number(x) + textWidth(words!)).toBeLessThan(760)
      expect(Number(y)).toBeLessThan(height(both))
    }
  })
  it('alike ones are told once; too long ones go on in a line below', () => {
    expect(legendLines([line('a'), line('a'), line(''), line('b')]).map(({ label }) => label)).toEqual([
      'a',
      'b',
    ])
    for (const words of [
      'x'.repeat(300),
      'Harbour Lane evening school, bench 3, second run of the evening',
    ]) {
      const rows = wrapText(words, 100)
      expect(rows.length).toBeGreaterThan(1)
      expect(rows.join('').replaceAll(' ', '')).toBe(words.replaceAll(' ', ''))
      for (const row of rows) expect(textWidth(row)).toBeLessThanOrEqual(100)
    }
    expect(svgLegend([line('<b>')], 0, 400, 0).text).toContain('&#60;b&#62;')
    expect(svgLegend([], 0, 400, 0)).toEqual({ text: '', height: 0 })
  })
})
