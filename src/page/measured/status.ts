/** How it stands with keeping, in words, and the curves that were removed. */
import { addCurves } from '../actions.ts'
import { el } from '../dom.ts'
import { type RemovedCurve, type Store, type View, watch } from '../store.ts'
import type { KeeperHere } from './keepingHere.ts'
import { saveCurves } from './saving.ts'

/** The promise that a browser gives, if it gives any. */
type Promised = 'yes' | 'no' | 'unknown'

async function promised(): Promise<Promised> {
  try {
    return (await navigator.storage.persisted()) ? 'yes' : 'no'
  } catch {
    return 'unknown'
  }
}

/** The line about keeping. Asks the browser for a promise only when the user presses the button. */
export function createStatus(root: HTMLElement, store: Store, keeper: KeeperHere): View {
  let answer: Promised = 'unknown'
  const words = el('p', { class: 'note', role: 'status' })
  const ask = el('button', { type: 'button', class: 'small' }, 'Ask the browser never to clear them')
  const again = el(
    'button',
    { type: 'button', class: 'small', onclick: () => keeper.tryAgain() },
    'Try again',
  )
  const rescue = el('button', { type: 'button', class: 'small main' }, 'Save all curves to a file')
  rescue.addEventListener('click', () => saveCurves(store.getState().measured))
  ask.addEventListener('click', async () => {
    const granted = await navigator.storage.persist().catch(() => false)
    answer = granted ? 'yes' : 'no'
    draw()
    if (!granted) words.textContent = 'The browser gave no such promise. Save them to a file now and then.'
  })
  const draw = () => {
    const { keeping, measured } = store.getState()
    const failed = keeping.state === 'failed'
    root.hidden = measured.length === 0
    again.hidden = !failed
    rescue.hidden = !failed
    ask.hidden = failed || answer !== 'no'
    words.classList.toggle('caution', failed)
    words.textContent = failed
      ? `Not kept in this browser: ${keeping.reason}. They stay until the page is closed.`
      : keeping.state === 'kept'
        ? answer === 'yes'
          ? 'Kept in this browser, with its promise not to clear them.'
          : 'Kept in this browser, on this machine only. It may clear them when space runs out.'
        : 'Being kept …'
  }
  root.append(words, el('div', { class: 'buttons' }, ask, again, rescue))
  void promised().then((state) => {
    answer = state
    draw()
  })
  const unwatch = watch(store, ({ keeping, measured }) => [keeping, measured], draw)
  return {
    destroy() {
      unwatch()
      root.replaceChildren()
    },
  }
}

const day = new Intl.DateTimeFormat('en-GB', {
  day: 'numeric',
  month: 'short',
  hour: '2-digit',
  minute: '2-digit',
})

function row({ curve, removed }: RemovedCurve, store: Store): HTMLElement {
  const restore = () => addCurves(store, [curve])
  return el(
    'li',
    {},
    el('span', { class: 'name' }, curve.name),
    el('span', { class: 'figures' }, `${curve.time.length} points, removed ${day.format(removed)}`),
    el(
      'button',
      { type: 'button', 'aria-label': `Bring back ${curve.name}`, onclick: restore },
      'Bring back',
    ),
  )
}

/** Removed curves, for some weeks or until they are let go of. */
export function createTrash(root: HTMLElement, store: Store, keeper: KeeperHere): View {
  const title = el('summary', {})
  const list = el('ul', { class: 'list' })
  const sure = el('button', { type: 'button' }, 'Delete them for good')
  sure.addEventListener('click', () => keeper.emptyTrash())
  root.append(
    el(
      'details',
      { class: 'trash' },
      title,
      el('p', { class: 'note' }, 'The last 50 are kept for 30 days.'),
      list,
      sure,
    ),
  )
  const unwatch = watch(
    store,
    ({ trash, measured }) => [trash, measured] as const,
    ([trash, measured]) => {
      const here = new Set(measured.map(({ id }) => id))
      const gone = trash.filter(({ curve }) => !here.has(curve.id))
      root.hidden = gone.length === 0
      title.textContent = `Removed curves (${gone.length})`
      list.replaceChildren(...gone.map((one) => row(one, store)))
    },
  )
  return {
    destroy() {
      unwatch()
      root.replaceChildren()
    },
  }
}
