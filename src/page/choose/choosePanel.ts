/** Which drops: those from which the unknowns of a fit come out best; as a plan on paper, and as rows of the table of runs. */
import '../fit/fit.css'
import './choose.css'
import { offNotice } from '../../life/mechanisms.ts'
import { costOf } from '../../plan/choose/cost.ts'
import { plannedRuns } from '../../plan/choose/runPlan.ts'
import type { Choice, ChooseWish, Cost } from '../../plan/choose/types.ts'
import { goTo, say } from '../actions.ts'
import { el, oncePerFrame } from '../dom.ts'
import { brokeOff } from '../lives/alive.ts'
import { askedClient, type PlanJob } from '../lives/planClient.ts'
import { LongWork } from '../longWork.ts'
import { addPlanned, plannedMeta } from '../measured/plannedRuns.ts'
import { followNearness, type Nearness } from '../near.ts'
import { focusPart } from '../places/show.ts'
import { keyParts } from '../plots/cursorKeys.ts'
import { Figure, plotColours, type Saved } from '../plots/figure.ts'
import { type Store, type View, watch } from '../store.ts'
import { createForm } from './form.ts'
import { errorsPanel, errorsWords } from './plot.ts'
import { resultView } from './result.ts'
import { fillRunPaper } from './runPaper.ts'

const explanation =
  'Which drops tell most about what is not known? Of all that may be put down, those are chosen from which a fit would find the unknowns best; the same drop may come several times. Each is looked at with lives of its own, at several values of the unknowns.'
const ofEarlier = 'This choice is of an earlier drop or of other wishes.'
/** On the body while the plan of runs is what is printed. */
const PRINTED = 'has-run-plan'

interface Made {
  choice: Choice
  wish: ChooseWish
}

class ChoosePanel implements View {
  private made: Made | null = null
  private job: PlanJob<'choose'> | null = null
  private cursor = Number.NaN
  private readonly ask = oncePerFrame(() => this.draw())
  private readonly form = createForm(() => this.follow())
  private readonly cost = el('p', { class: 'note', role: 'status' })
  private readonly controls = new LongWork('Choose the drops', 'Lives run for the choice', {
    begin: () => void this.work(),
    stop: () => this.job?.stop(),
  })
  private readonly says = el('p', { class: 'note', role: 'status' })
  private readonly result = el('div', { class: 'choose-result' })
  private readonly holder = el('div', { class: 'plot-holder choose-plot', hidden: true })
  private readonly pointed = el('p', { class: 'note pointed', hidden: true })
  private readonly print = el('button', { type: 'button' }, 'To the lab sheet: print the plan of runs')
  private readonly toData = el('button', { type: 'button' }, 'To Data: rows to fill in')
  private readonly actions = el('div', { class: 'buttons', hidden: true }, this.print, this.toData)
  private readonly paper = el('div', { class: 'run-paper', id: 'run-paper', 'aria-hidden': 'true' })
  private readonly figure: Figure
  private readonly nearness: Nearness
  private readonly endings: (() => void)[]

  constructor(
    private readonly root: HTMLElement,
    private readonly store: Store,
  ) {
    this.figure = new Figure(this.holder, {
      label: 'Number of drops',
      right: 110,
      top: 17,
      leastHeight: 170,
      saved: () => this.saved(),
      point: (x) => this.moveTo(x),
      resized: this.ask,
    })
    this.figure.area.addEventListener('keydown', (event) => this.onKey(event))
    root.append(
      el('h2', { id: 'choose-title', tabindex: -1 }, 'Which drops'),
      el('p', {}, explanation),
      this.form.root,
      this.cost,
      this.controls.root,
      this.says,
      this.result,
      this.holder,
      this.pointed,
      this.actions,
    )
    document.body.append(this.paper)
    this.print.addEventListener('click', () => this.printNow())
    this.toData.addEventListener('click', () => this.handOver())
    const printed = () => {
      document.body.classList.remove(PRINTED)
      this.paper.replaceChildren()
    }
    window.addEventListener('afterprint', printed)
    this.nearness = followNearness(root, () => this.follow())
    this.endings = [
      watch(
        store,
        ({ preset, dark }) => [preset, dark],
        () => this.follow(),
      ),
      () => this.nearness.destroy(),
      () => this.job?.stop(),
      () => this.figure.destroy(),
      () => window.removeEventListener('afterprint', printed),
      () => this.paper.remove(),
    ]
  }

  private wish(): ChooseWish {
    return this.form.wish(this.store.getState().preset)
  }

  /** What it costs, or what is wrong, beside the form; and whether what is shown is of something else. */
  private follow(): void {
    if (!this.nearness.near) return
    const { preset } = this.store.getState()
    this.form.show(preset)
    const wish = this.wish()
    const priced = costOf(wish)
    const wrong = this.form.wrong(preset)
    const others = this.form.complain(priced.ok ? [] : priced.problems)
    this.cost.textContent = wrong || (priced.ok ? costWords(priced.cost) : others.join(' '))
    this.controls.begin.disabled = !priced.ok || wrong !== ''
    const old = this.made !== null && JSON.stringify(this.made.wish) !== JSON.stringify(wish)
    for (const part of [this.result, this.holder]) part.classList.toggle('old', old)
    if (!this.job) {
      this.controls.offer(this.made ? 'Choose anew' : 'Choose the drops', !this.made || old)
      if (old) this.says.textContent = ofEarlier
      else if (this.says.textContent === ofEarlier) this.says.textContent = ''
    }
    this.ask()
  }

  private async work(): Promise<void> {
    const wish = this.wish()
    this.controls.going(true)
    this.says.textContent = 'Starting …'
    const began = performance.now()
    this.job = askedClient().start('choose', wish, ({ done, total }) => {
      this.controls.done = done / total
      const left = ((performance.now() - began) / done) * (total - done)
      this.says.textContent = `${done} of ${total} lives, about ${timeWords(left)} left.`
    })
    let said = ''
    try {
      const made = await this.job.result
      if (made.ok) this.take({ choice: made.choice, wish })
      else said = made.problems.map(({ message }) => message).join(' ')
    } catch (error) {
      said = brokeOff(error)
    }
    this.job = null
    this.says.textContent = said
    this.controls.going(false)
    this.follow()
  }

  private take(made: Made): void {
    this.made = made
    this.cursor = made.wish.drops
    this.result.replaceChildren(...resultView(made.choice, made.wish.preset))
    this.holder.hidden = false
    this.pointed.hidden = false
    this.actions.hidden = false
  }

  private draw(): void {
    if (!this.made || !this.nearness.near) return
    const { dark } = this.store.getState()
    this.figure.update([errorsPanel(this.made.choice)], plotColours(dark), false)
    this.showCursor()
  }

  private showCursor(): void {
    const { choice } = this.made!
    const words = errorsWords(choice, this.cursor)
    this.figure.setCursor(this.cursor, {})
    this.pointed.textContent = `${words}. Thin dots: as many drops spread evenly. Point at the plot or move with the arrow keys.`
    this.figure.setWords(1, choice.curve.length, this.cursor, words)
  }

  private moveTo(x: number): void {
    if (!this.made) return
    this.cursor = Math.min(Math.max(Math.round(x), 1), this.made.choice.curve.length)
    this.showCursor()
  }

  private onKey(event: KeyboardEvent): void {
    const by = keyParts[event.key]
    if (by === undefined || event.ctrlKey || event.metaKey || event.altKey) return
    event.preventDefault()
    this.moveTo(this.cursor + Math.sign(by))
  }

  private saved(): Saved | null {
    if (!this.made) return null
    const { choice, wish } = this.made
    const { title } = wish.preset
    return {
      panels: [errorsPanel(choice)],
      title: 'Expected error of each unknown over the number of drops',
      subtitle: title,
      notice: offNotice(wish.preset),
      name: `which drops ${title}`,
    }
  }

  private printNow(): void {
    if (!this.made) return
    const { choice, wish } = this.made
    fillRunPaper(this.paper, choice, wish.preset, this.store.getState().bottle)
    document.body.classList.add(PRINTED)
    window.print()
  }

  private handOver(): void {
    if (!this.made) return
    const { choice, wish } = this.made
    const runs = plannedRuns(choice, wish.preset)
    addPlanned(
      this.store,
      runs.map(({ meta }) => plannedMeta(wish.preset, meta)),
    )
    goTo(this.store, { place: 'data', part: 'measured' })
    focusPart('measured')
    const count = runs.length === 1 ? 'One planned run stands' : `${runs.length} planned runs stand`
    say(this.store, 'note', `${count} in the table of runs.`, 'Undo takes them out again.')
  }

  destroy(): void {
    for (const end of this.endings) end()
    this.root.replaceChildren()
  }
}

/** Usual times of a quick and a finer life on one core, ms; wide drops and slow machines take several times as long. */
const USUAL_MS = { quick: 40, finer: 120 }

function costWords({ kinds, combinations, lives }: Cost): string {
  const looked =
    kinds === combinations
      ? `${kinds} kinds of drops`
      : `${kinds} of ${combinations} kinds of drops, evenly spread`
  const time = timeWords(lives * USUAL_MS.quick + kinds * USUAL_MS.finer)
  return `${looked}: ${lives} quick lives and ${kinds} finer ones, about ${time} on one core; with wide drops longer.`
}

/** "40 s", "3 min" */
function timeWords(ms: number): string {
  const s = ms / 1000
  return s < 90 ? `${Math.max(1, Math.ceil(s))} s` : `${Math.ceil(s / 60)} min`
}

export const createChoose = (root: HTMLElement, store: Store): View => new ChoosePanel(root, store)
