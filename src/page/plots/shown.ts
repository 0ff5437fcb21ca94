/** What the views show of the state: which life, which marks, which words. */
import { seriesAt } from '../../life/sample.ts'
import type { Life } from '../../life/types.ts'
import { bathSpeedAt, cellValue, type Fields, surfaceSpeedAt } from '../../life/view.ts'
import { type Beads, beadsOf } from '../beads.ts'
import { length, plain, speedWords } from '../format.ts'
import type { State } from '../store.ts'

/**
 * The life to be drawn: the newest, or the last finished one while the newest does not yet reach the moment
 * shown. `greyed` when it does not belong to the present preset.
 */
export function shownLife(state: State): { life: Life | null; greyed: boolean } {
  const { life, outgoing, time, stale } = state
  if (!life || life.frames.count === 0) return { life: outgoing, greyed: outgoing !== null }
  const reached = life.frames.t[life.frames.count - 1]!
  if (life.status === 'growing' && outgoing && time > reached) return { life: outgoing, greyed: true }
  return { life, greyed: stale }
}

/** Thin spot and rim, m; NaN where there is none: neither is without the other. */
export interface Marks {
  thin: number
  thinRadius: number
  ring: number
  ringRadius: number
  /** An estimate; null without a rim. */
  beads: Beads | null
}

/** A dip that is not below this part of the rim's height is none: so a drop that has come together keeps no marks. No source. */
const DIP = 0.5

const noMarks: Marks = {
  thin: Number.NaN,
  thinRadius: Number.NaN,
  ring: Number.NaN,
  ringRadius: Number.NaN,
  beads: null,
}

export function marksAt(life: Life, time: number): Marks {
  const moment = seriesAt(life.series, time)
  const { thin, thinRadius, ringHeight, ringRadius } = moment
  if (!(thin < DIP * ringHeight)) return noMarks
  return { thin, thinRadius, ring: ringHeight, ringRadius, beads: beadsOf(moment) }
}

const withUnit = (value: number, unit: string) => `${plain(value)} ${unit}`

/** All values at radius r (m) in words, for those who hear them. */
export function valuesText(fields: Fields, r: number): string {
  const bath = `bath ${speedWords(bathSpeedAt(fields, r))}`
  const at = withUnit(1e3 * r, 'mm')
  if (r > fields.R) return `${at} from the centre, outside the drop: ${bath}`
  const film = [
    `thickness ${length(cellValue(fields, 'h', r))}`,
    `alcohol ${plain(cellValue(fields, 'phi', r))} by volume`,
    `tension ${withUnit(1e3 * cellValue(fields, 'sigma', r), 'mN/m')}`,
    `surface ${speedWords(surfaceSpeedAt(fields, r))}`,
  ]
  return `${at} from the centre: ${[...film, bath].join(', ')}`
}
