/** Section: thickness, alcohol, tension and speeds over the stage's radial axis, at the moment shown. */
import { offNotice } from '../../life/mechanisms.ts'
import type { Life } from '../../life/types.ts'
import { bathSpeedAt, cellValue, createFields, moveTo, surfaceSpeedAt } from '../../life/view.ts'
import { setCursorRadius, setLogHeight } from '../actions.ts'
import { el, oncePerFrame } from '../dom.ts'
import { duration, length, plain, speedNumber } from '../format.ts'
import { followNearness, type Nearness } from '../near.ts'
import type { State, Store, View } from '../store.ts'
import { axisRight } from './axis.ts'
import { followCursorKeys } from './cursorKeys.ts'
import { Figure, plotColours, type Saved } from './figure.ts'
import type { Panel } from './plotData.ts'
import { type Ghost, type Limits, limitsOf, sectionPanels } from './sectionModel.ts'
import { marksAt, shownLife, valuesText } from './shown.ts'

/** Panels beside the thickness, of which one is chosen where there is no room for all. */
const others: readonly [string, string][] = [
  ['speed', 'Speeds'],
  ['alcohol', 'Alcohol'],
  ['tension', 'Tension'],
]
/** Height from which on all four panels are shown, px. */
const roomForAll = 285

const dishOf = (life: Life): number => life.preset.bath.dishRadius_mm * 1e-3

class Section implements View {
  private readonly store: Store
  private readonly figure: Figure
  private readonly fields = createFields()
  private readonly ghostFields = new Map<string, ReturnType<typeof createFields>>()
  private readonly scaleSwitch = el('button', { type: 'button', class: 'plot-switch' })
  private readonly second = el('select', { class: 'plot-choice', 'aria-label': 'Curve under the thickness' })
  private limits: { of: Life; values: Limits } | null = null
  private colours = plotColours(false)
  private seen: State | null = null
  private sized = true
  private readonly nearness: Nearness
  private readonly endings: (() => void)[]

  constructor(root: HTMLElement, store: Store) {
    this.store = store
    const ask = oncePerFrame(() => this.draw(store.getState()))
    this.figure = new Figure(root, {
      label: 'Marked radius in the section',
      right: axisRight,
      top: 17,
      leastHeight: 44,
      saved: () => this.saved(),
      point: (x) => setCursorRadius(store, Math.abs(x) * 1e-3),
      resized: () => {
        this.sized = true
        ask()
      },
    })
    this.scaleSwitch.addEventListener('click', () => setLogHeight(store, !store.getState().logHeight))
    for (const [value, text] of others) this.second.add(new Option(text, value))
    this.second.value = 'speed'
    this.second.hidden = true
    this.second.addEventListener('change', () => {
      this.sized = true
      ask()
    })
    this.figure.holder.classList.add('plot-section')
    this.figure.holder.append(el('div', { class: 'plot-tools' }, this.second, this.scaleSwitch))
    this.nearness = followNearness(this.figure.area, ask)
    this.endings = [
      followCursorKeys(this.figure.area, store),
      store.subscribe(ask),
      () => this.nearness.destroy(),
    ]
    ask()
  }

  private draw(state: State): void {
    const { life, greyed } = shownLife(state)
    if (!life || !moveTo(this.fields, life.frames, dishOf(life), state.time)) return
    if (this.nearness.near && this.needsDrawing(state)) {
      if (this.seen?.dark !== state.dark) this.colours = plotColours(state.dark)
      const scale = state.logHeight ? 'h: log' : 'h: linear'
      this.scaleSwitch.textContent = scale
      // The name begins with the words that are seen, so that it can be spoken to (WCAG 2.2, 2.5.3).
      this.scaleSwitch.setAttribute('aria-label', `${scale} (scale of the thickness axis; change)`)
      this.figure.update(this.fitting(this.panels(state, life, state.dark)), this.colours, greyed)
      this.seen = state
      this.sized = false
    }
    this.showCursor(state)
  }

  private needsDrawing(state: State): boolean {
    const { seen } = this
    if (!seen || this.sized) return true
    const names = ['life', 'outgoing', 'stale', 'time', 'radialSpan', 'logHeight', 'dark', 'pins'] as const
    return names.some((name) => seen[name] !== state[name])
  }

  private panels(state: State, life: Life, dark: boolean): Panel[] {
    if (this.limits?.of !== life) this.limits = { of: life, values: limitsOf(life) }
    return sectionPanels(this.fields, marksAt(life, this.fields.time), this.limits.values, {
      span: state.radialSpan,
      logarithmic: state.logHeight,
      dark,
      ghosts: this.ghosts(state),
    })
  }

  /** All panels if there is room, else the thickness and the chosen one. */
  private fitting(panels: Panel[]): Panel[] {
    const { height } = this.figure
    const all = height === 0 || height >= roomForAll
    this.second.hidden = all
    if (all) return panels
    const chosen = panels.find((panel) => panel.id === this.second.value) ?? panels.at(-1)!
    return [panels[0]!, { ...chosen, showX: true }]
  }

  private ghosts(state: State): Ghost[] {
    return state.pins.flatMap((pin) => {
      const fields = this.ghostFields.get(pin.id) ?? createFields()
      this.ghostFields.set(pin.id, fields)
      if (!moveTo(fields, pin.life.frames, dishOf(pin.life), state.time)) return []
      return [{ label: pin.label, colour: pin.colour, dash: pin.dash, fields }]
    })
  }

  private showCursor(state: State): void {
    const { fields, figure } = this
    const r = state.cursorRadius
    const inside = r <= fields.R
    const at = `at ${length(r)}: `
    figure.setCursor(1e3 * r, {
      thickness: `${at}${inside ? length(cellValue(fields, 'h', r)) : 'bare oil'}`,
      alcohol: inside ? plain(cellValue(fields, 'phi', r)) : '',
      tension: inside ? `${plain(1e3 * cellValue(fields, 'sigma', r))} mN/m` : '',
      speed: `bath ${speedNumber(bathSpeedAt(fields, r))}${inside ? `, film top ${speedNumber(surfaceSpeedAt(fields, r))}` : ''} mm/s`,
    })
    figure.setWords(0, 1e3 * state.radialSpan, 1e3 * r, valuesText(fields, r))
  }

  private saved(): Saved | null {
    const state = this.store.getState()
    const { life } = shownLife(state)
    if (!life || !moveTo(this.fields, life.frames, dishOf(life), state.time)) return null
    return {
      panels: this.panels(state, life, false),
      title: `Section ${duration(this.fields.time)} after touch-down`,
      subtitle: life.preset.title,
      notice: offNotice(life.preset),
      name: `section ${life.preset.title} ${this.fields.time.toFixed(2)} s`,
    }
  }

  destroy(): void {
    for (const end of this.endings) end()
    this.figure.destroy()
  }
}

export const createSection = (root: HTMLElement, store: Store): View => new Section(root, store)
