/**
 * Exercises with checks: a list on one side, one of them open. Answers are judged by lives that are run for it; nothing is
 * kept of how it went. The user's own drop is kept while an exercise is under way, and comes back by one press.
 */
import './exercises.css'
import { presetToLink } from '../../../life/preset.ts'
import type { Life, Preset } from '../../../life/types.ts'
import { setPreset } from '../../actions.ts'
import { el, freshId } from '../../dom.ts'
import { numberIn } from '../../fields.ts'
import { labelFor } from '../../lives/pins.ts'
import { type Store, type View, watch } from '../../store.ts'
import { TwoCurves } from './curves.ts'
import { EXERCISES, judged, judgedAtOnce } from './list.ts'
import { createLifeQueue, Superseded } from './lives.ts'
import { differing, settingWords } from './tools.ts'
import type { Answered, Exercise, Verdict } from './types.ts'
import { notedUnderWay, noteUnderWay, type UnderWay } from './underWay.ts'

/** The entry of an answer that is not the drop itself. */
interface Entry {
  root: HTMLElement
  read(): Pick<Answered, 'number' | 'choice'>
}

const none = { number: Number.NaN, choice: '' }

function entryOf({ answer }: Exercise, start: Preset, changed: () => void, check: () => void): Entry | null {
  if (answer.kind === 'drop') return null
  const id = freshId('answer')
  if (answer.kind === 'number') {
    const input = el('input', {
      type: 'text',
      inputmode: 'decimal',
      autocomplete: 'off',
      id,
      oninput: changed,
    })
    input.addEventListener('keydown', (event) => {
      if (event.key === 'Enter') check()
    })
    const row = el('span', { class: 'field-row' }, input, el('span', { class: 'unit' }, answer.unit))
    return {
      root: el('div', { class: 'field' }, el('label', { for: id }, answer.label), row),
      read: () => ({ ...none, number: numberIn(input.value) }),
    }
  }
  const options = answer.options(start).map(([value, label]) => {
    const input = el('input', { type: 'radio', name: id, value, onchange: changed })
    return { input, root: el('label', {}, input, el('span', {}, label)) }
  })
  return {
    root: el(
      'fieldset',
      { class: 'choice-frame exercise-choice' },
      el('legend', {}, answer.label),
      ...options.map(({ root }) => root),
    ),
    read: () => ({ ...none, choice: options.find(({ input }) => input.checked)?.input.value ?? '' }),
  }
}

export function createExercises(root: HTMLElement, store: Store): View {
  const queue = createLifeQueue()
  /** Also after a reload: the user's own drop is kept nowhere else. */
  let underWay: UnderWay | null = notedUnderWay()
  let open = EXERCISES.find(({ id }) => id === underWay?.id) ?? EXERCISES[0]!
  let entry: Entry | null = null
  let curves: TwoCurves | null = null
  let drawn: readonly [Life, Life] | null = null
  let checkedFor = ''

  const buttons = EXERCISES.map((exercise, i) => ({
    exercise,
    button: el('button', { type: 'button', onclick: () => choose(exercise) }, `${i + 1}  ${exercise.title}`),
  }))
  const list = el(
    'nav',
    { 'aria-label': 'Exercises' },
    el('ol', { class: 'exercise-list' }, ...buttons.map(({ button }) => el('li', {}, button))),
  )
  const title = el('h3', { tabindex: -1 })
  const task = el('p', { class: 'exercise-task' })
  const sets = el('p', { class: 'note' })
  const begin = el('button', { type: 'button', class: 'main', onclick: () => beginNow() }, 'Begin')
  const check = el('button', { type: 'button', onclick: () => void checkNow() }, 'Check')
  const back = el('button', { type: 'button', onclick: () => putBack() }, 'Put my drop back')
  const place = el('div', { class: 'exercise-place' })
  const hints = el('div', { class: 'exercise-hints' })
  const says = el('p', { class: 'exercise-says', role: 'status' })
  const sheet = el(
    'div',
    { class: 'exercise-open' },
    title,
    task,
    sets,
    place,
    el('div', { class: 'buttons' }, begin, check, back),
    says,
    hints,
  )
  root.classList.add('exercises')
  root.append(
    el('h2', { id: 'exercises-title', tabindex: -1 }, 'Exercises'),
    el(
      'p',
      { class: 'note' },
      'Each answer is checked by running the drop. No score is kept. Your own drop comes back by one press.',
    ),
    el('div', { class: 'exercise-sides' }, list, sheet),
  )

  const own = (): Preset => underWay?.own ?? store.getState().preset
  const mine = (): UnderWay | null => (underWay?.id === open.id ? underWay : null)

  function say(text: string, verdict: '' | 'done' | 'not-yet' = ''): void {
    if (says.textContent !== text) says.textContent = text
    says.className = `exercise-says ${verdict}`
  }

  function choose(exercise: Exercise): void {
    open = exercise
    checkedFor = ''
    queue.all({}).catch(() => {})
    say('')
    build()
    title.focus({ preventScroll: true })
    // In a narrow window it stands under the list, and would open where nobody looks.
    const { bottom } = title.getBoundingClientRect()
    const seen = Math.min(innerHeight, root.parentElement?.getBoundingClientRect().bottom ?? innerHeight)
    if (bottom + title.offsetHeight > seen) sheet.scrollIntoView({ block: 'start' })
  }

  /** All of the open exercise anew. */
  function build(): void {
    curves?.destroy()
    curves = null
    drawn = null
    const start = mine()?.start ?? open.start(own())
    title.textContent = open.title
    task.textContent = open.task(start)
    hints.replaceChildren(
      ...open.hints.map((hint, i) =>
        el('details', {}, el('summary', {}, `Hint ${i + 1}`), el('p', {}, hint)),
      ),
    )
    entry = mine() ? entryOf(open, start, unchecked, () => void checkNow()) : null
    place.replaceChildren(...(entry ? [entry.root] : []))
    for (const { exercise, button } of buttons) {
      if (exercise === open) button.setAttribute('aria-current', 'true')
      else button.removeAttribute('aria-current')
    }
    if (mine()) void drawCurves()
    follow()
  }

  /** What depends on the present drop. */
  function follow(): void {
    const present = store.getState().preset
    const begun = mine()
    const start = begun?.start ?? open.start(own())
    const cannot = open.cannot(start)
    const differ = differing(begun ? present : own(), start)
    begin.textContent = begun ? 'Begin anew' : 'Begin'
    begin.classList.toggle('main', !begun)
    begin.hidden = cannot !== '' || (begun !== null && open.answer.kind === 'drop' && differ.length === 0)
    check.hidden = !begun || cannot !== ''
    check.classList.toggle('main', begun !== null)
    check.textContent = open.answer.kind === 'drop' ? 'Check my drop' : 'Check my answer'
    back.hidden = !underWay || presetToLink(underWay.own) === presetToLink(present)
    if (underWay) back.textContent = `Put my drop back (${labelOf(underWay.own)})`
    task.textContent = open.task(start)
    sets.textContent = cannot || (begun ? '' : setsWords(differ, start))
    sets.classList.toggle('caution', cannot !== '')
    sets.hidden = sets.textContent === ''
    if (checkedFor !== '' && checkedFor !== presetToLink(present)) unchecked()
  }

  const setsWords = (differ: readonly string[], start: Preset): string =>
    differ.length > 0
      ? `Begins with your drop, but ${settingWords(start, differ)}.`
      : 'Begins with your drop as it is.'

  /** The last verdict is of an older answer. */
  function unchecked(): void {
    checkedFor = ''
    if (says.textContent) says.classList.add('old')
  }

  function beginNow(): void {
    const before = own()
    const start = open.start(before)
    underWay = { id: open.id, own: before, start, seed: Math.floor(1e6 * Math.random()) }
    noteUnderWay(underWay)
    if (presetToLink(start) !== presetToLink(store.getState().preset)) setPreset(store, start)
    say('')
    build()
    if (entry) (entry.root.querySelector('input') ?? check).focus()
    else check.focus()
  }

  function putBack(): void {
    if (!underWay) return
    const { own: before } = underWay
    underWay = null
    noteUnderWay(null)
    setPreset(store, before)
    say('Your drop is back.')
    build()
    begin.focus()
  }

  async function drawCurves(): Promise<void> {
    const begun = mine()
    const pair = begun && open.curves?.(begun)
    if (!pair) return
    const figure = el('div', { class: 'plot-holder exercise-curves' })
    place.prepend(figure)
    say('The two drops are being worked out.')
    try {
      const lives = await queue.all({ A: pair[0], B: pair[1] })
      drawn = [lives.A!, lives.B!]
      curves = new TwoCurves(figure)
      curves.show(drawn, store.getState().dark)
      say('')
    } catch (error) {
      if (!(error instanceof Superseded)) say((error as Error).message)
    }
  }

  async function checkNow(): Promise<void> {
    const begun = mine()
    if (!begun) return
    const drop = store.getState().preset
    const answered: Answered = { ...begun, drop, ...(entry?.read() ?? none) }
    const at = judgedAtOnce(open, answered)
    if (at) return tell(at, drop)
    say('Running the drop …')
    try {
      const lives = await queue.all(open.lives(answered), (done, total) => {
        if (total > 3) say(`Running ${total} drops: ${done} done …`)
      })
      tell(judged(open, answered, lives), drop)
    } catch (error) {
      if (!(error instanceof Superseded)) say((error as Error).message)
    }
  }

  function tell({ done, say: text }: Verdict, drop: Preset): void {
    say(`${done ? 'Done. ' : 'Not yet. '}${text}`, done ? 'done' : 'not-yet')
    says.scrollIntoView({ block: 'nearest' })
    checkedFor = presetToLink(drop)
    if (checkedFor !== presetToLink(store.getState().preset)) unchecked()
  }

  build()
  const unwatch = [
    watch(store, ({ preset }) => [preset], follow),
    watch(
      store,
      ({ dark }) => [dark],
      ([dark]) => {
        // The colours are read from the style sheet once the theme has been set.
        requestAnimationFrame(() => drawn && curves?.show(drawn, dark))
      },
    ),
  ]
  return {
    destroy() {
      for (const end of unwatch) end()
      queue.destroy()
      curves?.destroy()
      root.replaceChildren()
    },
  }
}

const labelOf = (preset: Preset): string => labelFor({ preset })
