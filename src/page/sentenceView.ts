/** Shows the sentence, and speaks it once the changes have come to rest. */
import { el, oncePerFrame } from './dom.ts'
import { sentenceOf } from './sentence.ts'
import { type Store, type View, watch } from './store.ts'

/** Silence before the sentence is read out, ms: a dragged slider speaks once. */
const restBeforeSpeaking = 700
const visitedKey = 'rimtide.visited'

/** True on the first visit of this browser; a refused storage counts as a first visit. */
function firstVisit(): boolean {
  try {
    const first = localStorage.getItem(visitedKey) === null
    localStorage.setItem(visitedKey, '1')
    return first
  } catch {
    return true
  }
}

export function createSentence(root: HTMLElement, store: Store): View {
  const text = el('span', { class: 'says' })
  const invitation = el('span', { class: 'invites' })
  const spoken = el('p', { class: 'visually-hidden', 'aria-live': 'polite', id: 'spoken' })
  const caution = el('span', { class: 'warns' })
  root.append(el('p', {}, text, ' ', invitation), caution, spoken)
  let first = firstVisit()
  let timer = 0

  const draw = oncePerFrame(() => {
    const { life, stale } = store.getState()
    root.classList.toggle('stale', stale)
    if (!life) {
      text.textContent = 'The first drop is touching down.'
      return
    }
    const sentence = sentenceOf(life, first)
    text.textContent = sentence.text
    invitation.textContent = sentence.invitation
    caution.textContent = life.status === 'growing' ? '' : life.facts.warnings.join(' ')
    clearTimeout(timer)
    timer = window.setTimeout(() => {
      if (life.status !== 'growing') spoken.textContent = `${sentence.text} ${sentence.invitation}`.trim()
    }, restBeforeSpeaking)
  })
  const unwatch = watch(store, (state) => [state.life, state.stale], draw)
  const unwatchChange = store.subscribe((state, before) => {
    if (state.preset !== before.preset && before.life) first = false
  })
  return {
    destroy() {
      unwatch()
      unwatchChange()
      clearTimeout(timer)
      root.replaceChildren()
    },
  }
}
