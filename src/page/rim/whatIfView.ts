/** The buttons of the what-ifs. Each begins from the drop as the user set it, so that changes do not pile up unasked. */
import { keepVariant, say, tryVariant } from '../actions.ts'
import { el } from '../dom.ts'
import { pinOf } from '../lives/pins.ts'
import { type Store, watch } from '../store.ts'
import { baseOf, besideWords, QUESTIONS, type Question, variantOf } from './whatIf.ts'

/** Takes a change; its button pressed again takes it back. */
function ask(question: Question, store: Store): void {
  const state = store.getState()
  const base = baseOf(state)
  if (state.whatIf?.name === question.name) {
    tryVariant(store, base, null, null)
    return
  }
  const variant = variantOf(base, question)
  if (!variant) return
  // During another what-if the drop as set is a ghost already.
  const pin = state.stale || state.whatIf ? null : pinOf(state)
  tryVariant(store, variant, { name: question.name, base }, pin)
  say(
    store,
    'note',
    question.name,
    pin ? 'The last life stays as a ghost. Undo brings it back.' : 'Undo brings the last drop back.',
  )
}

export function createWhatIfs(store: Store): { root: HTMLElement; destroy(): void } {
  const buttons = QUESTIONS.map((question) => ({
    question,
    button: el('button', { type: 'button', onclick: () => ask(question, store) }, question.name),
  }))
  const beside = el('p', { role: 'status' })
  const back = el(
    'button',
    { type: 'button', onclick: () => tryVariant(store, baseOf(store.getState()), null, null) },
    'Back to the drop as set',
  )
  const keep = el(
    'button',
    { type: 'button', onclick: () => keepVariant(store) },
    'Go on from the changed drop',
  )
  const choice = el('div', { class: 'buttons' }, back, keep)
  const root = el(
    'div',
    { class: 'what-ifs' },
    el('div', { class: 'buttons' }, ...buttons.map(({ button }) => button)),
    beside,
    choice,
  )
  const unwatchPreset = watch(
    store,
    ({ preset, whatIf }) => [preset, whatIf],
    (_, state) => {
      const base = baseOf(state)
      for (const { question, button } of buttons) {
        button.hidden = variantOf(base, question) === null
        button.setAttribute('aria-pressed', String(state.whatIf?.name === question.name))
      }
      choice.hidden = state.whatIf === null
    },
  )
  const unwatchLives = watch(
    store,
    ({ whatIf, life, stale, pins }) => [whatIf, life, stale, pins],
    (_, state) => {
      const words = besideWords(state)
      if (beside.textContent !== words) beside.textContent = words
      beside.hidden = words === ''
    },
  )
  return {
    root,
    destroy() {
      unwatchPreset()
      unwatchLives()
    },
  }
}
