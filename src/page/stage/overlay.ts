/**
 * Lines and words over the picture: outline of the cut, edge, thin spot, rim, hair line, scale bar, height ruler. What a
 * turned look would show wrongly is left out.
 */
import { svg } from '../dom.ts'
import { length } from '../format.ts'
import { type Framing, marksCircle, project } from './framing.ts'
import type { HeightMap } from './heightMap.ts'
import { barParts, rulerParts, textWidth } from './overlayScales.ts'
import { type Profile, profileHeight } from './profile.ts'

/** What is marked; lengths in m, NaN where there is no such thing. */
export interface Marks {
  thin: number
  thinRadius: number
  ring: number
  ringRadius: number
}

const f = (x: number): string => x.toFixed(1)

/** The circle of radius r at height y as far as it is shown: behind the cut, or all of it. */
function arc(frame: Framing, r: number, y: number): string {
  const left = project(frame, -r, y, 0)
  const right = project(frame, r, y, 0)
  const rx = r * frame.scale
  const sweep = `A${f(rx)} ${f(rx * Math.sin(frame.tilt))} 0 0 1 `
  const back = `M${f(left.x)} ${f(left.y)}${sweep}${f(right.x)} ${f(right.y)}`
  return frame.whole ? `${back}${sweep}${f(left.x)} ${f(left.y)}` : back
}

function outline(frame: Framing, profile: Profile): string {
  const parts: string[] = []
  const last = profile.count - 1
  const put = (sign: number, i: number) => {
    const p = project(frame, sign * profile.r[i]!, profile.y[i]!, 0)
    parts.push(`${f(p.x)} ${f(p.y)}`)
  }
  for (let i = last; i >= 0; i--) put(-1, i)
  for (let i = 1; i <= last; i++) put(1, i)
  return parts.length > 1 ? `M${parts.join('L')}` : ''
}

/** The cut's face is seen, and not only from its side. */
const cutSeen = (frame: Framing): boolean => !frame.whole && Math.cos(frame.turn) > 0.05

export class Overlay {
  readonly root = svg('svg', { class: 'stage-overlay', 'aria-hidden': 'true' })
  private readonly hair = [
    svg('line', { class: 'stage-hair' }),
    svg('line', { class: 'stage-hair mirrored' }),
  ]
  private readonly hairCircle = svg('path', { class: 'stage-hair' })
  private readonly surface = svg('line', { class: 'stage-surface' })
  private readonly edge = svg('path', { class: 'stage-edge' })
  private readonly thinArc = svg('path', { class: 'stage-thin-arc' })
  private readonly cut = svg('path', { class: 'stage-cut' })
  private readonly thin = this.mark('stage-mark')
  private readonly rim = this.mark('stage-mark')
  private readonly bar = svg('g', { class: 'stage-bar' })
  private readonly ruler = svg('g', { class: 'stage-ruler' })

  constructor() {
    const { surface, edge, thinArc, cut, thin, rim, bar, ruler, hairCircle } = this
    this.root.append(edge, thinArc, surface, cut, thin.group, rim.group, bar, ruler, hairCircle, ...this.hair)
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
    const [left, right] = [project(frame, -reach, 0, 0), project(frame, reach, 0, 0)]
    const within = (x: number) => f(Math.min(Math.max(0, x), frame.width))
    const ends = frame.frontal
      ? { x1: within(left.x), x2: within(right.x), y1: f(frame.cutRow), y2: f(frame.cutRow) }
      : { x1: f(left.x), x2: f(right.x), y1: f(left.y), y2: f(right.y) }
    for (const [name, value] of Object.entries(ends)) this.surface.setAttribute(name, value)
    this.surface.setAttribute('visibility', cutSeen(frame) ? 'visible' : 'hidden')
    this.bar.replaceChildren(...barParts(frame, depth))
  }

  setRuler(frame: Framing, map: HeightMap, thickest: number): void {
    this.ruler.replaceChildren(...(frame.frontal ? rulerParts(frame, map, thickest) : []))
  }

  /** `arcs`: draw the circles of edge and thin spot too, for want of a scene. */
  setDrop(frame: Framing, profile: Profile, marks: Marks, arcs: boolean): void {
    const R = profile.count > 0 ? profile.r[profile.count - 1]! : 0
    this.cut.setAttribute('d', cutSeen(frame) ? outline(frame, profile) : '')
    this.edge.setAttribute('d', arcs && R > 0 ? arc(frame, R, 0) : '')
    const thinKnown = arcs && marks.thinRadius > 0
    const y = profileHeight(profile, marks.thinRadius)
    this.thinArc.setAttribute('d', thinKnown ? arc(frame, marks.thinRadius, y) : '')
    const { thin, thinRadius, ring, ringRadius } = marks
    this.place(this.thin, frame, profile, thinRadius, 1, `thin spot ${length(thin)} at ${length(thinRadius)}`)
    this.place(this.rim, frame, profile, ringRadius, -1, `rim ${length(ring)} at ${length(ringRadius)}`)
  }

  private place(
    mark: ReturnType<Overlay['mark']>,
    frame: Framing,
    profile: Profile,
    radius: number,
    side: 1 | -1,
    text: string,
  ): void {
    const at = project(frame, side * radius, profileHeight(profile, radius), 0)
    const shown = radius > 0 && cutSeen(frame) && at.x > -4 && at.x < frame.width + 4
    mark.group.setAttribute('visibility', shown ? 'visible' : 'hidden')
    if (!shown) return
    const { letter } = frame
    const under = project(frame, side * radius, 0, 0).y + ((side > 0 ? 30 : 15) / 11) * letter
    const row = Math.min(Math.max(under, 1.5 * letter), frame.height - 1.8 * letter)
    mark.dot.setAttribute('cx', f(at.x))
    mark.dot.setAttribute('cy', f(at.y))
    mark.line.setAttribute('d', `M${f(at.x)} ${f(at.y + 3)}V${f(row - 0.8 * letter)}`)
    const anchor = side > 0 ? 'end' : 'start'
    const room = textWidth(text, letter)
    const x =
      side > 0
        ? Math.max(at.x + 4, Math.min(room + 6, frame.width - 6))
        : Math.min(at.x - 4, Math.max(6, frame.width - room - 6))
    mark.text.setAttribute('x', f(x))
    mark.text.setAttribute('y', f(row))
    mark.text.setAttribute('text-anchor', anchor)
    if (mark.text.textContent !== text) mark.text.textContent = text
  }

  setHair(frame: Framing, radius: number): void {
    const circle = marksCircle(frame)
    this.hairCircle.setAttribute('d', circle && radius > 0 ? arc(frame, radius, 0) : '')
    this.hair.forEach((line, i) => {
      const x = f(project(frame, i === 0 ? radius : -radius, 0, 0).x)
      line.setAttribute('x1', x)
      line.setAttribute('x2', x)
      line.setAttribute('y1', '0')
      line.setAttribute('y2', f(frame.height))
      line.setAttribute('visibility', circle ? 'hidden' : 'visible')
    })
  }
}
