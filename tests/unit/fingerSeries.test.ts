/** Fingers over time: which frames tell, what stands in the plot and in its columns. Rims of known number, by the test. */
import { describe, expect, it } from 'vitest'
import { atLargest, fingerPoints, isCounted } from '../../src/measured/video/fingerSeries.ts'
import { fingersOf } from '../../src/measured/video/fingerSpectrum.ts'
import { keyOf, pointsOf } from '../../src/measured/video/series.ts'
import type { Rejection } from '../../src/measured/video/sight.ts'
import type { DropMark } from '../../src/measured/video/types.ts'
import { csvText } from '../../src/page/plots/dataTable.ts'
import { paperColours } from '../../src/page/plots/seriesColours.ts'
import { computedAt, fingerPanel, tallyOf } from '../../src/page/video/fingerPanel.ts'
import { evenRim, outlineOf } from '../fixtures/fingeredRims.ts'

const metresPerPixel = 1e-4
const radii = [30, 60, 90, 120, 118]
const counts = [24, 24, 24, 24, 36]
/** Five frames with fingers 2 px high; the fourth is rejected, and one without any comes last. */
const readings = [...radii, 100].map((radius, i) => ({
  time: i,
  result: {
    flags: [],
    drop: { equivalentRadius: radius, uncertainty: 0.1 } as DropMark,
    fingers: fingersOf(outlineOf(i < 5 ? evenRim(counts[i]!, 2 / radius) : () => 1, radius)),
  },
}))
const byKey = new Map(readings.map((reading) => [keyOf(reading.time), reading]))
const rejected = new Map<number, Rejection>([[keyOf(3), { kind: 'jumped', text: () => 'jumps' }]])
const scale = { metresPerPixel, relativeUncertainty: 0 }
const points = pointsOf(readings, new Map(), scale, { start: 0, slowing: 2 }, 'area', rejected)
const told = fingerPoints(points, byKey, metresPerPixel)

describe('fingers over time', () => {
  it('rejected frames are left out; times are those of the lab', () => {
    expect(told.map(({ time }) => time)).toEqual([0, 0.5, 1, 2, 2.5])
    expect(told.map(isCounted)).toEqual([true, true, true, true, false])
    expect(told.slice(0, 4).map(({ reading }) => Math.round(reading.count))).toEqual([24, 24, 24, 36])
    expect(tallyOf(told)).toBe('counted in 4 of 5 frames; none seen in 1')
  })
  it('near the largest radius: its count, and the spacing 2πR/N in metres', () => {
    const largest = atLargest(told)!
    expect(largest.count).toBeCloseTo(36, 6)
    expect(largest.spacing / ((2 * Math.PI * 118 * metresPerPixel) / 36)).toBeCloseTo(1, 2)
    expect(atLargest(told.filter((point) => !isCounted(point)))).toBeNull()
  })
  it('the plot holds counts with errors, the CSV a row for each frame with spacing, tips and necks', () => {
    const computed = { time: [1, 2, 3], count: [40, 50, 60], basis: 'made up' }
    const panel = fingerPanel(told, computed, true, paperColours)
    const counted = panel.lines.find(({ key }) => key === 'counted')!
    expect(Array.from(counted.y, (count) => Math.round(count))).toEqual([24, 24, 24, 36, Number.NaN])
    expect(Array.from(counted.base!, (error) => error > 0)).toEqual([true, true, true, true, false])
    expect(panel.yMax).toBeGreaterThan(60)
    expect(panel.xMax).toBeGreaterThanOrEqual(3)
    const [head, ...rows] = csvText([panel])
      .trim()
      .split('\n')
      .map((line) => line.split(','))
    const cell = (row: number, name: string) => rows[row]![head!.indexOf(name)]
    const all = (name: string) => rows.map((_, i) => cell(i, name))
    expect(all('t_s')).toEqual(['0', '0.5', '1', '2', '2.5'])
    expect(all('fingers_counted').map((text) => (text === '' ? '' : Math.round(Number(text))))).toEqual([
      24,
      24,
      24,
      36,
      '',
    ])
    expect(all('fingers_computed').slice(0, 3)).toEqual(['40', '50', '60'])
    // At 1 s: tips at 90 + 2 px, necks at 90 − 2 px.
    expect(Number(cell(2, 'tips_radius_mm'))).toBeCloseTo(9.2, 1)
    expect(Number(cell(2, 'necks_radius_mm'))).toBeCloseTo(8.8, 1)
    expect(Number(cell(2, 'finger_spacing_mm'))).toBeCloseTo((2 * Math.PI * 9) / 24, 2)
    expect(cell(4, 'tips')).toBe('')
  })
  it('nothing is computed before the beads show or after the last moment', () => {
    const computed = { time: [1, 2], count: [160, 104], basis: '' }
    expect([0.5, 1, 1.9, 2, 2.1].map((time) => computedAt(computed, time))).toEqual([
      '',
      'about 160',
      'about 160',
      'about 100',
      '',
    ])
    expect(computedAt(null, 1)).toBe('')
  })
})
