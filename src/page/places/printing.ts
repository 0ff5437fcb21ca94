/** Each place prints as a page or two: in light colours, headed by what drop it is and where it can be found again. */
import { el, must } from '../dom.ts'
import { today } from '../format.ts'
import { linkTo } from '../link.ts'
import { labelFor } from '../lives/pins.ts'
import type { Store, View } from '../store.ts'

/** Longest address that is printed: a longer one is not typed in by anybody. */
const longest = 300

function fillHead(root: HTMLElement, store: Store): void {
  const state = store.getState()
  const { title } = state.preset
  const what = state.life ? labelFor(state.life) : ''
  const address = linkTo(state)
  root.replaceChildren(
    el('p', { class: 'print-title' }, [title, what].filter(Boolean).join(' · ')),
    el('p', {}, `Rimtide, ${today()}`),
    ...(address.length <= longest ? [el('p', { class: 'print-address' }, address)] : []),
  )
}

const frames = (count: number): Promise<void> =>
  new Promise((done) => {
    const next = (left: number) => (left > 0 ? requestAnimationFrame(() => next(left - 1)) : done())
    next(count)
  })

/** Prints what is in sight, in light colours whatever the theme; the theme comes back by itself. */
export async function printPlace(store: Store): Promise<void> {
  const { dark } = store.getState()
  const { dataset } = document.documentElement
  if (dark) {
    dataset.theme = 'light'
    store.setState({ dark: false })
    await frames(3)
  }
  print()
  if (!dark) return
  dataset.theme = 'dark'
  store.setState({ dark: true })
}

export function followPrinting(store: Store): View {
  const root = must('print-head')
  const before = () => fillHead(root, store)
  const after = () => root.replaceChildren()
  addEventListener('beforeprint', before)
  addEventListener('afterprint', after)
  return {
    destroy() {
      removeEventListener('beforeprint', before)
      removeEventListener('afterprint', after)
    },
  }
}
