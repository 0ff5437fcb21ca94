/** On paper stands a picture in the canvas's place: a printer gets no WebGL. */
import { el } from '../dom.ts'

/** Whether the stage is in the page at all. */
const laidOut = (element: Element): boolean => element.getClientRects().length > 0

/**
 * Puts the picture behind the canvas whenever the page is about to be printed, and ends it afterwards.
 * @param draw the picture in light colours, as a data URL; '' if there is none
 * @param after puts the stage back
 */
export function followPrinting(canvas: HTMLCanvasElement, draw: () => string, after: () => void): () => void {
  const picture = el('img', { class: 'stage-print', alt: '' })
  canvas.after(picture)
  const before = () => {
    if (!laidOut(canvas)) return
    const url = draw()
    if (url === '') return
    picture.alt = canvas.getAttribute('aria-label') ?? ''
    picture.src = url
    picture.parentElement?.classList.add('has-print')
  }
  addEventListener('beforeprint', before)
  addEventListener('afterprint', after)
  return () => {
    removeEventListener('beforeprint', before)
    removeEventListener('afterprint', after)
    picture.remove()
  }
}

/** Does something while the page's colours are the light ones, and puts them back; nothing is painted in between. */
export function inLight<T>(work: () => T): T {
  const { dataset } = document.documentElement
  const { theme } = dataset
  dataset.theme = 'light'
  try {
    return work()
  } finally {
    if (theme === undefined) delete dataset.theme
    else dataset.theme = theme
  }
}
