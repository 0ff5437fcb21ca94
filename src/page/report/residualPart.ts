/** Measured radii against the life, as a figure of the report. */
import type { Life } from '../../life/types.ts'
import { againstWords, type Beside } from '../../measured/fit/ownDrop.ts'
import type { MeasuredCurve } from '../../measured/types.ts'
import { usedPoints } from '../../measured/usable.ts'
import { residualTable } from '../../plan/measuredTables.ts'
import { besideIn } from '../measured/residual.ts'
import { roundRange } from '../plots/axis.ts'
import type { Line, Panel } from '../plots/plotData.ts'
import { paperColours } from '../plots/seriesColours.ts'
import { type State, shownCurves } from '../store.ts'
import { curveStyle, lookOf } from '../theme.ts'
import { panelsFigure } from './panelsFigure.ts'
import type { ReportFigure } from './parts.ts'

/** Points of a curve that lie within the life of its drop, with their residuals in mm; none without that life. */
function residualLine(curve: MeasuredCurve, beside: Beside | null, state: State): Line[] {
  if (!beside?.compared) return []
  const { time, uncertainty } = usedPoints(curve)
  const { colour, marker } = curveStyle(curve, lookOf(state.measured, state.measured.indexOf(curve)))
  return [
    {
      key: curve.id,
      label: `${curve.name}${beside.own ? ' (own drop)' : ''}`,
      column: `residual_mm (${curve.name})`,
      colour,
      dash: [],
      width: 1,
      kind: 'points',
      marker,
      x: time,
      y: beside.compared.residual.map((value) => 1e3 * value),
      ...(uncertainty ? { base: uncertainty.map((value) => 1e3 * value) } : {}),
      opacity: 1,
    },
  ]
}

/** Of curves held against another life than the shown one, and of what is to be said of others; '' if nothing is. */
export function ownDropSentences(curves: readonly MeasuredCurve[], state: State): string {
  return curves
    .flatMap((curve) => {
      const beside = besideIn(state, curve)
      if (!beside || !(beside.own || beside.remark)) return []
      const against = againstWords(beside)
      const words =
        beside.state !== 'there' ? against : `compared with ${beside.own ? 'the life of ' : ''}${against}`
      return ` ${curve.name}: ${[words, beside.remark].filter(Boolean).join('; ').replace(/\.$/, '')}.`
    })
    .join('')
}

/** The figure with its table; `life` is whole. */
export function residualFigure(state: State, life: Life): ReportFigure {
  const curves = shownCurves(state)
  const lines = curves.flatMap((curve) => residualLine(curve, besideIn(state, curve), state))
  const ends = lines.flatMap(({ y, base }) =>
    Array.from(y, (value, i) => [value, base?.[i] ?? Number.NaN] as const)
      .filter(([value]) => Number.isFinite(value))
      .flatMap(([value, error]) => [value - (error || 0), value + (error || 0)]),
  )
  const range = roundRange(Math.min(0, ...ends), Math.max(0, ...ends), true, 6)
  const zero: Line = {
    key: 'zero',
    label: '',
    column: 'zero',
    colour: paperColours.ink,
    dash: [5, 4],
    width: 1,
    kind: 'line',
    x: [0, state.timeSpan],
    y: [0, 0],
    opacity: 1,
  }
  const panel: Panel = {
    id: 'residual',
    title: 'Residual',
    xLabel: 'time after touch-down, s',
    yLabel: 'measured − life, mm',
    xColumn: 't_s',
    xMin: 0,
    xMax: state.timeSpan,
    yMin: range.min,
    yMax: range.max,
    logarithmic: false,
    lines: [zero, ...lines],
    marks: [],
    weight: 1,
    showX: true,
  }
  const caption = `Above zero the measured radius is larger. Bars: uncertainty of the measured radius where it is given.${ownDropSentences(curves, state)}`
  return {
    ...panelsFigure('Measured radii against the life', caption, [panel]),
    table: residualTable(curves, life, state.ownLives),
  }
}
