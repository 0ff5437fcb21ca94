/** Where curves are found that came in while something else was looked at. */
import { goTo } from '../actions.ts'
import { focusPart } from '../places/show.ts'
import type { Message, Store } from '../store.ts'

/** What to add to a message about curves: where their list is and a way there; nothing where it is in sight. */
export function whereListed(store: Store): { words: string; action?: NonNullable<Message['action']> } {
  if (store.getState().part === 'measured') return { words: '' }
  const run = () => {
    goTo(store, { place: 'data', part: 'measured' })
    focusPart('measured')
  }
  return { words: 'The list of curves is in Data, under Curves.', action: { label: 'Show the list', run } }
}
