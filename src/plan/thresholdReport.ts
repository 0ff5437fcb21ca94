/** The threshold of a drop as text or object: in figures and words, S over the strength, and how sure it is. Pure. */
import { problemOf } from '../life/problemOf.ts'
import type { Preset } from '../life/types.ts'
import { figure, percentText } from './figures.ts'
import { type Band, type Reach, TENSION_MOVES, tensionReach } from './neighbours.ts'
import { pairNames, percentOf, strengthText, type Threshold, thresholdOf } from './threshold.ts'
import { thresholdInputs, thresholdReach } from './thresholdReach.ts'

export interface ThresholdReport {
  preset: Preset
  threshold: Threshold
  /** Reach of the threshold (mass fraction) with the inputs that it rests on; central NaN unless there is one. */
  reach: Reach
  /** Reach of the largest radius (m) with the drop/oil tension alone, if lives were run. */
  maxRadius: Reach | undefined
  warnings: string[]
}

/** Everything about the threshold of a preset; `band` are its neighbouring lives, if they were run. */
export function thresholdReport(preset: Preset, band?: Band): ThresholdReport {
  const { facts } = problemOf(preset)
  return {
    preset,
    threshold: thresholdOf(preset, facts),
    reach: thresholdReach(preset),
    maxRadius: band ? tensionReach(band) : undefined,
    warnings: facts.warnings,
  }
}

/** "46.5 to 51.2 % by mass (54.2 to 58.9 % by volume)". */
function reachText(preset: Preset, { low, high }: Reach): string {
  const byVolume = `${figure(percentOf(preset, low))} to ${figure(percentOf(preset, high))} % by volume`
  if (preset.drop.alcohol === 'reference') return byVolume
  return `${figure(100 * low)} to ${figure(100 * high)} % by mass (${byVolume})`
}

/** What the drop/oil tension alone does to the largest radius, in words; '' where it is not known. */
export function tensionWords({ central, low, high }: Reach): string {
  if (!(central > 0)) return ''
  return `If only the drop/oil tension is changed (${TENSION_MOVES}), the largest radius lies between ${figure(1e3 * low)} and ${figure(1e3 * high)} mm; as given it is ${figure(1e3 * central)} mm (all three computed with the quick mesh).`
}

/** Every fifth percent of the curve: strength by mass and by volume, S in mN/m. */
function curveRows({ preset, threshold: { curve } }: ThresholdReport): [number, number, number][] {
  return Array.from(curve.w, (w, i): [number, number, number] => [
    100 * w,
    percentOf(preset, w),
    1e3 * curve.S[i]!,
  ]).filter((_, i) => i % 5 === 0)
}

const BAR = 36

/** The curve as lines with a mark at S; ":" is S = 0, "o" the drop. */
function curveLines(report: ThresholdReport): string[] {
  const { drop } = report.threshold
  const own: [number, number, number] = [100 * drop.massFraction, drop.percent, 1e3 * drop.S]
  const rows = [...curveRows(report).filter(([mass]) => Math.abs(mass - own[0]) > 1e-9), own].sort(
    (a, b) => a[0] - b[0],
  )
  const low = Math.max(-30, Math.min(-1, ...rows.map(([, , S]) => S)))
  const high = Math.max(1, ...rows.map(([, , S]) => S))
  const place = (S: number) => Math.round((BAR * (Math.max(S, low) - low)) / (high - low))
  return rows.map((row) => {
    const [mass, volume, S] = row
    const bar = Array.from({ length: BAR + 1 }, () => ' ')
    bar[place(0)] = ':'
    bar[place(S)] = row === own ? 'o' : '*'
    const digits = [mass, volume, S].map((value) => value.toFixed(1).padStart(8)).join('')
    return `${digits}   ${bar.join('')}${row === own ? '  this drop' : ''}`.trimEnd()
  })
}

/** The report as text. */
export function thresholdText(report: ThresholdReport): string {
  const { preset, threshold, reach } = report
  const { alcohol, oil } = pairNames(preset)
  const between = threshold.kind === 'between'
  return [
    preset.title || `${alcohol} and water on ${oil}`,
    threshold.words,
    '',
    ...(between
      ? [
          `threshold   ${strengthText(preset, threshold.massFraction)}, a share of ${threshold.phi.toFixed(3)} with the volumes added (φc)`,
          `likely      ${reachText(preset, reach)}`,
          `            (68 in 100; ${thresholdInputs(preset)})`,
        ]
      : []),
    `this drop   ${strengthText(preset, threshold.drop.massFraction)}, S = ${figure(1e3 * threshold.drop.S)} mN/m`,
    ...(report.maxRadius ? [tensionWords(report.maxRadius)] : []).filter(Boolean),
    ...report.warnings.map((warning) => `note: ${warning}`),
    '',
    '  % mass   % vol S, mN/m   ":" marks S = 0; the drop spreads where S is above 0',
    ...curveLines(report),
    '',
    'Where the tensions come from (the drop/oil curve, end + (water − end)·exp(−k·w), is assumed):',
    ...threshold.sources.map(
      ({ quantity, source, quality, range }) => `  ${quantity}: ${source} (${quality}; ${range})`,
    ),
    '',
  ].join('\n')
}

/** The report as an object, percentages and mN/m; null where there is no number. */
export function thresholdObject(report: ThresholdReport): Record<string, unknown> {
  const { preset, threshold, reach, maxRadius } = report
  const known = (value: number) => (Number.isFinite(value) ? value : null)
  const range = ({ low, central, high }: Reach, factor: number) => ({
    low: known(factor * low),
    central: known(factor * central),
    high: known(factor * high),
  })
  return {
    title: preset.title,
    ...pairNames(preset),
    kind: threshold.kind,
    words: threshold.words,
    percentByMass: known(100 * threshold.massFraction),
    percentByVolume: known(threshold.percent),
    phi: known(threshold.phi),
    likelyPercentByMass: range(reach, 100),
    maxRadiusWithDropOilTension_mm: maxRadius ? range(maxRadius, 1e3) : null,
    drop: {
      percentByMass: 100 * threshold.drop.massFraction,
      percentByVolume: threshold.drop.percent,
      S_mNperM: 1e3 * threshold.drop.S,
    },
    curve: {
      percentByMass: Array.from(threshold.curve.w, (w) => 100 * w),
      S_mNperM: Array.from(threshold.curve.S, (S) => 1e3 * S),
    },
    sources: threshold.sources,
    warnings: report.warnings,
  }
}

/** The curve as CSV. */
export function curveCsv({ preset, threshold: { curve } }: ThresholdReport): string {
  const rows = Array.from(curve.w, (w, i) => `${100 * w},${percentOf(preset, w)},${1e3 * curve.S[i]!}`)
  return `${['alcohol_percent_mass,alcohol_percent_vol,S_mN_per_m', ...rows].join('\n')}\n`
}

/** One pair in the table of all pairs. */
export const pairLine = (preset: Preset): string => {
  const { kind, massFraction, percent } = thresholdOf(preset)
  const { alcohol, oil } = pairNames(preset)
  const told =
    kind === 'between'
      ? `${percentText(massFraction).padStart(7)} by mass ${figure(percent).padStart(6)} % by volume`
      : kind === 'never'
        ? '      – spreads at no strength'
        : '      – spreads at every strength'
  return `${alcohol.padEnd(14)}${oil.padEnd(30)}${told}`
}
