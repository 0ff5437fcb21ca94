/** The section as data: thickness, alcohol fraction, tension and speeds along the radius, mirrored about the axis. */
import type { Life } from '../../life/types.ts'
import type { Fields } from '../../life/view.ts'
import { beadsText } from '../beads.ts'
import { length } from '../format.ts'
import { roundRange } from './axis.ts'
import { beadColumns } from './beadColumns.ts'
import type { Line, Panel } from './plotData.ts'
import { styleOf } from './seriesColours.ts'
import type { Marks } from './shown.ts'

/** Values of one field over the mirrored axis. */
function mirrored(values: ArrayLike<number>, count: number, factor: number): Float64Array {
  const out = new Float64Array(2 * count)
  for (let i = 0; i < count; i++) {
    out[count + i] = factor * values[i]!
    out[count - 1 - i] = factor * values[i]!
  }
  return out
}

function mirroredRadii(radii: ArrayLike<number>, count: number): Float64Array {
  const out = mirrored(radii, count, 1e3)
  for (let i = 0; i < count; i++) out[i] = -out[i]!
  return out
}

/** Smallest and largest of a field in a whole life, so that the axes stand still while time moves. */
export interface Limits {
  thickest: number
  /** Smallest thin spot, m; Infinity if none. */
  thinnest: number
  phi: [number, number]
  sigma: [number, number]
}

function extent(values: Float64Array): [number, number] {
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  for (const value of values) {
    if (value < low) low = value
    if (value > high) high = value
  }
  return [low, high]
}

export const limitsOf = ({ frames, series }: Life): Limits => ({
  thickest: extent(frames.h)[1],
  thinnest: extent(series.thin)[0],
  phi: extent(frames.phi),
  sigma: extent(frames.sigma),
})

/** Range in µm of a logarithmic thickness axis that holds these thicknesses (m). */
export const logRange = (thinnest: number, thickest: number): { min: number; max: number } => ({
  min: Math.max(1e-3, Math.min(0.05, 0.4e6 * thinnest)),
  max: Math.max(10, 1.5e6 * thickest),
})

/** A pinned life at the same moment. */
export interface Ghost {
  label: string
  colour: string
  dash: readonly number[]
  fields: Fields
}

interface Choice {
  /** m */
  span: number
  logarithmic: boolean
  dark: boolean
  ghosts: readonly Ghost[]
}

const edgeAndCells = (fields: Fields) => {
  const count = fields.inner + 1
  const radii = new Float64Array(count)
  radii.set(fields.cellRadius)
  radii[count - 1] = fields.R
  return { count, x: mirroredRadii(radii, count) }
}

function heights(fields: Fields, count: number): Float64Array {
  const values = new Float64Array(count)
  values.set(fields.h)
  return mirrored(values, count, 1e6)
}

const lineOf = (
  key: string,
  label: string,
  column: string,
  style: { colour: string; dash: readonly number[] },
  x: Float64Array,
  y: Float64Array,
): Line => ({ key, label, column, ...style, width: 1.6, kind: 'line', x, y, opacity: 1 })

function ghostLines(ghosts: readonly Ghost[]): Line[] {
  return ghosts.map((ghost, i) => {
    const { count, x } = edgeAndCells(ghost.fields)
    const name = `h_um (${ghost.label})`
    const { colour, dash } = ghost
    const line = lineOf(`ghost${i}`, ghost.label, name, { colour, dash }, x, heights(ghost.fields, count))
    return { ...line, width: 1, opacity: 0.75 }
  })
}

function thicknessPanel(fields: Fields, marks: Marks, limits: Limits, choice: Choice): Panel {
  const { count, x } = edgeAndCells(fields)
  const style = styleOf('thickness', choice.dark)
  const now = extent(fields.h)[1] * 1e6
  const range = choice.logarithmic
    ? logRange(limits.thinnest, limits.thickest)
    : roundRange(0, 1.15 * now, true, 4)
  const beads = marks.beads?.grown ? ` · ${beadsText(marks.beads)}` : ''
  const points: [number, number, string][] = [
    [marks.thinRadius, marks.thin, 'thin spot'],
    [-marks.ringRadius, marks.ring, 'rim'],
  ]
  return {
    ...frameOf('thickness', 'Thickness', 'h, µm', choice, range),
    logarithmic: choice.logarithmic,
    weight: 1.7,
    lines: [...ghostLines(choice.ghosts), lineOf('h', 'h', 'thickness_um', style, x, heights(fields, count))],
    marks: points
      .filter(([r, h]) => Number.isFinite(r) && Number.isFinite(h))
      .map(([r, h, name]) => ({
        x: 1e3 * r,
        y: 1e6 * h,
        label: `${name} ${length(h)} at ${length(Math.abs(r))}${name === 'rim' ? beads : ''}`,
        below: name === 'thin spot',
      })),
    columns: () => beadColumns([1e3 * marks.ringRadius], [marks.beads]),
  }
}

const frameOf = (
  id: string,
  title: string,
  yLabel: string,
  choice: Choice,
  range: { min: number; max: number },
) => ({
  id,
  title,
  yLabel,
  xLabel: 'distance from the centre r, mm',
  xColumn: 'r_mm',
  xMin: -1e3 * choice.span,
  xMax: 1e3 * choice.span,
  yMin: range.min,
  yMax: range.max,
  logarithmic: false,
  marks: [],
  weight: 1,
  showX: false,
})

function speedPanel(fields: Fields, choice: Choice): Panel {
  const faces = fields.faceRadius.length
  const inner = fields.inner + 1
  const bath = mirrored(fields.u, faces, 1e3)
  const surface = mirrored(fields.surfaceSpeed, inner, 1e3)
  const [low, high] = extent(bath)
  const [lowest, highest] = extent(surface)
  const range = roundRange(Math.min(low, lowest), Math.max(high, highest, 0.01), true, 3)
  return {
    ...frameOf('speed', 'Speed', 'u, mm/s', choice, range),
    showX: true,
    lines: [
      lineOf(
        'u',
        'bath',
        'bath_speed_mm_per_s',
        styleOf('bath', choice.dark),
        mirroredRadii(fields.faceRadius, faces),
        bath,
      ),
      lineOf(
        'surface',
        'film top',
        'surface_speed_mm_per_s',
        styleOf('surface', choice.dark),
        mirroredRadii(fields.faceRadius, inner),
        surface,
      ),
    ],
  }
}

/** The four panels at one moment. */
export function sectionPanels(fields: Fields, marks: Marks, limits: Limits, choice: Choice): Panel[] {
  const x = mirroredRadii(fields.cellRadius, fields.inner)
  const sigma = roundRange(1e3 * limits.sigma[0], 1e3 * limits.sigma[1], false, 3)
  const phi = roundRange(0, Math.max(0.05, limits.phi[1]), true, 3)
  return [
    thicknessPanel(fields, marks, limits, choice),
    {
      ...frameOf('alcohol', 'Alcohol, share of volume', 'φ, –', choice, phi),
      lines: [
        lineOf(
          'phi',
          'φ',
          'alcohol_volume_fraction',
          styleOf('alcohol', choice.dark),
          x,
          mirrored(fields.phi, fields.inner, 1),
        ),
      ],
    },
    {
      ...frameOf('tension', 'Tension on the bath', 'σ, mN/m', choice, sigma),
      lines: [
        lineOf(
          'sigma',
          'σ',
          'tension_mN_per_m',
          styleOf('tension', choice.dark),
          x,
          mirrored(fields.sigma, fields.inner, 1e3),
        ),
      ],
    },
    speedPanel(fields, choice),
  ]
}
