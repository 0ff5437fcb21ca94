/** The queue above the frame: each recording with how it stands, and what is done with all of them. */
import { el, keepFocus, oncePerFrame } from '../dom.ts'
import { plain } from '../format.ts'
import { button } from './fields.ts'
import type { Queue } from './queue.ts'
import { type QueueItem, stateWords } from './queueItems.ts'

export interface QueueActs {
  /** Opens an item below: to set it up, to look at it, to correct it. */
  open(item: QueueItem): void
  /** Makes curves of all that is ready. */
  addAll(): void
  /** How many measured ones have another scale or rate than the one that is open. */
  unlike(): number
  /** Lays scale and rate of the open one on those. */
  layOnAll(): void
  /** Whether recordings begin with the touch-down. */
  contactFirst(on: boolean): void
  /** Id of the item that is open below; '' if none is. */
  shown(): string
  /** Whether that is ticked for the camera in hand. */
  ticked(): boolean
}

const count = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`

/** "about 2 min", "about 20 s" */
const duration = (seconds: number): string =>
  seconds > 90 ? `about ${Math.round(seconds / 60)} min` : `about ${plain(Math.max(1, seconds), 2)} s`

export function createQueueView(
  queue: Queue,
  acts: QueueActs,
): { root: HTMLElement; update(): void; destroy(): void } {
  const list = el('ol', { class: 'queue-list' })
  const bar = el('progress', { max: 1, value: 0, 'aria-label': 'Progress of the queue' })
  const said = el('p', { class: 'note', role: 'status' })
  const start = button('Measure all', () => queue.start(), { class: 'main' })
  const stop = button('Stop', () => queue.stop(), { 'aria-label': 'Stop the queue' })
  const add = button('Add all good ones to the measured curves', () => acts.addAll())
  const clear = button('Empty the list', () => {
    const { items } = queue.store.getState()
    const whole = items.every(({ curve, renew }) => curve && !renew)
    if (whole || sure) queue.remove(items.map(({ id }) => id))
    sure = !whole && !sure
    draw()
  })
  const lay = button('', () => acts.layOnAll())
  let sure = false
  const first = el('input', { type: 'checkbox', onchange: () => acts.contactFirst(first.checked) })
  const root = el(
    'section',
    { class: 'video-queue', hidden: true, 'aria-label': 'Recordings to be measured' },
    el('h3', {}, 'One after the other'),
    el('p', { class: 'note' }, hint),
    list,
    el('label', { class: 'video-check' }, first, ' Every recording begins with the touch-down'),
    el('div', { class: 'buttons' }, start, stop, add, lay, clear),
    said,
    bar,
  )

  interface Row {
    root: HTMLElement
    words: HTMLElement
    open: HTMLButtonElement
  }
  const rows = new Map<string, Row>()

  function rowOf(item: QueueItem): Row {
    const known = rows.get(item.id)
    if (known) return known
    const words = el('span', { class: 'queue-state' })
    const find = () => queue.store.getState().items.find(({ id }) => id === item.id)!
    const open = button('Open', () => acts.open(find()), { 'aria-label': `Open ${item.name}` })
    const remove = button('Remove', () => queue.remove([item.id]), {
      'aria-label': `Remove ${item.name} from the list`,
    })
    const made = {
      root: el('li', {}, el('span', { class: 'queue-name' }, item.name), words, open, remove),
      words,
      open,
    }
    rows.set(item.id, made)
    return made
  }

  function draw(): void {
    const { items, running, left } = queue.store.getState()
    root.hidden = items.length === 0
    if (root.hidden) sure = false
    for (const id of rows.keys()) if (!items.some((item) => item.id === id)) rows.delete(id)
    const shown = items.map(rowOf)
    if (shown.length !== list.children.length || shown.some((row, i) => list.children[i] !== row.root))
      list.replaceChildren(...shown.map((row) => row.root))
    items.forEach((item, i) => {
      const { root: line, words, open } = shown[i]!
      const text = stateWords(item)
      if (words.textContent !== text) words.textContent = text
      line.dataset.state = item.state
      const here = acts.shown() === item.id
      if (here) line.setAttribute('aria-current', 'true')
      else line.removeAttribute('aria-current')
      open.disabled = item.state === 'measuring' || (item.files === null && item.work === '')
    })
    first.checked = acts.ticked()
    const ready = items.filter(({ state, curve, renew }) => state === 'done' && (!curve || renew)).length
    const open = items.filter(({ state, files, work }) =>
      state === 'waiting' || state === 'stopped'
        ? files
        : (state === 'needs' || state === 'failed') && work === '' && files,
    ).length
    const switched = () => {
      start.disabled = running || open === 0
      start.textContent = items.some(({ state }) => state === 'stopped') ? 'Go on measuring' : 'Measure all'
      stop.hidden = !running
      add.disabled = ready === 0
      add.textContent =
        ready === 0
          ? 'Add all good ones to the measured curves'
          : `Add all good ones to the measured curves (${ready})`
      const others = acts.unlike()
      lay.hidden = others === 0 || running
      lay.textContent = `Scale and rate of the open one for ${others === 1 ? 'one other' : `${others} others`}`
      clear.disabled = running
      clear.textContent = sure ? 'Empty it, points that are no curves yet too' : 'Empty the list'
    }
    keepFocus([start, stop, add, lay, clear], switched, () =>
      running ? stop : ready > 0 ? add : list.querySelector('button')!,
    )
    bar.hidden = !running
    bar.value = items.reduce((sum, item) => sum + shareOf(item), 0) / Math.max(1, items.length)
    const text = summary(items, running, left)
    if (said.textContent !== text) said.textContent = text
  }
  const ask = oncePerFrame(draw)
  draw()
  return { root, update: ask, destroy: queue.store.subscribe(ask) }
}

const hint =
  'Set the scale, and for pictures their rate, on the one that is open below: settings hold for all of the same kind and picture size.'

const shareOf = ({ state, share }: QueueItem): number =>
  state === 'done' || state === 'needs' || state === 'failed' ? 1 : share

/** "3 of 10 done, 1 needs you; about 2 min left." */
function summary(items: readonly QueueItem[], running: boolean, left: number): string {
  const of = (state: QueueItem['state']) => items.filter((item) => item.state === state).length
  const parts = [
    `${of('done')} of ${items.length} done`,
    of('needs') > 0 ? `${of('needs')} ${of('needs') === 1 ? 'needs' : 'need'} you` : '',
    of('failed') > 0 ? `${of('failed')} failed` : '',
  ].filter(Boolean)
  const time = running && left > 0 ? `; ${duration(left)} left` : ''
  const files = items.filter(
    (item) => item.files === null && (item.state === 'waiting' || item.state === 'stopped'),
  ).length
  const wanted =
    files > 0
      ? ` Choose the files again to go on: ${count(files, 'recording waits', 'recordings wait')} for theirs.`
      : ''
  return `${parts.join(', ')}${time}.${wanted}`
}
