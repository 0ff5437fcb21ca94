/** A stack of panels over one x axis, with hair line, values in the panels' heads, and the saving menu. */
import 'uplot/dist/uPlot.min.css'
import './plots.css'
import { el } from '../dom.ts'
import { palette } from '../theme.ts'
import { axisLeft } from './axis.ts'
import { csvText } from './dataTable.ts'
import { type Look, PanelPlot } from './panelPlot.ts'
import type { Panel } from './plotData.ts'
import { fileName, savingMenu } from './saving.ts'
import { type PlotColours, paperColours } from './seriesColours.ts'
import { svgText } from './svgText.ts'

/** What a figure saves: panels made for paper, and their words. */
export interface Saved {
  panels: Panel[]
  title: string
  subtitle: string
  /** What must be told with it, as that a mechanism is switched off. */
  notice?: string
  name: string
}

const nothing: Saved = { panels: [], title: '', subtitle: '', name: '' }

export interface FigureOptions {
  /** Name of the slider that the figure is to those who hear it. */
  label: string
  /** Room right of the plots, px. */
  right: number
  /** Room above each plot for its head: 17 px a line. */
  top: number
  /** Least height of a panel of weight 1, px. */
  leastHeight: number
  saved: () => Saved | null
  /** The user points at x (in the unit of the axis). */
  point: (x: number) => void
  /** The figure's size changed. */
  resized: () => void
}

interface Slot {
  root: HTMLElement
  canvas: HTMLElement
  title: HTMLElement
  value: HTMLElement
  plot: PanelPlot
  width: number
  height: number
}

/** Colours for canvases, from the style sheet, with a fallback where it names none. */
export function plotColours(dark: boolean): PlotColours {
  const named = palette()
  return {
    ink: named.ink || (dark ? '#eee8dc' : paperColours.ink),
    faint: named.faint || (dark ? '#aaa398' : paperColours.faint),
    line: named.line || (dark ? '#45413a' : paperColours.line),
    panel: named.panel || (dark ? '#1e1c19' : paperColours.panel),
    accent: named.accent || paperColours.accent,
    life: named.life || (dark ? '#56b4e9' : paperColours.life),
  }
}

export class Figure {
  /** Takes the keyboard: a slider over the x axis. */
  readonly area = el('div', { class: 'plot-area', tabindex: 0, role: 'slider', 'aria-valuenow': 0 })
  private readonly options: FigureOptions
  readonly holder: HTMLElement
  private readonly hair = el('div', { class: 'plot-hair', hidden: true })
  private readonly slots = new Map<string, Slot>()
  private readonly observer: ResizeObserver
  private arranged = ''
  private xMin = 0
  private xMax = 1

  constructor(root: HTMLElement, options: FigureOptions) {
    this.options = options
    this.area.setAttribute('aria-label', options.label)
    const offer = {
      name: () => fileName('rimtide', options.saved()?.name ?? options.label),
      csv: () => {
        const saved = options.saved()
        return csvText(saved?.panels ?? [], saved?.notice)
      },
      svg: () => {
        const { panels, title, subtitle, notice = '' } = options.saved() ?? nothing
        return svgText(panels, { title, subtitle, notice })
      },
    }
    this.area.append(this.hair)
    const lines = options.top > 20 ? 'plot-figure two-lines' : 'plot-figure'
    this.holder = el('div', { class: lines }, this.area, savingMenu(offer, options.label))
    root.append(this.holder)
    this.observer = new ResizeObserver(() => this.measure())
    this.observer.observe(this.area)
    this.area.addEventListener('pointerdown', this.react)
    this.area.addEventListener('pointermove', this.react)
  }

  private readonly react = (event: PointerEvent) => {
    const dragging = event.buttons !== 0
    if (event.type === 'pointermove' && !dragging) return
    this.options.point(this.xMin + this.partAt(event.clientX) * (this.xMax - this.xMin))
  }

  /** Place along the x axis, 0 at its left end, 1 at its right, of a point of the window (CSS px). */
  partAt(clientX: number): number {
    const box = this.area.getBoundingClientRect()
    return (clientX - box.left - axisLeft) / (box.width - axisLeft - this.options.right)
  }

  private measure(): void {
    let changed = false
    for (const slot of this.slots.values()) {
      const { clientWidth, clientHeight } = slot.root
      if (clientWidth === slot.width && clientHeight === slot.height) continue
      slot.width = clientWidth
      slot.height = clientHeight
      changed = true
    }
    if (changed) this.options.resized()
  }

  private slot(panel: Panel, look: Look): Slot {
    const known = this.slots.get(panel.id)
    if (known) return known
    const canvas = el('div', { class: 'plot-canvas', 'aria-hidden': 'true' })
    const title = el('span', { class: 'plot-title' })
    const value = el('span', { class: 'plot-value' })
    const root = el('div', { class: 'plot-panel' }, canvas, el('div', { class: 'plot-head' }, title, value))
    this.area.append(root)
    const plot = new PanelPlot(canvas, panel, look)
    const made = { root, canvas, title, value, plot, width: 0, height: 0 }
    this.slots.set(panel.id, made)
    return made
  }

  /** Height at hand for all panels, px; 0 before the first layout. */
  get height(): number {
    return this.area.clientHeight
  }

  /** Shows these panels, in this order, and no others. */
  private arrange(panels: readonly Panel[], look: Look): void {
    const ids = panels.map((panel) => `${panel.id} ${panel.showX}`).join(' ')
    if (ids === this.arranged) return
    this.arranged = ids
    for (const slot of this.slots.values()) slot.root.hidden = true
    panels.forEach((panel, i) => {
      const { root } = this.slot(panel, look)
      root.hidden = false
      root.style.order = String(i)
      const extra = this.options.top + (panel.showX ? 39 : 5)
      root.style.flex = `${panel.weight} 1 ${panel.weight * this.options.leastHeight + extra}px`
      root.classList.toggle('first', i === 0)
    })
    for (const slot of this.slots.values()) {
      slot.width = slot.root.clientWidth
      slot.height = slot.root.clientHeight
    }
  }

  /** Redraws these panels. */
  update(panels: readonly Panel[], colours: PlotColours, greyed: boolean): void {
    const look = { colours, right: this.options.right, top: this.options.top }
    this.area.classList.toggle('is-greyed', greyed)
    this.arrange(panels, look)
    for (const panel of panels) {
      const slot = this.slot(panel, look)
      if (slot.width === 0) {
        slot.width = slot.root.clientWidth
        slot.height = slot.root.clientHeight
      }
      if (slot.title.textContent !== panel.title) slot.title.textContent = panel.title
      slot.plot.update(panel, look, slot.width, slot.height)
      this.xMin = panel.xMin
      this.xMax = panel.xMax
    }
  }

  /** Hair line at x (unit of the axis) and the values there, by the panels' ids. */
  setCursor(x: number, values: Readonly<Record<string, string>>): void {
    const width = this.area.clientWidth - axisLeft - this.options.right
    const place = axisLeft + ((x - this.xMin) / (this.xMax - this.xMin)) * width
    this.hair.hidden = !(x >= this.xMin && x <= this.xMax)
    this.hair.style.transform = `translateX(${place.toFixed(1)}px)`
    for (const [id, slot] of this.slots) {
      const text = values[id] ?? ''
      if (slot.value.textContent !== text) slot.value.textContent = text
    }
  }

  /** What the slider says. */
  setWords(min: number, max: number, now: number, text: string): void {
    const { area } = this
    area.setAttribute('aria-valuemin', min.toFixed(2))
    area.setAttribute('aria-valuemax', max.toFixed(2))
    area.setAttribute('aria-valuenow', now.toFixed(2))
    area.setAttribute('aria-valuetext', text)
  }

  destroy(): void {
    this.observer.disconnect()
    for (const slot of this.slots.values()) slot.plot.destroy()
    this.slots.clear()
    this.holder.remove()
  }
}
