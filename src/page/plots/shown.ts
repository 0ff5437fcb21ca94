/** What the views show of the state: which life, which marks, which words. */
import { seriesAt } from '../../life/sample.ts'
import type { Life } from '../../life/types.ts'
import { bathSpeedAt, cellValue, type Fields, surfaceSpeedAt } from '../../life/view.ts'
import { type Beads, beadsOf } from '../beads.ts'
import { length, plain } from '../format.ts'
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

/** Thin spot and ring, m; NaN where there is none. */
export interface Marks {
  thin: number
  thinRadius: number
  ring: number
  ringRadius: number
  /** An estimate; null without a ring. */
  beads: Beads | null
}

export function marksAt(life: Life, time: number): Marks {
  const moment = seriesAt(life.series, time)
  const { thin, thinRadius, ringHeight, ringRadius } = moment
  return { thin, thinRadius, ring: ringHeight, ringRadius, beads: beadsOf(moment) }
}

const withUnit = (value: number, unit: string) => `${plain(value)} ${unit}`

/** All values at radius r (m) in words, for those who hear them. */
export function valuesText(fields: Fields, r: number): string {
  const bath = `bath ${withUnit(1e3 * bathSpeedAt(fields, r), 'mm/s')}`
  const at = withUnit(1e3 * r, 'mm')
  if (r > fields.R) return `${at} from the centre, outside the drop: ${bath}`
  const film = [
    `thickness ${length(cellValue(fields, 'h', r))}`,
    `alcohol ${plain(cellValue(fields, 'phi', r))} by volume`,
    `tension ${withUnit(1e3 * cellValue(fields, 'sigma', r), 'mN/m')}`,
    `surface ${withUnit(1e3 * surfaceSpeedAt(fields, r), 'mm/s')}`,
  ]
  return `${at} from the centre: ${[...film, bath].join(', ')}`
}
