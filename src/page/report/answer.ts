/** The result pages of a report: answer, figure, table, doubts; with what a fit has to say, if there is one. */

import type { Life } from '../../life/types.ts'
import type { MeasuredCurve } from '../../measured/types.ts'
import { answerOf, COLLAPSE_LEVEL, courseBeside } from '../../plan/answer.ts'
import type { LifeUncertainty } from '../../plan/reportTables.ts'
import { besideIn } from '../measured/residual.ts'
import type { Line } from '../plots/plotData.ts'
import { paperColours } from '../plots/seriesColours.ts'
import { choiceOf } from '../plots/traces.ts'
import { radiusPanel } from '../plots/tracesModel.ts'
import { type State, shownCurves } from '../store.ts'
import { curveStyle, lookOf } from '../theme.ts'
import { panelsFigure } from './panelsFigure.ts'
import { offeredParts, type ReportFigure } from './parts.ts'
import type { ResultPages } from './resultPages.ts'

const styleOf = (state: State, curve: MeasuredCurve) =>
  curveStyle(curve, lookOf(state.measured, state.measured.indexOf(curve)))

/** Lives of the drops that curves state, one each, in the colour of their strength. */
function ownLines(state: State, life: Life): Line[] {
  const drawn = new Set<ArrayLike<number>>()
  return shownCurves(state).flatMap((curve): Line[] => {
    const beside = besideIn(state, curve)
    const course = courseBeside(curve, { life, lives: state.ownLives })
    if (!beside?.own || !course || drawn.has(course.R)) return []
    drawn.add(course.R)
    const { colour } = styleOf(state, curve)
    return [
      {
        key: `life of ${curve.id}`,
        label: `simulated: ${beside.drop}`,
        column: `R_mm (simulated: ${beside.drop})`,
        colour,
        dash: [],
        width: 1.6,
        kind: 'line',
        x: course.t,
        y: course.R.map((r) => 1e3 * r),
        opacity: 1,
      },
    ]
  })
}

function resultFigure(state: State, life: Life): ReportFigure {
  const curves = shownCurves(state)
  const same = curves.find((curve) => besideIn(state, curve)?.own === false)
  const colour = same ? styleOf(state, same).colour : curves.length > 0 ? paperColours.ink : paperColours.life
  const choice = choiceOf(state, false, colour, false)
  // Each series stands beside its own life here: no mark for those of other drops.
  const measured = choice.measured.map((one) => ({ ...one, mark: '' }))
  const panel = radiusPanel(life, { ...choice, measured })
  const lines = panel.lines.map((line) =>
    line.key === 'R'
      ? { ...line, label: curves.length > 0 ? 'simulated: the drop of this report' : '' }
      : line,
  )
  const marks =
    curves.length > 0 ? 'Marks: measured, bars ± 1 σ where it is given. Lines: simulated' : 'Simulated'
  const own = ownLines(state, life)
  const colours = own.length > 0 ? '; each life of another drop in the colour of its series' : ''
  const reach =
    state.neighbours.envelope && !state.stale
      ? '. Shaded: 68 and 95 of 100 drops, with the uncertain inputs drawn from their widths'
      : ''
  return panelsFigure(
    curves.length > 0 ? 'Measured and simulated radius' : 'Simulated radius',
    `${marks}${colours}${reach}.`,
    [{ ...panel, lines: [...lines, ...own] }],
    { panelHeight: 250 },
  )
}

/** @param sentence the life in a sentence */
export function resultPages(
  state: State,
  life: Life,
  error: LifeUncertainty,
  sentence: string,
  isChosen: (id: string, first: boolean) => boolean,
): ResultPages {
  const curves = shownCurves(state)
  const { ownLives: lives, neighbours } = state
  const answer = answerOf({ life, sentence, curves, lives, error, band: neighbours.band })
  const fitted = offeredParts()
    .filter(({ id, first, lacks }) => isChosen(id, first) && lacks() === '')
    .flatMap(({ answer: told }) => told?.() ?? [])
  return {
    sentences: [...fitted.flatMap(({ sentences }) => sentences), ...answer.sentences],
    figure: resultFigure(state, life),
    table: answer.table,
    note:
      curves.length > 0
        ? `Largest radius and collapse (radius below ${COLLAPSE_LEVEL} of it) of measured series come from smooth fits through the points about them, ± 1 σ.`
        : '',
    doubts: [...fitted.flatMap(({ doubts }) => doubts), ...answer.doubts],
  }
}
