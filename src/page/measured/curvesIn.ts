/** A file of curves on its way in: added to those that are here, or put in their place. */
import { countWords } from '../../measured/importWords.ts'
import type { MeasuredCurve } from '../../measured/types.ts'
import { addCurves, say } from '../actions.ts'
import { el, must } from '../dom.ts'
import { KEPT, placed, refuse } from '../refuse.ts'
import type { Store } from '../store.ts'
import { replaceCurves } from './changes.ts'
import { fits } from './importing.ts'
import { joinCurves, joinedWords } from './joining.ts'
import { whereListed } from './listed.ts'
import { readWatched } from './reading.ts'
import { openCurves } from './tableReader.ts'

/** Reads such a file or its text; asks what is to become of the curves that are here, if there are any. */
export async function takeCurvesFile(name: string, source: Blob | string, store: Store): Promise<void> {
  const reader = openCurves(source)
  const result = await readWatched(reader, (progress) => reader.read(progress), name, store)
  if (!result) return
  if (!result.ok) refuse(store, `${name} cannot be used.`, placed(result.problems, name))
  else if (result.curves.length === 0) say(store, 'note', `${name} holds no curves.`, KEPT)
  else if (store.getState().measured.length === 0) add(name, result.curves, store)
  else ask(name, result.curves, store)
}

/** Adds curves. One that is here already is not added twice; one that differs from that of the same id is put beside it. */
function add(name: string, curves: readonly MeasuredCurve[], store: Store): void {
  const joined = joinCurves(store.getState().measured, curves, name)
  if (!fits(name, joined.fresh, store)) return
  if (joined.fresh.length > 0) addCurves(store, joined.fresh)
  const text = `${name}: ${countWords(joined.fresh)} added. ${joinedWords(joined)}`.trim()
  const listed = whereListed(store)
  const undo = joined.fresh.length > 0 ? 'Undo takes them out again.' : ''
  say(store, 'note', text, `${undo} ${listed.words}`.trim(), listed.action)
}

function replace(name: string, curves: readonly MeasuredCurve[], store: Store): void {
  replaceCurves(store, curves)
  const text = `${name}: ${countWords(curves)} in place of those that were here.`
  say(store, 'note', text, 'Undo brings the others back; they are among the removed curves too.')
}

function ask(name: string, curves: readonly MeasuredCurve[], store: Store): void {
  const count = store.getState().measured.length
  const button = (text: string, main: boolean, act: () => void) => {
    const element = el('button', { type: 'button', class: main ? 'main' : '' }, text)
    element.addEventListener('click', () => {
      card.remove()
      act()
    })
    return element
  }
  const card = el(
    'div',
    { class: 'message question', role: 'group', 'aria-label': `What to do with ${name}` },
    el(
      'p',
      {},
      `${name} holds ${countWords(curves)}; ${count === 1 ? 'one curve is' : `${count} curves are`} here.`,
    ),
    el(
      'div',
      { class: 'buttons' },
      button('Add them', true, () => add(name, curves, store)),
      button('Put them in place of those here', false, () => replace(name, curves, store)),
      button('Leave them out', false, () => say(store, 'note', `${name} was not taken over.`, KEPT)),
    ),
  )
  must('questions').append(card)
  card.querySelector('button')?.focus()
}
