import type { Kernels } from '../engine/kernels.ts'
import { emptyLayer, surfaceOf } from '../engine/oilLayer.ts'
import { exp } from '../numerics/elementary.ts'
import type { Cooling } from './problem.ts'

/** By how much a film may be colder or warmer than the room before the slopes below no longer hold, K. */
const MOST = 30

/**
 * The film's cooling by the latent heat of what evaporates. Thin as it is, it holds no heat: what evaporation draws comes
 * out of the oil by conduction (a layer of warmth that is missing, K times m, stretched and carried with the oil's
 * surface). It is laid at the start of a step and acts on the vapour pressures and on the drop's tension.
 */
export class FilmCooling {
  /** Temperature of the room minus that of the film, K, per cell. */
  readonly chill: Float64Array
  /**
   * By the mean of the chill over the drop: factors of the two saturation pressures, and what it adds to the tension against
   * air, N/m. Laid for a step at a time, the chill of single cells swings: where it drives a pull along the film, and where
   * a layer of air answers each ring by itself.
   */
  alcohol = 1
  water = 1
  tension = 0
  private law: Cooling | null = null

  constructor(private readonly kernels: Kernels) {
    this.chill = new Float64Array(kernels.state.cells)
  }

  /** A bath as warm as the room; null switches the cooling off. */
  reset(law: Cooling | null): void {
    this.law = law
    this.chill.fill(0)
    this.tension = 0
    this.alcohol = this.water = 1
    emptyLayer(this.kernels.state.warmth, law?.diffusivity ?? 0, MOST)
  }

  /** Whether anything is cooled. */
  get on(): boolean {
    return this.law !== null
  }

  /** Takes over an accepted step of h seconds, in which the cells lost what the last rates say. */
  commit(h: number): void {
    const { law, kernels, chill } = this
    if (!law) return
    const { warmth, area, cells } = kernels.state
    kernels.commitWarmth(h, law.alcoholHeat, law.waterHeat)
    let mean = 0
    for (let i = 0; i < cells; i++) {
      chill[i] = surfaceOf(warmth, i)
      mean += 2 * area[i] * chill[i]
    }
    this.alcohol = exp(-law.alcoholFall * mean)
    this.water = exp(-law.waterFall * mean)
    this.tension = law.tensionRise * mean
  }
}
