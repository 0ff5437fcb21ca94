/** The glossary as a list, and its words inside texts. */
import { el, freshId } from '../dom.ts'
import type { Store, View } from '../store.ts'
import { type Entry, GLOSSARY, piecesOf } from './glossary.ts'
import './explain.css'

export interface Terms {
  /** Where an opened entry appears. */
  note: HTMLElement
  /** A text whose words of the glossary are buttons. */
  text(words: string): Node[]
  /** Begins anew: every word is marked once more. */
  clear(): void
}

/** The words of one step: a button opens its entry in the note, Escape or the button closes it. */
export function createTerms(): Terms {
  const id = freshId('term')
  const note = el('div', { class: 'term-note', id, role: 'status' })
  const seen = new Set<string>()
  let opened: HTMLButtonElement | null = null
  const close = () => {
    opened?.setAttribute('aria-expanded', 'false')
    opened = null
    note.replaceChildren()
  }
  const open = (button: HTMLButtonElement, entry: Entry) => {
    const again = opened === button
    close()
    if (again) return
    opened = button
    button.setAttribute('aria-expanded', 'true')
    note.append(el('p', {}, el('strong', {}, `${entry.term}: `), entry.text))
  }
  const termOf = (text: string, entry: Entry): HTMLElement => {
    const button: HTMLButtonElement = el(
      'button',
      {
        type: 'button',
        class: 'term',
        'aria-expanded': 'false',
        'aria-controls': id,
        onclick: () => open(button, entry),
        onkeydown: (event: KeyboardEvent) => {
          if (event.key !== 'Escape' || !opened) return
          event.stopPropagation()
          close()
        },
      },
      text,
    )
    return button
  }
  return {
    note,
    text: (words) =>
      piecesOf(words, seen).map(({ text, entry }) =>
        entry ? termOf(text, entry) : document.createTextNode(text),
      ),
    clear() {
      close()
      seen.clear()
    },
  }
}

/** The whole glossary. The store is that of every view; nothing here depends on it. */
export function createGlossary(root: HTMLElement, _store: Store): View {
  const sorted = [...GLOSSARY].sort((a, b) => a.term.localeCompare(b.term, 'en'))
  const list = el('dl', { class: 'glossary' })
  for (const { id, term, text } of sorted)
    list.append(el('div', { id: `word-${id}` }, el('dt', {}, term), el('dd', {}, text)))
  root.append(el('h2', { id: 'glossary-title', tabindex: -1 }, 'Words'), list)
  return { destroy: () => root.replaceChildren() }
}
