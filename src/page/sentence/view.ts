/** Shows the sentence; the spoken copy waits until the controls have come to rest. */
import { el, oncePerFrame } from '../dom.ts'
import { type Store, type View, watch } from '../store.ts'
import { reasonFor } from './reason.ts'
import { sentenceOf } from './sentence.ts'

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

/** The first statement, which is all that the strip of a narrow window shows. The point in a number ends none. */
const firstStatement = (words: string): string => /^.*?[.?!](?=\s|$)/s.exec(words)?.[0] ?? words

/** A text whose numbers stay on one line with their thousands and units: no line ends in "about 3" for 3 200. */
const whole = (words: string): (string | HTMLElement)[] =>
  words
    .split(/(\d+(?:\.\d+)?(?: \d{3})*(?: (?:[mµn]m|[mµ]L|min|s|h|%)(?!\w))?)/)
    .map((piece) => (/^\d.* /.test(piece) ? el('span', { class: 'whole' }, piece) : piece))

/** The card with the reason for a ±, and the button in the sentence that opens it. */
function createReason(root: HTMLElement, store: Store) {
  const card = el('div', { class: 'reason', id: 'reason', role: 'group', hidden: true })
  card.setAttribute('aria-label', 'Why ±')
  const button = el('button', { type: 'button', class: 'uncertain', 'aria-controls': card.id })
  const open = (wanted: boolean) => {
    const { life, neighbours } = store.getState()
    const words = wanted && life ? reasonFor(life, neighbours) : []
    card.hidden = words.length === 0
    card.replaceChildren(...words)
    button.setAttribute('aria-expanded', String(!card.hidden))
  }
  const onKey = (event: KeyboardEvent) => {
    if (event.key !== 'Escape' || card.hidden) return
    open(false)
    button.focus()
  }
  const onPointer = (event: Event) => {
    if (!card.hidden && !root.contains(event.target as Node)) open(false)
  }
  button.addEventListener('click', () => open(card.hidden !== false))
  root.addEventListener('keydown', onKey)
  document.addEventListener('pointerdown', onPointer)
  open(false)
  return { card, button, open, end: () => document.removeEventListener('pointerdown', onPointer) }
}

export function createSentence(root: HTMLElement, store: Store): View {
  const text = el('span', { class: 'says' })
  const invitation = el('span', { class: 'invites' })
  const spoken = el('p', { class: 'visually-hidden', 'aria-live': 'polite', id: 'spoken' })
  const caution = el('span', { class: 'warns' })
  const reason = createReason(root, store)
  root.append(el('p', {}, text, ' ', invitation), caution, reason.card, spoken)
  let first = firstVisit()
  let timer = 0

  const trouble = () => store.getState().trouble !== ''

  /** The text, with the ± as a button; left alone while it is the same, so that the button keeps the focus. */
  const write = (words: string, uncertain: string) => {
    if (text.textContent === words && text.contains(reason.button) === (uncertain !== '')) return
    reason.open(false)
    const at = uncertain ? words.indexOf(uncertain) : -1
    reason.button.textContent = uncertain
    const end = trouble() ? words.length : firstStatement(words).length
    const piece = (from: number, to: number) =>
      from <= at && at < to
        ? [...whole(words.slice(from, at)), reason.button, ...whole(words.slice(at + uncertain.length, to))]
        : whole(words.slice(from, to))
    text.replaceChildren(...piece(0, end), el('span', { class: 'more' }, ...piece(end, words.length)))
  }

  const draw = oncePerFrame(() => {
    const { life, stale, neighbours, bottle, trouble } = store.getState()
    root.classList.toggle('stale', stale)
    root.classList.toggle('troubled', trouble !== '')
    if (!life || trouble) {
      write(trouble || 'The first drop is touching down.', '')
      invitation.textContent = ''
      clearTimeout(timer)
      return
    }
    const sentence = sentenceOf(life, first, neighbours, bottle)
    write(sentence.text, sentence.uncertain)
    invitation.textContent = sentence.invitation
    caution.textContent = life.status === 'growing' ? '' : life.facts.warnings.join(' ')
    clearTimeout(timer)
    timer = window.setTimeout(() => {
      if (life.status !== 'growing') spoken.textContent = `${sentence.text} ${sentence.invitation}`.trim()
    }, restBeforeSpeaking)
  })
  const unwatch = watch(
    store,
    (state) => [state.life, state.stale, state.neighbours, state.bottle, state.trouble],
    draw,
  )
  const unwatchChange = store.subscribe((state, before) => {
    if (state.preset !== before.preset && before.life) first = false
  })
  return {
    destroy() {
      unwatch()
      unwatchChange()
      reason.end()
      clearTimeout(timer)
      root.replaceChildren()
    },
  }
}
