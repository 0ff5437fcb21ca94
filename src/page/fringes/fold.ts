/** The fold in which thicknesses are read from fringes; its work is fetched when it is opened for the first time. */
import { el } from '../dom.ts'
import type { Store, View } from '../store.ts'
import type { SessionStore } from '../video/session.ts'

export function createFringesFold(root: HTMLElement, store: Store, session: SessionStore): View {
  const body = el('div', { class: 'fringes-body' })
  const fold = el('details', { class: 'fringes' }, el('summary', {}, 'Thickness from fringes'), body)
  let view: View | null = null
  let asked = false
  let gone = false
  const fetchPanel = async () => {
    if (asked) return
    asked = true
    try {
      const { createFringes } = await import('./fringesPanel.ts')
      if (gone) return
      body.replaceChildren()
      view = createFringes(body, store, session)
    } catch (error) {
      asked = false
      console.warn('The reading of fringes could not be fetched.', error)
      body.replaceChildren(
        el('p', {}, 'This part of the page could not be fetched.'),
        el('button', { type: 'button', onclick: () => void fetchPanel() }, 'Try again'),
      )
    }
  }
  fold.addEventListener('toggle', () => {
    if (fold.open) void fetchPanel()
  })
  root.append(fold)
  return {
    destroy() {
      gone = true
      view?.destroy()
      fold.remove()
    },
  }
}
