/** Puts a view into its place in the page. */
import { must } from '../dom.ts'
import type { Store, View } from '../store.ts'

export type Create = (root: HTMLElement, store: Store) => View

function leaveNote(root: HTMLElement, error: unknown): void {
  console.warn(`The view #${root.id} could not be made.`, error)
  const note = document.createElement('p')
  note.className = 'panel-failure'
  note.textContent = 'This part of the page could not be drawn in this browser. The other parts go on.'
  root.replaceChildren(note)
}

/** A view that cannot be made (no WebGL, say) leaves a note in its place and the rest of the page alone. */
export function mount(id: string, store: Store, create: Create): void {
  const root = must(id)
  try {
    create(root, store)
  } catch (error) {
    leaveNote(root, error)
  }
}

/** A view whose code is large comes after the others: what they show of the first life does not wait for it. */
export async function mountLater(id: string, store: Store, load: () => Promise<Create>): Promise<void> {
  try {
    mount(id, store, await load())
  } catch (error) {
    leaveNote(must(id), error)
  }
}
