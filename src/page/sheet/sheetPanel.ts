/** Lab sheet: made from the present drop and the bottle at hand, shown, printed. */

import type { SheetRun } from '../../plan/sheet/sheetOf.ts'
import type { LabSheet } from '../../plan/sheet/types.ts'
import { setBottle, setPreset } from '../actions.ts'
import { el, must } from '../dom.ts'
import { numberField } from '../fields.ts'
import { brokeOff } from '../lives/alive.ts'
import { askedClient, type PlanJob } from '../lives/planClient.ts'
import { type Bottle, shortStrength } from '../recipe/bottle.ts'
import { type State, type Store, type View, watch } from '../store.ts'
import { fillPaper } from './paper.ts'

/** Everything that a sheet depends on; two states with equal words give the same sheet. */
const basisOf = ({ preset, bottle }: Pick<State, 'preset' | 'bottle'>): string => {
  const { want: _, ...used } = bottle
  return JSON.stringify([preset, used])
}

const bottleWords = ({ stock, mixture_mL }: Bottle): string =>
  `The bottle (${shortStrength(stock)}) and the amount (${mixture_mL} mL) are those of the recipe; the strength is that of the drop.`

/** The title that stands on the sheet: that of the preset. */
function titleField(store: Store): { root: HTMLElement; show(title: string): void } {
  const input = el('input', { type: 'text', id: 'sheet-name', maxlength: 200, autocomplete: 'off' })
  input.addEventListener('input', () =>
    setPreset(store, { ...store.getState().preset, title: input.value }, 'title'),
  )
  return {
    root: el(
      'div',
      { class: 'field sheet-name' },
      el('label', { for: input.id }, 'Title of the drop'),
      input,
    ),
    show(title) {
      if (document.activeElement !== input) input.value = title
    },
  }
}

export function createSheet(root: HTMLElement, store: Store): View {
  const frames = numberField({
    label: 'Pictures from touch-down to the end',
    id: 'sheet-frames',
    set: (value) => setBottle(store, { frames: value }),
  })
  const pixels = numberField({
    label: 'Pixels across the shorter side',
    id: 'sheet-pixels',
    set: (value) => setBottle(store, { pixels: value }),
  })
  const title = titleField(store)
  const basis = el('p', { class: 'note' })
  const make = el('button', { type: 'button', class: 'main' }, 'Make the lab sheet')
  const stop = el('button', { type: 'button', hidden: true }, 'Stop')
  const print = el('button', { type: 'button', hidden: true }, 'Print the lab sheet')
  const bar = el('progress', { max: 1, value: 0, hidden: true, 'aria-label': 'Lives run for the lab sheet' })
  const says = el('p', { role: 'status' })
  const preview = el('div', { class: 'paper paper-shown', hidden: true })
  const paper = must('paper')
  let job: PlanJob<'sheet'> | null = null
  let madeFor = ''

  root.append(
    el('h2', { id: 'sheet-title', tabindex: -1 }, 'Lab sheet'),
    el(
      'p',
      {},
      'One page for the bench: cautions, recipe, dish, what to expect, camera. Local rules and the person responsible for the lab come first.',
    ),
    basis,
    el('div', { class: 'form' }, title.root, frames.root, pixels.root),
    el('div', { class: 'buttons' }, make, stop, print, bar),
    says,
    preview,
  )

  function working(on: boolean): void {
    make.hidden = on
    stop.hidden = !on
    bar.hidden = !on
    if (on) bar.value = 0
  }

  function show(sheet: LabSheet): void {
    const { life, stale, neighbours } = store.getState()
    const current = life && !stale && life.status === 'done' ? life : null
    for (const place of [preview, paper]) fillPaper(place, sheet, current, neighbours.envelope)
    preview.hidden = false
    paper.hidden = false
    print.hidden = false
    document.body.classList.add('has-paper')
  }

  /** Puts the answer on the page; gives back what is to be said. */
  function take(run: SheetRun, of: string): string {
    if (run.ok) {
      madeFor = of
      show(run.sheet)
      return ''
    }
    if ('stopped' in run) return 'Stopped.'
    const at = (where: string) => run.problems.find((p) => p.where === where)?.message ?? ''
    frames.complain(at('frames'))
    pixels.complain(at('pixels'))
    return run.problems.map(({ message }) => message).join(' ')
  }

  async function begin(): Promise<void> {
    const { preset, bottle, neighbours, stale } = store.getState()
    const of = basisOf({ preset, bottle })
    const { stock, mixture_mL, pipette, frames: count, pixels: across } = bottle
    frames.complain('')
    pixels.complain('')
    says.textContent = 'Computing the life, the lives beside it and the smallest dish.'
    working(true)
    job = askedClient().start(
      'sheet',
      {
        preset,
        options: {
          stock,
          mixture_mL,
          pipette,
          frames: count,
          pixels: across,
          fingers: stale ? null : neighbours.fingers,
        },
      },
      ({ done, total }) => {
        bar.value = done / total
      },
    )
    try {
      says.textContent = take(await job.result, of)
    } catch (error) {
      says.textContent = brokeOff(error)
    }
    job = null
    working(false)
    follow()
  }

  /** Words beside the button, and a warning on a sheet that is not of the present drop. */
  function follow(): void {
    const state = store.getState()
    title.show(state.preset.title)
    frames.show(state.bottle.frames)
    pixels.show(state.bottle.pixels)
    basis.textContent = bottleWords(state.bottle)
    const old = madeFor !== '' && madeFor !== basisOf(state)
    preview.classList.toggle('old', old)
    print.disabled = old
    if (!job) {
      make.textContent =
        madeFor === '' ? 'Make the lab sheet' : old ? 'Make it for the present drop' : 'Make it again'
      make.classList.toggle('main', madeFor === '' || old)
      print.classList.toggle('main', !old)
      if (old) says.textContent = 'This sheet is of an earlier drop or bottle.'
      else if (says.textContent?.startsWith('This sheet is of')) says.textContent = ''
    }
    document.body.classList.toggle('has-paper', madeFor !== '' && !old)
  }

  make.addEventListener('click', () => void begin())
  stop.addEventListener('click', () => job?.stop())
  print.addEventListener('click', () => window.print())
  const unwatch = watch(store, (state) => [state.preset, state.bottle], follow)
  return {
    destroy() {
      unwatch()
      job?.stop()
      root.replaceChildren()
      paper.replaceChildren()
    },
  }
}
