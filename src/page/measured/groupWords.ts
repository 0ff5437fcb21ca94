/** Groups of repetitions in words. */
import { deviationError, meanCourse, type Repetitions, unlikeWords } from '../../measured/replicates.ts'
import { plain } from '../format.ts'

/** "40pct: mean of 5 runs over 0.1 to 6.2 s …; the standard deviation of 5 is itself uncertain by 36 %." */
export function groupWords(group: Repetitions): string {
  const { curves, group: name } = group
  const result = meanCourse(curves)
  const unlike = unlikeWords(group)
  const said = unlike ? ` Look again: ${unlike}.` : ''
  if (!result.ok)
    return `${name}: ${curves.length === 1 ? 'one run' : `${curves.length} runs`}, no mean: ${result.reason}.${said}`
  const { from, to, longest, count } = result.course
  const shorter = to < longest ? `; the longest run goes on to ${plain(longest, 3)} s` : ''
  const percent = Math.round(100 * deviationError(count))
  return `${name}: mean of ${count} runs from ${plain(from, 3)} to ${plain(to, 3)} s, where all have points${shorter}. A standard deviation from ${count} runs is itself uncertain by ${percent} %.${said}`
}
