/** How right a life is: the error of its main numbers, estimated from a coarser companion life. */
import { companionOf } from './accuracy.ts'
import type { LifeRunner } from './lives.ts'
import { type RunHooks, runLevelSync, runLife } from './run.ts'
import { type RadiusCurve, radiusAt } from './sample.ts'
import type { Life, OutcomeName, Summary } from './types.ts'

export type LifeErrors = Pick<Summary, 'maxRadiusError' | 'collapseTimeError' | 'otherOutcome'>

/** Each estimate is the largest of: this many times the difference of the number from the companion's … */
const OWN = { radius: 3, time: 4 }
/** … this many times the mean difference of R(t) near the maximum: two numbers may agree by chance, two curves do not … */
const CURVE = { radius: 4, time: 3 }
/** … and this part of the value. All are set by, and tested against, finer lives of random drops. */
export const LEAST = {
  quick: { radius: 5e-3, time: 3e-2 },
  normal: { radius: 3e-3, time: 1.5e-2 },
  fine: { radius: 1.5e-3, time: 8e-3 },
}

/** Where the companion has another outcome, at least this part of the value is in doubt; … */
const DOUBT = { radius: 0.1, time: 0.2 }
/** … and where a calculation had to end before its life did, the estimate counts so many times. */
const CUT = 3

/** A drop that sheds less than this part of itself may as well draw back, … */
const LITTLE = 0.15
/** … and one that draws back with waves within two e-foldings of those that break its ring may as well shed. */
const NEARLY = 0.05

/** The other outcome of a drop that sheds little, or nearly sheds. */
function nearlyOther({ preset, summary }: Known): OutcomeName | '' {
  if (!preset.ring.breakUp) return ''
  const { outcome, childDrops, waves } = summary
  if (outcome === 'sheds') return childDrops.volume < LITTLE * preset.drop.volume_uL * 1e-9 ? 'recedes' : ''
  return outcome === 'recedes' && waves > NEARLY ? 'sheds' : ''
}

/** A life as far as its errors are concerned. */
export interface Known extends Pick<Life, 'preset' | 'summary'> {
  series: RadiusCurve
}

/** Moments at which two lives are compared. */
const MOMENTS = 41

/** Mean difference of R(t), relative to the largest radius, from half to one and a half of the time of the maximum. */
function curveDifference(mine: Known, other: Known): number {
  const { maxRadius, maxRadiusTime } = mine.summary
  const end = Math.min(1.5 * maxRadiusTime, mine.series.t.at(-1) ?? 0, other.series.t.at(-1) ?? 0)
  const start = Math.min(0.5 * maxRadiusTime, end)
  let sum = 0
  for (let k = 0; k < MOMENTS; k++) {
    const time = start + ((end - start) * k) / (MOMENTS - 1)
    sum += Math.abs(radiusAt(mine.series, time) - radiusAt(other.series, time))
  }
  return sum / MOMENTS / maxRadius
}

/** Estimated numerical errors (m and s; NaN where the number itself is NaN) of a life given its coarser companion. */
export function errorsFrom(life: Known, companion: Known): LifeErrors {
  const pair = [life.summary.outcome, companion.summary.outcome]
  // A drop that sheds is as wide as one that does not.
  const agree = pair[0] === pair[1] || pair.every((one) => one === 'sheds' || one === 'recedes')
  const certain = LEAST[life.preset.model.accuracy]
  const least = agree
    ? certain
    : { radius: Math.max(certain.radius, DOUBT.radius), time: Math.max(certain.time, DOUBT.time) }
  const wider = life.summary.cut || companion.summary.cut ? CUT : 1
  const curve = curveDifference(life, companion)
  const bound = (mine: number, other: number, what: 'radius' | 'time') => {
    const apart = Number.isNaN(other) ? 3 * least[what] : (OWN[what] * Math.abs(mine - other)) / mine
    return mine * wider * Math.max(apart, CURVE[what] * curve, least[what])
  }
  const { summary } = companion
  return {
    maxRadiusError: bound(life.summary.maxRadius, summary.maxRadius, 'radius'),
    collapseTimeError: bound(life.summary.collapseTime, summary.collapseTime, 'time'),
    otherOutcome: pair[0] === pair[1] ? nearlyOther(life) : companion.summary.outcome,
  }
}

/** Runs the companion of a life; null if it was stopped on the way. */
export async function estimateErrors(
  life: Known,
  hooks: RunHooks = {},
  run: LifeRunner = runLife,
): Promise<LifeErrors | null> {
  const { preset, level } = companionOf(life.preset)
  const result = await run(preset, { ...hooks, bare: true }, level)
  return result.ok && result.life.status === 'done' ? errorsFrom(life, result.life) : null
}

/** The life with its errors filled in. */
export function withErrorsSync(life: Life): Life {
  const { preset, level } = companionOf(life.preset)
  const result = runLevelSync(preset, level, true)
  if (!result.ok) return life
  return { ...life, summary: { ...life.summary, ...errorsFrom(life, result.life) } }
}
