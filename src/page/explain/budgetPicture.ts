/** The budget of the ring as a picture: a piece of film with arrows whose widths are what they carry. */
import { svg } from '../dom.ts'
import type { BudgetPicture } from './types.ts'

const BOX = { width: 440, height: 132 }
/** The piece of film: from the thick inner to the thin outer side. */
const FILM = { left: 150, right: 290, base: 84, thick: 48 }

const WIDEST = 26
const LEAST = 3

interface Way {
  from: [number, number]
  to: [number, number]
  label: [x: number, y: number, anchor: string]
}

const WAYS: Record<BudgetPicture['arrows'][number]['key'], Way> = {
  in: { from: [84, 62], to: [146, 62], label: [76, 58, 'end'] },
  out: { from: [294, 70], to: [356, 70], label: [364, 66, 'start'] },
  vapour: { from: [230, 44], to: [230, 8], label: [244, 18, 'start'] },
  oil: { from: [210, 88], to: [210, 124], label: [226, 112, 'start'] },
}

/** An arrow as one outline, so that its width can be anything. */
function outline({ from: [x1, y1], to: [x2, y2] }: Way, width: number): string {
  const long = Math.hypot(x2 - x1, y2 - y1)
  const [ux, uy] = [(x2 - x1) / long, (y2 - y1) / long]
  const half = width / 2
  const head = Math.min(0.5 * long, half + 8)
  const at = (along: number, aside: number) =>
    `${(x1 + ux * along - uy * aside).toFixed(1)},${(y1 + uy * along + ux * aside).toFixed(1)}`
  const neck = long - head
  return [
    at(0, half),
    at(neck, half),
    at(neck, half + 5),
    at(long, 0),
    at(neck, -half - 5),
    at(neck, -half),
    at(0, -half),
  ].join(' ')
}

const turned = (way: Way): Way => ({ ...way, from: way.to, to: way.from })

export function budgetPicture({ arrows, thickness, alt }: BudgetPicture): SVGElement {
  const most = Math.max(...arrows.map(({ size }) => Math.abs(size)))
  const [inner, outer] = thickness
  const tall = (value: number) => (FILM.thick * value) / Math.max(inner, outer)
  const { left, right, base } = FILM
  const film = `${left},${base} ${left},${base - tall(inner)} ${right},${base - tall(outer)} ${right},${base}`
  const drawn = arrows.flatMap(({ key, label, size, shown }) => {
    // What runs the other way than its name says is drawn the other way.
    const way = size < 0 ? turned(WAYS[key]) : WAYS[key]
    const [x, y, anchor] = WAYS[key].label
    const width = Math.max(LEAST, (WIDEST * Math.abs(size)) / most)
    return [
      svg('polygon', { points: outline(way, width), class: `arrow ${key}` }),
      svg('text', { x, y, 'text-anchor': anchor }, label),
      svg('text', { x, y: y + 14, 'text-anchor': anchor, class: 'size' }, shown),
    ]
  })
  return svg(
    'svg',
    { viewBox: `0 0 ${BOX.width} ${BOX.height}`, class: 'budget-picture', role: 'img', 'aria-label': alt },
    svg('rect', { x: 60, y: base, width: 320, height: 44, class: 'oil' }),
    svg('polygon', { points: film, class: 'film' }),
    svg('text', { x: 66, y: base + 38, class: 'quiet' }, 'oil'),
    ...drawn,
  )
}
