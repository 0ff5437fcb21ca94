/** A curve guessed by drawing: pointer, finger, or the arrow keys on each of its points. */
import { svg } from '../dom.ts'
import { plain } from '../format.ts'
import { wayWords } from './explainWords.ts'
import type { Drawn } from './judge.ts'
import { axes, BOX, scaleFor } from './plot.ts'
import type { CurveQuestion } from './types.ts'

const POINTS = 8
/** Steps of a key over the whole height. */
const STEPS = 20

export interface Drawing {
  root: SVGElement
  read(): Drawn
}

export function createDrawing({ curve, top }: CurveQuestion, start?: Drawn): Drawing {
  const scale = scaleFor(curve, top)
  const x = Array.from({ length: POINTS }, (_, k) => k / (POINTS - 1))
  const y = start ? [...start.y] : x.map(() => 0)
  const line = svg('polyline', { class: 'guess' })
  const move = (k: number, value: number) => {
    y[k] = Math.min(top, Math.max(0, value))
    draw()
  }
  const handles = x.map((at, k) => {
    const handle = svg(
      'g',
      {
        role: 'slider',
        tabindex: 0,
        class: 'handle',
        'aria-label': `Speed at ${wayWords(at)}`,
        'aria-orientation': 'vertical',
        'aria-valuemin': 0,
        'aria-valuemax': top,
      },
      svg('circle', { r: 15, class: 'reach' }),
      svg('circle', { r: 6, class: 'knob' }),
    )
    handle.addEventListener('keydown', (event) => {
      const to: Record<string, () => void> = {
        ArrowUp: () => move(k, y[k]! + top / STEPS),
        ArrowDown: () => move(k, y[k]! - top / STEPS),
        Home: () => move(k, 0),
        End: () => move(k, top),
        ArrowLeft: () => handles[Math.max(0, k - 1)]!.focus(),
        ArrowRight: () => handles[Math.min(POINTS - 1, k + 1)]!.focus(),
      }
      const act = to[event.key]
      if (!act) return
      act()
      event.preventDefault()
      event.stopPropagation()
    })
    return handle
  })
  function draw(): void {
    line.setAttribute('points', x.map((at, k) => `${scale.x(at)},${scale.y(y[k]!)}`).join(' '))
    handles.forEach((handle, k) => {
      handle.setAttribute('transform', `translate(${scale.x(x[k]!)} ${scale.y(y[k]!)})`)
      handle.setAttribute('aria-valuenow', String(Number(y[k]!.toPrecision(3))))
      handle.setAttribute('aria-valuetext', `${plain(y[k]!, 2)} mm/s`)
    })
  }
  const root = svg(
    'svg',
    {
      viewBox: `0 0 ${BOX.width} ${BOX.height}`,
      class: 'explain-plot drawing',
      role: 'group',
      'aria-label': `${curve.label}: draw your guess, or move its points with the arrow keys`,
    },
    ...axes(curve, scale),
    line,
    ...handles,
  )
  followPointer(root, (left, down) => {
    const k = Math.round((scale.toX(left) / scale.end) * (POINTS - 1))
    move(k, scale.toY(down))
  })
  draw()
  return { root, read: () => ({ x: [...x], y: [...y] }) }
}

/** Calls back with places of the picture while the pointer is down; fast strokes leave out no point between. */
function followPointer(root: SVGElement, put: (x: number, y: number) => void): void {
  let last: readonly [number, number] | null = null
  const place = (event: PointerEvent) => {
    const box = root.getBoundingClientRect()
    return [
      ((event.clientX - box.left) / box.width) * BOX.width,
      ((event.clientY - box.top) / box.height) * BOX.height,
    ] as const
  }
  const stroke = (event: PointerEvent) => {
    const to = place(event)
    const from = last ?? to
    const parts = Math.max(1, Math.ceil(Math.abs(to[0] - from[0]) / 20))
    for (let p = 1; p <= parts; p++) {
      const share = p / parts
      put(from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1]))
    }
    last = to
  }
  root.addEventListener('pointerdown', (event) => {
    root.setPointerCapture(event.pointerId)
    last = null
    stroke(event)
  })
  root.addEventListener('pointermove', (event) => {
    if (root.hasPointerCapture(event.pointerId)) stroke(event)
  })
}
