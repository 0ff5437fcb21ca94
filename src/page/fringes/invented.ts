/** Draws an invented picture of a film as a camera above it would take it. Pure: bytes from numbers. */
import { smooth } from '../../measured/video/light.ts'
import type { Frame } from '../../measured/video/types.ts'
import { encode, type Triple } from '../../optics/colourSpace.ts'

export interface Scene {
  width: number
  height: number
  /** m per pixel */
  scale: number
  /** Centre, px; the drop's rim, m; how far from round: r(θ) = r (1 + c2 cos 2θ + s2 sin 2θ). */
  x: number
  y: number
  rim: number
  c2: number
  s2: number
  /** Thickness at a radius within the rim, m. */
  thickness(r: number): number
  /** Light (linear, 0–1) that a film reflects at a radius, m; null = the bath without a film. */
  light(h: number | null, r: number): Readonly<Triple>
  /** Factor of the lamp at a pixel. */
  lamp(x: number, y: number): number
  /** Standard deviation of the lens' blur, px. */
  blur: number
  /** Standard deviation of the noise of a pixel, bytes. */
  noise: number
  /** Even random numbers 0–1. */
  random(): number
}

/** Places within a pixel along each side. */
const FINE = 3
/** Steps of the table of light per pixel. */
const PER_PIXEL = 12

/** Light along the radius in fine steps, each the mean over a third of a pixel. */
function along(scene: Scene): Float32Array[] {
  const { rim, scale, light, thickness } = scene
  const count = Math.ceil((rim / scale) * PER_PIXEL) + 1
  const raw = Array.from({ length: count }, (_, k) => {
    const r = Math.min(rim, (k * scale) / PER_PIXEL)
    return light(thickness(r), r)
  })
  const half = Math.floor(PER_PIXEL / FINE / 2)
  return [0, 1, 2].map((c) =>
    Float32Array.from({ length: count }, (_, k) => {
      let sum = 0
      for (let j = -half; j <= half; j++) sum += raw[Math.min(count - 1, Math.abs(k + j))]![c]!
      return sum / (2 * half + 1)
    }),
  )
}

/** A normal random number (Box & Muller, Ann. Math. Stat. 29, 610 (1958)). */
const normal = (random: () => number): number =>
  Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())

export function drawFilm(scene: Scene): Frame {
  const { width, height, scale, c2, s2, rim, lamp, random } = scene
  const table = along(scene)
  const bare = scene.light(null, rim)
  const planes = [0, 1, 2].map(() => new Float32Array(width * height))
  for (let py = 0; py < height; py++) {
    for (let px = 0; px < width; px++) {
      const strength = lamp(px + 0.5, py + 0.5) / (FINE * FINE)
      for (let sub = 0; sub < FINE * FINE; sub++) {
        const dx = px + ((sub % FINE) + 0.5) / FINE - scene.x
        const dy = py + (Math.floor(sub / FINE) + 0.5) / FINE - scene.y
        const square = dx * dx + dy * dy + 1e-12
        // cos 2θ and sin 2θ
        const oval = (c2 * (dx * dx - dy * dy) + s2 * 2 * dx * dy) / square
        const s = Math.sqrt(square) / (1 + oval)
        const k = Math.round(s * PER_PIXEL)
        for (let c = 0; c < 3; c++) {
          const value = s * scale > rim ? bare[c]! : table[c]![Math.min(k, table[c]!.length - 1)]!
          planes[c]![py * width + px]! += strength * value
        }
      }
    }
  }
  const seen = planes.map((values) =>
    scene.blur > 0 ? smooth({ width, height, values }, scene.blur).values : values,
  )
  const data = new Uint8ClampedArray(4 * width * height)
  for (let i = 0; i < width * height; i++) {
    for (let c = 0; c < 3; c++) {
      const clean = 255 * encode(Math.min(1, Math.max(0, seen[c]![i]!)))
      data[4 * i + c] = Math.round(clean + scene.noise * normal(random))
    }
    data[4 * i + 3] = 255
  }
  return { width, height, data }
}
