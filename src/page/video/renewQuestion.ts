/** Asks once what becomes of curves that were changed by hand since their recordings gave them. */
import type { MeasuredCurve } from '../../measured/types.ts'
import { el, must } from '../dom.ts'

const named = (curves: readonly MeasuredCurve[]): string => {
  const first = curves.slice(0, 3).map(({ name }) => `“${name}”`)
  return `${first.join(', ')}${curves.length > 3 ? ` and ${curves.length - 3} more` : ''}`
}

export interface RenewAnswers {
  /** The points of the recordings take the place of those that are there. */
  renew(): void
  /** They become curves beside those. */
  second(): void
}

/** `olds`: the curves that are there. */
export function askRenewal(olds: readonly MeasuredCurve[], answers: RenewAnswers): void {
  const one = olds.length === 1
  const button = (text: string, main: boolean, act: () => void) =>
    el(
      'button',
      {
        type: 'button',
        class: main ? 'main' : '',
        onclick: () => {
          card.remove()
          act()
        },
      },
      text,
    )
  const card = el(
    'div',
    { class: 'message question', role: 'group', 'aria-label': 'What becomes of the curves that are there' },
    el(
      'p',
      {},
      `${named(olds)}: ${one ? 'a curve' : 'curves'} of ${one ? 'this recording' : 'these recordings'} with other points, which may have been changed by hand. What is to become of ${one ? 'it' : 'them'}?`,
    ),
    el(
      'div',
      { class: 'buttons' },
      button(one ? 'Keep it, add a second curve' : 'Keep them, add second curves', true, answers.second),
      button('Put the new points in their place', false, answers.renew),
      button('Change nothing', false, () => {}),
    ),
  )
  must('questions').append(card)
  card.querySelector('button')?.focus()
}
