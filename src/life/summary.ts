/** What a run comes to: outcome, maximum, collapse, closures. Reductions over the histories go through ndarray. */
import ndarray from 'ndarray'
import ops from 'ndarray-ops'
import { SPREAD } from '../model/breakUp.ts'
import { CLOSURE, type DropProblem } from '../model/problem.ts'
import { restingRadius } from '../model/scales.ts'
import { alcoholShares } from './alcoholShares.ts'
import { HELD } from './held.ts'
import { scalesOf } from './scalesOf.ts'
import type { LifeSeries, LiquidFacts, OutcomeName, Summary } from './types.ts'

/** Place of the largest value of a one-dimensional array (the published types of ndarray-ops have it wrong). */
const argmax = (values: ndarray.NdArray<Float64Array>): number =>
  (ops.argmax as unknown as (a: ndarray.NdArray<Float64Array>) => number[])(values)[0]

/** A maximum of R between two moments from the cubic through radii and edge speeds. */
function peakBetween(series: LifeSeries, k: number): { t: number; R: number } {
  const { t, R, U } = series
  const dt = t[k + 1] - t[k]
  const rise = R[k + 1] - R[k]
  // R(z) = R0 + z(u0 + z(b + z c)), z = 0 … 1
  const u0 = U[k] * dt
  const u1 = U[k + 1] * dt
  const b = 3 * rise - 2 * u0 - u1
  const c = u0 + u1 - 2 * rise
  const root = Math.sqrt(Math.max(0, b * b - 3 * c * u0))
  const z = Math.min(
    1,
    Math.max(0, Math.abs(c) > 1e-14 * Math.abs(b) ? (-b - root) / (3 * c) : -u0 / (2 * b)),
  )
  return { t: t[k] + z * dt, R: R[k] + z * (u0 + z * (b + z * c)) }
}

/** Time at which R passes `level` between moments k and k+1 (linear). */
function passing(series: LifeSeries, k: number, level: number): number {
  const { t, R } = series
  return t[k] + ((level - R[k]) / (R[k + 1] - R[k])) * (t[k + 1] - t[k])
}

/** The largest radius with its time, and the band above 0.99 of it. SI units. */
function maximumOf(series: LifeSeries): { R: number; t: number; band: [number, number] } {
  const { t, R, U } = series
  const n = t.length
  const top = argmax(ndarray(R, [n]))
  let best = { t: t[top], R: R[top] }
  for (const k of [top - 1, top]) {
    if (k < 0 || k + 1 >= n || !(U[k] > 0) || !(U[k + 1] < 0)) continue
    const peak = peakBetween(series, k)
    if (peak.R > best.R) best = peak
  }
  const level = 0.99 * best.R
  let from = top
  while (from > 0 && R[from - 1] > level) from--
  let to = top
  while (to < n - 1 && R[to + 1] > level) to++
  return {
    ...best,
    band: [
      from > 0 ? passing(series, from - 1, level) : t[0],
      to < n - 1 ? passing(series, to, level) : t[n - 1],
    ],
  }
}

/** Radius below which a drop that holds `volume` and `alcohol` (m³) counts as collapsed, m. */
export function collapseRadius(
  problem: DropProblem,
  maximum: number,
  volume: number,
  alcohol: number,
): number {
  const phi = volume > 0 ? alcohol / volume : 0
  const S = problem.closures.at(phi, CLOSURE.spreading)
  const rest = restingRadius(volume, S, problem.closures.at(phi, CLOSURE.levelling))
  return Math.max(0.3 * maximum, Number.isFinite(rest) ? 1.2 * rest : 0)
}

/**
 * A drop has collapsed if it stays below the level until this many times the moment at which it fell below: the level
 * itself shoots up for an instant when the mean composition passes the threshold, where a lens would be infinitely wide.
 */
export const LASTING = 1.1

function collapseTimeOf(problem: DropProblem, series: LifeSeries, maximum: { R: number; t: number }): number {
  const { t, R, volume, alcohol } = series
  let since = Number.NaN
  for (let k = 1; k < t.length; k++) {
    if (t[k] <= maximum.t) continue
    if (t[k] > LASTING * since) break
    const level = collapseRadius(problem, maximum.R, volume[k], alcohol[k])
    if (!(R[k] < level)) since = Number.NaN
    else if (Number.isNaN(since)) since = R[k - 1] > level ? passing(series, k - 1, level) : t[k]
  }
  return since
}

/** A drop that has shed more than this part of its volume is one that sheds. */
export const SHED = 0.01

/** Why the run ended; 'point': without levelling, the tensions drew the drop together until it stood higher than wide. */
export type Ending = 'settled' | 'point' | 'gone' | 'wall' | 'horizon' | 'limit' | 'failed' | 'stopped'

/** Radius of the drop as a lens, m: at touch-down, or at rest if it has one and that is wider. */
export function lensRadius(problem: DropProblem, S0: number): number {
  const rest = restingRadius(problem.volume, S0, problem.closures.at(problem.phi0, CLOSURE.levelling))
  return Math.max(problem.startRadius, Number.isFinite(rest) ? rest : 0)
}

/** Whether the drop ever spread beyond a lens. */
export const spread = (problem: DropProblem, S0: number, maximum: number): boolean =>
  maximum > SPREAD[0] * lensRadius(problem, S0)

function outcomeOf(
  problem: DropProblem,
  facts: LiquidFacts,
  series: LifeSeries,
  maximum: number,
  collapse: number,
  ending: Ending,
): { outcome: OutcomeName; cause: string } {
  const end = series.t.length - 1
  if (ending === 'wall') return { outcome: 'reaches-wall', cause: 'the edge reached the wall of the dish' }
  if (!spread(problem, facts.S0, maximum)) {
    if (ending === 'horizon' && facts.S0 >= 0 && series.U[end] * series.t[end] > HELD * series.R[end]) {
      return { outcome: 'spreads', cause: STILL_GROWING }
    }
    const cause =
      ending === 'point'
        ? 'the tensions draw the drop together to a point, for without levelling nothing holds it open'
        : facts.S0 < 0
          ? 'the spreading parameter is negative: the tensions hold the drop together'
          : 'the drop lost its spreading before it had grown'
    return { outcome: 'lens', cause }
  }
  if (series.childVolume[end] > SHED * problem.volume) {
    return { outcome: 'sheds', cause: 'the rim broke into child drops' }
  }
  const radius = series.R[end]
  if (Number.isNaN(collapse) && ending === 'gone' && radius > 0.5 * maximum) {
    return { outcome: 'dries', cause: 'the film dried where it lay' }
  }
  if ((ending === 'horizon' || ending === 'limit') && radius > 0.97 * maximum) {
    const growing = series.U[end] * series.t[end] > HELD * radius
    return { outcome: 'spreads', cause: growing ? STILL_GROWING : STILL_SPREAD }
  }
  const taker = takerOf(series)
  const cause = taker ? `${taker} took the alcohol at the edge and the edge drew back` : DREW_BACK
  return { outcome: 'recedes', cause }
}

/** One that took so many times as much as the other is named alone. */
const MAIN = 4

/** What took the alcohol; '' if nothing did. */
function takerOf(series: LifeSeries): string {
  const shares = alcoholShares(series)
  const air = Math.max(0, shares?.air ?? 0)
  const oil = Math.max(0, shares?.oil ?? 0)
  if (air + oil <= 0) return ''
  if (air > MAIN * oil) return 'evaporation'
  return oil > MAIN * air ? 'the oil' : 'evaporation and the oil'
}

const DREW_BACK = 'the edge drew back although nothing took alcohol'
const STILL_GROWING = 'still growing at the end of the time that was computed'
const STILL_SPREAD = 'still spread at the end of the time that was computed'

export interface Effort {
  steps: number
  rejected: number
  factorisations: number
  wall_ms: number
}

/** Volume-weighted median radius of the child drops, m: where the volumes in order of radius, each taken at its middle, pass the half. */
function medianChild(series: LifeSeries): number {
  const { childVolume, childRadius } = series
  const parts: { radius: number; volume: number }[] = []
  for (let k = 1; k < childVolume.length; k++) {
    const volume = childVolume[k] - childVolume[k - 1]
    // What left in a step left in the drops that were laid at its start.
    if (volume > 0 && childRadius[k - 1] > 0) parts.push({ radius: childRadius[k - 1], volume })
  }
  parts.sort((a, b) => a.radius - b.radius)
  const half = parts.reduce((sum, { volume }) => sum + volume, 0) / 2
  let past = 0
  let before = { radius: Number.NaN, middle: Number.NaN }
  for (const { radius, volume } of parts) {
    const middle = past + volume / 2
    if (middle >= half) {
      if (Number.isNaN(before.radius)) return radius
      const share = (half - before.middle) / (middle - before.middle)
      return before.radius + share * (radius - before.radius)
    }
    before = { radius, middle }
    past += volume
  }
  return before.radius
}

/** Thickness, place and time of the thinnest thin spot while the drop grows from 0.8 of its largest radius to that. */
function thinnestOf(series: LifeSeries, maximum: { R: number; t: number }): Summary['thinnest'] {
  let best = -1
  for (let k = 0; k < series.t.length && series.t[k] <= maximum.t; k++) {
    if (series.R[k] < 0.8 * maximum.R || Number.isNaN(series.thin[k])) continue
    if (best < 0 || series.thin[k] < series.thin[best]) best = k
  }
  if (best < 0) return { thickness: Number.NaN, radius: Number.NaN, time: Number.NaN }
  return { thickness: series.thin[best], radius: series.thinRadius[best], time: series.t[best] }
}

/** Largest amplitude of the waves by the ring's base. */
function largestWaves({ beadAmplitude, ringBase }: LifeSeries): number {
  let most = Number.NaN
  for (let k = 0; k < ringBase.length; k++) {
    const share = beadAmplitude[k] / ringBase[k]
    if (!(share <= most)) most = Number.isNaN(share) ? most : share
  }
  return most
}

/** Child drops with this part of the drop's volume are the first that anyone sees. */
const BEGUN = 1e-3

/** When the child drops first hold `volume` (m³), s; NaN if never. */
function firstShed({ t, childVolume }: LifeSeries, volume: number): number {
  const k = childVolume.findIndex((v) => v > volume)
  if (k < 1) return Number.NaN
  const share = (volume - childVolume[k - 1]!) / (childVolume[k]! - childVolume[k - 1]!)
  return t[k - 1]! + share * (t[k]! - t[k - 1]!)
}

export function summarise(
  problem: DropProblem,
  facts: LiquidFacts,
  /** Largest thickness of all moments, m. */
  thickest: number,
  series: LifeSeries,
  ending: Ending,
  cause: string,
  effort: Effort,
): Summary {
  const end = series.t.length - 1
  const maximum = maximumOf(series)
  const didSpread = spread(problem, facts.S0, maximum.R)
  const collapse = didSpread ? collapseTimeOf(problem, series, maximum) : Number.NaN
  const scale = scalesOf(problem, facts, thickest)
  const verdict =
    ending === 'failed'
      ? { outcome: 'failed' as const, cause }
      : outcomeOf(problem, facts, series, maximum.R, collapse, ending)
  if (ending === 'limit') verdict.cause += `; ${cause}`
  const alcohol0 = series.alcohol[0]
  const gone = series.childVolume[end] + series.inOil[end]
  const volumeGap = series.volume[end] + series.evaporatedVolume[end] + gone - series.volume[0]
  const alcoholGone = series.childAlcohol[end] + series.inOil[end]
  const alcoholGap = series.alcohol[end] + series.evaporatedAlcohol[end] + alcoholGone - alcohol0
  return {
    ...verdict,
    maxRadius: maximum.R,
    maxRadiusTime: maximum.t,
    maxRadiusBand: maximum.band,
    collapseTime: collapse,
    lifeEnd: series.t[end],
    cut: ending === 'limit' || ending === 'failed',
    maxRadiusError: Number.NaN,
    collapseTimeError: Number.NaN,
    otherOutcome: '',
    waves: largestWaves(series),
    scale: { ...scale, ratio: maximum.R / scale.radius },
    volumeClosure: Math.abs(volumeGap) / series.volume[0],
    alcoholClosure: alcohol0 > 0 ? Math.abs(alcoholGap) / alcohol0 : Math.abs(alcoholGap) / series.volume[0],
    childDrops: {
      count: Math.round(series.childCount[end]),
      volume: series.childVolume[end],
      medianRadius: medianChild(series),
    },
    thinnest: thinnestOf(series, maximum),
    firstBreakUp: firstShed(series, BEGUN * problem.volume),
    ...effort,
  }
}
