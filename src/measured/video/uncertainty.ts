/** How far a radius may be off: from what is seen in the frame itself. */

/** Quartile distance of a normal distribution in standard deviations. */
export const quartiles = 1.349

/**
 * Standard uncertainty of the edge's place, px: the place is taken to lie anywhere between a quarter and three
 * quarters of the step with the same likelihood (rectangular distribution, half width over √3: JCGM 100:2008, 4.3.7),
 * added in quadrature to the scatter of the readings along the outline and to the shift by curvature, which counts in
 * full for drops that are small beside the blur.
 */
export const edgeUncertainty = (blurSigma: number, scatter: number, shift: number): number =>
  Math.hypot((quartiles * blurSigma) / 2 / Math.sqrt(3), scatter, shift)

/** What of a frame tells how well its radius is known. Shares as in `DropMark`. */
export interface Doubts {
  /** Radius and the edge's own uncertainty, px. */
  radius: number
  edge: number
  ragged: number
  loose: number
  bridged: number
}

/** Least relative standard uncertainty of a radius: a picture is never quite true to scale (common practice, no source). */
const floor = 0.003
/** Share of an outline's raggedness by which the radius may be off: set by drawn recordings of known radius. */
const raggedShare = 0.3

/**
 * Standard uncertainty of a radius, px. What hangs on by necks is a finger's tip (drop) or a child drop (not drop), and
 * the picture does not tell which: the radius is taken to lie anywhere between without and with it (rectangular
 * distribution, its width over √3 about one of its ends: JCGM 100:2008, 4.3.7). To that come the edge, a share of the
 * raggedness, which covers what is wrongly in or out without a neck, and the floor; all in quadrature. `bridged`
 * stretches are places that nothing was read from: they are taken to err by the raggedness in full.
 */
export function radiusUncertainty({ radius, edge, ragged, loose, bridged }: Doubts): number {
  const between = (Math.sqrt(1 + loose) - 1) / Math.sqrt(3)
  return Math.hypot(
    edge,
    radius * between,
    radius * ragged * Math.hypot(raggedShare, bridged),
    radius * floor,
  )
}
