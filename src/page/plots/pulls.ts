/** Balance of pulls at the marked radius: arrows and numbers that add up to zero. */
import './plots.css'
import { offNotice } from '../../life/mechanisms.ts'
import type { Life } from '../../life/types.ts'
import { createFields, moveTo, pullsAt } from '../../life/view.ts'
import { el, oncePerFrame } from '../dom.ts'
import { duration, length, plain } from '../format.ts'
import { followNearness, type Nearness } from '../near.ts'
import { type State, type Store, type View, watch } from '../store.ts'
import { plotColours } from './figure.ts'
import { pullsDrawing } from './pullsDrawing.ts'
import { balanceText, type PullBalance, pullBalance } from './pullsModel.ts'
import { fileName, savingMenu } from './saving.ts'
import { type PlotColours, paperColours } from './seriesColours.ts'
import { shownLife } from './shown.ts'

const dishOf = (life: Life): number => life.preset.bath.dishRadius_mm * 1e-3

class PullsView implements View {
  private readonly store: Store
  private readonly fields = createFields()
  private readonly title = el('h2', { class: 'pulls-title' })
  private readonly drawing = el('div', { class: 'pulls-holder' })
  private readonly note = el('p', { class: 'pulls-note' })
  private readonly root: HTMLElement
  private readonly nearness: Nearness
  private readonly unsubscribe: () => void
  private readonly observer: ResizeObserver

  constructor(root: HTMLElement, store: Store) {
    this.store = store
    const offer = {
      name: () => fileName('rimtide', 'pulls', store.getState().preset.title),
      csv: () => this.csv(),
      svg: () => this.drawn(460, false).replace('<svg ', '<svg xmlns="http://www.w3.org/2000/svg" '),
    }
    this.root = el(
      'div',
      { class: 'pulls-view' },
      this.title,
      savingMenu(offer, 'balance of pulls'),
      this.drawing,
      this.note,
    )
    root.append(this.root)
    const ask = oncePerFrame(() => this.draw(store.getState()))
    this.nearness = followNearness(this.root, ask)
    this.unsubscribe = watch(
      store,
      ({ life, outgoing, stale, time, cursorRadius, dark }) => [
        life,
        outgoing,
        stale,
        time,
        cursorRadius,
        dark,
      ],
      ask,
    )
    this.observer = new ResizeObserver(ask)
    this.observer.observe(this.root)
    ask()
  }

  private balance(state: State): PullBalance | null {
    const { life } = shownLife(state)
    if (!life || !moveTo(this.fields, life.frames, dishOf(life), state.time)) return null
    return pullBalance(pullsAt(this.fields, state.cursorRadius))
  }

  private draw(state: State): void {
    const balance = this.balance(state)
    if (!balance) {
      this.title.textContent = 'Pulls on the oil: no drop yet'
      return
    }
    this.title.textContent = `Pulls on the oil at r = ${length(state.cursorRadius)}`
    if (this.nearness.near)
      this.drawing.innerHTML = this.drawn(Math.max(220, this.root.clientWidth), state.dark, balance)
    this.note.textContent = this.words(balance)
  }

  private words(balance: PullBalance): string {
    const edge = `Edge at ${length(this.fields.R)}: line pull ${plain(1e3 * balance.edge)} mN/m`
    if (balance.place === 'bath')
      return `Outside the drop nothing pulls; the oil is only carried along. ${edge}.`
    if (balance.place === 'edge') return `${edge}, included above.`
    return `${edge}; it acts only there.`
  }

  private drawn(width: number, dark: boolean, known?: PullBalance): string {
    const state = this.store.getState()
    const balance = known ?? this.balance(state)
    if (!balance) return '<svg></svg>'
    const colours: PlotColours = known ? plotColours(dark) : paperColours
    const notice = this.notice(state)
    const heading = known
      ? ''
      : `${notice && `${notice} `}Pulls on the oil at r = ${length(state.cursorRadius)}, ${duration(this.fields.time)} after touch-down`
    return pullsDrawing(balance, { width, dark, colours, heading, words: balanceText(balance) })
  }

  private notice(state: State): string {
    const { life } = shownLife(state)
    return life ? offNotice(life.preset) : ''
  }

  private csv(): string {
    const state = this.store.getState()
    const balance = this.balance(state)
    if (!balance) return ''
    const rows = balance.rows.map((row) => `${row.name},${row.value.toPrecision(7)},Pa`)
    const notice = this.notice(state)
    return [
      ...(notice ? [`# ${notice}`] : []),
      'pull,value,unit',
      `radius,${(1e3 * state.cursorRadius).toPrecision(7)},mm`,
      `time,${this.fields.time.toPrecision(7)},s`,
      ...rows,
      `Edge (line pull),${balance.edge.toPrecision(7)},N/m`,
      '',
    ].join('\n')
  }

  destroy(): void {
    this.unsubscribe()
    this.observer.disconnect()
    this.nearness.destroy()
    this.root.remove()
  }
}

export const createPulls = (root: HTMLElement, store: Store): View => new PullsView(root, store)
