/** The stage as a PNG: the drawn scene, the lines over it and the legend. */

import { cssColour } from '../colour.ts'
import type { ColourScale } from '../colourScale.ts'
import { placeOf, tickText } from '../colourScale.ts'
import { el } from '../dom.ts'
import { imageOf, pngOf } from '../plots/saving.ts'
import type { Framing } from './framing.ts'

const copied = [
  'fill',
  'stroke',
  'stroke-width',
  'stroke-dasharray',
  'stroke-opacity',
  'stroke-linejoin',
  'paint-order',
  'font-size',
  'font-family',
  'visibility',
]

/** The SVG with its computed styles written into it, so that it stands alone. */
function standAlone(source: SVGSVGElement, frame: Framing): string {
  const copy = source.cloneNode(true) as SVGSVGElement
  const from = source.querySelectorAll<SVGElement>('*')
  copy.querySelectorAll<SVGElement>('*').forEach((element, i) => {
    const style = getComputedStyle(from[i]!)
    for (const name of copied) element.style.setProperty(name, style.getPropertyValue(name))
  })
  copy.setAttribute('width', String(frame.width))
  copy.setAttribute('height', String(frame.height))
  copy.setAttribute('xmlns', 'http://www.w3.org/2000/svg')
  return new XMLSerializer().serializeToString(copy)
}

export interface PictureWords {
  lines: string[]
  /** Under the picture; '' for none. */
  caption: string
  scale: ColourScale
  table: Uint8Array
  ink: string
  paper: string
}

function drawLegend(context: CanvasRenderingContext2D, words: PictureWords): void {
  const { scale, table, ink, paper } = words
  context.fillStyle = paper
  context.globalAlpha = 0.85
  context.fillRect(8, 8, 240, 52)
  context.globalAlpha = 1
  for (let x = 0; x < 200; x++) {
    context.fillStyle = cssColour(table, x / 199)
    context.fillRect(28 + x, 28, 1.5, 10)
  }
  context.fillStyle = ink
  context.font = '600 12px system-ui, sans-serif'
  context.textAlign = 'left'
  const note = scale.logarithmic ? ', log' : ''
  context.fillText(scale.unit ? `${scale.title}, ${scale.unit}${note}` : scale.title, 28, 22)
  context.font = '11px system-ui, sans-serif'
  context.textAlign = 'center'
  for (const tick of scale.ticks) {
    context.fillText(tickText(tick), 28 + 200 * placeOf(scale, tick / scale.perUnit), 52)
  }
}

const captionFont = '12px system-ui, sans-serif'

/** The text in lines of at most `width` px. */
export function foldedLines(text: string, width: number, font = captionFont): string[] {
  const context = el('canvas').getContext('2d')!
  context.font = font
  const lines: string[] = []
  for (const word of text.split(' ').filter(Boolean)) {
    const longer = lines.length > 0 ? `${lines.at(-1)} ${word}` : word
    if (lines.length > 0 && context.measureText(longer).width <= width) lines[lines.length - 1] = longer
    else lines.push(word)
  }
  return lines
}

/**
 * The picture. Call in the same task in which the scene was rendered: the canvas keeps its content no longer.
 */
export async function stagePng(
  canvas: HTMLCanvasElement,
  overlay: SVGSVGElement,
  frame: Framing,
  words: PictureWords,
): Promise<Blob> {
  const ratio = Math.max(2, canvas.width / frame.width)
  const caption = foldedLines(words.caption, frame.width - 20)
  const height = frame.height + (caption.length > 0 ? 16 * caption.length + 8 : 0)
  const out = el('canvas', {
    width: Math.round(frame.width * ratio),
    height: Math.round(height * ratio),
  })
  const context = out.getContext('2d')!
  context.scale(ratio, ratio)
  context.fillStyle = words.paper
  context.fillRect(0, 0, frame.width, height)
  context.drawImage(canvas, 0, 0, frame.width, frame.height)
  context.drawImage(await imageOf(standAlone(overlay, frame)), 0, 0, frame.width, frame.height)
  drawLegend(context, words)
  context.textAlign = 'right'
  context.font = captionFont
  words.lines.forEach((line, i) => {
    context.lineWidth = 3
    context.strokeStyle = words.paper
    context.strokeText(line, frame.width - 10, 20 + 16 * i)
    context.fillStyle = words.ink
    context.fillText(line, frame.width - 10, 20 + 16 * i)
  })
  context.textAlign = 'left'
  caption.forEach((line, i) => {
    context.fillText(line, 10, frame.height + 16 + 16 * i)
  })
  return pngOf(out)
}
