/** Draws the curves R(t) of the clock strip as SVG. Knows nothing of dragging. */
import { seriesAt } from '../../life/sample.ts'
import type { Life } from '../../life/types.ts'
import type { MeasuredCurve } from '../../measured/types.ts'
import { excludedPoints, type Points, usedPoints } from '../../measured/usable.ts'
import type { Envelope } from '../../plan/envelope.ts'
import { svg } from '../dom.ts'
import { duration, length } from '../format.ts'
import { drawnCurves } from '../measured/grouping.ts'
import { niceStep, roundUp } from '../spans.ts'
import type { State } from '../store.ts'
import { curveStyle, lookOf, type Marker } from '../theme.ts'

export interface Scales {
  width: number
  height: number
  left: number
  right: number
  top: number
  bottom: number
  /** s at the right end, m at the top. */
  timeSpan: number
  radiusTop: number
  /** With few numbers: for the first look. */
  sparse: boolean
  x(time: number): number
  y(radius: number): number
  timeAt(x: number): number
}

const margins = { left: 46, right: 48, top: 34, bottom: 22 }
/** Most points of a measured curve, and of all together, that are drawn; more would only cover each other. */
const mostPoints = 1500
const mostTogether = 30_000

const largest = (values: Float64Array): number => values.reduce((a, b) => Math.max(a, b), 0)

/** Scales that hold every curve shown. */
export function scalesFor(state: State, width: number, height: number): Scales {
  const lives = [state.life, state.outgoing, ...state.pins.map((pin) => pin.life)]
  const tops = lives.map((life) => (life ? largest(life.series.R) : 0))
  const measured = drawnCurves(state).map(({ curve }) => largest(curve.radius))
  const reach = state.stale ? 0 : (state.neighbours.band?.reach.maxRadius.high ?? 0)
  const radiusTop = roundUp(Math.max(1e-3, reach / 1.04, ...tops, ...measured) * 1.04, 8)
  const { left, right, top, bottom } = margins
  const across = Math.max(width - left - right, 10)
  const up = Math.max(height - top - bottom, 10)
  return {
    width,
    height,
    ...margins,
    timeSpan: state.timeSpan,
    radiusTop,
    sparse: state.place === 'watch' && !state.physics,
    x: (time) => left + (time / state.timeSpan) * across,
    y: (radius) => height - bottom - (radius / radiusTop) * up,
    timeAt: (x) => ((x - left) / across) * state.timeSpan,
  }
}

const fixed = (value: number): string => value.toFixed(1)

function pathOf(life: Life, scales: Scales): string {
  const { t, R } = life.series
  let path = ''
  for (let i = 0; i < t.length; i++) {
    path += `${i ? 'L' : 'M'}${fixed(scales.x(t[i]!))} ${fixed(scales.y(R[i]!))}`
  }
  return path
}

/** R of a life at a time, for drawing. */
const radiusAtTime = (life: Life, time: number): number => seriesAt(life.series, time).R

/** Where 68 % of the drawn lives lie about the present one, as an area. */
function bandPath(life: Life, envelope: Envelope, scales: Scales): string {
  const { t, down, up } = envelope
  const end = life.series.t.at(-1) ?? 0
  const upper: string[] = []
  const lower: string[] = []
  for (let i = 0; i < t.length && t[i]! <= end; i++) {
    const x = fixed(scales.x(t[i]!))
    const R = radiusAtTime(life, t[i]!)
    upper.push(`${x} ${fixed(scales.y(R + up[i]!))}`)
    lower.unshift(`${x} ${fixed(scales.y(Math.max(0, R - down[i]!)))}`)
  }
  return upper.length > 1 ? `M${upper.join('L')}L${lower.join('L')}Z` : ''
}

/** Round values from 0 to `span`, about `parts` of them. */
function ticks(span: number, parts: number): number[] {
  const step = niceStep(span / parts)
  return Array.from({ length: Math.floor(span / step + 1e-6) + 1 }, (_, i) => i * step)
}

const tickText = (value: number): string => String(Number(value.toPrecision(6)))

function axes(scales: Scales): SVGElement[] {
  const { x, y, left, right, width, height, bottom, timeSpan, radiusTop, sparse } = scales
  const parts: SVGElement[] = []
  const along = sparse ? 4 : Math.max(3, Math.min(10, (width - left) / 70))
  for (const time of ticks(timeSpan, along)) {
    parts.push(svg('line', { class: 'grid', x1: x(time), x2: x(time), y1: y(0), y2: y(radiusTop) }))
    parts.push(
      svg(
        'text',
        { class: 'tick', x: x(time), y: height - bottom + 15, 'text-anchor': 'middle' },
        tickText(time),
      ),
    )
  }
  for (const radius of ticks(radiusTop * 1e3, sparse ? 2 : 4)) {
    const at = y(radius * 1e-3)
    parts.push(svg('line', { class: 'grid', x1: left, x2: width - right, y1: at, y2: at }))
    parts.push(svg('text', { class: 'tick', x: left - 6, y: at + 4, 'text-anchor': 'end' }, tickText(radius)))
  }
  parts.push(svg('text', { class: 'axis', x: 4, y: 12 }, 'R in mm'))
  parts.push(
    svg('text', { class: 'axis', x: width - 2, y: height - bottom + 15, 'text-anchor': 'end' }, 't in s'),
  )
  return parts
}

const shapes: Record<Marker, (x: number, y: number) => string> = {
  circle: (x, y) => `M${x - 3} ${y}a3 3 0 1 0 6 0a3 3 0 1 0-6 0`,
  square: (x, y) => `M${x - 2.7} ${y - 2.7}h5.4v5.4h-5.4z`,
  diamond: (x, y) => `M${x} ${y - 3.8}l3.8 3.8l-3.8 3.8l-3.8-3.8z`,
  triangle: (x, y) => `M${x} ${y - 3.8}l3.5 6.2h-7z`,
}

/** Outline of a marker about a point, as an SVG path. */
export const markerPath = (marker: Marker, x: number, y: number): string => shapes[marker](x, y)

/** `most`: points of this curve that are drawn. */
function points(curve: MeasuredCurve, look: number, scales: Scales, most: number): SVGElement[] {
  const { colour, marker } = curveStyle(curve, look)
  const used = usedPoints(curve)
  const aside = excludedPoints(curve)
  const group = svg('g', { class: 'measured', 'data-curve': curve.id })
  group.append(svg('title', {}, curve.name))
  const places = placed(used, scales, most)
  const bars = barsPath(used, places, scales)
  if (bars) group.append(svg('path', { d: bars, stroke: colour, fill: 'none' }))
  group.append(svg('path', { d: marksPath(places, shapes[marker]), fill: colour, class: 'points' }))
  if (aside.time.length > 0) {
    group.append(
      svg(
        'path',
        { d: marksPath(placed(aside, scales, most), cross), stroke: colour, fill: 'none', class: 'aside' },
        svg('title', {}, `${curve.name}: set aside`),
      ),
    )
  }
  return [group]
}

/** Index of a point and where it is drawn. */
type Place = [number, number, number]

/** Every n-th point that is drawn: [index, x, y]; points before the contact are not. */
function placed({ time, radius }: Points, scales: Scales, most: number): Place[] {
  const stride = Math.max(1, Math.ceil(time.length / most))
  const places: Place[] = []
  for (let i = 0; i < time.length; i += stride) {
    if (time[i]! < 0) continue
    places.push([i, Number(fixed(scales.x(time[i]!))), Number(fixed(scales.y(radius[i]!)))])
  }
  return places
}

const cross = (x: number, y: number): string => `M${x - 3} ${y - 3}l6 6m0 -6l-6 6`

const marksPath = (places: readonly Place[], shape: (x: number, y: number) => string): string =>
  places.map(([, x, y]) => shape(x, y)).join('')

function barsPath(points: Points, places: readonly Place[], scales: Scales): string {
  let bars = ''
  for (const [i, x] of places) {
    const spread = points.uncertainty?.[i] ?? Number.NaN
    if (!(spread > 0)) continue
    const radius = points.radius[i]!
    bars += `M${x} ${fixed(scales.y(radius - spread))}V${fixed(scales.y(radius + spread))}`
  }
  return bars
}

interface Flag {
  time: number
  name: string
  /** The number that belongs to it. */
  value: string
  kind: string
}

function flagsOf(life: Life): Flag[] {
  if (life.status === 'growing') return []
  const { outcome, maxRadius, maxRadiusTime, firstBreakUp, collapseTime } = life.summary
  const flags: Flag[] = []
  if (outcome !== 'lens' && maxRadiusTime > 0) {
    flags.push({ time: maxRadiusTime, name: 'largest', value: length(maxRadius), kind: 'largest' })
  }
  if (firstBreakUp >= 0)
    flags.push({ time: firstBreakUp, name: 'first break-up', value: duration(firstBreakUp), kind: 'break' })
  if (collapseTime > 0)
    flags.push({ time: collapseTime, name: 'collapse', value: duration(collapseTime), kind: 'collapse' })
  return flags.sort((a, b) => a.time - b.time)
}

/** Flags above the curve, in two lanes so that their words do not run into each other. */
function flags(life: Life, scales: Scales): SVGElement[] {
  const ends = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY]
  return flagsOf(life).flatMap(({ time, name, value, kind }) => {
    const x = scales.x(time)
    const text = scales.sparse ? name : `${name} ${value}`
    const wide = text.length * 6.2
    const start = Math.max(scales.left + 20, Math.min(x - wide / 2, scales.width - scales.right - wide))
    const lane = start > ends[0]! ? 0 : start > ends[1]! ? 1 : -1
    const line = svg('line', {
      class: `flag ${kind}`,
      x1: x,
      x2: x,
      y1: scales.y(scales.radiusTop) - 2,
      y2: scales.y(0),
    })
    if (lane < 0) return [line]
    ends[lane] = start + wide + 10
    return [line, svg('text', { class: `flag ${kind}`, x: start, y: 26 - lane * 14 }, text)]
  })
}

interface EndLabel {
  text: string
  colour: string
  dash: string
  x: number
  y: number
}

const cut = (text: string): string => (text.length > 26 ? `${text.slice(0, 25)}…` : text)

/** Labels at the ends of lines, each with a sample of its line; moved apart upwards where lines end together. */
function endLabels(labels: EndLabel[], scales: Scales): SVGElement[] {
  let ceiling = scales.y(0) - 4
  return labels
    .sort((a, b) => b.y - a.y)
    .flatMap(({ text, colour, dash, x, y }) => {
      const at = Math.min(y - 4, ceiling)
      ceiling = at - 14
      const wide = cut(text).length * 7 + 26
      const start = Math.max(scales.left, Math.min(x + 6, scales.width - wide))
      const sample = { x1: start, x2: start + 20, y1: at - 4, y2: at - 4 }
      return [
        svg('line', { class: 'ghost', ...sample, stroke: colour, 'stroke-dasharray': dash }),
        svg('text', { class: 'end', x: start + 24, y: at }, cut(text)),
      ]
    })
}

/** Everything of the strip but the hand that marks the moment. */
export function drawCurves(state: State, scales: Scales): SVGElement[] {
  const { life, outgoing, pins, stale, neighbours } = state
  const parts = axes(scales)
  const labels: EndLabel[] = []
  for (const pin of pins) {
    const { t, R } = pin.life.series
    parts.push(
      svg('path', {
        class: 'ghost',
        d: pathOf(pin.life, scales),
        stroke: pin.colour,
        'stroke-dasharray': pin.dash.join(' '),
      }),
    )
    labels.push({
      text: pin.label,
      colour: pin.colour,
      dash: pin.dash.join(' '),
      x: scales.x(t.at(-1) ?? 0),
      y: scales.y(R.at(-1) ?? 0),
    })
  }
  if (outgoing) parts.push(svg('path', { class: 'outgoing', d: pathOf(outgoing, scales) }))
  if (life) {
    if (neighbours.envelope && !stale) {
      const title = svg('title', {}, '68 of 100 drops, with the uncertain inputs drawn from their widths')
      parts.push(svg('path', { class: 'reach', d: bandPath(life, neighbours.envelope, scales) }, title))
    }
    parts.push(...flags(life, scales))
    parts.push(svg('path', { class: stale ? 'life stale' : 'life', d: pathOf(life, scales) }))
  }
  const most = Math.min(mostPoints, Math.ceil(mostTogether / Math.max(1, drawnCurves(state).length)))
  for (const { curve, index } of drawnCurves(state))
    parts.push(...points(curve, lookOf(state.measured, index), scales, most))
  return [...parts, ...endLabels(labels, scales)]
}
