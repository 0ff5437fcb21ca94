/**
 * LU factorisation without pivoting of a block-pentadiagonal matrix whose far blocks hold `far` columns only:
 * unknown (i, j), 0 ≤ j < B, couples to all unknowns of cells i−1, i, i+1 and to the first `far` unknowns of
 * cells i ± 2. Stored by rows as a band; entry (p, q) lies at data[p·width + half + q − p].
 */
export class BlockBand {
  readonly blocks: number
  readonly size: number
  readonly half: number
  readonly width: number
  readonly data: Float64Array
  private readonly far: number

  constructor(blocks: number, size: number, far: number) {
    this.blocks = blocks
    this.size = size
    this.far = far
    this.half = 2 * size + far - 1
    this.width = 2 * this.half + 1
    this.data = new Float64Array(blocks * size * this.width)
  }

  clear(): void {
    this.data.fill(0)
  }

  /** Factors in place; the diagonal then holds reciprocal pivots. Returns false at a zero or non-finite pivot. */
  factor(): boolean {
    const { data, half, width, size } = this
    const n = this.blocks * size
    let j = 0
    for (let p = 0; p < n; p++) {
      const reach = Math.min(2 * size + this.far - 1 - j, n - 1 - p)
      const pivotAt = p * width + half
      const inverse = 1 / data[pivotAt]
      if (!(Math.abs(inverse) < 1e300)) return false
      data[pivotAt] = inverse
      for (let r = 1; r <= reach; r++) {
        const rowAt = (p + r) * width + half - r
        const factor = data[rowAt] * inverse
        data[rowAt] = factor
        if (factor === 0) continue
        for (let c = 1; c <= reach; c++) data[rowAt + c] -= factor * data[pivotAt + c]
      }
      if (++j === size) j = 0
    }
    return true
  }

  /** Solves in place for one right-hand side of length blocks·size. */
  solve(b: Float64Array): void {
    const { data, half, width, size } = this
    const n = this.blocks * size
    let j = 0
    for (let p = 0; p < n; p++) {
      const reach = Math.min(2 * size + this.far - 1 - j, n - 1 - p)
      const value = b[p]
      if (value !== 0) {
        let at = p * width + half
        for (let r = 1; r <= reach; r++) {
          at += width - 1
          b[p + r] -= data[at] * value
        }
      }
      if (++j === size) j = 0
    }
    for (let p = n - 1; p >= 0; p--) {
      j = p % size
      const reach = Math.min(2 * size + this.far - 1 - j, n - 1 - p)
      const at = p * width + half
      let sum = b[p]
      for (let c = 1; c <= reach; c++) sum -= data[at + c] * b[p + c]
      b[p] = sum * data[at]
    }
  }
}
