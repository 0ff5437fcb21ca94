/** The bath's light where it is asked for: along a row of pixels, or at every block. */
import { leastLight, type Picture } from './bathPicture.ts'
import { type Coefficients, placeOf } from './bathSurface.ts'
import type { Coarse } from './light.ts'
import type { Point } from './types.ts'

/** Light of the bath as polynomials of both coordinates (−1 … 1 over the picture), one per colour. */
export interface Bath {
  degree: number
  width: number
  height: number
  coefficients: Coefficients
  /** Light of the bare bath's picture, by colour; the polynomials are then factors of it. */
  picture?: Picture
  /** What of the camera's movement is left after whole pixels, px: the picture's p is the frame's p + shift. */
  shift?: Point
  /** The picture by blocks, moved by that. */
  blocks?: Coarse
}

/** Writes the bath's light along row y, from column `left` on (frame pixels), into the three rows. */
export function bathRow(bath: Bath, y: number, left: number, rows: readonly Float32Array[]): void {
  const { degree, width, height, coefficients, picture } = bath
  const v = placeOf(y, height)
  const inX = new Float64Array(degree + 1)
  for (let k = 0; k < 3; k++) {
    inX.fill(0)
    let at = 0
    for (let j = 0, vj = 1; j <= degree; j++, vj *= v) {
      for (let i = 0; i + j <= degree; i++) inX[i]! += coefficients[k]![at++]! * vj
    }
    const row = rows[k]!
    for (let x = 0; x < row.length; x++) {
      const u = placeOf(x + left, width)
      let value = inX[degree]!
      for (let i = degree - 1; i >= 0; i--) value = value * u + inX[i]!
      row[x] = picture ? value : Math.max(value, leastLight)
    }
    if (picture) timesPicture(bath, y, left, row, picture.light[k]!)
  }
}

/** Multiplies a row by the picture, between its pixels if the camera has moved by a part of one. */
function timesPicture(
  { width, height, shift }: Bath,
  y: number,
  left: number,
  row: Float32Array,
  light: Float32Array,
): void {
  if (!shift || Math.hypot(shift.x, shift.y) < 0.02) {
    for (let x = 0; x < row.length; x++) row[x]! *= light[y * width + x + left]!
    return
  }
  const fy = Math.min(Math.max(y - shift.y, 0), height - 1)
  const iy = Math.floor(fy)
  const dy = fy - iy
  const [above, below] = [iy * width, Math.min(iy + 1, height - 1) * width]
  for (let x = 0; x < row.length; x++) {
    const fx = Math.min(Math.max(x + left - shift.x, 0), width - 1)
    const ix = Math.floor(fx)
    const dx = fx - ix
    const next = Math.min(ix + 1, width - 1)
    const top = light[above + ix]! * (1 - dx) + light[above + next]! * dx
    const bottom = light[below + ix]! * (1 - dx) + light[below + next]! * dx
    row[x]! *= top * (1 - dy) + bottom * dy
  }
}

/** Light of the bath at every block. */
export function bathBlocks(bath: Bath, coarse: Coarse): [Float32Array, Float32Array, Float32Array] {
  const planes = surfaceBlocks(bath, coarse)
  const { blocks } = bath
  if (blocks) {
    planes.forEach((plane, k) => {
      for (let i = 0; i < plane.length; i++) {
        plane[i] = Math.max(plane[i]! * blocks.light[k]![i]!, leastLight)
      }
    })
  }
  return planes
}

/** The polynomials at every block. */
export function surfaceBlocks(bath: Bath, coarse: Coarse): [Float32Array, Float32Array, Float32Array] {
  const { degree, coefficients } = bath
  const whole: Bath = { degree, coefficients, width: coarse.width, height: coarse.height }
  const planes = [0, 1, 2].map(() => new Float32Array(coarse.width * coarse.height))
  for (let y = 0; y < coarse.height; y++) {
    bathRow(
      whole,
      y,
      0,
      planes.map((plane) => plane.subarray(y * coarse.width, (y + 1) * coarse.width)),
    )
  }
  return planes as [Float32Array, Float32Array, Float32Array]
}
