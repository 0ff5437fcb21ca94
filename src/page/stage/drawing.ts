/** Draws the drop on its bath into the stage's parts: takes a new life, frame, colours or heights only where they have changed. */
import type { Life } from '../../life/types.ts'
import { createFields, type Fields, moveTo } from '../../life/view.ts'
import { everBeads } from '../beads.ts'
import { marksAt, shownLife } from '../plots/shown.ts'
import type { State } from '../store.ts'
import { type Framing, framing } from './framing.ts'
import { type HeightMap, heightMap, heightText } from './heightMap.ts'
import type { Legend } from './legend.ts'
import { type Look, lookOf } from './look.ts'
import { beadNote, captionOf, childNote } from './notes.ts'
import type { Overlay } from './overlay.ts'
import { createProfile, fillProfile, profileHeight } from './profile.ts'
import { Riders } from './riders.ts'
import type { StageScene } from './scene.ts'
import { sceneColours } from './sceneColours.ts'
import type { ViewMenu } from './viewMenu.ts'

/** All that the colours depend on besides the life. */
const coloursOf = (state: State | null): string =>
  state ? `${state.dark} ${state.colourBy} ${state.wavelength} ${state.dye}` : ''

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

/** What is drawn into. */
export interface StageParts {
  box: HTMLElement
  /** Null without WebGL2. */
  scene: StageScene | null
  overlay: Overlay
  caption: HTMLElement
  heights: HTMLElement
  legend: Legend | null
  menu: ViewMenu | null
}

export class Drawing {
  readonly fields: Fields = createFields()
  frame: Framing = framing(300, 200, 0.03, 0.01, 0.005)
  look: Look | null = null
  riders: Riders | null = null
  /** Pixels along a line relative to the screen's, as last drawn. */
  pixels = 1
  /** The box has another size, or the picture was lost: all is taken anew. */
  resized = true
  /** The state that was drawn last. */
  known: State | null = null
  private readonly scene: StageScene | null
  private readonly profile = createProfile()
  private map: HeightMap = heightMap(true, 20, 0.03, 1e-3)
  private thickest = 1e-3
  private thickestIn: Life | null = null
  private knownLife: Life | null = null

  constructor(private readonly parts: StageParts) {
    this.scene = parts.scene
  }

  /**
   * Draws what a state shows, all of it or what has changed since the last one.
   * @param wanted pixels along a line relative to the screen's
   */
  draw(state: State, wanted: number): void {
    const { life, greyed } = shownLife(state)
    const before = this.known
    const anew = before === null || this.resized
    const lifeChanged = life !== this.knownLife || anew
    const spanChanged = anew || before.radialSpan !== state.radialSpan
    if (lifeChanged) this.takeLife(life, state)
    const framed = lifeChanged || spanChanged || before?.camera !== state.camera || wanted !== this.pixels
    if (framed || before?.preset.bath !== state.preset.bath) this.takeFrame(state, life, wanted)
    if (lifeChanged || coloursOf(before) !== coloursOf(state)) {
      this.takeColours(state, life, anew || before.dark !== state.dark)
    }
    const heightsChanged =
      framed || before?.logHeight !== state.logHeight || before?.heightFactor !== state.heightFactor
    if (heightsChanged) this.takeHeights(state, life)
    this.known = state
    this.knownLife = life
    this.resized = false
    this.parts.box.classList.toggle('is-greyed', greyed)
    this.drawDrop(state, life)
    this.scene?.render()
  }

  private takeLife(life: Life | null, state: State): void {
    this.riders = null
    // The line is kept free also where it stays empty: the picture must not change its height while the clock runs or a
    // slider moves. Only where there is little room (by the style sheet) a life without beads does without.
    this.parts.caption.classList.toggle('never', !life || !everBeads(life.series))
    if (life && life.frames.count >= 2) this.riders = new Riders(life, state.radialSpan, state.timeSpan)
  }

  private takeFrame(state: State, life: Life | null, wanted: number): void {
    const { box, overlay, menu } = this.parts
    const { width, height } = box.getBoundingClientRect()
    const preset = life?.preset ?? state.preset
    const depth = preset.bath.depth_mm * 1e-3
    const dish = preset.bath.dishRadius_mm * 1e-3
    const span = state.radialSpan
    const letter = Number.parseFloat(getComputedStyle(overlay.root).fontSize) || 11
    this.frame = framing(
      Math.max(width, 120),
      Math.max(height, 120),
      span,
      depth,
      0.12 * span,
      state.camera,
      letter,
    )
    this.pixels = wanted
    this.scene?.setFrame(this.frame, this.pixels * Math.min(2, devicePixelRatio || 1))
    this.scene?.setDish(dish, depth, span > 0.05 ? 0.02 : span > 0.012 ? 0.01 : 0.002)
    overlay.setFrame(this.frame, span, dish, depth)
    box.classList.toggle('is-whole', this.frame.whole)
    menu?.fit()
  }

  private takeColours(state: State, life: Life | null, themed: boolean): void {
    const look = lookOf(state, life, state.preset)
    this.look = look
    this.parts.legend?.set(look)
    this.scene?.setTable(look.table)
    this.scene?.setFilm(look.film)
    this.scene?.setColours(sceneColours(state.dark, state.colourBy === 'speed', look.bare))
    if (!themed) return
    const { style } = this.parts.overlay.root
    style.setProperty('--stage-line', state.dark ? '#f3ede0' : '#2a2622')
    style.setProperty('--stage-halo', state.dark ? 'rgb(40 30 12 / 0.8)' : 'rgb(255 248 228 / 0.8)')
  }

  /** How heights are drawn of a life. */
  mapFor(state: State, life: Life | null): HeightMap {
    if (life && this.thickestIn !== life) {
      this.thickestIn = life
      this.thickest = thickestOf(life)
    }
    return heightMap(state.logHeight, state.heightFactor, state.radialSpan, this.thickest)
  }

  private takeHeights(state: State, life: Life | null): void {
    this.map = this.mapFor(state, life)
    const text = heightText(this.map)
    this.parts.heights.textContent = text
    this.parts.menu?.say(text)
    this.parts.overlay.setRuler(this.frame, this.map, this.thickest)
  }

  private drawDrop(state: State, life: Life | null): void {
    const { fields, profile, scene } = this
    if (!life || !this.moveTo(life, state.time)) {
      profile.count = 0
      scene?.setDrop(profile)
      say(this.parts.caption, '')
      return
    }
    const look = this.look!
    fillProfile(profile, fields, this.map, look.scale, look.film)
    scene?.setDrop(profile)
    const marks = marksAt(life, fields.time)
    const { beads } = marks
    const shown = scene?.setBeads(beads, fields.R, marks, this.map) ?? Number.NaN
    this.parts.overlay.setDrop(this.frame, profile, marks, scene === null)
    const calm = shown > 0 && beads ? fields.R - 2.5 * beads.halfBase : fields.R
    const children = this.drawRiders(marks.thinRadius, calm, shown)
    say(this.parts.caption, captionOf(beadNote(beads, shown), children ? childNote(children) : ''))
  }

  /** Moves the fields to a moment; false where the life has none. */
  moveTo(life: Life, time: number): boolean {
    return moveTo(this.fields, life.frames, life.preset.bath.dishRadius_mm * 1e-3, time)
  }

  /**
   * Tracers, child drops and the lines on the drop.
   * @param calm radius up to which the film has its mean height and tracers can lie on it, m
   * @param bulging how far the beads show, 0–1: between them the edge's circle would be seen where the edge is not
   */
  private drawRiders(thinRadius: number, calm: number, bulging: number) {
    const { scene, fields, profile, frame } = this
    if (!scene) return null
    const { streaks } = scene
    streaks.begin()
    streaks.putEdge(fields.R, 0.9 * (1 - (bulging || 0)))
    streaks.putDashes(thinRadius, profileHeight(profile, thinRadius), 0.75)
    const children = this.riders?.put(streaks, fields, profile, frame, calm) ?? null
    streaks.end()
    return children
  }

  /** At two pixels per CSS pixel, for a picture that is taken away in the same task. */
  drawSharp(state: State): void {
    this.draw(state, 1)
    // Another sharpness than the page's: the next picture asks for its own again.
    this.pixels = 2
    this.scene?.setFrame(this.frame, this.pixels)
    this.drawDrop(state, this.knownLife)
    this.scene?.render()
  }
}
