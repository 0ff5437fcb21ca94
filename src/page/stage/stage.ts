/**
 * The stage: the drop on its bath, cut open along the radius. Draws only when something that it shows has changed
 * and it is in view, once per display frame; the hair line moves without a new picture. Without WebGL2 the outline,
 * the marks and the hair line remain.
 */
import './stage.css'
import type { Life } from '../../life/types.ts'
import { createFields, type Fields, moveTo } from '../../life/view.ts'
import { setCursorRadius } from '../actions.ts'
import { beadsText, everBeads } from '../beads.ts'
import { colourTable } from '../colour.ts'
import { type ColourScale, colourScale } from '../colourScale.ts'
import { el } from '../dom.ts'
import { duration, length } from '../format.ts'
import { followNearness, type Nearness } from '../near.ts'
import { pxToRadius } from '../plots/axis.ts'
import { followCursorKeys } from '../plots/cursorKeys.ts'
import { fileName, savingMenu } from '../plots/saving.ts'
import { marksAt, shownLife, valuesText } from '../plots/shown.ts'
import { type State, type Store, type View, watch } from '../store.ts'
import { palette } from '../theme.ts'
import { ChildDrops, leastChild } from './childDrops.ts'
import { type Framing, framing } from './framing.ts'
import { type HeightMap, heightMap, heightText } from './heightMap.ts'
import { Legend } from './legend.ts'
import { beadNote, type ChildrenShown, captionOf, childNote } from './notes.ts'
import { Overlay } from './overlay.ts'
import { stagePng } from './picture.ts'
import { createProfile, fillProfile, profileHeight } from './profile.ts'
import { StageScene, streakKind } from './scene.ts'
import { sceneColours } from './sceneColours.ts'
import { Tracers } from './tracers.ts'

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
  state.logHeight,
  state.heightFactor,
]

/** Largest thickness of a life, m; the height map rests on it. */
function thickestOf(life: Life): number {
  let most = 0
  const { centre } = life.series
  for (const value of centre) if (value > most) most = value
  return most
}

/** Texts are set only where they change: what is read aloud is not read again. */
function say(place: HTMLElement, text: string): void {
  if (place.textContent !== text) place.textContent = text
}

class Stage implements View {
  private readonly store: Store
  private readonly box = el('div', {
    class: 'stage-box',
    tabindex: 0,
    role: 'slider',
    'aria-label': 'Marked radius on the drop',
    'aria-valuemin': 0,
  })
  private canvas = el('canvas', { class: 'stage-canvas', role: 'img' })
  private readonly overlay = new Overlay()
  private readonly legend: Legend
  private readonly heights = el('p')
  /** Of beads and child drops: under the picture, where it hides nothing. */
  private readonly caption = el('p', { class: 'stage-caption' })
  private readonly failure = el('p', { class: 'stage-failure', role: 'status', hidden: true })
  private scene: StageScene | null = null
  private readonly fields: Fields = createFields()
  private readonly profile = createProfile()
  private frame: Framing = framing(300, 200, 0.03, 0.01, 0.005)
  private map: HeightMap = heightMap(true, 20, 0.03, 1e-3)
  private scale: ColourScale = colourScale('thickness', null)
  private tracers: Tracers | null = null
  private drops: ChildDrops | null = null
  private thickest = 1e-3
  private thickestIn: Life | null = null
  private known: State | null = null
  private knownLife: Life | null = null
  private asked = 0
  private resized = true
  /** The picture is older than the state. */
  private old = true
  private readonly nearness: Nearness
  private readonly endings: (() => void)[] = []

  constructor(root: HTMLElement, store: Store) {
    this.store = store
    this.legend = new Legend(store)
    const offer = {
      name: () => fileName('rimtide', 'drop', store.getState().preset.title),
      png: () => this.png(),
    }
    const menu = savingMenu(offer, 'picture of the drop')
    const notes = el(
      'div',
      { class: 'stage-notes' },
      el('div', { class: 'stage-notes-row' }, this.heights, menu),
    )
    this.box.append(this.canvas, this.overlay.root, this.failure)
    const holder = el('div', { class: 'stage-holder' }, this.box, this.legend.root, notes, this.caption)
    root.append(holder)
    this.endings.push(() => holder.remove())
    this.makeScene()
    this.followPointer()
    this.endings.push(followCursorKeys(this.box, store))
    this.followSize()
    this.nearness = followNearness(this.box, () => this.ask(), 0)
    this.endings.push(
      watch(store, pictured, () => this.askAnew()),
      watch(
        store,
        (state) => [state.cursorRadius],
        () => this.ask(),
      ),
      () => this.nearness.destroy(),
    )
  }

  private makeScene(): void {
    const context = this.canvas.getContext('webgl2', { antialias: true, alpha: true })
    if (!context) {
      this.say(
        'This browser gives no WebGL2, so the drop is drawn as an outline. All plots and numbers go on.',
      )
      return
    }
    try {
      this.scene = new StageScene(this.canvas, context)
    } catch (error) {
      console.warn('The stage could not be set up.', error)
      this.say('The drop could not be drawn with WebGL2; its outline is shown. All plots and numbers go on.')
      return
    }
    this.canvas.addEventListener('webglcontextlost', this.lost)
    this.canvas.addEventListener('webglcontextrestored', this.restored)
  }

  private say(text: string): void {
    this.failure.textContent = text
    this.failure.hidden = text === ''
  }

  private readonly lost = (event: Event) => {
    event.preventDefault()
    this.say('The graphics memory was taken away for a moment. The picture comes back by itself.')
  }

  private readonly restored = () => {
    this.say('')
    this.known = null
    this.resized = true
    this.askAnew()
  }

  private followPointer(): void {
    const move = (event: PointerEvent) => {
      if (event.pointerType !== 'mouse' && event.buttons === 0) return
      const x = event.clientX - this.box.getBoundingClientRect().left
      setCursorRadius(this.store, Math.abs(pxToRadius(this.frame.width, this.store.getState().radialSpan, x)))
    }
    this.box.addEventListener('pointermove', move)
    this.box.addEventListener('pointerdown', move)
  }

  private followSize(): void {
    const observer = new ResizeObserver(() => {
      this.resized = true
      this.askAnew()
    })
    observer.observe(this.box)
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
        const state = this.store.getState()
        // Nobody sees it further down the page: then a new life need not pay for a picture.
        if (this.old && this.nearness.near) this.draw(state)
        this.overlay.setHair(this.frame, state.radialSpan, state.cursorRadius)
        this.describe(state)
      })
    }
  }

  private draw(state: State): void {
    const { life, greyed } = shownLife(state)
    const before = this.known
    const anew = before === null || this.resized
    const lifeChanged = life !== this.knownLife || anew
    const spanChanged = anew || before.radialSpan !== state.radialSpan
    if (lifeChanged) this.takeLife(life, state)
    if (lifeChanged || spanChanged || before?.preset.bath !== state.preset.bath) this.takeFrame(state, life)
    if (anew || before.dark !== state.dark || before.colourBy !== state.colourBy || lifeChanged) {
      this.takeColours(state, life, anew || before.dark !== state.dark)
    }
    const heightsChanged =
      lifeChanged ||
      spanChanged ||
      before?.logHeight !== state.logHeight ||
      before?.heightFactor !== state.heightFactor
    if (heightsChanged) this.takeHeights(state, life)
    this.known = state
    this.knownLife = life
    this.resized = false
    this.old = false
    this.box.classList.toggle('is-greyed', greyed)
    this.drawDrop(state, life)
    this.scene?.render()
  }

  private takeLife(life: Life | null, state: State): void {
    this.tracers = null
    this.drops = null
    // The line is kept free for the whole life or not at all: the picture must not change its height while the clock runs.
    this.caption.hidden = !life || !everBeads(life.series)
    if (!life || life.frames.count < 2) return
    const dish = life.preset.bath.dishRadius_mm * 1e-3
    const lasting = Math.max(0.1, state.timeSpan / 10)
    this.tracers = new Tracers(life.frames, dish, 1.15 * state.radialSpan, lasting)
    if ((life.series.childCount.at(-1) ?? 0) > 0) {
      this.drops = new ChildDrops(life.frames, life.series, dish)
    }
  }

  private takeFrame(state: State, life: Life | null): void {
    const { width, height } = this.box.getBoundingClientRect()
    const preset = life?.preset ?? state.preset
    const depth = preset.bath.depth_mm * 1e-3
    const dish = preset.bath.dishRadius_mm * 1e-3
    const span = state.radialSpan
    this.frame = framing(Math.max(width, 120), Math.max(height, 120), span, depth, 0.12 * span)
    this.scene?.setFrame(this.frame, span, Math.min(2, devicePixelRatio || 1))
    this.scene?.setDish(dish, depth, span > 0.05 ? 0.02 : span > 0.012 ? 0.01 : 0.002)
    this.overlay.setFrame(this.frame, span, dish, depth)
  }

  private takeColours(state: State, life: Life | null, themed: boolean): void {
    this.scale = colourScale(state.colourBy, life?.frames.count ? life.frames : null)
    const table = colourTable(state.colourBy, state.dark)
    this.legend.set(this.scale, table)
    this.scene?.setTable(table)
    this.scene?.setColours(sceneColours(state.dark, state.colourBy === 'speed'))
    if (!themed) return
    const { style } = this.overlay.root
    style.setProperty('--stage-line', state.dark ? '#f3ede0' : '#2a2622')
    style.setProperty('--stage-halo', state.dark ? 'rgb(40 30 12 / 0.8)' : 'rgb(255 248 228 / 0.8)')
  }

  private mapFor(state: State, life: Life | null): HeightMap {
    if (life && this.thickestIn !== life) {
      this.thickestIn = life
      this.thickest = thickestOf(life)
    }
    return heightMap(state.logHeight, state.heightFactor, state.radialSpan, this.thickest)
  }

  private takeHeights(state: State, life: Life | null): void {
    this.map = this.mapFor(state, life)
    this.heights.textContent = heightText(this.map)
    this.overlay.setRuler(this.frame, this.map, this.thickest)
  }

  private drawDrop(state: State, life: Life | null): void {
    const { fields, profile, scene } = this
    if (!life || !this.moveTo(life, state.time)) {
      profile.count = 0
      scene?.setDrop(profile)
      say(this.caption, '')
      return
    }
    fillProfile(profile, fields, this.map, this.scale)
    scene?.setDrop(profile)
    const marks = marksAt(life, fields.time)
    const { beads } = marks
    const shown = scene?.setBeads(beads, fields.R, marks, this.map) ?? Number.NaN
    this.overlay.setDrop(this.frame, state.radialSpan, profile, marks, scene === null)
    const calm = shown > 0 && beads ? fields.R - 2.5 * beads.halfBase : fields.R
    const children = this.drawRiders(life, calm, shown)
    say(this.caption, captionOf(beadNote(beads, shown), children ? childNote(children) : ''))
  }

  private moveTo(life: Life, time: number): boolean {
    return moveTo(this.fields, life.frames, life.preset.bath.dishRadius_mm * 1e-3, time)
  }

  /**
   * Tracers, child drops and the lines on the drop.
   * @param calm radius up to which the film has its mean height and tracers can lie on it, m
   * @param bulging how far the beads show, 0–1: between them the edge's circle would be seen where the edge is not
   */
  private drawRiders(life: Life, calm: number, bulging: number): ChildrenShown | null {
    const { scene, fields, profile } = this
    if (!scene) return null
    const { R, time } = fields
    scene.beginStreaks()
    scene.putEdge(R, 0.9 * (1 - (bulging || 0)))
    this.drawThinSpot(scene, life)
    // A small drop would be covered by its tracers.
    const crowd = Math.min(1, (R * this.frame.scale) / 160) ** 2
    this.tracers?.at(time, (carrier, now, before, angle, opacity) => {
      const onFilm = carrier === 'film'
      if (onFilm ? now > calm : now < R) return
      const last = onFilm ? Math.min(before, calm) : Math.max(before, R)
      const y0 = onFilm ? profileHeight(profile, last) : 0
      const y1 = onFilm ? profileHeight(profile, now) : 0
      const strength = onFilm ? 0.7 * crowd : 0.45
      scene.putStreak(streakKind[carrier], angle, last, y0, now, y1, strength * opacity)
    })
    const children = this.drawChildren(scene)
    scene.endStreaks()
    return children
  }

  /** To scale where they are wide enough for that. */
  private drawChildren(scene: StageScene): ChildrenShown {
    const { drops, fields, frame } = this
    let enlarged = 0
    const shown = drops?.at(fields.time, fields.R, (r, angle, opacity, radius) => {
      const width = 2 * frame.scale * radius
      if (!(width >= leastChild)) enlarged++
      scene.putStreak(streakKind.child, angle, r, 0, r, 0, opacity, Math.max(leastChild, width || 0))
    })
    const total = drops?.leftBy(fields.time) ?? 0
    return { shown: shown ?? 0, enlarged, total, every: drops?.every ?? 1 }
  }

  private drawThinSpot(scene: StageScene, life: Life): void {
    const { fields, profile } = this
    const { thinRadius } = marksAt(life, fields.time)
    scene.putDashes(thinRadius, profileHeight(profile, thinRadius), 0.75)
  }

  /** In words, for those who do not see it; also while it is out of view. */
  private describe(state: State): void {
    const { fields, box, canvas } = this
    const { life } = shownLife(state)
    box.setAttribute('aria-valuemax', (1e3 * state.radialSpan).toFixed(1))
    if (!life || !this.moveTo(life, state.time)) {
      canvas.setAttribute('aria-label', 'No drop yet: it is being computed.')
      return
    }
    const marks = marksAt(life, fields.time)
    const thin =
      marks.thinRadius > 0 ? ` Thin spot ${length(marks.thin)} at ${length(marks.thinRadius)}.` : ''
    const beads = beadsText(marks.beads)
    const ring = marks.ringRadius > 0 ? ` Ring ${length(marks.ring)} high${beads && `, ${beads}`}.` : ''
    canvas.setAttribute(
      'aria-label',
      `The drop ${duration(fields.time)} after touch-down: radius ${length(fields.R)}, centre ${length(
        fields.h[0]!,
      )} thick.${thin}${ring} ${heightText(this.mapFor(state, life))}.`,
    )
    box.setAttribute('aria-valuenow', (1e3 * state.cursorRadius).toFixed(2))
    box.setAttribute('aria-valuetext', valuesText(fields, state.cursorRadius))
  }

  /** The picture at two pixels per CSS pixel at least, whatever the screen has. */
  private png(): Promise<Blob> {
    const state = this.store.getState()
    const { panel, ink } = palette()
    this.scene?.setFrame(this.frame, state.radialSpan, 2)
    this.draw(state)
    const lines = [this.heights.textContent ?? '', `${duration(this.fields.time)} after touch-down`]
    const made = stagePng(this.canvas, this.overlay.root, this.frame, {
      lines,
      caption: this.caption.textContent ?? '',
      scale: this.scale,
      table: colourTable(state.colourBy, state.dark),
      ink: ink || (state.dark ? '#eee' : '#222'),
      paper: panel || (state.dark ? '#1c1a17' : '#fff'),
    })
    this.resized = true
    this.askAnew()
    return made
  }

  destroy(): void {
    cancelAnimationFrame(this.asked)
    for (const end of this.endings) end()
    this.canvas.removeEventListener('webglcontextlost', this.lost)
    this.canvas.removeEventListener('webglcontextrestored', this.restored)
    this.scene?.dispose()
    this.scene = null
  }
}

/** Mounts the stage in `root`, which gives it its height. */
export const createStage = (root: HTMLElement, store: Store): View => new Stage(root, store)
