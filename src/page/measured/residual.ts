/** How far a measured curve lies from the life of its drop, in words. */
import { againstWords, type Beside, besideOf } from '../../measured/fit/ownDrop.ts'
import type { MeasuredCurve } from '../../measured/types.ts'
import { length, plain } from '../format.ts'
import type { State } from '../store.ts'

/** The curve beside the shown life, or beside the life of its own drop; null while there is no whole life. */
export const besideIn = ({ life, ownLives }: Pick<State, 'life' | 'ownLives'>, curve: MeasuredCurve) =>
  besideOf(curve, life, ownLives)

function figureText({ compared }: Beside): string {
  if (!compared) return ''
  return compared.used > 0 ? `r.m.s. ${plain(compared.rms * 1e3, 2)} mm` : 'no point within this life'
}

/** "r.m.s. 1.7 mm against its own drop: 50 % by mass"; that no point falls into the life, or that there is none yet. */
export function residualText(beside: Beside | null): string {
  if (!beside) return ''
  if (!beside.own) return figureText(beside)
  if (beside.state !== 'there') return againstWords(beside)
  return beside.compared!.used > 0
    ? `${figureText(beside)} against ${againstWords(beside)}`
    : `no point within the life of ${againstWords(beside)}`
}

/** The same with what is to be said about it, for the list. */
export function residualSentence(beside: Beside | null): string {
  const remark = beside?.remark.replace(/\.$/, '')
  return residualText(beside) + (remark ? ` (${remark})` : '')
}

/** Follows the name of a curve in plots, with or without the r.m.s.; '' for a curve of the shown drop. */
export function otherDropMark(beside: Beside | null, figures = true): string {
  if (!beside?.own) return ''
  const figure = figures && beside.compared?.used ? figureText(beside) : ''
  return ` (other drop${figure && `, ${figure}`})`
}

/** What the r.m.s. is made of, for a tip. */
export function residualDetail(beside: Beside | null): string {
  const compared = beside?.compared
  if (!compared || compared.used === 0) return ''
  const side = compared.bias > 0 ? 'wider' : 'narrower'
  const of = beside.own ? 'the life of its own drop' : 'this life'
  const parts = [`on average ${length(Math.abs(compared.bias), 2)} ${side} than ${of}`]
  if (compared.after > 0) parts.push(`${compared.after} after its end`)
  if (compared.before > 0) parts.push(`${compared.before} before its start`)
  return parts.join(', ')
}
