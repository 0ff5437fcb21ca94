/** Which series there are to be scaled: measured curves, lives that are shown or pinned, lives run for the purpose. */
import type { Life, LifeFrames, Preset } from '../../life/types.ts'
import type { MeasuredCurve } from '../../measured/types.ts'
import { itemOfCurve, itemOfLife, type ScalingItem } from '../../plan/scalingItem.ts'
import { labelFor } from '../lives/pins.ts'
import type { State } from '../store.ts'
import { curveStyle, lookOf, type Marker, seriesStyles } from '../theme.ts'

/** Lives that were run for the purpose, and of which drop they are. */
export interface Rows {
  /** One drop at several strengths. */
  strengths: readonly ScalingItem[]
  /** A life for each measured curve; the id is that of the curve behind "life of ". */
  beside: readonly ScalingItem[]
}

export const besideId = (curve: Pick<MeasuredCurve, 'id'>): string => `life of ${curve.id}`

export interface ShownSeries {
  item: ScalingItem
  /** CSS colour; null = that of the present life. */
  colour: string | null
  dash: readonly number[]
  marker: Marker
  /** Whether it takes part before anybody has chosen. */
  first: boolean
}

const items = new WeakMap<LifeFrames, ScalingItem>()
/** Numerical errors of largest radii that were learnt while a life was the present one, m. */
const errors = new WeakMap<LifeFrames, number>()

/** Keeps the numerical error of the present life, so that it stays known when the life is pinned. */
export function noteError({ life, stale, neighbours }: State): void {
  if (life && !stale && neighbours.radiusError > 0) errors.set(life.frames, neighbours.radiusError)
}

function ofLife(life: Life, id: string, name: string): ScalingItem {
  const error = errors.get(life.frames) ?? life.summary.maxRadiusError
  const known = items.get(life.frames)
  if (known?.id === id && known.name === name && Object.is(known.maxRadiusError, error)) return known
  const made = itemOfLife(life, { id, name }, error)
  items.set(life.frames, made)
  return made
}

const curves = new WeakMap<MeasuredCurve, { base: Preset; item: ScalingItem }>()

function ofCurve(curve: MeasuredCurve, base: Preset): ScalingItem {
  const known = curves.get(curve)
  if (known?.base === base) return known.item
  const item = itemOfCurve(curve, base)
  curves.set(curve, { base, item })
  return item
}

/** Styles of a row of lives: colours and dashes are combined so that none repeats soon. */
const rowStyle = (i: number): { colour: string; dash: readonly number[] } => {
  const count = seriesStyles.length
  const dash = seriesStyles[(i + Math.floor(i / count) + 1) % count]!.dash
  return { colour: seriesStyles[i % count]!.colour, dash }
}

const isWhole = (life: Life | null): life is Life =>
  life?.status === 'done' && life.summary.outcome !== 'failed'

function presentOf({ life, stale, pins }: State): ShownSeries[] {
  if (!isWhole(life) || stale || pins.some((pin) => pin.life.frames === life.frames)) return []
  const item = ofLife(life, 'present', `${labelFor(life)} (present)`)
  return [{ item, colour: null, dash: [], marker: 'square', first: true }]
}

/** Everything that can be chosen, measured curves first. */
export function seriesOf(state: State, rows: Rows): ShownSeries[] {
  const measured = state.measured.map((curve, i): ShownSeries => {
    const { colour, marker } = curveStyle(curve, lookOf(state.measured, i))
    const first = !state.hidden.has(curve.id)
    return { item: ofCurve(curve, state.preset), colour, dash: [], marker, first }
  })
  const pinned = state.pins
    .filter(({ life }) => isWhole(life))
    .map(({ id, label, life, colour, dash }): ShownSeries => {
      return { item: ofLife(life, id, label), colour, dash, marker: 'square', first: true }
    })
  const beside = rows.beside.map((item): ShownSeries => {
    const of = measured.find((one) => besideId(one.item) === item.id)
    return { item, colour: of?.colour ?? null, dash: [7, 3], marker: 'square', first: true }
  })
  const strengths = rows.strengths.map((item, i): ShownSeries => {
    return { item, ...rowStyle(i), marker: 'square', first: true }
  })
  return [...measured, ...presentOf(state), ...pinned, ...beside, ...strengths]
}
