/** Unfinished work on recordings, to go on with. */
import { say } from '../actions.ts'
import { el } from '../dom.ts'
import type { Store } from '../store.ts'
import { button } from './fields.ts'
import type { WorkKeeper } from './keepingWork.ts'
import type { KeptWork } from './kept.ts'

const day = new Intl.DateTimeFormat('en-GB', { dateStyle: 'medium', timeStyle: 'short' })

const count = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`

/** "drop.webm: 43 frames measured, 2 corrected by hand, 28 Nov 2026, 14:02" */
function describeWork({ source, readings, corrections, saved }: KeptWork): string {
  const byHand = corrections.length > 0 ? `, ${corrections.length} corrected by hand` : ''
  return `${source.name}: ${count(readings.length, 'frame', 'frames')} measured${byHand}, ${day.format(saved)}`
}

/** `elsewhere` tells work that another list shows. `getBack` gets the id of the work that the user wants to go on with. */
export function createKeptList(
  store: Store,
  keeper: () => WorkKeeper,
  elsewhere: (id: string) => boolean,
  getBack: (id: string) => void,
): { root: HTMLElement; update(): void } {
  const list = el('ul')
  const root = el(
    'section',
    { class: 'video-kept', hidden: true, 'aria-label': 'Unfinished recordings' },
    el('h3', {}, 'Unfinished, kept in this browser'),
    el(
      'p',
      { class: 'note' },
      'Points that are not among the measured curves yet. The pictures stay in your file.',
    ),
    list,
  )
  const remove = (kept: KeptWork) => {
    const back = keeper().remove(kept.id)
    if (!back) return
    const text = `The unfinished points of ${kept.source.name} were removed.`
    say(store, 'note', text, '', { label: 'Put back', run: back })
  }
  const row = (kept: KeptWork) =>
    el(
      'li',
      { 'data-id': kept.id },
      el('span', {}, describeWork(kept)),
      button('Get back', () => getBack(kept.id), { 'aria-label': `Get back ${kept.source.name}` }),
      button('Remove', () => remove(kept), { 'aria-label': `Remove ${kept.source.name}` }),
    )
  return {
    root,
    update() {
      const others = keeper().others.filter(({ id }) => !elsewhere(id))
      root.hidden = others.length === 0
      list.replaceChildren(...others.map(row))
    },
  }
}
