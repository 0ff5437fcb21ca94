/** Fit: which inputs bring the lives onto the measured points, how well they are known, and what the points cannot tell. */
import './fit.css'
import { type FitWish, MOST_UNKNOWNS } from '../../measured/fit/types.ts'
import { widened } from '../../measured/fit/widened.ts'
import { el, keepFocus, oncePerFrame } from '../dom.ts'
import { plain } from '../format.ts'
import { createInvitation } from '../invitation.ts'
import { brokeOff } from '../lives/alive.ts'
import { createPlanClient, type PlanJob } from '../lives/planClient.ts'
import { followNearness, type Nearness } from '../near.ts'
import { plotColours } from '../plots/figure.ts'
import { partsChanged } from '../report/parts.ts'
import { type State, type Store, type View, watch } from '../store.ts'
import { createChoices } from './choices.ts'
import { fitShelf } from './fitShelf.ts'
import { livesOfFit, livesOfStep } from './fitViews.ts'
import { createKept } from './kept.ts'
import { createFitPlots, curvesOf, type FitPlots, type Shown } from './plots.ts'
import { createProfiles } from './profilePart.ts'
import { progressText } from './progress.ts'
import { offerFit, type ShownFit } from './reportPart.ts'
import { resultView } from './result.ts'
import { changedSince } from './since.ts'
import { stillStated, takeOver } from './takeOver.ts'

const explanation =
  'Which inputs would bring the life onto the measured points? Each step computes lives of the present drop. A curve that states its own strength, volume, oil, depth, temperature or humidity is compared with a drop that has them.'
const invitation =
  'Measured curves are needed first. Then you see here the fitted values with their errors, the fitted lives over the points, and what is left over.'
const wideSearch = 'Search widely for a start first (automatic when the first guess is poor)'
const ofEarlier = 'This fit is of an earlier drop or of other points.'

class FitPanel implements View {
  private shown: Shown | null = null
  private job: PlanJob<'fit'> | null = null
  /** Errors are shown × √χ²ν. */
  private wide = false
  private readonly client = createPlanClient()
  private readonly shelf = fitShelf()
  private readonly ask = oncePerFrame(() => this.draw())
  private readonly choices = createChoices(this.ask)
  private readonly kept = createKept(() => {
    this.write()
    this.ask()
  })
  private readonly profiles = createProfiles(this.client, partsChanged)
  private readonly scan = el('input', { type: 'checkbox' })
  private readonly begin = el('button', { type: 'button', class: 'main', id: 'fit-begin' }, 'Fit')
  private readonly stop = el('button', { type: 'button', hidden: true }, 'Stop')
  private readonly busy = el('progress', { hidden: true, 'aria-label': 'The fit is under way' })
  private readonly says = el('p', { class: 'note fit-says', role: 'status' })
  private readonly takeButton = el('button', { type: 'button' }, 'Take these values over into the drop')
  private readonly keepButton = el('button', { type: 'button' }, 'Keep this result for comparison')
  private readonly figures = el('div', { class: 'fit-result' })
  private readonly actions = el('div', { class: 'buttons', hidden: true }, this.takeButton, this.keepButton)
  private readonly form = el(
    'div',
    { class: 'fit-result' },
    this.choices.root,
    el('label', { class: 'fit-choice' }, this.scan, wideSearch),
    el('div', { class: 'buttons' }, this.begin, this.stop, this.busy),
  )
  private readonly empty: HTMLElement
  private readonly plots: FitPlots
  private readonly nearness: Nearness
  private readonly endings: (() => void)[]

  constructor(
    private readonly root: HTMLElement,
    private readonly store: Store,
  ) {
    this.empty = createInvitation(store, invitation)
    this.plots = createFitPlots(store, () => this.shown, this.ask)
    this.layOut()
    this.begin.addEventListener('click', () => void this.work())
    this.stop.addEventListener('click', () => this.job?.stop())
    this.keepButton.addEventListener('click', () => {
      if (this.shown?.fit) this.kept.keep(this.shown.fit)
    })
    this.takeButton.addEventListener('click', () => this.takeOver())
    const endPart = offerFit(() => this.reported())
    void this.takeUp()
    this.nearness = followNearness(root, this.ask)
    this.endings = [
      watch(store, ({ preset, measured, hidden, dark }) => [preset, measured, hidden, dark], this.ask),
      endPart,
      () => this.nearness.destroy(),
      () => this.job?.stop(),
      () => this.profiles.stop(),
      () => this.client.destroy(),
      () => this.plots.destroy(),
    ]
  }

  private layOut(): void {
    this.root.append(
      el('h2', { id: 'fit-title', tabindex: -1 }, 'Fit'),
      el('p', {}, explanation),
      this.empty,
      this.form,
      this.says,
      this.plots.root,
      this.figures,
      this.profiles.root,
      this.actions,
      this.kept.root,
    )
  }

  private wished(): FitWish {
    const { choices } = this
    const state = this.store.getState()
    const ids = choices.curves(state)
    const unknowns = choices.unknowns(state)
    const limits = Object.fromEntries(
      Object.entries(choices.limits()).filter(([path]) => unknowns.includes(path)),
    )
    return {
      preset: state.preset,
      curves: state.measured.filter(({ id }) => ids.includes(id)),
      unknowns,
      limits,
      priors: choices.priors(state),
      scan: this.scan.checked ? 'always' : 'auto',
    }
  }

  private async work(): Promise<void> {
    const wish = this.wished()
    const mine: Shown = { wish, lives: new Map(), fit: null }
    this.shown = mine
    this.figures.replaceChildren()
    this.wide = false
    this.showResult()
    this.working(true)
    this.says.textContent = 'Starting …'
    const started = performance.now()
    this.job = this.client.start('fit', wish, (step) => {
      mine.lives = livesOfStep(step)
      this.says.textContent = progressText(step, wish)
      this.ask()
    })
    try {
      await this.finish(mine, this.job, started)
    } catch (error) {
      this.says.textContent = brokeOff(error, 'The fit')
    }
    this.job = null
    this.working(false)
    partsChanged()
    this.ask()
  }

  private async finish(mine: Shown, job: PlanJob<'fit'>, started: number): Promise<void> {
    const outcome = await job.result
    if (!outcome.ok) {
      this.says.textContent = outcome.problems.map(({ message }) => message).join(' ')
      return
    }
    mine.fit = outcome.fit
    mine.lives = livesOfFit(outcome.fit)
    this.showResult()
    this.write()
    const took = `${plain((performance.now() - started) / 1e3, 2)} s`
    this.says.textContent = outcome.fit.stopped
      ? `Stopped after ${took}: the best so far.`
      : `Done in ${took}.`
  }

  private working(on: boolean): void {
    const { begin, stop, busy } = this
    const change = () => {
      begin.hidden = on
      stop.hidden = !on
      busy.hidden = !on
    }
    keepFocus([begin, stop], change, () => (on ? stop : begin))
    this.root.dataset.fit = on ? 'working' : 'done'
  }

  private showResult(): void {
    const { shown, figures } = this
    const fit = shown?.fit
    this.profiles.show(shown && fit ? { wish: shown.wish, fit } : null)
    if (!fit) return
    const focused = document.activeElement?.id === 'fit-wide'
    figures.replaceChildren(
      ...resultView(fit, this.wide, (on) => {
        this.wide = on
        this.showResult()
        this.write()
        partsChanged()
      }),
    )
    if (focused) figures.querySelector<HTMLElement>('#fit-wide')?.focus()
  }

  /** Writes what is shown and kept; what cannot be written is told. */
  private write(): void {
    const of = this.shown?.fit ? { wish: this.shown.wish, fit: this.shown.fit } : null
    const record = { format: 1, shown: of, ...this.kept.all(), wide: this.wide } as const
    this.shelf.write(record).catch((error: unknown) => {
      this.says.textContent = `This fit cannot be kept in this browser (${error instanceof Error ? error.message : String(error)}): a reload loses it.`
    })
  }

  /** What the last visit left, unless something has been fitted meanwhile. */
  private async takeUp(): Promise<void> {
    const record = await this.shelf.read().catch(() => null)
    if (!record) return
    this.kept.restore(record)
    if (record.shown && !this.shown) {
      const { wish, fit } = record.shown
      this.wide = record.wide
      this.shown = { wish, fit, lives: livesOfFit(fit) }
      this.says.textContent = 'The fit of the last visit.'
      this.showResult()
    }
    partsChanged()
    this.ask()
  }

  private takeOver(): void {
    if (!this.shown?.fit) return
    const { wish, fit } = this.shown
    this.says.textContent =
      takeOver(this.store, fit) ||
      `The drop has the fitted values now. Undo brings the last ones back.${stillStated(this.store.getState().preset, wish.curves, fit)}`
  }

  /** What has changed since the shown fit was begun; '' if it is of the present drop and curves, or still under way. */
  private sinceThen({ wish }: Shown): string {
    return this.job ? '' : changedSince(wish, this.store.getState())
  }

  private reported(): ShownFit | null {
    const { shown, wide } = this
    if (!shown?.fit) return null
    return {
      fit: wide ? widened(shown.fit) : shown.fit,
      curves: curvesOf(shown, this.store),
      since: this.sinceThen(shown),
      wide,
      profiles: this.profiles.found(),
    }
  }

  private draw(): void {
    if (!this.nearness.near) return
    const state = this.store.getState()
    this.drawForm(state)
    this.actions.hidden = !this.shown?.fit
    if (this.shown) this.drawAge(this.shown)
    this.plots.show(this.shown, plotColours(state.dark))
  }

  private drawForm(state: State): void {
    const any = state.measured.some(({ id }) => !state.hidden.has(id))
    this.empty.hidden = any
    this.form.hidden = !any
    this.choices.show(state)
    const count = this.choices.unknowns(state).length
    const none = this.choices.curves(state).length === 0
    this.begin.disabled = count < 1 || count > MOST_UNKNOWNS || none || this.choices.wrong(state)
  }

  /** Marks a fit of another drop or of other points. */
  private drawAge(shown: Shown): void {
    const since = this.sinceThen(shown)
    this.figures.classList.toggle('old', since !== '')
    this.keepButton.disabled = !shown.fit || this.kept.has(shown.fit)
    if (since && shown.fit) this.says.textContent = `${ofEarlier} Changed since: ${since}.`
    else if (this.says.textContent?.startsWith(ofEarlier)) this.says.textContent = ''
  }

  destroy(): void {
    for (const end of this.endings) end()
    this.root.replaceChildren()
  }
}

export const createFit = (root: HTMLElement, store: Store): View => new FitPanel(root, store)
