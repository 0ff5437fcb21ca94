/**
 * Height on the stage of a film of a given thickness. A film is micrometres thick and centimetres wide; the
 * map makes it visible and says how. Lengths in m.
 */
import { tickText } from '../colourScale.ts'

export interface HeightMap {
  /** 'logarithmic': height = decade · log10(1 + h/h0). 'linear': height = factor · h. */
  kind: 'logarithmic' | 'linear'
  /** Height per power of ten of thickness, m. */
  decade: number
  factor: number
  /** True when the wanted factor would have left the picture. */
  reduced: boolean
}

/** Thickness below which the logarithmic map turns linear, m. */
export const bendThickness = 3e-7

/** Share of the radial span that a height may take at most. */
const roomShare = 0.22
/** At the factor 20 a power of ten is this share of the radial span. */
const decadeShare = 0.034

/**
 * The map for a wanted `factor` (> 0), a radial span and the largest thickness to be shown. In the linear map
 * the factor is lowered to a round number where the drop would leave the picture.
 */
export function heightMap(
  logarithmic: boolean,
  factor: number,
  span: number,
  thickest: number,
  room = roomShare * span,
): HeightMap {
  const mostDecades = Math.log10(1 + Math.max(thickest, 1e-5) / bendThickness)
  const decade = Math.min((decadeShare * span * factor) / 20, room / mostDecades)
  const allowed = room / Math.max(thickest, 1e-9)
  const reduced = factor > allowed
  return {
    kind: logarithmic ? 'logarithmic' : 'linear',
    decade,
    factor: reduced ? roundDown(allowed) : factor,
    reduced: !logarithmic && reduced,
  }
}

/** Two leading digits, rounded down. */
function roundDown(value: number): number {
  const unit = 10 ** (Math.floor(Math.log10(value)) - 1)
  return Number((Math.floor(value / unit) * unit).toPrecision(3))
}

/** Height in m of a film `h` m thick; 0 for a dry place. */
export function heightOf(map: HeightMap, h: number): number {
  if (!(h > 0)) return 0
  return map.kind === 'linear' ? map.factor * h : map.decade * Math.log10(1 + h / bendThickness)
}

/** What the picture says about its heights. */
export function heightText(map: HeightMap): string {
  if (map.kind === 'logarithmic') {
    const step = tickText(Number((1e3 * map.decade).toPrecision(2)))
    return `Heights logarithmic: each ${step} mm step is 10 times thicker`
  }
  const why = map.reduced ? ' (more would leave the picture)' : ''
  return `Heights × ${tickText(map.factor)}${why}`
}

/** Thicknesses (m) for the ruler beside the cut: powers of ten in the logarithmic map, round steps in the linear. */
export function rulerThicknesses(map: HeightMap, thickest: number): number[] {
  if (map.kind === 'logarithmic') {
    return [1e-6, 1e-5, 1e-4, 1e-3].filter((h) => h === 1e-6 || h === 1e-5 || h <= thickest * 3)
  }
  const power = 10 ** Math.floor(Math.log10(Math.max(thickest, 1e-8)))
  const step = thickest / power >= 5 ? 5 * power : thickest / power >= 2 ? 2 * power : power
  return [Number(step.toPrecision(3))]
}
