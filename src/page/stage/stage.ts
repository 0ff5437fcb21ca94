/**
 * The stage: the drop on its bath, cut open along the radius. Draws only when something that it shows has changed
 * and it is in view, once per display frame; the hair line moves without a new picture. Without WebGL2 the outline,
 * the marks and the hair line remain.
 */
import { offNotice } from '../../life/mechanisms.ts'
import './stage.css'
import { el, freshId } from '../dom.ts'
import { duration } from '../format.ts'
import { followNearness, type Nearness } from '../near.ts'
import { followCursorKeys } from '../plots/cursorKeys.ts'
import { fileName, savingMenu } from '../plots/saving.ts'
import { marksAt, shownLife, valuesText } from '../plots/shown.ts'
import { type State, type Store, type View, watch } from '../store.ts'
import { palette } from '../theme.ts'
import { dropText } from './describing.ts'
import { Drawing } from './drawing.ts'
import { flatPng } from './flatPicture.ts'
import { followPointing, Handling, keysText } from './handling.ts'
import { heightText } from './heightMap.ts'
import { Legend } from './legend.ts'
import { Overlay } from './overlay.ts'
import { stagePng } from './picture.ts'
import { followPrinting, inLight } from './printing.ts'
import { sceneColours } from './sceneColours.ts'
import { RESTS_AFTER, Sharpness } from './sharpness.ts'
import { Surface } from './surface.ts'
import { ViewMenu } from './viewMenu.ts'

/** What the picture depends on; the hair line alone follows the cursor. */
const pictured = (state: State) => [
  state.life,
  state.outgoing,
  state.stale,
  state.preset.bath,
  state.radialSpan,
  state.timeSpan,
  state.time,
  state.dark,
  state.colourBy,
  state.wavelength,
  state.dye,
  state.logHeight,
  state.heightFactor,
  state.camera,
]

export interface StageOptions {
  /** Tells this stage from another on the page, for those who hear it: "with evaporation". */
  name?: string
  /** Only to be looked at: no menus, no legend, not turned by hand. It follows its store's camera. */
  bare?: boolean
}

export interface StageView extends View {
  /** The drawn drop in light colours as a PNG's data URL, without the lines over it; '' where there is none. */
  dataUrl(): string
}

class Stage implements StageView {
  private readonly store: Store
  private readonly name: string
  private readonly box = el('div', {
    class: 'stage-box',
    tabindex: 0,
    role: 'slider',
    'aria-valuemin': 0,
  })
  private readonly surface = new Surface(() => {
    this.drawing.known = null
    this.drawing.resized = true
    this.askAnew()
  })
  private readonly canvas = this.surface.canvas
  private readonly overlay = new Overlay()
  /** As wide as a letter is large: the marks are laid out anew when that changes. */
  private readonly letter = el('span', { class: 'stage-letter', 'aria-hidden': 'true' })
  private readonly legend: Legend | null
  private readonly menu: ViewMenu | null
  private readonly heights = el('p')
  /** Of beads and child drops: under the picture, where it hides nothing. */
  private readonly caption = el('p', { class: 'stage-caption' })
  private readonly drawing: Drawing
  private asked = 0
  /** The page does not show it at all: then it costs nothing. */
  private away = false
  /** The picture is older than the state. */
  private old = true
  private readonly sharpness = new Sharpness()
  private rest = 0
  private readonly nearness: Nearness
  private readonly endings: (() => void)[] = []

  constructor(root: HTMLElement, store: Store, { name = '', bare = false }: StageOptions) {
    this.store = store
    this.name = name
    this.legend = bare ? null : new Legend(store)
    this.menu = bare ? null : new ViewMenu(store, () => this.drawing.frame.tilt, root)
    const { box, overlay, caption, heights, legend, menu } = this
    const { scene } = this.surface
    this.drawing = new Drawing({ box, scene, overlay, caption, heights, legend, menu })
    this.box.setAttribute('aria-label', name ? `Marked radius, ${name}` : 'Marked radius on the drop')
    this.box.append(this.canvas, this.overlay.root, this.surface.failure, this.letter)
    const row = el('div', { class: 'stage-notes-row' }, this.heights)
    const notes = el('div', { class: 'stage-notes' }, row)
    const holder = el('div', { class: 'stage-holder' }, this.box, notes, this.caption)
    if (this.legend) {
      notes.before(this.legend.root)
      holder.append(this.legend.note)
    }
    if (this.menu) {
      const offer = {
        name: () => fileName('rimtide', 'drop', store.getState().preset.title),
        png: () => this.png(),
        other: { label: 'Picture from above', suffix: 'from-above', png: () => this.flatPng() },
      }
      row.append(this.menu.root, savingMenu(offer, 'picture of the drop'))
    }
    root.append(holder)
    this.endings.push(
      () => holder.remove(),
      () => clearTimeout(this.rest),
    )
    if (bare) this.endings.push(followPointing(this.box, store, () => this.drawing.frame))
    else this.takeHands(holder)
    this.endings.push(followCursorKeys(this.box, store))
    this.followSize()
    this.nearness = followNearness(this.box, () => this.ask(), 0)
    this.endings.push(
      followPrinting(
        this.canvas,
        () => this.dataUrl(),
        () => this.askAnew(),
      ),
      watch(store, pictured, () => this.askAnew()),
      watch(
        store,
        (state) => [state.cursorRadius],
        () => this.ask(),
      ),
      () => this.nearness.destroy(),
    )
  }

  private takeHands(holder: HTMLElement): void {
    const hands = new Handling(this.box, this.store, () => this.drawing.frame)
    const id = freshId('stage-keys')
    holder.append(el('p', { class: 'visually-hidden', id }, keysText))
    this.box.setAttribute('aria-describedby', id)
    this.endings.push(
      () => hands.destroy(),
      () => this.menu?.destroy(),
    )
  }

  private followSize(): void {
    const observer = new ResizeObserver(() => {
      this.away = this.box.clientWidth === 0
      if (this.away) return
      this.drawing.resized = true
      this.askAnew()
    })
    observer.observe(this.box)
    observer.observe(this.letter)
    this.endings.push(() => observer.disconnect())
  }

  private askAnew(): void {
    this.old = true
    this.ask()
  }

  private ask(): void {
    if (this.asked === 0) {
      this.asked = requestAnimationFrame(() => {
        this.asked = 0
        if (this.away) return
        const state = this.store.getState()
        // Nobody sees it further down the page: then a new life need not pay for a picture.
        if (this.old && this.nearness.near) this.drawAsSharp(state)
        this.overlay.setHair(this.drawing.frame, state.cursorRadius)
        this.describe(state)
      })
    }
  }

  /** A drop that moves may be drawn with fewer pixels; once it rests it is drawn with all of them. */
  private drawAsSharp(state: State): void {
    const moves = this.drawing.known !== null
    this.draw(state, moves ? this.sharpness.moving(performance.now()) : 1)
    clearTimeout(this.rest)
    if (this.drawing.pixels < 1) this.rest = window.setTimeout(() => this.sharpen(), RESTS_AFTER)
  }

  private sharpen(): void {
    const state = this.store.getState()
    if (state.playing || state.life?.status === 'growing') {
      this.rest = window.setTimeout(() => this.sharpen(), RESTS_AFTER)
      return
    }
    if (this.nearness.near && !this.away) this.draw(state)
  }

  private draw(state: State, pixels = 1): void {
    this.drawing.draw(state, pixels)
    this.old = false
  }

  /** In words, for those who do not see it; also while it is out of view. */
  private describe(state: State): void {
    const { box, canvas, drawing } = this
    const { fields } = drawing
    const { life } = shownLife(state)
    box.setAttribute('aria-valuemax', (1e3 * state.radialSpan).toFixed(1))
    if (!life || !this.drawing.moveTo(life, state.time)) {
      canvas.setAttribute('aria-label', 'No drop yet: it is being computed.')
      return
    }
    const text = dropText(life, fields, drawing.frame, heightText(drawing.mapFor(state, life)))
    canvas.setAttribute('aria-label', this.name ? `${this.name}: ${text}` : text)
    box.setAttribute('aria-valuenow', (1e3 * state.cursorRadius).toFixed(2))
    box.setAttribute('aria-valuetext', valuesText(fields, state.cursorRadius))
  }

  /** The picture at two pixels per CSS pixel at least, whatever the screen has. */
  private png(): Promise<Blob> {
    const state = this.store.getState()
    const { panel, ink } = palette()
    this.drawSharp(state)
    const { frame, fields, look } = this.drawing
    const notice = offNotice(shownLife(state).life?.preset ?? state.preset)
    const lines = [
      ...(notice ? [notice] : []),
      this.heights.textContent ?? '',
      `${duration(fields.time)} after touch-down`,
    ]
    const made = stagePng(this.canvas, this.overlay.root, frame, {
      lines,
      caption: [this.caption.textContent, look!.film && look!.scale.note].filter(Boolean).join(' · '),
      scale: look!.scale,
      table: look!.table,
      ink: ink || (state.dark ? '#eee' : '#222'),
      paper: panel || (state.dark ? '#1c1a17' : '#fff'),
    })
    this.drawing.resized = true
    this.askAnew()
    return made
  }

  private flatPng(): Promise<Blob> {
    const state = this.store.getState()
    const { life } = shownLife(state)
    this.draw(state)
    if (!life || !this.drawing.moveTo(life, state.time)) return Promise.reject(new Error('no life yet'))
    const { fields, riders, look } = this.drawing
    const marks = marksAt(life, fields.time)
    const children = riders?.children(fields) ?? []
    const { oil, glass, child } = sceneColours(state.dark, false)
    const scene = { fields, look: look!, beads: marks.beads, thin: marks, children }
    return flatPng(
      { ...scene, oil, beyond: glass, child },
      [life.preset.title, offNotice(life.preset)].filter(Boolean).join(' · '),
    )
  }

  private drawSharp(state: State): void {
    this.drawing.drawSharp(state)
    this.old = false
  }

  dataUrl(): string {
    if (!this.surface.scene) return ''
    const state = { ...this.store.getState(), dark: false }
    return inLight(() => {
      this.drawSharp(state)
      const url = this.canvas.toDataURL('image/png')
      this.drawing.resized = true
      this.askAnew()
      return url
    })
  }

  destroy(): void {
    cancelAnimationFrame(this.asked)
    for (const end of this.endings) end()
    this.surface.destroy()
  }
}

/** Mounts the stage in `root`, which gives it its height. */
export const createStage = (root: HTMLElement, store: Store, options: StageOptions = {}): StageView =>
  new Stage(root, store, options)
