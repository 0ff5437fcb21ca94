/** The message for something of the user's that cannot be used: the first problems, how many more, what was kept. */
import { firstOf } from '../life/problemWords.ts'
import type { Problem } from '../life/types.ts'
import { say } from './actions.ts'
import type { Message, Store } from './store.ts'

export const KEPT = 'What was on the page is kept.'
/** Most problems told at once. */
const MOST = 4

/** The messages of problems that do not name their place themselves: tables and curves. The file is named once, before them. */
export const placed = (problems: readonly Problem[], file: string): Pick<Problem, 'message'>[] =>
  problems.map(({ where, message }) => {
    const place = where.startsWith(file) ? where.slice(file.length).replace(/^, /, '') : where
    return { message: place && !message.includes(place) ? `${place}: ${message}` : message }
  })

/** `text` is a whole sentence and says what cannot be used. */
export function refuse(
  store: Store,
  text: string,
  problems: readonly Pick<Problem, 'message'>[],
  kept = KEPT,
  action?: Message['action'],
): void {
  const told = firstOf(
    problems.map(({ message }) => message),
    MOST,
  )
  say(store, 'error', [text, ...told].join(' '), kept, action)
}
