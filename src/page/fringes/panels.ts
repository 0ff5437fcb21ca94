/** Brightness and thickness along the radius as plots. Pure. */
import { type Thickness, totalSigma } from '../../measured/fringes/types.ts'
import { roundRange } from '../plots/axis.ts'
import type { Line, Panel } from '../plots/plotData.ts'
import type { PlotColours } from '../plots/seriesColours.ts'
import { roundUp } from '../spans.ts'
import type { RoundAbout } from './picture.ts'
import type { SimulatedFilm } from './simulated.ts'

export interface Shown {
  thickness: Thickness
  brightness: Float64Array
  film: SimulatedFilm | null
  /** What the fringes were found to lie about. */
  shape: RoundAbout
}

const line = (part: Omit<Line, 'width' | 'kind' | 'opacity' | 'dash'> & Partial<Line>): Line => ({
  width: 1.6,
  kind: 'line',
  opacity: 1,
  dash: [],
  ...part,
})

const most = (values: ArrayLike<number>): number => {
  let top = 0
  for (let i = 0; i < values.length; i++) if (values[i]! > top) top = values[i]!
  return top
}

/** Lowest thickness of what is measured as differences, by the simulation: what its lines are counted from, µm. */
export function baseOf({ thickness, film }: Shown): number {
  const { pieces, r, h } = thickness
  if (!film || pieces.length === 0 || pieces.some(({ absolute }) => absolute)) return 0
  let at = -1
  for (let i = 0; i < h.length; i++) if (!Number.isNaN(h[i]!) && (at < 0 || h[i]! < h[at]!)) at = i
  const base = at < 0 ? 0 : film.h(r[at]!)
  return Number.isFinite(base) ? 1e6 * base : 0
}

function brightnessPanel(
  { thickness, brightness }: Shown,
  x: Float64Array,
  end: number,
  colours: PlotColours,
): Panel {
  const { fringes } = thickness
  const at = (r: number) =>
    brightness[Math.min(brightness.length - 1, Math.max(0, Math.round((1e3 * r - x[0]!) / (x[1]! - x[0]!))))]!
  const marks = (bright: boolean) => {
    const kind = fringes.filter((one) => one.bright === bright)
    return line({
      key: bright ? 'bright' : 'dark',
      label: bright ? 'bright fringe' : 'dark fringe',
      column: bright ? 'bright_fringe_light' : 'dark_fringe_light',
      colour: colours.accent,
      kind: 'points',
      marker: bright ? 'triangle' : 'square',
      width: 1.4,
      x: kind.map(({ r }) => 1e3 * r),
      y: kind.map(({ r }) => at(r)),
    })
  }
  const light = line({
    key: 'light',
    label: 'light',
    column: 'light',
    colour: colours.ink,
    width: 1.2,
    x,
    y: brightness,
  })
  const shown = fringes.length > 0 ? [light, marks(true), marks(false)] : [light]
  return {
    id: 'light',
    title: 'Light along the radius',
    xLabel: '',
    yLabel: 'light, share',
    xColumn: 'r_mm',
    xMin: 0,
    xMax: end,
    yMin: 0,
    yMax: roundUp(Math.max(most(brightness), 1e-6), 4),
    logarithmic: false,
    lines: shown,
    marks: [],
    weight: 1,
    showX: false,
  }
}

function thicknessPanel(shown: Shown, x: Float64Array, end: number, colours: PlotColours): Panel {
  const { thickness, film } = shown
  const { h, own, shared, r } = thickness
  const absolute = thickness.pieces.every((piece) => piece.absolute)
  const micrometres = h.map((value) => 1e6 * value)
  const sigma = h.map((_, i) => 1e6 * totalSigma(thickness, i))
  const base = baseOf(shown)
  const simulated = film ? Float64Array.from(r, (at) => 1e6 * film.h(at) - base) : null
  const top = 1.25 * Math.max(most(micrometres), 0.2)
  const lines: Line[] = []
  if (simulated) {
    lines.push(
      line({
        key: 'simulated',
        label: 'simulated',
        column: absolute ? 'simulated_h_um' : 'simulated_h_difference_um',
        colour: colours.life,
        dash: [6, 3],
        x,
        y: simulated,
      }),
    )
  }
  const edge = (key: string, sign: number, label: string) =>
    line({
      key,
      label,
      column: sign > 0 ? 'h_plus_2_sigma_um' : 'h_minus_2_sigma_um',
      colour: colours.accent,
      width: 1,
      opacity: 0.7,
      x,
      y: micrometres.map((value, i) => value + 2 * sign * sigma[i]!),
    })
  lines.push(edge('upper', 1, '± 2 σ'), edge('lower', -1, ''))
  lines.push(
    line({
      key: 'h',
      label: 'from fringes',
      column: absolute ? 'h_um' : 'h_difference_um',
      colour: colours.ink,
      width: 2,
      x,
      y: micrometres,
    }),
  )
  const column = (name: string, values: Float64Array) => ({
    column: name,
    x,
    y: values.map((value) => 1e6 * value),
  })
  return {
    id: 'h',
    title: absolute ? 'Thickness' : 'Difference of thickness',
    xLabel: 'distance from the centre r, mm',
    yLabel: absolute ? 'h, µm' : 'Δh, µm',
    xColumn: 'r_mm',
    xMin: 0,
    xMax: end,
    yMin: 0,
    yMax: roundRange(0, top, true).max,
    logarithmic: false,
    lines,
    marks: [],
    columns: () => [
      column('sigma_own_um', own),
      column('sigma_shared_um', shared),
      { column: 'sigma_total_um', x, y: sigma },
    ],
    weight: 1.6,
    showX: true,
  }
}

export function fringePanels(shown: Shown, colours: PlotColours): Panel[] {
  const x = shown.thickness.r.map((r) => 1e3 * r)
  const end = roundUp(x.at(-1)!, 5)
  return [brightnessPanel(shown, x, end, colours), thicknessPanel(shown, x, end, colours)]
}
