/** Where nothing is to be seen yet: one line that says what will be, and ways to begin. */
import { goTo } from './actions.ts'
import { el } from './dom.ts'
import { loadDemo } from './measured/demo.ts'
import { focusPart } from './places/show.ts'
import type { Store } from './store.ts'

/** @param text what will be shown here, and of what */
export function createInvitation(store: Store, text: string): HTMLElement {
  const toCurves = () => {
    goTo(store, { place: 'data', part: 'measured' })
    focusPart('measured')
  }
  const button = (words: string, act: () => void) => el('button', { type: 'button', onclick: act }, words)
  return el(
    'div',
    { class: 'invitation' },
    el('p', {}, text),
    el(
      'div',
      { class: 'buttons' },
      button('Begin with invented demo data', () => void loadDemo(store)),
      button('Bring in your own curves', toCurves),
    ),
  )
}
