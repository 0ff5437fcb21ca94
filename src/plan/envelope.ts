/** By how much the radius may be smaller or larger than that of the central life, m, at times t, s; 68 % of lives lie within. */
export interface Envelope {
  t: Float64Array
  down: Float64Array
  up: Float64Array
  /** 95 % of lives. */
  wide?: { down: Float64Array; up: Float64Array }
}
