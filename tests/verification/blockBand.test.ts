/**
 * The block band solver against dense Gaussian elimination with row exchange, for several block sizes and for matrices
 * of very small and very large entries.
 * Source: definition of the solution; G. H. Golub & C. F. Van Loan, Matrix Computations (elimination), from memory.
 */
import { describe, expect, it } from 'vitest'
import { Band, factorBand, solveBand } from '../../src/engine/band.ts'

/** Even random numbers in −1 … 1 (Park & Miller's generator, Comm. ACM 31, 1192 (1988)). */
function randomNumbers(seed: number): () => number {
  let state = seed
  return () => {
    state = (state * 16807) % 2147483647
    return (2 * state) / 2147483647 - 1
  }
}

function denseSolve(matrix: number[][], side: Float64Array): number[] {
  const n = side.length
  const A = matrix.map((row, p) => [...row, side[p]!])
  for (let c = 0; c < n; c++) {
    let best = c
    for (let p = c + 1; p < n; p++) if (Math.abs(A[p]![c]!) > Math.abs(A[best]![c]!)) best = p
    ;[A[c], A[best]] = [A[best]!, A[c]!]
    for (let p = c + 1; p < n; p++) {
      const factor = A[p]![c]! / A[c]![c]!
      for (let q = c; q <= n; q++) A[p]![q] = A[p]![q]! - factor * A[c]![q]!
    }
  }
  const x = new Array<number>(n).fill(0)
  for (let p = n - 1; p >= 0; p--) {
    let sum = A[p]![n]!
    for (let q = p + 1; q < n; q++) sum -= A[p]![q]! * x[q]!
    x[p] = sum / A[p]![p]!
  }
  return x
}

/** Fills the band at random, diagonally dominant; returns shift·1 + extra − data in full. */
function fill(band: Band, scale: number, shift: number, random: () => number): number[][] {
  const { blocks, size, far, half, width, data, extraDiagonal } = band
  const n = blocks * size
  const full = Array.from({ length: n }, () => new Array<number>(n).fill(0))
  for (let p = 0; p < n; p++) {
    for (let q = 0; q < n; q++) {
      const apart = Math.abs(Math.floor(p / size) - Math.floor(q / size))
      // Two cells away only the first unknowns are reached; downward by the first rows only.
      if (apart > 2 || (apart === 2 && (q % size >= far || (q < p && p % size >= far)))) continue
      const value = p === q ? -scale * (4 * size + random()) : scale * random()
      data[p * width + half + q - p] = value
      full[p]![q] = -value
    }
    extraDiagonal[p] = scale * (1 + random())
    full[p]![p] = full[p]![p]! + shift + extraDiagonal[p]!
  }
  return full
}

describe('block band against a dense solver', () => {
  for (const size of [2, 3, 5, 6, 7, 8]) {
    for (const scale of [1e-9, 1, 1e9]) {
      it(`blocks of ${size}, entries of ${scale}`, () => {
        const random = randomNumbers(17 * size + 3)
        const band = new Band(9, size, 2)
        for (let round = 0; round < 2; round++) {
          const full = fill(band, scale, 2.5 * scale, random)
          const kept = band.data.slice()
          expect(factorBand(band, 2.5 * scale)).toBeLessThan(Number.POSITIVE_INFINITY)
          expect(band.data).toEqual(kept)
          for (let sides = 0; sides < 2; sides++) {
            // Behind the last row lie those of the two empty blocks.
            const side = band.vector.subarray(0, full.length)
            side.forEach((_, p) => {
              side[p] = random()
            })
            const wanted = denseSolve(full, side)
            solveBand(band)
            const largest = Math.max(...wanted.map(Math.abs))
            wanted.forEach((x, p) => {
              expect(Math.abs(band.vector[p]! - x), `unknown ${p}`).toBeLessThan(1e-13 * largest)
            })
          }
        }
      })
    }
  }
  it('says so when a pivot vanishes or is not finite', () => {
    const band = new Band(4, 3, 2)
    expect(factorBand(band, 0)).not.toBeLessThan(Number.POSITIVE_INFINITY)
    band.data.fill(Number.NaN)
    expect(factorBand(band, 1)).not.toBeLessThan(Number.POSITIVE_INFINITY)
  })
})
