/** The picture from above as a PNG: pixels, scale bar, and what one must know to compare it with a photograph. */
import { el } from '../dom.ts'
import { duration } from '../format.ts'
import { pngOf } from '../plots/saving.ts'
import { type FlatScene, flatPixels } from './flat.ts'
import { scaleBar } from './framing.ts'
import { foldedLines } from './picture.ts'

/** Side of the picture, px. */
const SIZE = 1400
const FONT = '22px system-ui, sans-serif'
const LINE = 30

const modes = {
  thickness: 'Coloured by thickness',
  alcohol: 'Coloured by alcohol fraction',
  tension: 'Coloured by tension on the bath',
  speed: 'Coloured by surface speed',
  white: 'As seen in white light',
  mono: 'As seen in light of one wavelength',
  dyed: 'As seen with a dye',
} as const

/** What stands under the picture. */
export function flatCaption({ fields, look, beads, children }: FlatScene, title: string): string {
  const beside = beads?.grown ? 'Beads are an estimate; one half mirrors the other.' : 'Round by calculation.'
  const drops = children.length > 0 ? ' Child drops are an estimate, small ones drawn larger.' : ''
  const note = look.scale.note ? ` ${look.scale.note}` : ''
  return `${title}: ${duration(fields.time)} after touch-down, from straight above, calculated. ${modes[look.by]}.${note} ${beside}${drops}`
}

/** Width shown, m: the drop with all its child drops and some of the bath, not more than the dish. */
export function acrossOf({ fields, children }: FlatScene): number {
  const far = children.reduce((most, { r }) => Math.max(most, r), fields.R)
  return 2 * Math.min(1.15 * far, 1.04 * fields.dishRadius)
}

function drawBar(context: CanvasRenderingContext2D, across: number): void {
  const perMetre = SIZE / across
  const long = scaleBar(perMetre / 2.5)
  const label = `${Number((1e3 * long).toPrecision(3))} mm`
  const [x, y, width] = [40, SIZE - 40, long * perMetre]
  context.font = FONT
  context.fillStyle = '#fffe'
  context.fillRect(x - 14, y - 40, Math.max(width, context.measureText(label).width) + 28, 56)
  context.fillStyle = '#111'
  context.fillRect(x, y - 4, width, 6)
  context.fillText(label, x, y - 14)
}

export async function flatPng(scene: FlatScene, title: string): Promise<Blob> {
  const across = acrossOf(scene)
  const lines = foldedLines(flatCaption(scene, title), SIZE - 40, FONT)
  const canvas = el('canvas', { width: SIZE, height: SIZE + LINE * lines.length + 24 })
  const context = canvas.getContext('2d')!
  context.fillStyle = '#fff'
  context.fillRect(0, 0, canvas.width, canvas.height)
  const image = context.createImageData(SIZE, SIZE)
  image.data.set(flatPixels(scene, SIZE, across))
  context.putImageData(image, 0, 0)
  drawBar(context, across)
  context.font = FONT
  context.fillStyle = '#111'
  for (const [i, line] of lines.entries()) context.fillText(line, 20, SIZE + LINE * (i + 1))
  return pngOf(canvas)
}
