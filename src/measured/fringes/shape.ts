/** Centre and roundness of what the fringes lie about: from the drop's outline, then where the mean fringes are sharpest. */
import { lightOf } from '../video/light.ts'
import type { Frame, Plane } from '../video/types.ts'

/** Fringes lie at s (1 + c2 cos 2θ + s2 sin 2θ) about x, y (px); θ from the x axis, clockwise on the picture. */
export interface Shape {
  x: number
  y: number
  c2: number
  s2: number
}

/** Most that a drop may be from round. */
const MOST_OVAL = 0.1

const clamp = (value: number, most: number): number => Math.min(most, Math.max(-most, value))

/** Second harmonic of an outline about its centre, evenly weighted over the directions. */
export function shapeOf(given: { x: number; y: number; outline: Float32Array | null }): Shape {
  const { x, y, outline } = given
  if (!outline || outline.length < 24) return { x, y, c2: 0, s2: 0 }
  let [turn, mean, c, s] = [0, 0, 0, 0]
  const n = outline.length / 2
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n
    const [ax, ay] = [outline[2 * i]! - x, outline[2 * i + 1]! - y]
    const [bx, by] = [outline[2 * j]! - x, outline[2 * j + 1]! - y]
    const theta = Math.atan2(ay + by, ax + bx)
    const d = Math.atan2(ax * by - ay * bx, ax * bx + ay * by)
    const rho = 0.5 * (Math.hypot(ax, ay) + Math.hypot(bx, by))
    turn += d
    mean += rho * d
    c += rho * d * Math.cos(2 * theta)
    s += rho * d * Math.sin(2 * theta)
  }
  if (!(Math.abs(turn) > 1) || mean === 0) return { x, y, c2: 0, s2: 0 }
  return { x, y, c2: clamp((2 * c) / mean, MOST_OVAL), s2: clamp((2 * s) / mean, MOST_OVAL) }
}

/** Directions in which the sharpness is judged. */
const DIRECTIONS = 64

/** Light of all pixels, the three colours together. */
function planeOf({ width, height, data }: Frame): Plane {
  const values = new Float32Array(width * height)
  for (let i = 0; i < values.length; i++) {
    const at = 4 * i
    values[i] = 0.3 * lightOf[data[at]!]! + 0.5 * lightOf[data[at + 1]!]! + 0.2 * lightOf[data[at + 2]!]!
  }
  return { width, height, values }
}

/** Light at a place (px), between the pixels; NaN outside. */
function lightAt({ width, height, values }: Plane, x: number, y: number): number {
  const [u, v] = [x - 0.5, y - 0.5]
  const [i, j] = [Math.floor(u), Math.floor(v)]
  if (i < 0 || j < 0 || i + 1 >= width || j + 1 >= height) return Number.NaN
  const [a, b] = [u - i, v - j]
  const from = j * width + i
  const low = values[from]! + a * (values[from + 1]! - values[from]!)
  const high = values[from + width]! + a * (values[from + width + 1]! - values[from + width]!)
  return low + b * (high - low)
}

/** Sum of the squared steps of the mean over all directions: largest where the fringes lie over one another. */
function sharpness(plane: Plane, shape: Shape, radius: number): number {
  const count = Math.floor(0.97 * radius)
  const sum = new Float64Array(count)
  const seen = new Float64Array(count)
  for (let k = 0; k < DIRECTIONS; k++) {
    const theta = (2 * Math.PI * (k + 0.5)) / DIRECTIONS
    const [cos, sin] = [Math.cos(theta), Math.sin(theta)]
    const stretch = 1 + shape.c2 * Math.cos(2 * theta) + shape.s2 * Math.sin(2 * theta)
    for (let i = 0; i < count; i++) {
      const rho = (i + 0.5) * stretch
      const light = lightAt(plane, shape.x + rho * cos, shape.y + rho * sin)
      if (Number.isNaN(light)) continue
      sum[i]! += light
      seen[i]!++
    }
  }
  let total = 0
  // Near the centre few pixels serve all directions: what is seen there is noise.
  for (let i = 6; i + 2 < count; i++) {
    if (seen[i]! > 0 && seen[i + 2]! > 0) total += (sum[i + 2]! / seen[i + 2]! - sum[i]! / seen[i]!) ** 2
  }
  return total
}

/** Moves centre and roundness, at most 6 % of the radius and 10 %, to where the mean fringes are sharpest. */
export function sharpen(frame: Frame, start: Shape, radius: number): Shape {
  const most = Math.max(1, 0.06 * radius)
  let best = start
  const plane = planeOf(frame)
  let value = sharpness(plane, start, radius)
  const attempt = (change: Partial<Shape>): boolean => {
    const next = { ...best, ...change }
    if (Math.abs(next.x - start.x) > most || Math.abs(next.y - start.y) > most) return false
    if (Math.hypot(next.c2, next.s2) > MOST_OVAL) return false
    const reached = sharpness(plane, next, radius)
    if (!(reached > value)) return false
    best = next
    value = reached
    return true
  }
  for (let step = 2; step > 0.06; step *= 0.5) {
    const oval = step / radius
    for (const sign of [1, -1]) {
      while (attempt({ x: best.x + sign * step }));
      while (attempt({ y: best.y + sign * step }));
      while (attempt({ c2: best.c2 + sign * oval }));
      while (attempt({ s2: best.s2 + sign * oval }));
    }
  }
  return best
}
