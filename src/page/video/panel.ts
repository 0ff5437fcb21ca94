/** The part “Recording”. Its workbench is fetched when it is in sight for the first time, or given files. */
import { goTo } from '../actions.ts'
import { el } from '../dom.ts'
import { type Store, type View, watch } from '../store.ts'
import type { Bench } from './bench.ts'
import { receiveRecordings } from './handOver.ts'

export function createVideoPanel(root: HTMLElement, store: Store): View {
  const title = el('h2', { id: 'video-title', tabindex: -1 }, 'Recording')
  const body = el('div', { class: 'video-body' })
  let bench: Bench | null = null
  let waiting: readonly File[] | null = null
  let gone = false
  let asked = false
  const fetchBench = async () => {
    if (asked) return
    asked = true
    try {
      const { createBench } = await import('./bench.ts')
      if (gone) return
      body.replaceChildren()
      bench = createBench(body, store)
      if (waiting) bench.take(waiting)
      waiting = null
    } catch (error) {
      asked = false
      console.warn('The workbench for recordings could not be fetched.', error)
      body.replaceChildren(
        el('p', {}, 'This part of the page could not be fetched.'),
        el('button', { type: 'button', onclick: () => void fetchBench() }, 'Try again'),
      )
    }
  }
  receiveRecordings((files) => {
    goTo(store, { place: 'data', part: 'video' })
    title.focus({ preventScroll: true })
    if (bench) bench.take(files)
    else waiting = files
    void fetchBench()
  })
  root.append(title, body)
  const unwatch = watch(
    store,
    ({ part }) => [part],
    ([part]) => {
      if (part === 'video') void fetchBench()
    },
  )
  return {
    destroy() {
      gone = true
      unwatch()
      receiveRecordings(null)
      bench?.destroy()
      root.replaceChildren()
    },
  }
}
