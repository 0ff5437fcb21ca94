/** How far a radius may be off: from what is seen in the frame itself. */

/** Quartile distance of a normal distribution in standard deviations. */
export const quartiles = 1.349

/** What of a frame tells how well its radius is known. Shares as in `DropMark`. */
export interface Doubts {
  /** Radius, px. */
  radius: number
  /** Standard deviation of the edge's blur, px. */
  blur: number
  /** Standard error of the edge's place from the scatter of its readings, px. */
  scatter: number
  /** Shift of a round edge by blur and smoothing, px: in full for drops that are small beside the blur. */
  bend: number
  ragged: number
  /** Raggedness without ovals and slow waves. */
  fine: number
  loose: number
  bridged: number
}

export interface Parts {
  own: number
  threshold: number
  children: number
  uncertainty: number
}

/** Least relative standard uncertainty of a radius: a picture is never quite true to scale (common practice, no source). */
const floor = 0.0005
/** Shares of the raggedness by which a radius errs, read and bridged. These and the two below: set by drawn recordings. */
const raggedShare = 0.05
const bridgedShare = 0.5
/** Standard uncertainty of the level's place in the step, as a share of the blur's standard deviation. */
const levelShare = 0.05
/** Share of the bumps that are no larger than the blur by which the radius errs. */
const bumpShare = 0.5
/** Share of the edge's scatter and bend, and of the doubtful area (its pieces do not all err together). */
const edgeShare = 0.5
const looseShare = 0.5
/**
 * The parts of the standard uncertainty of a radius, px, and all in quadrature. `threshold`: the light at which the edge
 * lies is known from the camera's curve and the film's own profile only so well, and the edge's place moves with it by a
 * share of its blur. `children`: what may be film or child drop (`loose` is that of the
 * area already), and bumps too small beside the blur to tell fingers from child drops that touch. `own`: scatter of the edge along
 * the outline, bend of the edge, a share of the raggedness (in full where the outline was bridged), the floor.
 */
export function uncertaintyOf({ radius, blur, scatter, bend, ragged, fine, loose, bridged }: Doubts): Parts {
  const own = Math.hypot(
    edgeShare * scatter,
    0.5 * edgeShare * bend,
    radius * ragged * Math.hypot(raggedShare, bridgedShare * bridged),
    radius * floor,
  )
  const threshold = levelShare * blur
  const bumps = radius * fine
  const unresolved = Math.min(1, blur / Math.max(bumps, 1e-9)) ** 2
  const children = Math.hypot(
    looseShare * radius * (Math.sqrt(1 + loose) - 1),
    bumpShare * unresolved * bumps,
  )
  return { own, threshold, children, uncertainty: Math.hypot(own, threshold, children) }
}
