/**
 * Tracers on film and bath. They come in generations that fade in and out: two are under way at any time,
 * their opacities add up to one, so that the picture stays evenly filled however far the film stretches.
 */
import type { LifeFrames } from '../../life/types.ts'
import { type Carrier, onPath, path, scatter, scatter2 } from './advect.ts'

const steps = 24
const tracersPerGeneration = { film: 90, bath: 150 } as const
/** Largest number of tracers under way at once. */
export const mostTracers = 2 * (tracersPerGeneration.film + tracersPerGeneration.bath)

/** Called for each tracer: radius now and a little earlier (m), direction on the half disc (rad), opacity 0–1. */
export type PutTracer = (
  carrier: Carrier,
  now: number,
  before: number,
  angle: number,
  opacity: number,
) => void

interface Generation {
  t0: number
  radii: Record<Carrier, Float32Array>
}

export class Tracers {
  private readonly cache = new Map<number, Generation>()
  private readonly frames: LifeFrames
  private readonly dishRadius: number
  /** Bath tracers start within this radius, m. */
  private readonly reach: number
  /** Time a generation lasts, s. */
  readonly lasting: number

  constructor(frames: LifeFrames, dishRadius: number, reach: number, lasting: number) {
    this.frames = frames
    this.dishRadius = dishRadius
    this.reach = Math.min(reach, dishRadius)
    this.lasting = lasting
  }

  /** All tracers at time t (s, within the known life). */
  at(t: number, put: PutTracer): void {
    const half = this.lasting / 2
    const newest = Math.floor(t / half)
    for (const n of [newest - 1, newest]) this.putGeneration(n, n * half, t, put)
  }

  private putGeneration(n: number, t0: number, t: number, put: PutTracer): void {
    const { radii } = this.generation(n, t0)
    const t1 = t0 + this.lasting
    const age = (t - t0) / this.lasting
    const opacity = Math.sin(Math.PI * age) ** 2
    const before = Math.max(t0, t - this.lasting / 14)
    for (const carrier of ['film', 'bath'] as const) {
      const count = tracersPerGeneration[carrier]
      for (let i = 0; i < count; i++) {
        const from = i * (steps + 1)
        const now = onPath(radii[carrier], from, steps, t0, t1, t)
        const earlier = onPath(radii[carrier], from, steps, t0, t1, before)
        put(carrier, now, earlier, Math.PI * scatter2(i + 37 * (n & 63)), opacity)
      }
    }
  }

  private generation(n: number, t0: number): Generation {
    const known = this.cache.get(n)
    if (known) return known
    if (this.cache.size > 24) this.cache.clear()
    const made = {
      t0,
      radii: { film: this.trace('film', t0), bath: this.trace('bath', t0) },
    }
    this.cache.set(n, made)
    return made
  }

  private trace(carrier: Carrier, t0: number): Float32Array {
    const count = tracersPerGeneration[carrier]
    const radii = new Float32Array(count * (steps + 1))
    const first = Math.max(0, t0)
    const within = carrier === 'film' ? this.edge(first) : this.reach
    for (let i = 0; i < count; i++) {
      const r = within * Math.sqrt(scatter(i))
      const start = { r, t0, t1: t0 + this.lasting, steps }
      path(this.frames, this.dishRadius, carrier, start, radii, i * (steps + 1))
    }
    return radii
  }

  private edge(t: number): number {
    const { t: times, R, count } = this.frames
    let k = 0
    while (k < count - 1 && times[k + 1]! <= t) k++
    return R[k]!
  }
}
