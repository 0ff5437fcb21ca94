/** Traces as data: R(t), thicknesses and budgets of a life. */
import { type Moment, seriesAt } from '../../life/sample.ts'
import type { Life } from '../../life/types.ts'
import type { MeasuredCurve } from '../../measured/types.ts'
import { usedPoints } from '../../measured/usable.ts'
import type { Envelope } from '../../plan/envelope.ts'
import { beadsOf } from '../beads.ts'
import { plain } from '../format.ts'
import type { PinnedLife } from '../store.ts'
import type { Marker } from '../theme.ts'
import { roundRange } from './axis.ts'
import { beadColumns } from './beadColumns.ts'
import type { Line, Panel } from './plotData.ts'
import { logRange } from './sectionModel.ts'
import { budgetColour, styleOf } from './seriesColours.ts'

export interface TraceChoice {
  /** s */
  timeSpan: number
  dark: boolean
  /** Colour of the present life. */
  lifeColour: string
  pins: readonly PinnedLife[]
  /** `mark` follows the name of a curve that is of another drop than the life. */
  measured: readonly { curve: MeasuredCurve; mark?: string; colour: string; marker?: Marker }[]
  /** Where the drawn lives lie, if that is known. */
  envelope?: Envelope | null
}

const scaled = (values: Float64Array, factor: number): Float64Array => values.map((value) => value * factor)

const highest = (arrays: readonly ArrayLike<number>[]): number => {
  let most = 0
  for (const array of arrays) {
    for (let i = 0; i < array.length; i++) if (array[i]! > most) most = array[i]!
  }
  return most
}

const lowest = (values: Float64Array): number =>
  values.reduce((least, value) => (value > 0 ? Math.min(value, least) : least), Number.POSITIVE_INFINITY)

const frameOf = (id: string, title: string, yLabel: string, choice: TraceChoice) => ({
  id,
  title,
  yLabel,
  xLabel: 'time after touch-down, s',
  xColumn: 't_s',
  xMin: 0,
  xMax: choice.timeSpan,
  logarithmic: false,
  marks: [],
  weight: 1,
  showX: true,
})

const plainLine = (line: Omit<Line, 'width' | 'kind' | 'opacity'> & Partial<Line>): Line => ({
  width: 1.6,
  kind: 'line',
  opacity: 1,
  ...line,
})

/** Where 95 and 68 % of the drawn lives lie about the radius curve, the wider one behind. */
function reachLines(life: Life, { t, down, up, wide }: Envelope, colour: string): Line[] {
  const R = t.map((time) => seriesAt(life.series, time).R)
  const area = (key: string, column: string, side: Pick<Envelope, 'down' | 'up'>, opacity: number): Line =>
    plainLine({
      key,
      label: '',
      column,
      colour,
      dash: [],
      kind: 'area',
      x: t,
      y: R.map((r, i) => 1e3 * (r + side.up[i]!)),
      base: R.map((r, i) => 1e3 * Math.max(0, r - side.down[i]!)),
      opacity,
    })
  return [
    ...(wide ? [area('reach-wide', 'R_mm of 95 in 100 (width)', wide, 0.12)] : []),
    area('reach', 'R_mm of 68 in 100 (width)', { down, up }, 0.22),
  ]
}

/** The beads at every kept moment. */
const beadsOfLife = ({ series }: Life) => {
  const moments = Array.from(series.t, (t) => beadsOf(seriesAt(series, t)))
  return beadColumns(series.t, moments)
}

/** Radius against time: this life, pinned lives, measured points. */
export function radiusPanel(life: Life, choice: TraceChoice): Panel {
  const lines: Line[] = [
    ...(choice.envelope ? reachLines(life, choice.envelope, choice.lifeColour) : []),
    ...choice.pins.map((pin) =>
      plainLine({
        key: pin.id,
        label: pin.label,
        column: `R_mm (${pin.label})`,
        colour: pin.colour,
        dash: pin.dash,
        x: pin.life.series.t,
        y: scaled(pin.life.series.R, 1e3),
        width: 1.2,
      }),
    ),
    ...choice.measured.map(({ curve, mark = '', colour, marker }) => {
      const { time, radius, uncertainty } = usedPoints(curve)
      return plainLine({
        key: curve.id,
        label: `${curve.name}${mark}`,
        column: `R_mm (${curve.name})`,
        colour,
        dash: [],
        kind: 'points',
        ...(marker ? { marker } : {}),
        x: time,
        y: scaled(radius, 1e3),
        width: 1,
        ...(uncertainty ? { base: scaled(uncertainty, 1e3) } : {}),
      })
    }),
    plainLine({
      key: 'R',
      label: 'R',
      column: 'R_mm',
      colour: choice.lifeColour,
      dash: [],
      x: life.series.t,
      y: scaled(life.series.R, 1e3),
      width: 2,
    }),
  ]
  const range = roundRange(0, 1.05 * Math.max(1, highest(lines.map((line) => line.y))), true, 4)
  const frame = frameOf('radius', 'Radius R', 'R, mm', choice)
  return { ...frame, yMin: 0, yMax: range.max, lines, columns: () => beadsOfLife(life) }
}

/** Thickness of centre, thin spot and ring, logarithmic. */
export function thicknessPanel(life: Life, choice: TraceChoice): Panel {
  const { series } = life
  const names = ['centre', 'thin', 'ring'] as const
  const labels = { centre: 'centre', thin: 'thin spot', ring: 'rim' }
  const values = { centre: series.centre, thin: series.thin, ring: series.ringHeight }
  const lines = names.map((name) =>
    plainLine({
      key: name,
      label: labels[name],
      column: `${name}_um`,
      ...styleOf(name, choice.dark),
      x: series.t,
      y: scaled(values[name], 1e6),
    }),
  )
  const ghosts = choice.pins.flatMap((pin) =>
    names.map((name) => {
      const of = {
        centre: pin.life.series.centre,
        thin: pin.life.series.thin,
        ring: pin.life.series.ringHeight,
      }
      return plainLine({
        key: `${pin.id} ${name}`,
        label: '',
        column: `${name}_um (${pin.label})`,
        colour: pin.colour,
        dash: pin.dash,
        x: pin.life.series.t,
        y: scaled(of[name], 1e6),
        width: 0.9,
        opacity: 0.7,
      })
    }),
  )
  const range = logRange(
    lowest(series.thin),
    Math.max(highest([series.centre]), highest([series.ringHeight])),
  )
  return {
    ...frameOf('thickness', 'Thickness', 'h, µm', choice),
    yMin: range.min,
    yMax: range.max,
    logarithmic: true,
    lines: [...ghosts, ...lines],
    columns: () => beadsOfLife(life),
  }
}

/** Where the liquid is, µL, stacked: alcohol (strong) and water (pale) in the drop, in child drops, in the oil, evaporated. */
export function budgetPanel(life: Life, choice: TraceChoice): Panel {
  const { series } = life
  const places = [
    ['drop', 'in the drop', series.volume, series.alcohol],
    ['child', 'child drops', series.childVolume, series.childAlcohol],
    ['oil', 'in the oil', series.inOil, series.inOil],
    ['evaporated', 'evaporated', series.evaporatedVolume, series.evaporatedAlcohol],
  ] as const
  const count = series.t.length
  let floor = new Float64Array(count)
  const lines: Line[] = []
  for (const [key, label, volume, alcohol] of places) {
    if (highest([volume.map(Math.abs)]) <= 0) continue
    for (const liquid of ['alcohol', 'water'] as const) {
      // The oil takes up no water.
      if (key === 'oil' && liquid === 'water') continue
      const share = liquid === 'alcohol' ? alcohol : volume.map((v, i) => v - alcohol[i]!)
      const base = floor
      floor = base.map((b, i) => b + 1e9 * share[i]!)
      lines.push(
        plainLine({
          key: `${key} ${liquid}`,
          label: liquid === 'alcohol' ? label : '',
          column: `${key}_${liquid}_uL`,
          colour: budgetColour[key][choice.dark ? 1 : 0],
          dash: [],
          kind: 'area',
          x: series.t,
          y: floor,
          base,
          opacity: liquid === 'alcohol' ? 0.85 : 0.4,
        }),
      )
    }
  }
  const range = roundRange(0, Math.max(0.1, highest([floor])), true, 4)
  return {
    ...frameOf('budget', 'Liquid (pale: water)', 'V, µL', choice),
    yMin: 0,
    yMax: range.max,
    lines,
  }
}

/** What the budget holds at a moment, µL: "drop 7.9 · children 0.56 · oil 0.71 · air 0.70 µL". */
export function budgetWords(moment: Moment): string {
  const places = [
    ['drop', moment.volume],
    ['children', moment.childVolume],
    ['oil', moment.inOil],
    ['air', moment.evaporatedVolume],
  ] as const
  const filled = places.filter(([name, held]) => name === 'drop' || name === 'air' || held > 0)
  // The unit once: all four stand in one line.
  const told = filled.map(([name, held]) => `${name} ${plain(1e9 * held, 2)}`)
  return `${told.join(' · ')} µL`
}
