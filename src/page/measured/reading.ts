/** A reading that may take long: a bar with words and a button that stops it. */
import type { Progress } from '../../measured/types.ts'
import { say } from '../actions.ts'
import { el, must } from '../dom.ts'
import { brokeOff } from '../lives/alive.ts'
import { KEPT } from '../refuse.ts'
import type { Store } from '../store.ts'
import { Stopped } from './tableReader.ts'

/** What can be read, slowly or not. */
interface Reader {
  slow: boolean
  stop(): void
}

/** Reads with a progress bar where it may take long; null when it was stopped or broke off, which is said. */
export async function readWatched<R>(
  reader: Reader,
  read: (progress?: Progress) => Promise<R>,
  name: string,
  store: Store,
): Promise<R | null> {
  const bar = reader.slow ? progressCard(name, reader) : null
  try {
    return await read(bar?.progress)
  } catch (error) {
    if (error instanceof Stopped) say(store, 'note', `The reading of ${name} was stopped.`, KEPT)
    else say(store, 'error', brokeOff(error, `The reading of ${name}`), KEPT)
    return null
  } finally {
    bar?.card.remove()
  }
}

function progressCard(name: string, reader: Reader) {
  const bar = el('progress', { max: 1, value: 0, 'aria-label': `Reading of ${name}` })
  const words = el('span', { class: 'note' })
  const stop = el('button', { type: 'button', onclick: () => reader.stop() }, 'Stop')
  const card = el('div', { class: 'message reading' }, el('p', {}, `Reading ${name} `, words), bar, stop)
  must('questions').append(card)
  const progress = (part: number, doing: string) => {
    bar.value = part
    words.textContent = doing
  }
  return { card, progress }
}
