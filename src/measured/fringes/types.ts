/** Contracts of the thickness from fringes. SI units; light on any scale that is linear in light. */

/** Brightness along the radius. Steps are even; a step without pixels is NaN. */
export interface RadialLight {
  /** Middle of each step, m, ascending. */
  r: Float64Array
  /** Mean light of red, green, blue, and its standard error from the scatter of the pixels. */
  light: [Float64Array, Float64Array, Float64Array]
  error: [Float64Array, Float64Array, Float64Array]
  /** Mean light of the bath just outside the rim; null where the picture does not show it. */
  outside: readonly [number, number, number] | null
  /** Width of a step, m. */
  step: number
  /** What was taken as centre (px) and how far from round the drop is: r(θ) = r (1 + c2 cos 2θ + s2 sin 2θ). */
  centre: { x: number; y: number }
  c2: number
  s2: number
}

/** Where the thickness is known beforehand. */
export type Known =
  /** The film thins to nothing at the rim, which lies at `r` (m). */
  | { at: 'rim'; r: number }
  /** The thickness at the radius `r` (m; 0 = the centre) is known, m, with its standard uncertainty. */
  | { at: 'place'; r: number; h: number; sigma: number }
  | { at: 'nowhere' }

/** Colours of the film, as linear light of red, green and blue on any common scale. */
export interface FilmColours {
  /** Thickness of the first entry is 0; from one to the next, m. */
  step: number
  light: [Float64Array, Float64Array, Float64Array]
  /** Light of a film too thick to show colours. */
  thick: readonly [number, number, number]
}

/** A film on a bath, seen through its own index. */
export interface Film {
  /** Refractive index of the film, of the bath, and the standard uncertainty of the film's. */
  index: number
  bath: number
  indexSigma: number
  /** Angle of light and view to the vertical in the air, rad; 0 = straight from above. */
  angle: number
}

/** A run of radii in which the thickness hangs together. */
export interface Piece {
  /** First and last index. */
  from: number
  to: number
  /** False: only differences of thickness are known; the values then count from the piece's smallest one. */
  absolute: boolean
  /** False: the sign of the differences is not known either. */
  signed: boolean
  /** Fringes that were passed, whole and parts. */
  orders: number
}

export interface Thickness {
  r: Float64Array
  /** Thickness, m; NaN where it cannot be told. */
  h: Float64Array
  /** Standard uncertainty of each point by itself (noise, phase), m. */
  own: Float64Array
  /** Standard uncertainty that all points share (wavelength, index, known thickness), m. */
  shared: Float64Array
  pieces: Piece[]
  /** Radii of bright and dark fringes, m; order in wavelengths of path (whole = bright, where both reflections turn alike), NaN if unknown. */
  fringes: { r: number; bright: boolean; order: number }[]
  /** Radii at which the film turns from thinning to thickening or back, m. */
  turns: number[]
  /** What cannot be told and why, in whole sentences. */
  notes: string[]
}

/** √(own² + shared²) of a point, m. */
export const totalSigma = ({ own, shared }: Pick<Thickness, 'own' | 'shared'>, i: number): number =>
  Math.hypot(own[i]!, shared[i]!)
