/** Shows what belongs to the place and hides the rest, which then costs nothing: no layout, no paint, no drawing. */
import { must } from '../dom.ts'
import { type Store, type View, watch } from '../store.ts'
import { inSight, nameOf, PLACES, placeInfo, SECTIONS, type Sight } from './places.ts'
import { rememberOpened, rememberPart } from './remembered.ts'

/** How far each section, and whatever scrolls inside it, was scrolled when it was left: a hidden one forgets it. */
class Scrolled {
  private readonly kept = new Map<Element, number>()

  keep(section: HTMLElement): void {
    const inside = [section, ...section.querySelectorAll('*')]
    for (const one of inside) if (one.scrollTop > 0) this.kept.set(one, one.scrollTop)
  }

  putBack(section: HTMLElement): void {
    for (const [one, top] of this.kept) {
      if (!section.contains(one)) continue
      one.scrollTop = top
      this.kept.delete(one)
    }
  }
}

/** Where the focus goes when what had it is no longer in sight. */
function focusHeading(sight: Sight): void {
  const section = document.getElementById(nameOf(sight))
  const heading = section?.querySelector<HTMLElement>('h2') ?? document.querySelector<HTMLElement>('main')
  if (!heading) return
  if (!heading.hasAttribute('tabindex')) heading.tabIndex = -1
  heading.focus({ preventScroll: true })
  // In a low window the page itself scrolls, and the heading may lie under its end.
  if (document.documentElement.scrollHeight > window.innerHeight + 1)
    heading.scrollIntoView({ block: 'nearest' })
}

const titleOf = (sight: Sight): string => {
  const place = placeInfo(sight.place)
  const part = place.parts.find(({ id }) => id === sight.part)
  return sight.place === 'watch' ? 'Rimtide' : `${part?.title ?? place.title} – Rimtide`
}

export function followPlace(store: Store): View {
  const sections = SECTIONS.map((id) => [id, must(id)] as const)
  const scrolled = new Scrolled()
  const { dataset } = document.documentElement

  function show(sight: Sight): void {
    dataset.place = sight.place
    dataset.part = sight.part
    dataset.physics = String(sight.place === 'watch' && sight.physics)
    dataset.drawer = String(sight.drawer)
    dataset.room = String(sight.room)
    document.title = titleOf(sight)
    rememberPart(sight.place, sight.part)
    const held = document.activeElement
    for (const [id, section] of sections) {
      const wanted = inSight(id, sight)
      if (wanted === !section.hidden) continue
      if (!wanted) scrolled.keep(section)
      section.hidden = !wanted
      if (wanted) scrolled.putBack(section)
    }
    // A hidden element loses the focus to nothing at all, and with it the place in the page. Links and buttons that
    // other views take away with the place are looked at when those have followed, too.
    if (held instanceof HTMLElement && held !== document.body)
      queueMicrotask(() => {
        const { activeElement } = document
        const moved = activeElement !== held && activeElement !== document.body
        if (!moved && (!held.isConnected || held.closest('[hidden]') !== null)) focusHeading(store.getState())
      })
  }

  const unwatch = watch(
    store,
    ({ place, part, physics, drawer, room }) => [place, part, physics, drawer, room],
    (_, state) => {
      show(state)
      rememberOpened(state)
    },
  )
  return { destroy: unwatch }
}

/** Goes to a part and puts the focus on its heading: for links inside the page. */
export function focusPart(id: string): void {
  const place = PLACES.find(({ parts }) => parts.some((part) => part.id === id))
  if (place) focusHeading({ place: place.id, part: id, physics: false, drawer: false, room: false })
}
