/** Lines and words over the picture: outline of the cut, edge, thin spot, ring, hair line, scale bar, height ruler. */
import { svg } from '../dom.ts'
import { length } from '../format.ts'
import { radiusToPx } from '../plots/axis.ts'
import { type Framing, project, scaleBar } from './framing.ts'
import { type HeightMap, heightOf, rulerThicknesses } from './heightMap.ts'
import { type Profile, profileHeight } from './profile.ts'

/** What is marked; lengths in m, NaN where there is no such thing. */
export interface Marks {
  thin: number
  thinRadius: number
  ring: number
  ringRadius: number
}

const f = (x: number): string => x.toFixed(1)

/** A half ellipse: the circle of radius r at height y, behind the cut. */
function arc(frame: Framing, span: number, r: number, y: number): string {
  const left = project(frame, span, -r, y, 0)
  const right = project(frame, span, r, y, 0)
  const rx = r * frame.scale
  return `M${f(left.x)} ${f(left.y)}A${f(rx)} ${f(rx * Math.sin(frame.tilt))} 0 0 1 ${f(right.x)} ${f(right.y)}`
}

function outline(frame: Framing, span: number, profile: Profile): string {
  const parts: string[] = []
  const last = profile.count - 1
  const put = (sign: number, i: number) => {
    const p = project(frame, span, sign * profile.r[i]!, profile.y[i]!, 0)
    parts.push(`${f(p.x)} ${f(p.y)}`)
  }
  for (let i = last; i >= 0; i--) put(-1, i)
  for (let i = 1; i <= last; i++) put(1, i)
  return parts.length > 1 ? `M${parts.join('L')}` : ''
}

export class Overlay {
  readonly root = svg('svg', { class: 'stage-overlay', 'aria-hidden': 'true' })
  private readonly hair = [
    svg('line', { class: 'stage-hair' }),
    svg('line', { class: 'stage-hair mirrored' }),
  ]
  private readonly surface = svg('line', { class: 'stage-surface' })
  private readonly edge = svg('path', { class: 'stage-edge' })
  private readonly thinArc = svg('path', { class: 'stage-thin-arc' })
  private readonly cut = svg('path', { class: 'stage-cut' })
  private readonly thin = this.mark('stage-mark')
  private readonly ring = this.mark('stage-mark')
  private readonly bar = svg('g', { class: 'stage-bar' })
  private readonly ruler = svg('g', { class: 'stage-ruler' })

  constructor() {
    const { surface, edge, thinArc, cut, thin, ring, bar, ruler } = this
    this.root.append(edge, thinArc, surface, cut, thin.group, ring.group, bar, ruler, ...this.hair)
  }

  private mark(name: string) {
    const line = svg('path', { class: 'stage-leader' })
    const dot = svg('circle', { r: 2.6 })
    const text = svg('text', {})
    return { group: svg('g', { class: name }, line, dot, text), line, dot, text }
  }

  /** Scale bar, height ruler and the like: what changes only with frame, span or height map. */
  setFrame(frame: Framing, span: number, dishRadius: number, depth: number): void {
    this.root.setAttribute('viewBox', `0 0 ${frame.width} ${frame.height}`)
    const reach = Math.min(span * 1.5, dishRadius)
    const left = Math.max(0, radiusToPx(frame.width, span, -reach))
    const right = Math.min(frame.width, radiusToPx(frame.width, span, reach))
    for (const [name, value] of Object.entries({ x1: left, x2: right, y1: frame.cutRow, y2: frame.cutRow })) {
      this.surface.setAttribute(name, f(value))
    }
    this.drawBar(frame, span, depth)
  }

  private drawBar(frame: Framing, span: number, depth: number): void {
    const size = scaleBar(frame.scale)
    const y = frame.height - 9
    const x1 = radiusToPx(frame.width, span, span)
    const x0 = x1 - size * frame.scale
    const x = radiusToPx(frame.width, span, -span)
    const depthText =
      frame.shownDepth < 0.98 * depth ? `oil ${length(depth, 2)} deep, cut` : `oil ${length(depth, 2)} deep`
    this.bar.replaceChildren(
      svg('path', { d: `M${f(x0)} ${y - 4}v8M${f(x0)} ${y}H${f(x1)}M${f(x1)} ${y - 4}v8` }),
      svg('text', { x: f(x0 - 6), y: y + 4, 'text-anchor': 'end' }, length(size, 2)),
      svg('text', { x: f(x + 4), y: y + 4 }, depthText),
    )
  }

  setRuler(frame: Framing, map: HeightMap, thickest: number): void {
    const x = radiusToPx(frame.width, 1, -1)
    const up = frame.scale * Math.cos(frame.tilt)
    const parts: SVGElement[] = []
    let before = frame.cutRow + 4
    for (const h of rulerThicknesses(map, thickest)) {
      const y = frame.cutRow - up * heightOf(map, h)
      parts.push(svg('path', { d: `M${x - 4} ${f(y)}h8` }))
      if (before - y < 10) continue
      before = y
      parts.push(svg('text', { x: x - 7, y: f(y + 3.5), 'text-anchor': 'end' }, length(h, 1)))
    }
    if (parts.length > 0) {
      const top = frame.cutRow - up * heightOf(map, rulerThicknesses(map, thickest).at(-1)!)
      parts.push(svg('path', { d: `M${x} ${f(frame.cutRow)}V${f(top)}` }))
    }
    this.ruler.replaceChildren(...parts)
  }

  /** `arcs`: draw the circles of edge and thin spot too, for want of a scene. */
  setDrop(frame: Framing, span: number, profile: Profile, marks: Marks, arcs: boolean): void {
    const R = profile.count > 0 ? profile.r[profile.count - 1]! : 0
    this.cut.setAttribute('d', outline(frame, span, profile))
    this.edge.setAttribute('d', arcs && R > 0 ? arc(frame, span, R, 0) : '')
    const thinKnown = arcs && marks.thinRadius > 0
    const y = profileHeight(profile, marks.thinRadius)
    this.thinArc.setAttribute('d', thinKnown ? arc(frame, span, marks.thinRadius, y) : '')
    this.place(
      this.thin,
      frame,
      span,
      profile,
      marks.thinRadius,
      1,
      `thin spot ${length(marks.thin)} at ${length(marks.thinRadius)}`,
    )
    this.place(
      this.ring,
      frame,
      span,
      profile,
      marks.ringRadius,
      -1,
      `ring ${length(marks.ring)} at ${length(marks.ringRadius)}`,
    )
  }

  private place(
    mark: ReturnType<Overlay['mark']>,
    frame: Framing,
    span: number,
    profile: Profile,
    radius: number,
    side: 1 | -1,
    text: string,
  ): void {
    const shown = radius > 0
    mark.group.setAttribute('visibility', shown ? 'visible' : 'hidden')
    if (!shown) return
    const at = project(frame, span, side * radius, profileHeight(profile, radius), 0)
    const row = frame.cutRow + (side > 0 ? 30 : 15)
    mark.dot.setAttribute('cx', f(at.x))
    mark.dot.setAttribute('cy', f(at.y))
    mark.line.setAttribute('d', `M${f(at.x)} ${f(at.y + 3)}V${f(row - 9)}`)
    const anchor = side > 0 ? 'end' : 'start'
    const room = 7.2 * text.length
    const x =
      side > 0
        ? Math.max(at.x + 4, Math.min(room + 6, frame.width - 6))
        : Math.min(at.x - 4, Math.max(6, frame.width - room - 6))
    mark.text.setAttribute('x', f(x))
    mark.text.setAttribute('y', f(row))
    mark.text.setAttribute('text-anchor', anchor)
    if (mark.text.textContent !== text) mark.text.textContent = text
  }

  setHair(frame: Framing, span: number, radius: number): void {
    this.hair.forEach((line, i) => {
      const x = f(radiusToPx(frame.width, span, i === 0 ? radius : -radius))
      line.setAttribute('x1', x)
      line.setAttribute('x2', x)
      line.setAttribute('y1', '0')
      line.setAttribute('y2', f(frame.height))
    })
  }
}
