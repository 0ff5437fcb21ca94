/**
 * With how many pixels the drop is drawn. Where drawing is slow (no graphics processor, a small machine) a drop that moves
 * is drawn with fewer, so that a slider and the clock stay quick, and sharpened once it rests. Pure.
 */

/** Pixels along a line relative to those of the screen, from the best on. */
const LEVELS: readonly number[] = [1, 0.5, 0.35]
/** Pictures that follow each other more slowly than this (ms) jerk, more quickly than that leave room. */
const SLOW = 45
const QUICK = 22
/** Pictures further apart than this (ms) do not follow each other. */
const APART = 400
/** So many quick pictures in a row are needed before a better level is tried; four times as many after each failure. */
const FIRST_TRUST = 8

/** After this long without a new picture (ms) the drop rests. */
export const RESTS_AFTER = 350

export class Sharpness {
  private level = 0
  private last = Number.NEGATIVE_INFINITY
  private quick = 0
  private trust = FIRST_TRUST
  private tried = false

  /**
   * A picture that moves is drawn at `now` (ms, by the display's frames).
   * @returns pixels along a line relative to the screen's, 0.35 to 1
   */
  moving(now: number): number {
    const gap = now - this.last
    this.last = now
    if (gap > APART) {
      this.quick = 0
      return LEVELS[this.level]!
    }
    if (gap > SLOW) this.coarser()
    else this.quick = gap < QUICK ? this.quick + 1 : 0
    if (this.level > 0 && this.quick >= this.trust) {
      this.level--
      this.quick = 0
      this.tried = true
    }
    return LEVELS[this.level]!
  }

  private coarser(): void {
    if (this.tried) this.trust = Math.min(4 * this.trust, 1000)
    this.tried = false
    this.quick = 0
    this.level = Math.min(this.level + 1, LEVELS.length - 1)
  }

  /** Whether a picture that was drawn while it moved is coarser than it could be. */
  get coarse(): boolean {
    return this.level > 0
  }
}
