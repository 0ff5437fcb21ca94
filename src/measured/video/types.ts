/** Contracts of the radius from a picture. Lengths in pixels, pixel centres at whole numbers + 0.5, y downwards. */

/** One picture: four bytes per pixel (red, green, blue, opacity), row by row, as a canvas gives them. */
export interface Frame {
  width: number
  height: number
  data: Uint8ClampedArray
  /** Number of pictures that it is the mean of; missing = it is a single one. */
  of?: number
}

/**
 * What tells the drop from the bath: any difference of colour, a difference of tint alone (blind to shadows), less
 * light than the bath, or more.
 */
export type Difference = 'colour' | 'tint' | 'darker' | 'brighter'

export interface Circle {
  x: number
  y: number
  r: number
}

export interface Point {
  x: number
  y: number
}

export interface Settings {
  difference: Difference
  /** Share of the bath's light (0–2) by which a pixel must differ to count as drop; null = found from the picture. */
  level: number | null
  /** Leave out child drops: what hangs on by a thin neck is cut off, what lies apart is never counted. */
  cutChildren: boolean
  /** Only what lies inside counts; null = the whole picture. */
  watch: Circle | null
  /** Make a picture of the bath from the recording where none is given; missing = yes. */
  ownBath?: boolean
}

export const plainSettings = (): Settings => ({
  difference: 'colour',
  level: null,
  cutChildren: true,
  watch: null,
})

/**
 * What is to be known about a frame. `no-drop`: nothing differs enough from the bath. `touches-border`: the drop
 * reaches the edge of the picture or of the watched circle. `size-changed`: not measured, the frame has another
 * size than the first. `faint`: the difference is small beside the noise. `reflection`: a part of the outline was
 * bridged because a reflection or a cut-off child drop lies there. `unreadable`: no picture came.
 * `not-kept`: the frame was measured on an earlier visit, and its recording is not open.
 */
export type Flag =
  | 'no-drop'
  | 'touches-border'
  | 'size-changed'
  | 'faint'
  | 'bridged'
  | 'unreadable'
  | 'not-kept'

export interface DropMark {
  /** Area inside the outline, px². */
  area: number
  /** √(area/π), px, with the shift by the kernel's own smoothing taken back. */
  equivalentRadius: number
  /** Mean distance of the outline from the centre over all directions, px. */
  edgeRadius: number
  /** Centre of the area. */
  x: number
  y: number
  /** 4π·area/perimeter²: 1 for a circle, less for anything else. */
  roundness: number
  /** Width of the edge from 10 % to 90 % of the step, px, the kernel's own smoothing taken off. */
  blur: number
  /** Standard uncertainty of the radius, px: its three parts in quadrature, see `uncertaintyOf`. */
  uncertainty: number
  /** The part that is this frame's alone, px. */
  own: number
  /** By how much the radius is too large when the level lies one standard uncertainty too low, px: alike in all frames. */
  threshold: number
  /** … when one standard uncertainty too much of what hangs on counts as drop, px: alike in all frames. */
  children: number
  /** Share of the bath's light at which the outline lies. */
  level: number
  /** How much the drop differs from the bath, as a share of the bath's light. */
  contrast: number
  /** Standard deviation of the noise of one pixel, as a share of the bath's light. */
  noise: number
  /** The same after smoothing: what the contrast has to stand out of. */
  calmNoise: number
  /** Root mean square distance of the outline from a circle, as a share of the radius. */
  ragged: number
  /** Standard uncertainty of the area by what may be film or child drops, cut off or not, as a share of it. */
  loose: number
  /** Share of the full turn on which the outline was carried across something. */
  bridged: number
  /** Share of the drop's area where a colour is at the end of what the picture can show. */
  clipped: number
  /** Mean light within the outline over the bath's, less 1: above 0 for what is brighter than the bath. */
  gain: number
  /** Share of the area within the outline that looks like bath; missing in what was kept by an earlier version. */
  hollow?: number
  /** Outline as x, y, x, y …, closed. */
  outline: Float32Array
  /** How far the camera has moved against the picture of the bath, px; missing = not at all. */
  shift?: Point
}

/**
 * `counted`: number and spacing are known. `none`: the rim is smooth, as far as a picture of this size shows. `fine`:
 * there is something, but less than `leastSpacing` px from one to the next. `irregular`: the rim is uneven, but not in a
 * way that repeats. `no-rim`: the outline does not go round its own middle.
 */
export type FingerVerdict = 'counted' | 'none' | 'fine' | 'irregular' | 'no-rim'

export interface FingerReading {
  verdict: FingerVerdict
  /** √(area/π) of the outline, and its mean distance from the centre of the area, px; NaN for `no-rim`. */
  areaRadius: number
  meanRadius: number
  /** Fingers round the whole rim with standard error; NaN unless counted. */
  count: number
  countError: number
  /** From one finger to the next along the circle of the area radius, px, with standard error; NaN unless counted. */
  spacing: number
  spacingError: number
  /** Mean radius of the tips and of the necks between them, px, and how many were seen; NaN and 0 unless counted. */
  tipRadius: number
  neckRadius: number
  tips: number
  necks: number
  /** Share of the rim that has fingers, or on which they can be told; NaN unless counted. */
  seen: number
}

export interface FrameResult {
  flags: Flag[]
  drop: DropMark | null
  /** Fingers of the drop; null or missing where none were looked for. */
  fingers?: FingerReading | null
}

/** Grey values of a whole picture or of a coarser one. */
export interface Plane {
  width: number
  height: number
  values: Float32Array
}
