/** The menu beside a plot: copy the data, save it as CSV, SVG or PNG. Nothing leaves the machine. */
import { el } from '../dom.ts'

/** Hands a file to the user. */
export function offerFile(name: string, content: Blob): void {
  const url = URL.createObjectURL(content)
  const link = el('a', { href: url, download: name })
  document.body.append(link)
  link.click()
  link.remove()
  setTimeout(() => URL.revokeObjectURL(url), 10_000)
}

/** A name that every file system takes. */
export const fileName = (...parts: string[]): string =>
  parts
    .join('-')
    .toLowerCase()
    .normalize('NFKD')
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 80) || 'rimtide'

/** An SVG text as a picture. */
export async function imageOf(svg: string): Promise<HTMLImageElement> {
  const url = URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml' }))
  try {
    const image = new Image()
    image.src = url
    await image.decode()
    return image
  } finally {
    URL.revokeObjectURL(url)
  }
}

/** A canvas as a PNG file. Throws if the browser refuses. */
export const pngOf = (canvas: HTMLCanvasElement): Promise<Blob> =>
  new Promise((resolve, reject) => {
    canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error('no picture'))), 'image/png')
  })

/** Pixels of the saved picture for one of the screen: 300 to an inch of a picture sized in mm. */
const printed = 300 / 96

/** An SVG text as a PNG file of `factor` pixels per unit. */
async function svgToPng(svg: string, factor = printed): Promise<Blob> {
  const image = await imageOf(svg)
  const canvas = el('canvas', { width: image.width * factor, height: image.height * factor })
  canvas.getContext('2d')!.drawImage(image, 0, 0, canvas.width, canvas.height)
  return pngOf(canvas)
}

/** What a plot can hand out. Called when the user asks, so that it is always the present state. */
export interface Offer {
  name: () => string
  csv?: () => string
  /** The same table as an Apache Parquet file. */
  parquet?: () => Promise<ArrayBuffer>
  svg?: () => string
  png?: () => Promise<Blob>
  /** One more picture, with the words on its button and at the end of its name. */
  other?: { label: string; suffix: string; png: () => Promise<Blob> }
}

async function copyText(text: string): Promise<void> {
  if (navigator.clipboard) return navigator.clipboard.writeText(text)
  throw new Error('no clipboard')
}

/** The menu; messages appear in it and are read out. Opening one closes the others. */
export function savingMenu(offer: Offer, of: string): HTMLElement {
  const says = el('span', { class: 'plot-says', role: 'status' })
  const menu = el('details', { class: 'plot-menu', name: 'plot-menu' })
  const button = (label: string, work: () => Promise<void> | void, done: string) => {
    const react = async () => {
      try {
        await work()
        says.textContent = done
      } catch (error) {
        console.warn(`Saving from "${of}" did not work.`, error)
        says.textContent = 'That did not work here. Try one of the other ways.'
      }
    }
    return el('button', { type: 'button', onclick: react }, label)
  }
  const { name, csv, parquet, svg, png, other } = offer
  const buttons: HTMLElement[] = []
  if (csv) {
    buttons.push(button('Copy data', () => copyText(csv()), 'Copied as CSV.'))
    buttons.push(
      button(
        'CSV',
        () => offerFile(`${name()}.csv`, new Blob([csv()], { type: 'text/csv' })),
        'Saved as CSV.',
      ),
    )
  }
  if (parquet) {
    const save = async () => offerFile(`${name()}.parquet`, new Blob([await parquet()]))
    buttons.push(button('Parquet', save, 'Saved as Parquet.'))
  }
  if (svg) {
    const save = () => offerFile(`${name()}.svg`, new Blob([svg()], { type: 'image/svg+xml' }))
    buttons.push(button('SVG', save, 'Saved as SVG.'))
  }
  const picture = png ?? (svg ? () => svgToPng(svg()) : undefined)
  if (picture) {
    buttons.push(button('PNG', async () => offerFile(`${name()}.png`, await picture()), 'Saved as PNG.'))
  }
  if (other) {
    const save = async () => offerFile(`${name()}-${other.suffix}.png`, await other.png())
    buttons.push(button(other.label, save, 'Saved as PNG.'))
  }
  menu.append(
    el('summary', { 'aria-label': `Save or copy: ${of}` }, 'Save'),
    el('div', { class: 'plot-menu-list' }, ...buttons, says),
  )
  menu.addEventListener('toggle', () => {
    if (!menu.open) says.textContent = ''
  })
  menu.addEventListener('keydown', (event) => {
    if (event.key !== 'Escape' || !menu.open) return
    menu.open = false
    menu.querySelector('summary')?.focus()
  })
  return menu
}
