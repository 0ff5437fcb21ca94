/** What begins work that takes its time, stops it, and shows how far it is. */
import { el, keepFocus } from './dom.ts'

export class LongWork {
  readonly begin: HTMLButtonElement
  readonly stop = el('button', { type: 'button', hidden: true }, 'Stop')
  readonly root: HTMLElement
  private readonly bar: HTMLProgressElement

  /** @param what the progress is of, for those who do not see it */
  constructor(label: string, what: string, act: { begin(): void; stop(): void }) {
    this.begin = el('button', { type: 'button', class: 'main' }, label)
    this.bar = el('progress', { max: 1, value: 0, hidden: true, 'aria-label': what })
    this.root = el('div', { class: 'buttons' }, this.begin, this.stop, this.bar)
    this.begin.addEventListener('click', () => act.begin())
    this.stop.addEventListener('click', () => act.stop())
  }

  /** Whether the work is under way. */
  going(on: boolean): void {
    const { begin, stop } = this
    const change = () => {
      begin.hidden = on
      stop.hidden = !on
    }
    keepFocus([begin, stop], change, () => (on ? stop : begin))
    this.bar.hidden = !on
    this.bar.value = 0
  }

  /** Part that is done, 0–1. */
  set done(share: number) {
    this.bar.value = share
  }

  /** What it is called to begin, and whether that is what is wanted now. */
  offer(label: string, main: boolean): void {
    this.begin.textContent = label
    this.begin.classList.toggle('main', main)
  }
}
