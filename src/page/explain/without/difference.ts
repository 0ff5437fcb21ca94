/**
 * What a change makes of a drop: one sentence with the numbers of both lives. A difference that is within the stated errors of
 * the calculation is said to be none. Pure.
 */
import { HELD } from '../../../life/held.ts'
import { drawnToPoint } from '../../../life/mechanisms.ts'
import { radiusAt } from '../../../life/sample.ts'
import type { Life } from '../../../life/types.ts'
import { duration, length, plain } from '../../format.ts'
import { leftOver } from '../../sentence/sentence.ts'
import type { Neighbours } from '../../store.ts'

type Kind =
  | 'failed'
  | 'lens'
  | 'point'
  | 'growing'
  | 'held'
  | 'back'
  | 'going-back'
  | 'sheds'
  | 'dries'
  | 'wall'

/** While an error is not known yet, a difference of more than this part of the value is told all the same. */
const PLAIN = 0.03

function kindOf(life: Life): Kind {
  const { outcome, lifeEnd, collapseTime } = life.summary
  if (outcome === 'lens') return drawnToPoint(life) ? 'point' : 'lens'
  if (outcome === 'recedes') return collapseTime > 0 ? 'back' : 'going-back'
  if (outcome === 'reaches-wall') return 'wall'
  if (outcome !== 'spreads') return outcome
  const { R, U } = life.series
  return (U.at(-1) ?? 0) * lifeEnd > HELD * (R.at(-1) ?? 0) ? 'growing' : 'held'
}

/** When what becomes of it is over, s. */
const overAt = ({ summary }: Life): number =>
  summary.collapseTime > 0 ? summary.collapseTime : summary.lifeEnd

/** What becomes of a drop that has spread, said of "it", and after "instead of". */
function endOf(life: Life, kind: Kind): [finite: string, gerund: string] {
  const at = duration(overAt(life))
  const ends: Partial<Record<Kind, [string, string]>> = {
    held: [`is still that wide after ${at}`, `staying that wide for ${at} at least`],
    back: [`has drawn back by ${at}`, `drawing back by ${at}`],
    'going-back': [`is still drawing back after ${at}`, `still drawing back after ${at}`],
    dries: [`dries where it lies by ${at}`, `drying where it lies by ${at}`],
    sheds:
      life.summary.collapseTime > 0
        ? [`has shed child drops and drawn back by ${at}`, `shedding child drops and drawing back by ${at}`]
        : [`has shed child drops and ${leftOver(life)}`, `shedding child drops for ${at}`],
  }
  return ends[kind] ?? ['', '']
}

/** The whole course, said of "it", and after "instead of". */
function courseOf(life: Life, kind: Kind): [finite: string, gerund: string] {
  const { maxRadius, maxRadiusTime, lifeEnd } = life.summary
  const far = length(maxRadius)
  const end = duration(lifeEnd)
  switch (kind) {
    case 'lens':
      return [`stays a lens of ${far} radius`, `staying a lens of ${far} radius`]
    case 'point':
      return ['is drawn together to a point', 'being drawn together to a point']
    case 'growing':
      return [
        `has spread to ${far} by ${end} and is still growing`,
        `having spread to ${far} by ${end}, still growing`,
      ]
    case 'wall':
      return [`reaches the wall of the dish after ${end}`, `reaching the wall of the dish after ${end}`]
    default: {
      const [finite, gerund] = endOf(life, kind)
      const to = `to ${far} in ${duration(maxRadiusTime)} and`
      return [`spreads ${to} ${finite}`, `spreading ${to} ${gerund}`]
    }
  }
}

/** How two numbers with their errors compare. */
interface Apart {
  differ: boolean
  /** Root of the sum of squares of both errors; NaN while one is not known. */
  error: number
}

function compared(a: number, errorA: number, b: number, errorB: number): Apart {
  const error = Math.hypot(errorA, errorB)
  const least = error >= 0 ? error : PLAIN * Math.max(Math.abs(a), Math.abs(b))
  return { differ: Math.abs(a - b) > least, error }
}

/** Both numbers in words, with as many digits as it takes to tell them apart. */
function pair(a: number, b: number, words: (value: number, digits: number) => string): [string, string] {
  const digits = [3, 4, 5].find((n) => words(a, n) !== words(b, n)) ?? 3
  return [words(a, digits), words(b, digits)]
}

/** As `duration`, with more digits where the usual ones would make two times look alike. */
const time = (seconds: number, digits: number): string =>
  digits > 3 && seconds < 60 ? `${plain(seconds, digits - 1)} s` : duration(seconds)

const within = (error: number, unit: (value: number) => string): string =>
  error >= 0
    ? `no difference beyond the calculation’s error of ± ${unit(error)}`
    : 'how well the two can be told apart is still being worked out'

const errorLength = (value: number): string => `${plain(1e3 * value, 1)} mm`
const errorTime = (value: number): string => `${plain(value, 1)} s`

const radiiOf = (other: Life, own: Life): Apart =>
  compared(
    other.summary.maxRadius,
    other.summary.maxRadiusError,
    own.summary.maxRadius,
    own.summary.maxRadiusError,
  )

function lensWords(other: Life, own: Life): string {
  const { differ, error } = radiiOf(other, own)
  const [a, b] = pair(other.summary.maxRadius, own.summary.maxRadius, length)
  return differ
    ? `it stays a lens as well, of ${a} radius instead of ${b}`
    : `it stays a lens as well, of ${a} radius (${within(error, errorLength)})`
}

/** Both grow until their calculations end: they are compared at the last moment that both reach. */
function growingWords(other: Life, own: Life): string {
  const at = Math.min(other.summary.lifeEnd, own.summary.lifeEnd)
  const [a, b] = [radiusAt(other.series, at), radiusAt(own.series, at)]
  const { differ, error } = compared(a, other.summary.maxRadiusError, b, own.summary.maxRadiusError)
  const [here, there] = pair(a, b, length)
  return differ
    ? `it has spread to ${here} instead of ${there} by ${duration(at)}; both are still growing`
    : `it has spread to ${here} by ${duration(at)}, still growing, as it does anyway (${within(error, errorLength)})`
}

/** Of the end of a life, s. Where none is stated, that of a time that is rough; NaN while the errors are not known. */
const timeError = ({ summary }: Life): number =>
  summary.collapseTime > 0
    ? summary.collapseTimeError
    : summary.maxRadiusError >= 0
      ? PLAIN * summary.lifeEnd
      : Number.NaN

/** No error is stated for the moment at the wall; that of a time that is rough counts. */
function wallWords(other: Life, own: Life): string {
  const [a, b] = [other.summary.lifeEnd, own.summary.lifeEnd]
  if (Math.abs(a - b) <= PLAIN * Math.max(a, b))
    return `it reaches the wall of the dish after ${duration(a)}, hardly sooner or later than it does anyway`
  const [here, there] = pair(a, b, time)
  return `it reaches the wall of the dish after ${here} instead of ${there}`
}

/** Both spread and come to an end: how far, then what becomes of it. */
function spreadWords(other: Life, own: Life, kind: Kind, ownKind: Kind): string {
  const radii = radiiOf(other, own)
  const [a, b] = pair(other.summary.maxRadius, own.summary.maxRadius, length)
  const far = radii.differ
    ? `it spreads to ${a} instead of ${b}`
    : `it spreads to ${a} (${within(radii.error, errorLength)})`
  if (kind !== ownKind) return `${far}, and ${endOf(other, kind)[0]} instead of ${endOf(own, ownKind)[1]}`
  const ended = endOf(other, kind)[0]
  // Where the computed time ended before the life did, its length says nothing about the drop.
  if (kind === 'held' || kind === 'going-back') return `${far} and ${ended}, as it does anyway`
  const [at, ownAt] = [overAt(other), overAt(own)]
  const times = compared(at, timeError(other), ownAt, timeError(own))
  if (times.differ) {
    const [here, there] = pair(at, ownAt, time)
    return `${far}, and ${ended.replace(duration(at), here)} instead of ${there}`
  }
  if (radii.differ) return `${far} and ${ended} (${within(times.error, errorTime)})`
  return times.error >= 0 && radii.error >= 0
    ? `nothing changes that the calculation could tell: it spreads to ${a} and ${ended} (errors ± ${errorLength(radii.error)} and ± ${errorTime(times.error)})`
    : `${far} and ${ended}`
}

const SPREAD: readonly Kind[] = ['held', 'back', 'going-back', 'sheds', 'dries']

function mainWords(other: Life, own: Life): string {
  const [kind, ownKind] = [kindOf(other), kindOf(own)]
  if (SPREAD.includes(kind) && SPREAD.includes(ownKind)) return spreadWords(other, own, kind, ownKind)
  if (kind === ownKind) {
    if (kind === 'lens') return lensWords(other, own)
    if (kind === 'growing') return growingWords(other, own)
    if (kind === 'wall') return wallWords(other, own)
    return `it ${courseOf(other, kind)[0]} as well`
  }
  return `it ${courseOf(other, kind)[0]}, instead of ${courseOf(own, ownKind)[1]}`
}

/** What a reader must know of a life whose end was not reached or is in doubt; '' if nothing. */
function caveat({ summary }: Life, who: string): string {
  if (summary.cut) return ` The calculation of the drop ${who} had to end after ${duration(summary.lifeEnd)}.`
  return summary.otherOutcome
    ? ` What becomes of the drop ${who} is in doubt: a slightly different calculation ends otherwise.`
    : ''
}

const capital = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}`

/** The shown life with the errors that have become known since. */
export function withKnownErrors(life: Life, { radiusError, collapseError, otherOutcome }: Neighbours): Life {
  if (!(radiusError >= 0)) return life
  const summary = {
    ...life.summary,
    maxRadiusError: radiusError,
    collapseTimeError: collapseError,
    otherOutcome,
  }
  return { ...life, summary }
}

/**
 * The difference in words.
 * @param words what sets the other drop apart: "without evaporation"
 */
export function differenceWords(words: string, other: Life, own: Life): string {
  const failed = (who: string, { summary }: Life) =>
    `The drop ${who} could not be followed beyond ${duration(summary.lifeEnd)}, so no difference is told: ${summary.cause.replace(/\.?$/, '.')}`
  if (own.summary.outcome === 'failed') return failed('as it is', own)
  if (other.summary.outcome === 'failed') return failed(words, other)
  return `${capital(words)} ${mainWords(other, own)}.${caveat(own, 'as it is')}${caveat(other, words)}`
}
