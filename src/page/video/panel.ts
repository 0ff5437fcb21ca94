/** The section “Radius from a recording”: closed at first; its contents are fetched when it is opened. */
import { el } from '../dom.ts'
import type { Store, View } from '../store.ts'
import type { Bench } from './bench.ts'
import { receiveRecordings } from './handOver.ts'
import { countWorks, workNotes } from './workNotes.ts'
import { workShelf } from './workShelf.ts'

export function createVideoPanel(root: HTMLElement, store: Store): View {
  const body = el('div', { class: 'video-body' })
  const unfinished = el('span', { class: 'note' })
  const details = el(
    'details',
    { class: 'video' },
    el('summary', {}, el('h2', {}, 'Radius from a recording'), ' ', unfinished),
    body,
  )
  void countWorks(workShelf(), workNotes()).then((count) => {
    if (count > 0 && !bench) unfinished.textContent = `${count} unfinished, kept in this browser`
  })
  let bench: Bench | null = null
  let waiting: readonly File[] | null = null
  let gone = false
  let asked = false
  const open = async () => {
    if (!details.open || asked) return
    asked = true
    try {
      const { createBench } = await import('./bench.ts')
      if (!gone) bench = createBench(body, store)
      unfinished.textContent = ''
      if (waiting) bench?.take(waiting)
      waiting = null
    } catch (error) {
      asked = false
      console.warn('The workbench for recordings could not be fetched.', error)
      body.textContent = 'This part of the page could not be fetched. Close it and open it again.'
    }
  }
  details.addEventListener('toggle', open)
  receiveRecordings((files) => {
    details.open = true
    root.scrollIntoView({ block: 'start' })
    details.querySelector('summary')?.focus({ preventScroll: true })
    if (bench) bench.take(files)
    else waiting = files
  })
  const follow = () => {
    if (location.hash === `#${root.id}`) details.open = true
  }
  addEventListener('hashchange', follow)
  root.append(details)
  follow()
  return {
    destroy() {
      gone = true
      receiveRecordings(null)
      removeEventListener('hashchange', follow)
      bench?.destroy()
      root.replaceChildren()
    },
  }
}
