/** The picture of the map on the page: drawn anew when the map or its look changes; what moves over it by itself. */
import { el, oncePerFrame, svg } from '../dom.ts'
import { followNearness, type Nearness } from '../near.ts'
import { palette } from '../theme.ts'
import { drawMap, drawPlaces, type MapHere, type MapLook } from './drawing.ts'
import { frameFor, type MapFrame } from './frame.ts'
import { mapLegend } from './legend.ts'
import { type MapColour, pointValues, pointWords } from './mapData.ts'
import type { Made } from './mapSteps.ts'
import { paintedOf } from './painted.ts'
import { followPointing, type MapCell } from './pointing.ts'

const howToPoint =
  'The circle marks the present drop. Point at the map, or move with the arrow keys (with Shift: farther).'

export interface PictureSource {
  made(): Made | null
  by(): MapColour
  look(): Pick<MapLook, 'lines' | 'dots'>
  dark(): boolean
  here(made: Made): MapHere
  choose(cell: MapCell): void
}

export class MapPicture {
  readonly area = el('div', {
    class: 'map-area',
    tabindex: 0,
    role: 'application',
    hidden: true,
    'aria-label':
      'Outcome map. Arrow keys move, with Shift by eight points; Enter takes the drop of a point.',
  })
  readonly legend = el('div', { class: 'map-legend' })
  /** What is told of the point under the cursor. */
  readonly told: HTMLElement
  private readonly pointed = el('p', { class: 'pointed', 'aria-live': 'polite' })
  private readonly values = el('dl', { class: 'map-values' })
  private readonly ground = svg('g')
  private readonly places = svg('g')
  private readonly picture = svg(
    'svg',
    { 'aria-hidden': 'true', 'font-family': 'system-ui, sans-serif' },
    this.ground,
    this.places,
  )
  private frame: MapFrame | null = null
  private drawn: readonly unknown[] = []
  private readonly ask = oncePerFrame(() => this.draw())
  private readonly cursor: () => MapCell | null
  private readonly nearness: Nearness
  private readonly resized: ResizeObserver

  constructor(
    root: HTMLElement,
    private readonly source: PictureSource,
  ) {
    this.area.append(this.picture)
    this.told = el('div', { class: 'map-told' }, this.pointed, this.values)
    this.cursor = followPointing(this.area, {
      map: () => source.made()?.map ?? null,
      frame: () => this.frame,
      moved: this.ask,
      choose: () => {
        const cell = this.cursor()
        if (cell) source.choose(cell)
      },
    })
    this.nearness = followNearness(root, this.ask)
    this.resized = new ResizeObserver(this.ask)
    this.resized.observe(this.area)
  }

  /** Draws with the next frame. */
  show(): void {
    this.area.hidden = this.source.made() === null
    this.ask()
  }

  private draw(): void {
    const made = this.source.made()
    if (!made || !this.nearness.near) return
    const { width, height } = this.area.getBoundingClientRect()
    if (width < 60 || height < 60) return
    const { map } = made
    this.frame = frameFor(map, width, height)
    const { ink, faint, panel, accent } = palette()
    const look: MapLook = { ink, faint, paper: panel, accent, ...this.source.look() }
    const here = this.source.here(made)
    this.drawGround(made, look, here)
    const cursor = this.cursor()
    this.places.replaceChildren(...drawPlaces(map, this.frame, look, here, cursor))
    this.tell(made, cursor)
  }

  /** Thousands of cells and all lines: only when something of them has changed. */
  private drawGround({ map }: Made, look: MapLook, here: MapHere): void {
    const frame = this.frame!
    const by = this.source.by()
    const now = [map, map.done, map.status, frame.width, frame.height, by, JSON.stringify([look, here])]
    if (now.every((value, i) => value === this.drawn[i])) return
    this.drawn = now
    const painted = paintedOf(map, by, this.source.dark())
    this.picture.setAttribute('viewBox', `0 0 ${frame.width} ${frame.height}`)
    this.ground.replaceChildren(...drawMap(painted, frame, look, here))
    this.legend.replaceChildren(...mapLegend(painted, look.paper))
  }

  private tell({ map }: Made, cursor: MapCell | null): void {
    this.pointed.textContent = cursor
      ? `${pointWords(map, cursor.i, cursor.j, this.source.by())}. Click or Enter takes this drop.`
      : howToPoint
    const values = cursor ? pointValues(map, cursor.i, cursor.j) : []
    this.values.replaceChildren(
      ...values.map(({ label, text }) => el('div', {}, el('dt', {}, label), el('dd', {}, text))),
    )
  }

  destroy(): void {
    this.resized.disconnect()
    this.nearness.destroy()
  }
}
