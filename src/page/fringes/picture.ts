/** The picture with the drop's rim, and unrolled about its centre: distance to the right, direction downwards. */
import type { Frame } from '../../measured/video/types.ts'
import { el, svg } from '../dom.ts'

/** Centre, px, and departure from round: r(θ) = r (1 + c2 cos 2θ + s2 sin 2θ). */
export interface RoundAbout {
  x: number
  y: number
  c2: number
  s2: number
}

/** The drop's rim in a picture, and the direction that is read (rad; null = all round). */
export interface Rim extends RoundAbout {
  radius: number
  angle: number | null
}

export interface PictureView {
  root: HTMLElement
  show(frame: Frame, rim: Rim | null): void
}

/** Directions and most distances of the unrolled picture. */
const ROWS = 120
const COLUMNS = 480

const stretch = ({ c2, s2 }: Rim, theta: number): number =>
  1 + c2 * Math.cos(2 * theta) + s2 * Math.sin(2 * theta)

function outline(rim: Rim): string {
  const points = Array.from({ length: 120 }, (_, k) => {
    const theta = (2 * Math.PI * k) / 120
    const rho = rim.radius * stretch(rim, theta)
    return `${(rim.x + rho * Math.cos(theta)).toFixed(2)} ${(rim.y + rho * Math.sin(theta)).toFixed(2)}`
  })
  return `M${points.join('L')}Z`
}

function unroll(frame: Frame, rim: Rim): ImageData {
  const { width, height, data } = frame
  const image = new ImageData(COLUMNS, ROWS)
  for (let row = 0; row < ROWS; row++) {
    const theta = (2 * Math.PI * (row + 0.5)) / ROWS
    const [cos, sin] = [Math.cos(theta), Math.sin(theta)]
    const reach = rim.radius * stretch(rim, theta)
    for (let k = 0; k < COLUMNS; k++) {
      const rho = (reach * (k + 0.5)) / COLUMNS
      const px = Math.floor(rim.x + rho * cos)
      const py = Math.floor(rim.y + rho * sin)
      if (px < 0 || py < 0 || px >= width || py >= height) continue
      const [from, to] = [4 * (py * width + px), 4 * (row * COLUMNS + k)]
      for (let c = 0; c < 4; c++) image.data[to + c] = data[from + c]!
    }
  }
  return image
}

export function createPictureView(): PictureView {
  const canvas = el('canvas', {
    role: 'img',
    'aria-label': 'The picture that is read, with the drop’s rim',
  })
  const overlay = svg('svg', { 'aria-hidden': 'true' })
  const strip = el('canvas', {
    class: 'fringes-strip',
    role: 'img',
    width: COLUMNS,
    height: ROWS,
    'aria-label': 'The drop unrolled: distance from the centre to the right, direction downwards',
  })
  const stripNote = el(
    'p',
    { class: 'note' },
    'Unrolled about the centre that was found: centre on the left, rim on the right, once round from top to bottom. Upright fringes mean a good centre.',
  )
  let painted: Frame | null = null
  return {
    root: el('div', {}, el('div', { class: 'fringes-picture' }, canvas, overlay), strip, stripNote),
    show(frame, rim) {
      if (frame !== painted) {
        painted = frame
        canvas.width = frame.width
        canvas.height = frame.height
        overlay.setAttribute('viewBox', `0 0 ${frame.width} ${frame.height}`)
        canvas
          .getContext('2d')
          ?.putImageData(new ImageData(new Uint8ClampedArray(frame.data), frame.width, frame.height), 0, 0)
      }
      strip.hidden = stripNote.hidden = rim === null
      overlay.replaceChildren()
      if (!rim) return
      const { x, y, radius, angle } = rim
      const cross = svg('path', { d: `M${x - 8} ${y}h16M${x} ${y - 8}v16` })
      overlay.append(svg('path', { d: outline(rim) }), cross)
      if (angle !== null) {
        const [dx, dy] = [radius * Math.cos(angle), radius * Math.sin(angle)]
        overlay.append(svg('path', { d: `M${x} ${y}l${dx} ${dy}` }))
      }
      strip.getContext('2d')?.putImageData(unroll(frame, rim), 0, 0)
    },
  }
}
