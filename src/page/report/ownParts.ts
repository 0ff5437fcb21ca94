/** The figures of the report that come straight from the state: section, traces, residuals, pulls. */
import type { Life } from '../../life/types.ts'
import { createFields, moveTo, pullsAt } from '../../life/view.ts'
import { duration, length, plain } from '../format.ts'
import { drawnCurves } from '../measured/grouping.ts'
import { pullsDrawing } from '../plots/pullsDrawing.ts'
import { balanceText, pullBalance } from '../plots/pullsModel.ts'
import { limitsOf, sectionPanels } from '../plots/sectionModel.ts'
import { paperColours } from '../plots/seriesColours.ts'
import { marksAt } from '../plots/shown.ts'
import { choiceOf } from '../plots/traces.ts'
import { budgetPanel, radiusPanel, thicknessPanel } from '../plots/tracesModel.ts'
import { type State, type Store, shownCurves } from '../store.ts'
import { panelsFigure } from './panelsFigure.ts'
import { offerPart, type ReportFigure } from './parts.ts'
import { ownDropSentences, residualFigure } from './residualPart.ts'

const wholeLife = ({ life, stale }: State): Life | null =>
  life?.status === 'done' && !stale && life.summary.outcome !== 'failed' ? life : null

const noLife = (state: State): string => (wholeLife(state) ? '' : 'the life of this drop is not there')

const dishOf = (life: Life): number => life.preset.bath.dishRadius_mm * 1e-3

function sectionFigure(state: State, life: Life, time: number): ReportFigure[] {
  const fields = createFields()
  if (!moveTo(fields, life.frames, dishOf(life), time)) return []
  const marks = marksAt(life, fields.time)
  const ghosts = state.pins.flatMap(({ label, colour, dash, life: pinned }) => {
    const own = createFields()
    return moveTo(own, pinned.frames, dishOf(pinned), time) ? [{ label, colour, dash, fields: own }] : []
  })
  const span = state.radialSpan
  const panels = sectionPanels(fields, marks, limitsOf(life), {
    span,
    logarithmic: state.logHeight,
    dark: false,
    ghosts,
  })
  const thin = marks.thin > 0 ? ` Thin spot ${length(marks.thin)} at ${length(marks.thinRadius)}.` : ''
  const ring = marks.ring > 0 ? ` Rim ${length(marks.ring)} at ${length(marks.ringRadius)}.` : ''
  const caption = `Simulated, ${duration(fields.time)} after touch-down, R = ${length(fields.R)}; thickness ${state.logHeight ? 'logarithmic' : 'linear'}.${thin}${ring}`
  return [panelsFigure(`Section at ${plain(fields.time)} s`, caption, panels, { panelHeight: 84 })]
}

function tracesFigures(state: State, life: Life): ReportFigure[] {
  const choice = choiceOf(state, false, paperColours.life)
  const curves = drawnCurves(state).map(({ curve }) => curve)
  const measured =
    curves.length > 0
      ? ` Points: measured (${curves.map(({ name }) => name).join(', ')}).${ownDropSentences(curves, state)}`
      : ''
  const pins =
    state.pins.length > 0 ? ` Pinned lives: ${state.pins.map(({ label }) => label).join(', ')}.` : ''
  const reach = choice.envelope
    ? ' Shaded: 68 and 95 of 100 drops, with the uncertain inputs drawn from their widths.'
    : ''
  return [
    panelsFigure('Radius against time', `R: simulated radius.${reach}${pins}${measured}`, [
      radiusPanel(life, choice),
    ]),
    panelsFigure('Thickness against time', `Simulated thickness of centre, thin spot and rim.${pins}`, [
      thicknessPanel(life, choice),
    ]),
    panelsFigure('Where the liquid is', 'Simulated; strong colour: alcohol, pale: water.', [
      budgetPanel(life, choice),
    ]),
  ]
}

function pullsFigure(state: State, life: Life): ReportFigure[] {
  const fields = createFields()
  if (!moveTo(fields, life.frames, dishOf(life), state.time)) return []
  const balance = pullBalance(pullsAt(fields, state.cursorRadius))
  const words = balanceText(balance)
  const svg = pullsDrawing(balance, { width: 520, dark: false, colours: paperColours, heading: '', words })
  const place = `${plain(1e3 * state.cursorRadius)} mm from the centre, ${duration(fields.time)} after touch-down`
  const csv = [
    'pull,value_Pa',
    ...balance.rows.map(({ name, value }) => `${name},${value.toPrecision(7)}`),
    '',
  ]
  return [
    {
      title: 'Pulls on the oil',
      caption: `Simulated, ${place}. ${words} Line pull of the edge ${plain(1e3 * balance.edge)} mN/m.`,
      svg: svg.replace('<svg ', '<svg xmlns="http://www.w3.org/2000/svg" '),
      csv: csv.join('\n'),
    },
  ]
}

/** Offers them; gives back the function that takes them away. */
export function offerOwnParts(store: Store): () => void {
  const get = () => store.getState()
  const residualsLack = (state: State): string =>
    noLife(state) || (shownCurves(state).length > 0 ? '' : 'no measured series is shown')
  const ends = [
    offerPart({
      id: 'section',
      label: 'Section at the moments below',
      order: 10,
      first: true,
      lacks: () => noLife(get()),
      make: ({ times }) => times.flatMap((time) => sectionFigure(get(), wholeLife(get())!, time)),
    }),
    ...[
      'Radius against time (as in the result)',
      'Thickness against time',
      'Budgets of alcohol and water',
    ].map((label, k) =>
      offerPart({
        id: `trace-${k}`,
        label,
        order: 20 + k,
        first: false,
        lacks: () => noLife(get()),
        make: () => [tracesFigures(get(), wholeLife(get())!)[k]!],
      }),
    ),
    offerPart({
      id: 'residuals',
      label: 'Residuals of the measured series',
      order: 30,
      first: true,
      lacks: () => residualsLack(get()),
      make: () => [residualFigure(get(), wholeLife(get())!)],
    }),
    offerPart({
      id: 'pulls',
      label: 'Pulls at the hair line, at the moment shown',
      order: 70,
      first: false,
      lacks: () => noLife(get()),
      make: () => pullsFigure(get(), wholeLife(get())!),
    }),
  ]
  return () => {
    for (const end of ends) end()
  }
}
