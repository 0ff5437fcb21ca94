/** The button that prints a worksheet of the present drop. */
import './worksheet.css'
import type { Life } from '../../../life/types.ts'
import { el } from '../../dom.ts'
import { today } from '../../format.ts'
import { type Store, type View, watch } from '../../store.ts'
import { fillWorksheet } from './paper.ts'
import { type WorksheetStep, worksheetOf } from './worksheetData.ts'

/** On the body while the worksheet is what is printed. */
const PRINTED = 'has-worksheet'

/** @param stepsOf the questions of the explanation, of a life */
export function createWorksheet(
  root: HTMLElement,
  store: Store,
  stepsOf: (life: Life) => readonly WorksheetStep[],
): View {
  const paper = el('div', { class: 'worksheet-paper', id: 'worksheet-paper', 'aria-hidden': 'true' })
  const answers = el('input', { type: 'checkbox' })
  const print = el('button', { type: 'button', onclick: () => printNow() }, 'Print the worksheet')
  const says = el('span', { class: 'note' })
  root.classList.add('worksheet')
  root.append(
    el('h3', { id: 'worksheet-title', tabindex: -1 }, 'Worksheet'),
    el(
      'p',
      { class: 'note' },
      'The present drop, the questions and the exercises on paper, with room to write, and the cautions for those who try it.',
    ),
    el(
      'div',
      { class: 'buttons' },
      print,
      el('label', { class: 'worksheet-answers' }, answers, 'with a page of answers'),
      says,
    ),
  )
  document.body.append(paper)

  function over(): void {
    document.body.classList.remove(PRINTED)
    paper.replaceChildren()
  }

  function printNow(): void {
    const state = store.getState()
    const sheet = state.life && worksheetOf(state, stepsOf(state.life), today())
    if (!sheet) return
    fillWorksheet(paper, sheet, answers.checked)
    document.body.classList.add(PRINTED)
    const pictures = [...paper.querySelectorAll('img')].map((img) => img.decode().catch(() => {}))
    void Promise.all(pictures).then(() => window.print())
  }

  window.addEventListener('afterprint', over)
  const unwatch = watch(
    store,
    ({ life, stale }) => [life, stale],
    (_, { life, stale }) => {
      const ready = life?.status === 'done' && !stale
      print.disabled = !ready
      says.textContent = ready ? '' : 'as soon as the drop is worked out'
    },
  )
  return {
    destroy() {
      unwatch()
      window.removeEventListener('afterprint', over)
      paper.remove()
      root.replaceChildren()
    },
  }
}
