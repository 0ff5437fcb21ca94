/** Cautions and the limits of the model, in plain words. */
import { LIMITS } from '../plan/limits.ts'
import { el } from './dom.ts'
import type { Store, View } from './store.ts'
import { createValidation } from './validation/section.ts'

const cautions = [
  'The rules of your place and the person responsible for the room come first, before anything on this page.',
  'Ethanol and the propanols give off vapour that catches fire at room temperature. The danger is the stock bottle, not the drop: close it, keep flames and sparks away, air the room.',
  'Methanol is toxic when drunk, breathed or left on the skin. Choose another alcohol where you can.',
  'Wear eye protection; gloves for methanol and for pure alcohols.',
  'Collect oily alcohol waste in a labelled, closed container; nothing into the sink. Wipe up spilt oil at once, for it makes floors slippery.',
]

export function createAbout(root: HTMLElement, _store: Store): View {
  const list = (lines: readonly string[]) => el('ul', {}, ...lines.map((line) => el('li', {}, line)))
  const validation = createValidation()
  root.append(
    el('h2', { id: 'about-title' }, 'Before you pour, before you believe'),
    el(
      'p',
      { class: 'caution' },
      'Alcohol vapour is flammable and methanol is toxic. Local rules and the person responsible come first.',
    ),
    el('details', {}, el('summary', {}, 'Cautions at the bench'), list(cautions)),
    el('details', {}, el('summary', {}, 'What the model leaves out'), list(LIMITS)),
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
