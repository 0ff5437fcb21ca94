/**
 * The points of a curve as a small plot in its editor. A frame drawn over them, by pointer, keys or numbers, chooses points to
 * be set aside or taken back, all at once.
 */
import { type Frame, pointsIn, withManyExcluded } from '../../measured/edit.ts'
import type { MeasuredCurve } from '../../measured/types.ts'
import { el, oncePerFrame, svg } from '../dom.ts'
import { linearTicks, roundRange, tickLabels } from '../plots/axis.ts'
import { crowd } from '../plots/crowd.ts'
import { numberField } from './importParts.ts'

const height = 220
const margin = { left: 44, right: 10, top: 22, bottom: 34 }
/** Part of the plot by which a key moves the frame. */
const step = 0.02

export interface FramePlot {
  root: HTMLElement
  /** Shows the points; `preview`: how they would lie after a change that is being prepared. */
  show(curve: MeasuredCurve, preview?: MeasuredCurve | null): void
  destroy(): void
}

interface Axes {
  width: number
  time: readonly [number, number]
  radius: readonly [number, number]
}

const axesOf = (curves: readonly MeasuredCurve[], width: number): Axes => {
  const least = Math.min(...curves.map(({ time }) => time[0]!))
  const last = Math.max(...curves.map(({ time }) => time.at(-1)!))
  const most = Math.max(...curves.map(({ radius }) => radius.reduce((a, b) => Math.max(a, b), 0)))
  const time = roundRange(least, last, false, 6)
  const radius = roundRange(0, 1e3 * most * 1.02, true, 4)
  return { width, time: [time.min, time.max], radius: [0, radius.max] }
}

const xOf = ({ width, time: [a, b] }: Axes, t: number): number =>
  margin.left + ((t - a) / (b - a)) * (width - margin.left - margin.right)
const yOf = ({ radius: [, most] }: Axes, mm: number): number =>
  height - margin.bottom - (mm / most) * (height - margin.top - margin.bottom)

/** Marks as dots: strokes of no length with round ends. */
function dots(curve: MeasuredCurve, axes: Axes, excluded: boolean): string {
  const adds = crowd(curve.time.length)
  let d = ''
  for (let i = 0; i < curve.time.length; i++) {
    if ((curve.excluded?.[i] === 1) !== excluded) continue
    const [x, y] = [xOf(axes, curve.time[i]!), yOf(axes, 1e3 * curve.radius[i]!)]
    if (!adds(x, y)) continue
    const at = `M${x.toFixed(1)} ${y.toFixed(1)}`
    d += excluded ? `M${(x - 3).toFixed(1)} ${(y - 3).toFixed(1)}l6 6m0 -6l-6 6` : `${at}h0`
  }
  return d
}

function axesElements(axes: Axes): SVGElement[] {
  const { width } = axes
  const word = (x: number, y: number, text: string, anchor: string) =>
    svg('text', { x, y, 'text-anchor': anchor }, text)
  const times = linearTicks(...axes.time, width - margin.left - margin.right, 60)
  const radii = linearTicks(...axes.radius, height - margin.top - margin.bottom, 34)
  const grid = radii.map((mm) => `M${margin.left} ${yOf(axes, mm).toFixed(1)}H${width - margin.right}`)
  return [
    svg('path', { class: 'grid', d: grid.join('') }),
    ...tickLabels(times).map((text, i) =>
      word(xOf(axes, times[i]!), height - margin.bottom + 14, text, 'middle'),
    ),
    ...tickLabels(radii).map((text, i) => word(margin.left - 5, yOf(axes, radii[i]!) + 4, text, 'end')),
    word((margin.left + width) / 2, height - 4, 't, s (own clock)', 'middle'),
    word(4, 11, 'R, mm', 'start'),
  ]
}

/** @param change takes the curve with other points set aside, as one step of undo */
export function createFramePlot(change: (curve: MeasuredCurve) => void): FramePlot {
  let curve: MeasuredCurve | null = null
  let preview: MeasuredCurve | null = null
  let axes: Axes | null = null
  let frame: Frame | null = null
  let start: { t: number; r: number } | null = null
  const picture = svg('svg', { height, 'aria-hidden': 'true' })
  const area = el('div', { class: 'frame-plot', tabindex: 0, role: 'group' }, picture)
  area.setAttribute(
    'aria-label',
    'Points of the curve. Arrow keys move the frame, with Shift they change its size, Escape takes it away; or give its borders below.',
  )
  const says = el('p', { class: 'note', role: 'status' })
  const aside = el('button', { type: 'button', onclick: () => set(true) }, 'Set aside what is framed')
  const back = el('button', { type: 'button', onclick: () => set(false) }, 'Take back what is framed')
  const fields = el('div', { class: 'frame-fields' })
  const root = el(
    'div',
    { class: 'frame-tool' },
    area,
    fields,
    says,
    el('div', { class: 'buttons' }, aside, back),
  )
  const ask = oncePerFrame(draw)
  const observer = new ResizeObserver(ask)
  observer.observe(area)

  const borders = [
    ['from', 'Frame from t =', 1],
    ['to', 'to', 1],
    ['low', 'and from R =', 1e3],
    ['high', 'to', 1e3],
  ] as const
  const inputs = borders.map(([key, label, factor]) => {
    const root = numberField(label, undefined, (value) => {
      if (value === undefined || !Number.isFinite(value) || !axes) return tell()
      put({ ...(frame ?? whole(axes)), [key]: value / factor })
    })
    const input = root.querySelector('input')!
    input.setAttribute(
      'aria-label',
      `Frame: ${key === 'from' || key === 'to' ? 'time' : 'radius'} ${key === 'from' || key === 'low' ? 'from' : 'to'}, ${factor === 1 ? 's' : 'mm'}`,
    )
    root.append(factor === 1 ? ' s' : ' mm')
    return { key, factor, input, root }
  })
  fields.append(...inputs.map((one) => one.root))

  const whole = ({ time, radius }: Axes): Frame => ({
    from: time[0],
    to: time[1],
    low: 0,
    high: radius[1] / 1e3,
  })

  function put(next: Frame | null): void {
    frame = next && {
      from: Math.min(next.from, next.to),
      to: Math.max(next.from, next.to),
      low: Math.min(next.low, next.high),
      high: Math.max(next.low, next.high),
    }
    ask()
  }

  const framed = (): number[] => (curve && frame ? pointsIn(curve, frame) : [])

  function set(excluded: boolean): void {
    const index = framed().filter((i) => (curve!.excluded?.[i] === 1) !== excluded)
    if (index.length > 0) change(withManyExcluded(curve!, index, excluded))
  }

  function tell(): void {
    const index = framed()
    const out = index.filter((i) => curve!.excluded?.[i] === 1).length
    aside.disabled = index.length === out
    back.disabled = out === 0
    says.textContent = frame
      ? `${index.length} ${index.length === 1 ? 'point is' : 'points are'} framed, ${out} of them set aside.`
      : 'Draw a frame round points to set them aside, or take them back, all at once. Crosses are set aside.'
    for (const { key, factor, input } of inputs) {
      if (document.activeElement === input) continue
      input.value = frame ? String(Number((frame[key] * factor).toPrecision(5))) : ''
    }
  }

  function draw(): void {
    const width = Math.max(240, area.clientWidth)
    if (!curve) return
    axes = axesOf(preview ? [curve, preview] : [curve], width)
    picture.setAttribute('width', String(width))
    picture.setAttribute('viewBox', `0 0 ${width} ${height}`)
    const parts: SVGElement[] = [
      ...axesElements(axes),
      svg('path', { class: 'used', d: dots(curve, axes, false) }),
      svg('path', { class: 'aside', d: dots(curve, axes, true) }),
    ]
    if (preview) parts.push(svg('path', { class: 'preview', d: dots(preview, axes, false) }))
    if (frame) {
      const [x, y] = [xOf(axes, frame.from), yOf(axes, 1e3 * frame.high)]
      parts.push(
        svg('rect', {
          class: 'point-frame',
          x,
          y,
          width: Math.max(1, xOf(axes, frame.to) - x),
          height: Math.max(1, yOf(axes, 1e3 * frame.low) - y),
        }),
      )
    }
    picture.replaceChildren(...parts)
    tell()
  }

  /** Time (s) and radius (m) under the pointer, within the plot. */
  function at(event: PointerEvent): { t: number; r: number } {
    const box = picture.getBoundingClientRect()
    const { width, time, radius } = axes!
    const part = (value: number, from: number, size: number) =>
      Math.min(1, Math.max(0, (value - from) / size))
    const across = part(event.clientX - box.left, margin.left, width - margin.left - margin.right)
    const up = 1 - part(event.clientY - box.top, margin.top, height - margin.top - margin.bottom)
    return { t: time[0] + across * (time[1] - time[0]), r: (up * radius[1]) / 1e3 }
  }

  area.addEventListener('pointerdown', (event) => {
    if (!axes || event.button !== 0) return
    start = at(event)
    area.setPointerCapture(event.pointerId)
  })
  area.addEventListener('pointermove', (event) => {
    if (!start) return
    const now = at(event)
    put({ from: start.t, to: now.t, low: start.r, high: now.r })
  })
  for (const end of ['pointerup', 'pointercancel'])
    area.addEventListener(end, () => {
      start = null
    })
  area.addEventListener('keydown', (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || !axes) return
    if (event.key === 'Escape' && frame) {
      event.stopPropagation()
      return put(null)
    }
    const [x, y] = (
      { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] } as Record<
        string,
        [number, number]
      >
    )[event.key] ?? [0, 0]
    if (x === 0 && y === 0) return
    event.preventDefault()
    const all = whole(axes)
    const dt = x * step * (all.to - all.from)
    const dr = y * step * all.high
    const middle = {
      from: all.from + 0.4 * (all.to - all.from),
      to: all.from + 0.6 * (all.to - all.from),
      low: 0.4 * all.high,
      high: 0.6 * all.high,
    }
    const now = frame ?? middle
    if (event.shiftKey)
      put({ ...now, to: Math.max(now.from, now.to + dt), high: Math.max(now.low, now.high + dr) })
    else put({ from: now.from + dt, to: now.to + dt, low: now.low + dr, high: now.high + dr })
  })

  return {
    root,
    show(next, changed = null) {
      if (curve?.id !== next.id) frame = null
      curve = next
      preview = changed
      ask()
    },
    destroy: () => observer.disconnect(),
  }
}
