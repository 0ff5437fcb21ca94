/** The explanation: one large step at a time, which asks before it tells. */
import { setColourBy, setCursorRadius, setPlaying, setStep, setTime } from '../actions.ts'
import { el, oncePerFrame } from '../dom.ts'
import { followNearness } from '../near.ts'
import { type Store, type View, watch } from '../store.ts'
import { askFor } from './asking.ts'
import './explain.css'
import { createTerms } from './glossaryView.ts'
import type { Answer } from './judge.ts'
import { reveal } from './revealed.ts'
import { offerPresenting } from './stepping.ts'
import { storyOf } from './story.ts'
import type { Step, Story } from './types.ts'

/** Sets moment, place and colour of a step. Before its answer the colour tells nothing of it. */
function showOnDrop(store: Store, step: Step, told: boolean): void {
  setPlaying(store, false)
  setTime(store, step.time)
  setCursorRadius(store, step.radius)
  setColourBy(store, told ? step.colourBy : 'thickness')
}

/** Whether the arrow keys belong to what has the focus. */
const takesArrows = (target: EventTarget | null): boolean =>
  target instanceof Element && target.closest('input, select, textarea, [role=slider]') !== null

const none: Story = { steps: [], missing: [] }

/** All that a step shows, as text: as long as it stays the same there is nothing to draw anew. */
const contentsOf = (step: Step, told: boolean, missing: readonly string[]): string =>
  JSON.stringify([step.id, told ? step : step.question, missing])

class Steps {
  private readonly count = el('p', { class: 'explain-count', 'aria-live': 'polite' })
  private readonly title = el('h2', { class: 'explain-title', tabindex: -1 })
  private readonly body = el('div', { class: 'explain-body' })
  private readonly dots = el('ol', { class: 'explain-dots' })
  private readonly terms = createTerms()
  private readonly previous = this.turn('Previous', -1)
  private readonly next = this.turn('Next', 1)
  private story = none
  /** The life that is told, and with which beads. */
  private toldOf: unknown = null
  private toldWith: unknown = null
  private answers = new Map<string, Answer>()
  private answersOf: unknown = null
  /** What the body shows: story, step and whether it is answered. */
  private shown: unknown[] = []
  /** What the body was made from, as text. */
  private filled = ''
  private filledStep = ''
  private readonly nearness: { readonly near: boolean; destroy(): void }
  private readonly unwatch: () => void
  private readonly endPresenting: () => void

  constructor(
    private readonly root: HTMLElement,
    private readonly store: Store,
  ) {
    const nav = el(
      'nav',
      { class: 'explain-nav', 'aria-label': 'Steps' },
      this.previous,
      this.dots,
      this.next,
    )
    const head = el('header', { class: 'explain-head' }, this.count, this.title)
    root.classList.add('explain')
    root.append(head, this.body, this.terms.note, nav)
    root.addEventListener('keydown', this.onKey)
    const draw = oncePerFrame(() => this.draw())
    this.nearness = followNearness(root, draw)
    this.unwatch = watch(
      store,
      ({ life, stale, neighbours, step }) => [life, stale, neighbours.fingers, step],
      draw,
    )
    this.endPresenting = offerPresenting((by) => this.present(by))
  }

  private turn(label: string, by: number): HTMLButtonElement {
    return el('button', { type: 'button', onclick: () => this.go(this.at + by) }, label)
  }

  /** Step in sight. */
  private get at(): number {
    return Math.min(Math.max(this.store.getState().step, 0), this.story.steps.length - 1)
  }

  private readonly onKey = (event: KeyboardEvent) => {
    if (event.defaultPrevented || event.altKey || event.ctrlKey || event.metaKey) return
    const by = { PageDown: 1, PageUp: -1, ArrowRight: 1, ArrowLeft: -1 }[event.key]
    if (by === undefined || (event.key.startsWith('Arrow') && takesArrows(event.target))) return
    event.preventDefault()
    this.go(this.at + by)
  }

  /** Goes to a step; only this sets the moment, so that whoever comes back finds what they had set. */
  private go(to: number): void {
    const step = this.story.steps[to]
    if (!step) return
    showOnDrop(this.store, step, this.answers.has(step.id))
    setStep(this.store, to)
    this.draw()
    this.title.focus({ preventScroll: true })
    this.body.scrollTop = 0
  }

  /** In a classroom one key does it all: it tells the answer, then goes on. */
  private present(by: number): void {
    const step = this.story.steps[this.at]
    if (by > 0 && step && !this.answers.has(step.id)) this.give(step, null)
    else this.go(this.at + by)
  }

  private give({ id }: Step, answer: Answer): void {
    // The step may have come to know more since it was asked.
    const step = this.story.steps.find((one) => one.id === id)
    if (!step) return
    this.answers.set(id, answer)
    showOnDrop(this.store, step, true)
    this.draw()
    this.body.querySelector<HTMLElement>('.explain-answer')?.focus({ preventScroll: true })
    this.body.querySelector('.explain-answer')?.scrollIntoView({ block: 'nearest' })
  }

  /** Takes up the present life; answers to another life are forgotten. */
  private tell(): void {
    const { life, stale, neighbours } = this.store.getState()
    this.root.classList.toggle('old', stale)
    if (!life || life.status === 'growing') return
    // The neighbours are those of the present drop: an older life has none.
    const fingers = stale ? null : neighbours.fingers
    if (this.toldOf === life && (stale || this.toldWith === fingers)) return
    const same = this.answersOf === life.frames
    if (!same) this.answers.clear()
    this.answersOf = life.frames
    this.toldOf = life
    this.toldWith = fingers
    const before = this.story.steps[this.at]
    this.story = storyOf(life, fingers)
    if (same) this.stay(before)
  }

  /** The beads come some seconds after the life and may stand elsewhere in the order: whoever was in a step stays in it. */
  private stay(before: Step | undefined): void {
    const now = this.story.steps.findIndex(({ id }) => id === before?.id)
    if (now >= 0 && now !== this.at) setStep(this.store, now)
  }

  private draw(): void {
    if (!this.nearness.near) return
    this.tell()
    const { steps } = this.story
    const step = steps[this.at]
    this.root.classList.toggle('empty', !step)
    if (!step) {
      this.count.textContent = 'The steps come with the drop.'
      return
    }
    const { restAtMaximum } = this.store.getState()
    if (this.shown.length === 0 && restAtMaximum) showOnDrop(this.store, step, false)
    const now = [this.story, step.id, this.answers.has(step.id)]
    if (now.every((value, i) => value === this.shown[i])) return
    this.shown = now
    this.fill(step)
  }

  private fill(step: Step): void {
    const { steps } = this.story
    const at = this.at
    const held = this.body.contains(document.activeElement)
    this.count.textContent = `Step ${at + 1} of ${steps.length}`
    this.title.textContent = step.title
    this.previous.disabled = at === 0
    this.next.disabled = at === steps.length - 1
    this.fillDots(at)
    // Where the step is as it was, a guess that is half typed or drawn stays.
    const filled = contentsOf(
      step,
      this.answers.has(step.id),
      at === steps.length - 1 ? this.story.missing : [],
    )
    if (filled === this.filled) return
    const before = this.filledStep === step.id ? this.guess() : null
    const typing = before === document.activeElement
    this.filled = filled
    this.filledStep = step.id
    this.terms.clear()
    this.body.replaceChildren(...this.contents(step))
    if (at === steps.length - 1) this.body.append(...this.missing())
    const typed = this.guess()
    if (typed && before) typed.value = before.value
    if (held) (typing && typed ? typed : this.title).focus({ preventScroll: true })
  }

  /** The box of a question for a number, while it is asked. */
  private guess(): HTMLInputElement | null {
    return this.body.querySelector<HTMLInputElement>('.guess-number input')
  }

  private contents(step: Step): HTMLElement[] {
    const { question } = step
    const asked = el('p', { class: 'explain-question' }, ...this.terms.text(question.text))
    const answer = this.answers.get(step.id)
    if (answer !== undefined)
      return [asked, ...reveal(step, answer, this.terms, () => showOnDrop(this.store, step, true)).parts]
    const show = el(
      'button',
      { type: 'button', class: 'show-me', onclick: () => this.give(step, null) },
      'Show me',
    )
    return [asked, ...askFor(question, (given) => this.give(step, given), show)]
  }

  private missing(): HTMLElement[] {
    return this.story.missing.map((line) => el('p', { class: 'note' }, line))
  }

  private fillDots(at: number): void {
    const { steps } = this.story
    const focused = [...this.dots.querySelectorAll('button')].indexOf(
      document.activeElement as HTMLButtonElement,
    )
    const dots = steps.map(({ title, id }, i) => {
      const done = this.answers.has(id)
      const label = `Step ${i + 1}: ${title}${done ? ' (answered)' : ''}`
      const current = i === at ? { 'aria-current': 'step' } : {}
      return el(
        'li',
        {},
        el(
          'button',
          {
            type: 'button',
            class: done ? 'done' : '',
            title: label,
            'aria-label': label,
            onclick: () => this.go(i),
            ...current,
          },
          String(i + 1),
        ),
      )
    })
    this.dots.replaceChildren(...dots)
    if (focused >= 0) dots[focused]?.querySelector('button')?.focus()
  }

  destroy(): void {
    this.unwatch()
    this.endPresenting()
    this.nearness.destroy()
    this.root.removeEventListener('keydown', this.onKey)
    this.root.replaceChildren()
  }
}

/** Mounts the explanation in `root`. */
export const createSteps = (root: HTMLElement, store: Store): View => new Steps(root, store)
