/** What a scaling comes to in plain sentences. Pure. */
import { figure, withError } from './figures.ts'
import { FILM_RATIO_OF_PRACTICE, type ScalingReport } from './scalingReport.ts'

/** Spread of the scaled curves as one number, with the definition of the collapse. */
export function spreadWords({ collapse: { series, spread }, ruleText }: ScalingReport): string {
  const definition = `t_collapse: ${ruleText}.`
  if (series.length < 2) {
    const choose =
      series.length === 1
        ? 'Only one drop shows its collapse: choose another one that collapses.'
        : 'Choose two drops that collapse.'
    return `${choose} ${definition}`
  }
  if (!spread)
    return `The series do not overlap in scaled time, so their spread cannot be found. ${definition}`
  const [from, to] = [spread.x[0]!, spread.x.at(-1)!]
  return `Spread ${figure(spread.spread, 2)} of R_max: root mean square deviation of ${spread.count} series from their mean curve, t/t_collapse from ${figure(from, 2)} to ${figure(to, 2)}. ${definition}`
}

const basisWords = (by: 'mass' | 'volume'): string => (by === 'mass' ? 'by mass' : 'by volume (20 °C)')

function lineWords(kind: 'measured' | 'simulated', { trend, wish }: ScalingReport): string {
  const line = trend.line[kind]
  const count = trend.points.filter((point) => point.kind === kind).length
  if (count === 0) return ''
  if (!line) return `${kind}: a line needs two strengths`
  const { slope, slopeError, intercept, interceptError, count: points } = line
  const from = Number.isNaN(slopeError)
    ? 'two points leave no error'
    : 'all alike; ± from the scatter about the line'
  const grows = withError(1e3 * slope, 1e3 * slopeError, 'mm')
  const from0 = withError(1e3 * intercept, 1e3 * interceptError, 'mm')
  return `${kind}: R_max = (${from0}) + (${grows}) per 1 % ${basisWords(wish.by)}, ${points} points (${from})`
}

/** The straight lines through the largest radii, one sentence a kind. */
export const trendWords = (report: ScalingReport): string[] =>
  (['measured', 'simulated'] as const).map((kind) => lineWords(kind, report)).filter(Boolean)

/** What is open about the line. */
export const TREND_QUESTION =
  'Practitioners report that the largest radius grows about in a straight line with the alcohol fraction; the curve of this model is concave, steep just above the threshold and flat beyond 60 %. Which is right, and why they differ, is an open question.'

/** What is behind the two groupings. */
export const GROUPING_WORDS =
  'Bath grouping: R* = [φ0 Ω0 S H/(4 ηo j_v)]^¼, t* = [4 φ0 Ω0 ηo/(S H j_v)]^½, drag in the oil. Film grouping: R* = [φ0 h0 Ω0 S/(η j_v)]^¼, t* = [φ0 Ω0 η/(h0 S j_v)]^½, shear inside the film: a reconstruction, since its published form could not be read.'

/** The film grouping's ratio of practice. */
export const FILM_RATIO_WORDS = `For the film grouping practitioners quote R_max/R* = ${FILM_RATIO_OF_PRACTICE} (common practice, no source).`
