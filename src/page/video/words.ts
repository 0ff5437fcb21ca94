/** Flags and states in words. */
import type { Flag } from '../../measured/video/types.ts'
import { labRate, type Session } from './session.ts'

const words: Record<Flag, string> = {
  'no-drop': 'no drop found',
  'touches-border': 'reaches the border',
  'size-changed': 'frame of another size',
  faint: 'faint',
  bridged: 'outline bridged',
  unreadable: 'cannot be decoded',
  'not-kept': 'the picture is in your file; choose the same recording again to see it',
}

export const flagWords = (flags: readonly Flag[]): string => flags.map((flag) => words[flag]).join(', ')

/** Longer explanations, for tips. */
export const flagHelp: Record<Flag, string> = {
  'no-drop': 'Nothing differs enough from the bath.',
  'touches-border':
    'The drop reaches the edge of the picture or of the watched circle: its area is not known.',
  'size-changed': 'This frame has another size than the first; the scale does not hold for it.',
  faint: 'The drop differs from the bath by little more than the noise.',
  bridged: 'A reflection or a child drop lies on the outline; the outline was carried across it.',
  unreadable: 'The browser could not decode this picture.',
  'not-kept': 'Points are kept in this browser, pictures are not.',
}

/** A moment of a recording: "1.250 s" of its own time; of stills by their rate, or "picture 4" until that is known. */
export function moment(time: number, state: Session): string {
  if (state.source?.kind !== 'stills') return seconds(time)
  const rate = labRate(state)
  return rate === null ? `picture ${Math.round(time) + 1}` : seconds(time / rate)
}

/** Seconds with milliseconds, "1.250 s". */
export const seconds = (time: number): string => `${time.toFixed(3).replace('-', '−')} s`
