/** In the row of a planned run: which curve or recording it has become, or that it is dropped. */
import { el } from '../dom.ts'
import type { Store } from '../store.ts'
import { removePlanned, takePlanned } from './plannedRuns.ts'
import { type Run, runsOf } from './queuedRuns.ts'

const DROP = 'drop'

/** A list of the runs that are there; it is filled when it is opened, since they come and go. */
export function plannedChoice(store: Store, { id, name }: Run): HTMLElement {
  const select = el('select', { class: 'planned-choice', 'aria-label': `What ${name} has become` })
  const fill = () => {
    const there = runsOf(store.getState()).filter(({ planned }) => !planned)
    select.replaceChildren(
      new Option('no curve yet', ''),
      ...there.map((run) => new Option(`is ${run.name}`, run.id)),
      new Option('take this row out', DROP),
    )
  }
  fill()
  select.addEventListener('focus', fill)
  select.addEventListener('change', () => {
    if (select.value === DROP) removePlanned(store, id)
    const run = runsOf(store.getState()).find((one) => one.id === select.value)
    if (run) takePlanned(store, id, run)
  })
  return select
}
