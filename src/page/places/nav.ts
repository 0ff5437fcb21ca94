/** The links to the places and to the parts of the present one. */
import { goTo } from '../actions.ts'
import { el } from '../dom.ts'
import { type Store, type View, watch } from '../store.ts'
import { PLACES, placeInfo, type Spot } from './places.ts'

/** A link that goes without loading; a press with a key that opens elsewhere is left to the browser. */
function link(store: Store, title: string, name: string, spot: Spot, tip = ''): HTMLAnchorElement {
  const follow = (event: MouseEvent) => {
    if (event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return
    event.preventDefault()
    goTo(store, spot)
  }
  return el('a', { href: `#${name}`, ...(tip ? { title: tip } : {}), onclick: follow }, title)
}

/** Marks the link that is present. */
const mark = (links: ReadonlyMap<string, HTMLElement>, present: string): void => {
  for (const [name, one] of links) {
    if (name === present) one.setAttribute('aria-current', 'page')
    else one.removeAttribute('aria-current')
  }
}

export function createPlaces(root: HTMLElement, store: Store): View {
  const links = new Map(
    PLACES.map(({ id, title, question }) => [id, link(store, title, id, { place: id, part: '' }, question)]),
  )
  root.append(...links.values())
  const unwatch = watch(
    store,
    ({ place }) => [place],
    ([place]) => mark(links, place),
  )
  return {
    destroy() {
      unwatch()
      root.replaceChildren()
    },
  }
}

export function createTabs(root: HTMLElement, store: Store): View {
  let of = ''
  let links = new Map<string, HTMLElement>()
  const unwatch = watch(
    store,
    ({ place, part }) => [place, part],
    (_, { place, part }) => {
      if (place !== of) {
        const info = placeInfo(place)
        links = new Map(info.parts.map(({ id, title }) => [id, link(store, title, id, { place, part: id })]))
        root.replaceChildren(...links.values())
        root.setAttribute('aria-label', `Parts of ${info.title}`)
        of = place
      }
      mark(links, part)
      // In a low window the page scrolls, and what was asked for may lie under its end.
      const scrolls = document.documentElement.scrollHeight > window.innerHeight + 1
      if (scrolls && root.contains(document.activeElement)) root.scrollIntoView({ block: 'start' })
      links.get(part)?.scrollIntoView({ block: 'nearest', inline: 'nearest' })
    },
  )
  return {
    destroy() {
      unwatch()
      root.replaceChildren()
    },
  }
}
