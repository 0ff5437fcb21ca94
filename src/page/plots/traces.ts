/** Traces over the life's time: radius, thicknesses, budgets. The playhead stands at the moment shown. */
import { offNotice } from '../../life/mechanisms.ts'
import { seriesAt } from '../../life/sample.ts'
import type { Life } from '../../life/types.ts'
import { setTime } from '../actions.ts'
import { beadCount, beadsOf } from '../beads.ts'
import { el, oncePerFrame } from '../dom.ts'
import { duration, length } from '../format.ts'
import { drawnCurves } from '../measured/grouping.ts'
import { besideIn, otherDropMark } from '../measured/residual.ts'
import type { State, Store, View } from '../store.ts'
import { curveStyle, lookOf } from '../theme.ts'
import { Figure, plotColours, type Saved } from './figure.ts'
import type { Panel } from './plotData.ts'
import { paperColours } from './seriesColours.ts'
import { shownLife } from './shown.ts'
import { budgetPanel, budgetWords, radiusPanel, type TraceChoice, thicknessPanel } from './tracesModel.ts'

type Moment = ReturnType<typeof seriesAt>

/** Heights from which on three and two traces are shown, px. */
const roomForThree = 430
const roomForTwo = 250
/** Room right of the plots for the labels at the lines' ends, px; the same for all, so that times line up. */
const right = 74

interface Kind {
  name: string
  /** Above the saved picture. */
  title: string
  /** In the list of traces. */
  short: string
  label: string
  make: (life: Life, choice: TraceChoice) => Panel
  /** Values at the playhead. */
  value: (moment: Moment) => string
  /** What is said there beside them, for want of room in the picture. */
  more?: (moment: Moment) => string
}

const kinds: readonly Kind[] = [
  {
    name: 'radius',
    short: 'Radius',
    title: 'Radius against time',
    label: 'Time along the radius curve',
    make: radiusPanel,
    value: (moment) => `R ${length(moment.R)}${beadNumber(moment)}`,
  },
  {
    name: 'thickness',
    short: 'Thickness',
    title: 'Thickness of centre, thin spot and rim',
    label: 'Time along the thickness curves',
    make: thicknessPanel,
    value: ({ centre, thin, ringHeight }) =>
      [
        `centre ${length(centre, 2)}`,
        Number.isFinite(thin) ? `thin ${length(thin, 2)}` : '',
        Number.isFinite(ringHeight) ? `rim ${length(ringHeight, 2)}` : '',
      ]
        .filter(Boolean)
        .join(' · '),
    more: (moment) => beadNumber(moment),
  },
  {
    name: 'budget',
    short: 'Budgets',
    title: 'Where the liquid is (strong: alcohol, pale: water)',
    label: 'Time along the budgets',
    make: budgetPanel,
    value: (moment) => budgetWords(moment),
  },
]

/** " · about 140 beads (estimate)". */
function beadNumber(moment: Moment): string {
  const beads = beadsOf(moment)
  return beads?.grown ? ` · about ${beadCount(beads.count)} beads (estimate)` : ''
}

function timeAfterKey(key: string, shift: boolean, time: number, span: number): number | null {
  const step = (shift ? 0.1 : 0.01) * span
  if (key === 'ArrowRight' || key === 'ArrowUp') return time + step
  if (key === 'ArrowLeft' || key === 'ArrowDown') return time - step
  if (key === 'Home') return 0
  return key === 'End' ? span : null
}

/** What the traces show of the state. @param figures the r.m.s. of curves of other drops beside their names too */
export function choiceOf(state: State, dark: boolean, lifeColour: string, figures = true): TraceChoice {
  return {
    timeSpan: state.timeSpan,
    dark,
    lifeColour,
    pins: state.pins,
    envelope: state.stale ? null : state.neighbours.envelope,
    measured: drawnCurves(state).map(({ curve, index }) => ({
      curve,
      mark: otherDropMark(besideIn(state, curve), figures),
      ...curveStyle(curve, lookOf(state.measured, index)),
    })),
  }
}

class Traces implements View {
  private readonly store: Store
  private readonly holder = el('div', { class: 'plot-traces' })
  private readonly chooser = el('select', { class: 'plot-choice', 'aria-label': 'Trace shown' })
  private readonly figures: Figure[]
  private seen: State | null = null
  private sized = true
  private colours = plotColours(false)
  private readonly observer: ResizeObserver
  private readonly unsubscribe: () => void

  constructor(root: HTMLElement, store: Store) {
    this.store = store
    const ask = oncePerFrame(() => this.draw(store.getState()))
    this.observer = new ResizeObserver(() => {
      this.sized = true
      ask()
    })
    this.observer.observe(this.holder)
    for (const kind of kinds) this.chooser.add(new Option(kind.short, kind.name))
    this.chooser.value = 'thickness'
    this.chooser.hidden = true
    this.chooser.addEventListener('change', () => {
      this.sized = true
      ask()
    })
    root.append(this.holder)
    this.holder.append(this.chooser)
    this.figures = kinds.map((kind) => {
      const figure = new Figure(this.holder, {
        label: kind.label,
        right,
        top: 34,
        leastHeight: 60,
        saved: () => this.saved(kind),
        point: (time) => setTime(store, time),
        resized: () => {
          this.sized = true
          ask()
        },
      })
      figure.area.addEventListener('keydown', (event) => this.key(event))
      return figure
    })
    this.unsubscribe = store.subscribe(ask)
    ask()
  }

  /** As many figures as there is room for: the chosen one first. Gives back the names of those shown, in order. */
  private arrange(): string[] {
    const room = this.holder.clientHeight
    const all = room === 0 || room >= roomForThree
    this.chooser.hidden = all
    const names = kinds.map((kind) => kind.name)
    const chosen = this.chooser.value
    const second = chosen === 'budget' ? 'thickness' : 'budget'
    const shown = all ? names : room >= roomForTwo ? [chosen, second] : [chosen]
    for (const [i, { holder }] of this.figures.entries()) {
      holder.hidden = !shown.includes(names[i]!)
      holder.style.order = String(shown.indexOf(names[i]!))
      holder.classList.toggle('chosen', !all && names[i] === chosen)
    }
    return shown
  }

  private key(event: KeyboardEvent): void {
    if (event.ctrlKey || event.metaKey || event.altKey) return
    const { time, timeSpan } = this.store.getState()
    const next = timeAfterKey(event.key, event.shiftKey, time, timeSpan)
    if (next === null) return
    event.preventDefault()
    setTime(this.store, next)
  }

  private draw(state: State): void {
    const { life, greyed } = shownLife(state)
    if (!life) return
    if (this.needsDrawing(state)) {
      if (this.seen?.dark !== state.dark) this.colours = plotColours(state.dark)
      const choice = choiceOf(state, state.dark, this.colours.life, false)
      const shown = this.arrange()
      for (const [i, figure] of this.figures.entries()) {
        const { name, make } = kinds[i]!
        if (!shown.includes(name)) continue
        figure.update([{ ...make(life, choice), showX: name === shown.at(-1) }], this.colours, greyed)
      }
    }
    this.seen = state
    this.sized = false
    const moment = seriesAt(life.series, state.time)
    this.figures.forEach((figure, i) => {
      const { value, more } = kinds[i]!
      const words = value(moment)
      figure.setCursor(state.time, { [kinds[i]!.name]: words })
      figure.setWords(
        0,
        state.timeSpan,
        state.time,
        `${duration(state.time)} after touch-down: ${words}${more?.(moment) ?? ''}`,
      )
    })
  }

  private needsDrawing(state: State): boolean {
    const { seen } = this
    if (!seen || this.sized) return true
    const names = [
      'life',
      'outgoing',
      'stale',
      'neighbours',
      'ownLives',
      'timeSpan',
      'dark',
      'pins',
      'measured',
      'hidden',
      'grouped',
    ] as const
    return names.some((name) => seen[name] !== state[name])
  }

  private saved(kind: Kind): Saved | null {
    const state = this.store.getState()
    const { life } = shownLife(state)
    if (!life) return null
    const panel = kind.make(life, choiceOf(state, false, paperColours.life))
    return {
      panels: [panel],
      title: kind.title,
      subtitle: life.preset.title,
      notice: offNotice(life.preset),
      name: `${kind.name} ${life.preset.title}`,
    }
  }

  destroy(): void {
    this.unsubscribe()
    this.observer.disconnect()
    for (const figure of this.figures) figure.destroy()
    this.holder.remove()
  }
}

export const createTraces = (root: HTMLElement, store: Store): View => new Traces(root, store)
