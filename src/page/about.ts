/** Cautions and the limits of the model, in plain words. */
import { LIMITS } from '../plan/limits.ts'
import { el } from './dom.ts'
import type { Store, View } from './store.ts'
import { createValidation } from './validation/section.ts'

const cautions = [
  'The rules of your place and the person responsible for the room come first, before anything said here.',
  'Ethanol and the propanols give off vapour that catches fire at room temperature. The danger is the stock bottle, not the drop: close it, keep flames and sparks away, air the room.',
  'Methanol is toxic when drunk, breathed or left on the skin. Choose another alcohol where you can.',
  'Wear eye protection; gloves for methanol and for pure alcohols.',
  'Collect oily alcohol waste in a labelled, closed container; nothing into the sink. Wipe up spilt oil at once, for it makes floors slippery.',
]

const list = (lines: readonly string[]) =>
  el('ul', { class: 'prose' }, ...lines.map((line) => el('li', {}, line)))

/** What can hurt at the bench. */
export function createCautions(root: HTMLElement, _store: Store): View {
  root.append(
    el('h2', { id: 'cautions-title', tabindex: -1 }, 'Cautions'),
    el(
      'p',
      { class: 'caution' },
      'Alcohol vapour is flammable and methanol is toxic. Local rules and the person responsible come first.',
    ),
    list(cautions),
  )
  return { destroy: () => root.replaceChildren() }
}

/** What the model leaves out, and how right it is. */
export function createAbout(root: HTMLElement, _store: Store): View {
  const validation = createValidation()
  root.append(
    el('h2', { id: 'about-title', tabindex: -1 }, 'Limits'),
    el('details', { open: true }, el('summary', {}, 'What the model leaves out'), list(LIMITS)),
    validation.root,
    el('p', { class: 'note' }, 'Nothing that you enter or open leaves this machine.'),
  )
  return {
    destroy() {
      validation.destroy()
      root.replaceChildren()
    },
  }
}
