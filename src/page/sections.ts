/** The parts of the page below the frame, each in reach by its own link: `#recipe`, or `view.at=recipe` beside a drop. */
import { presetToLink } from '../life/preset.ts'
import { el, reducedMotion } from './dom.ts'
import type { Store, View } from './store.ts'

export const sections: readonly { id: string; title: string }[] = [
  { id: 'rim', title: 'Why a rim' },
  { id: 'recipe', title: 'Recipe' },
  { id: 'sheet', title: 'Lab sheet' },
  { id: 'threshold', title: 'Threshold' },
  { id: 'map', title: 'Map' },
  { id: 'measured', title: 'Measured' },
  { id: 'fit', title: 'Fit' },
  { id: 'scaling', title: 'Scaling' },
  { id: 'report', title: 'Report' },
]

/** The part that an address asks for; '' if none. */
export function sectionOf(hash: string): string {
  const text = hash.replace(/^#/, '')
  const asked = text.startsWith('rimtide=') ? (new URLSearchParams(text).get('view.at') ?? '') : text
  return sections.some(({ id }) => id === asked) ? asked : ''
}

/** Scrolls to a part and puts the focus on its heading. */
function goTo(id: string): void {
  const part = document.getElementById(id)
  if (!part) return
  part.scrollIntoView({ behavior: reducedMotion() ? 'auto' : 'smooth', block: 'start' })
  part.querySelector<HTMLElement>('h2')?.focus({ preventScroll: true })
}

/** The links in the head of the page; a part that is not on the page has none. */
export function createSectionLinks(root: HTMLElement, store: Store): View {
  const links = sections
    .filter(({ id }) => document.getElementById(id))
    .map(({ id, title }) => {
      const follow = (event: Event) => {
        event.preventDefault()
        // The drop stays in the address, so that a reload or a copied address brings both back.
        history.replaceState(null, '', `#${presetToLink(store.getState().preset)}&view.at=${id}`)
        goTo(id)
      }
      return el('a', { href: `#${id}`, onclick: follow }, title)
    })
  root.append(...links)
  const onHash = () => goTo(sectionOf(location.hash))
  addEventListener('hashchange', onHash)
  return {
    destroy() {
      removeEventListener('hashchange', onHash)
      root.replaceChildren()
    },
  }
}

/** To be called when everything is mounted. The parts grow with the first life: then it is gone to once more. */
export function goToLinkedSection(hash: string, store: Store): void {
  const id = sectionOf(hash)
  if (!id) return
  goTo(id)
  const unsubscribe = store.subscribe(({ life }) => {
    if (life?.status !== 'done') return
    unsubscribe()
    requestAnimationFrame(() => requestAnimationFrame(() => goTo(id)))
  })
  addEventListener('wheel', unsubscribe, { once: true, passive: true })
  addEventListener('keydown', unsubscribe, { once: true })
}
