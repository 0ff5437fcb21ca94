/** Fit: which inputs bring the lives onto the measured points, how well they are known, and what the points cannot tell. */
import './fit.css'
import { type FitStep, type FitWish, type LifeFit, MOST_UNKNOWNS } from '../../measured/fit/types.ts'
import { numberText } from '../../measured/fit/words.ts'
import { el, keepFocus, oncePerFrame } from '../dom.ts'
import { plain } from '../format.ts'
import { brokeOff } from '../lives/alive.ts'
import { createPlanClient, type PlanJob } from '../lives/planClient.ts'
import { followNearness } from '../near.ts'
import { plotColours } from '../plots/figure.ts'
import type { Panel } from '../plots/model.ts'
import { paperColours } from '../plots/seriesColours.ts'
import { partsChanged } from '../report/parts.ts'
import { lineAt } from '../scaling/models.ts'
import { createPlotView } from '../scaling/plotView.ts'
import { type Store, type View, watch } from '../store.ts'
import { curveStyle } from '../theme.ts'
import { createChoices } from './choices.ts'
import { createKept } from './kept.ts'
import {
  type FitCurve,
  livesOfFit,
  livesOfStep,
  radiusPanel,
  residualPanel,
  type ShownLives,
} from './model.ts'
import { offerFit } from './reportPart.ts'
import { resultView } from './result.ts'
import { changedSince } from './since.ts'
import { stillStated, takeOver } from './takeOver.ts'

const STAGES: Record<FitStep['stage'], string> = {
  scan: 'Looking for a start',
  approach: 'Approaching with quick lives',
  finish: 'Finishing with lives of the drop’s accuracy',
  check: 'Checking with finer lives',
}

const OF_EARLIER = 'This fit is of an earlier drop or of other points.'

/** A fit that is under way or over, with what it is of. */
interface Shown {
  wish: FitWish
  lives: ShownLives
  fit: LifeFit | null
}

/** The measured points or the life nearest to x, in words. */
function valuesAt(panel: Panel, x: number): { short: string; full: string } {
  const at = `at ${plain(x)} s`
  const told = panel.lines
    .filter(({ key }) => key !== 'zero')
    .map((line) => [line.label, line.kind === 'line' ? lineAt(line, x) : nearest(line, x, panel)] as const)
    .filter(([, y]) => !Number.isNaN(y))
    .map(([label, y]) => `${label} ${plain(y)} mm`)
  return {
    short: told.length > 0 && told.length < 3 ? `${at}: ${told.join(', ')}` : at,
    full: [at, ...told].join(', '),
  }
}

/** y of the point next to x, if it is near enough to be meant. */
function nearest({ x: xs, y }: Panel['lines'][number], x: number, { xMin, xMax }: Panel): number {
  let best = -1
  for (let i = 0; i < xs.length; i++) {
    if (best < 0 || Math.abs(xs[i]! - x) < Math.abs(xs[best]! - x)) best = i
  }
  return best >= 0 && Math.abs(xs[best]! - x) < 0.02 * (xMax - xMin) ? y[best]! : Number.NaN
}

export function createFit(root: HTMLElement, store: Store): View {
  const client = createPlanClient()
  const ask = oncePerFrame(draw)
  const choices = createChoices(ask)
  const kept = createKept(ask)
  const scan = el('input', { type: 'checkbox' })
  const begin = el('button', { type: 'button', class: 'main', id: 'fit-begin' }, 'Fit')
  const stop = el('button', { type: 'button', hidden: true }, 'Stop')
  const busy = el('progress', { hidden: true, 'aria-label': 'The fit is under way' })
  const says = el('p', { class: 'note fit-says', role: 'status' })
  const empty = el(
    'p',
    { class: 'note' },
    'There are no measured curves yet. Load some above, under “Measured”.',
  )
  const take = el('button', { type: 'button' }, 'Take these values over into the drop')
  const keep = el('button', { type: 'button' }, 'Keep this result for comparison')
  const figures = el('div', { class: 'fit-result' })
  const actions = el('div', { class: 'buttons', hidden: true }, take, keep)
  let shown: Shown | null = null
  let job: PlanJob<'fit'> | null = null

  const title = () => store.getState().preset.title || 'Fit'
  const radius = createPlotView({
    label: 'Time along the fitted radius',
    start: 0.5,
    resized: ask,
    saved: () =>
      shown
        ? {
            panels: [radiusPanel(curvesOf(shown), shown.lives)],
            title: title(),
            subtitle: 'Measured radii and fitted lives',
            name: 'fit',
          }
        : null,
    values: valuesAt,
  })
  const residual = createPlotView({
    label: 'Time along the residuals',
    start: 0.5,
    resized: ask,
    saved: () =>
      shown?.fit
        ? {
            panels: [residualPanel(shown.fit, curvesOf(shown), paperColours.ink)],
            title: title(),
            subtitle: 'Residuals, measured minus life, ± 1 σ',
            name: 'residuals',
          }
        : null,
    values: valuesAt,
  })
  const plots = el('div', { class: 'fit-plots', hidden: true }, radius.root, residual.root)
  const form = el(
    'div',
    { class: 'fit-result' },
    choices.root,
    el(
      'label',
      { class: 'fit-choice' },
      scan,
      'Look for a start far and wide first (it is done by itself where the drop is far off)',
    ),
    el('div', { class: 'buttons' }, begin, stop, busy),
  )
  root.append(
    el('h2', { id: 'fit-title', tabindex: -1 }, 'Fit'),
    el(
      'p',
      {},
      'Which inputs would bring the life onto the measured points? Each step runs lives of the present drop; what a curve states about its own drop (strength, volume, depth, temperature) holds for it.',
    ),
    empty,
    form,
    says,
    plots,
    figures,
    actions,
    kept.root,
  )

  function curvesOf({ wish }: Shown): FitCurve[] {
    const { measured } = store.getState()
    return wish.curves.map((curve, i) => {
      const at = measured.findIndex(({ id }) => id === curve.id)
      return { curve, style: curveStyle(measured[at] ?? curve, at < 0 ? i : at) }
    })
  }

  function wished(): FitWish {
    const state = store.getState()
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
      scan: scan.checked ? 'always' : 'auto',
    }
  }

  function working(on: boolean): void {
    const change = () => {
      begin.hidden = on
      stop.hidden = !on
      busy.hidden = !on
    }
    keepFocus([begin, stop], change, () => (on ? stop : begin))
    root.dataset.fit = on ? 'working' : 'done'
  }

  async function work(): Promise<void> {
    const wish = wished()
    const mine: Shown = { wish, lives: new Map(), fit: null }
    shown = mine
    figures.replaceChildren()
    working(true)
    says.textContent = 'Starting …'
    const started = performance.now()
    job = client.start('fit', wish, (step) => {
      mine.lives = livesOfStep(step)
      says.textContent = progressText(step, wish)
      ask()
    })
    try {
      const outcome = await job.result
      if (outcome.ok) {
        mine.fit = outcome.fit
        mine.lives = livesOfFit(outcome.fit)
        figures.replaceChildren(...resultView(outcome.fit))
        const took = `${plain((performance.now() - started) / 1e3, 2)} s`
        says.textContent = outcome.fit.stopped
          ? `Stopped after ${took}: the best so far.`
          : `Done in ${took}.`
      } else {
        says.textContent = outcome.problems.map(({ message }) => message).join(' ')
      }
    } catch (error) {
      says.textContent = brokeOff(error, 'The fit')
    }
    job = null
    working(false)
    partsChanged()
    ask()
  }

  function progressText({ stage, lives, sumOfSquares }: FitStep, { curves }: FitWish): string {
    const given = curves.every(({ uncertainty }) => uncertainty?.every((sigma) => sigma > 0))
    const sum = given
      ? `χ² ${numberText(sumOfSquares, 4)}`
      : `sum of squares ${numberText(1e6 * sumOfSquares, 4)} mm²`
    return `${STAGES[stage]}: ${lives} lives, ${sum}.`
  }

  /** What has changed since the shown fit was begun; '' if it is of the present drop and curves, or still under way. */
  const sinceThen = ({ wish }: Shown): string => (job ? '' : changedSince(wish, store.getState()))

  function draw(): void {
    if (!nearness.near) return
    const state = store.getState()
    const any = state.measured.some(({ id }) => !state.hidden.has(id))
    empty.hidden = any
    form.hidden = !any
    choices.show(state)
    const count = choices.unknowns(state).length
    begin.disabled = count < 1 || count > MOST_UNKNOWNS || choices.curves(state).length === 0
    plots.hidden = shown === null || shown.lives.size === 0
    actions.hidden = !shown?.fit
    if (!shown) return
    const since = sinceThen(shown)
    figures.classList.toggle('old', since !== '')
    keep.disabled = !shown.fit || kept.has(shown.fit)
    if (since && shown.fit) says.textContent = `${OF_EARLIER} Changed since: ${since}.`
    else if (says.textContent?.startsWith(OF_EARLIER)) says.textContent = ''
    if (plots.hidden) return
    const colours = plotColours(state.dark)
    radius.show(radiusPanel(curvesOf(shown), shown.lives), colours, [])
    residual.root.hidden = !shown.fit
    if (shown.fit) residual.show(residualPanel(shown.fit, curvesOf(shown), colours.ink), colours, [])
  }

  begin.addEventListener('click', () => void work())
  stop.addEventListener('click', () => job?.stop())
  keep.addEventListener('click', () => {
    if (shown?.fit) kept.keep(shown.fit)
  })
  take.addEventListener('click', () => {
    if (!shown?.fit) return
    const { wish, fit } = shown
    says.textContent =
      takeOver(store, fit) ||
      `The drop has the fitted values now. Undo brings the last ones back.${stillStated(store.getState().preset, wish.curves, fit)}`
  })
  const takeBack = offerFit(() =>
    shown?.fit ? { fit: shown.fit, curves: curvesOf(shown), since: sinceThen(shown) } : null,
  )
  const nearness = followNearness(root, ask)
  const unwatch = watch(store, ({ preset, measured, hidden, dark }) => [preset, measured, hidden, dark], ask)
  return {
    destroy() {
      unwatch()
      takeBack()
      nearness.destroy()
      job?.stop()
      client.destroy()
      radius.destroy()
      residual.destroy()
      root.replaceChildren()
    },
  }
}
