/** Under a large slider: what becomes of the drop along it, told by tint, pattern and word. */
import type { PointState } from '../../plan/mapGrid.ts'
import type { Stretches } from '../../plan/stretches.ts'
import { el } from '../dom.ts'

/** Word for an outcome, as short as a track and a map need it. */
export const outcomeWord: Record<PointState, string> = {
  lens: 'lens',
  spreads: 'still spread',
  recedes: 'draws back',
  sheds: 'sheds',
  dries: 'dries',
  'reaches-wall': 'wall',
  failed: 'not known',
  'not-permitted': 'not possible',
  unknown: '',
}

/** Letter of an outcome where a word has no room. */
export const outcomeLetter: Record<PointState, string> = {
  lens: 'L',
  spreads: 'G',
  recedes: 'B',
  sheds: 'S',
  dries: 'D',
  'reaches-wall': 'W',
  failed: '?',
  'not-permitted': '–',
  unknown: '',
}

/** "0 % to 48 %: lens; 48 % to 100 %: sheds", for those who do not see the tints. `at` names a place (0–1). */
const stretchWords = ({ stretches }: Stretches, at: (place: number) => string): string =>
  stretches.map(({ from, to, outcome }) => `${at(from)} to ${at(to)}: ${outcomeWord[outcome]}`).join('; ')

export interface Track {
  root: HTMLElement
  /** Text for aria-describedby. */
  spoken: HTMLElement
  show(so: Stretches | null, valid: boolean, at: (place: number) => string): void
}

export function createTrack(id: string): Track {
  const root = el('div', { class: 'track', 'aria-hidden': 'true' })
  const spoken = el('p', { class: 'visually-hidden', id })
  return {
    root,
    spoken,
    show(so, valid, at) {
      root.classList.toggle('old', !valid)
      const parts = (so?.stretches ?? []).map(({ from, to, outcome }) => {
        const part = el('span', { class: `stretch ${outcome}`, title: outcomeWord[outcome] })
        part.style.left = `${100 * from}%`
        part.style.width = `${100 * (to - from)}%`
        const room = (to - from) * (root.clientWidth || 260)
        const word = outcomeWord[outcome]
        const said = room > 6.2 * word.length + 10 ? word : room > 18 ? outcomeLetter[outcome] : ''
        if (said) part.append(el('span', { class: 'word' }, said))
        return part
      })
      root.replaceChildren(...parts)
      spoken.textContent = so && valid ? `Along this slider: ${stretchWords(so, at)}.` : ''
    },
  }
}
