import { exp } from '../numerics/elementary.ts'
import type { FilmMesh } from './filmMesh.ts'
import { OilLayer } from './oilLayer.ts'
import type { OilMotion } from './oilMotion.ts'
import type { Cooling } from './problem.ts'

/** By how much a film may be colder or warmer than the room before the slopes below no longer hold, K. */
const MOST = 30

/**
 * The film's cooling by the latent heat of what evaporates. Thin as it is, it holds no heat: what evaporation draws comes
 * out of the oil by conduction (an OilLayer of warmth that is missing, K times m, stretched and carried with the oil's
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
  private readonly layer: OilLayer
  /** Warmth drawn so far in the place of each cell, K m³ as X. */
  private readonly drawn: Float64Array
  private step = 0

  constructor(
    private readonly mesh: FilmMesh,
    motion: OilMotion,
  ) {
    const cells = () => new Float64Array(mesh.cells)
    ;[this.chill, this.drawn] = [cells(), cells()]
    this.layer = new OilLayer(mesh, motion)
  }

  /** A bath as warm as the room; null switches the cooling off. */
  reset(law: Cooling | null): void {
    this.law = law
    for (const part of [this.chill, this.drawn]) part.fill(0)
    this.tension = 0
    this.alcohol = this.water = 1
    this.layer.reset(law?.diffusivity ?? 0, MOST)
    this.step = 0
  }

  /** Whether anything is cooled. */
  get on(): boolean {
    return this.law !== null
  }

  /** See OilLayer. */
  lay(h: number): void {
    this.step = h
    if (this.law) this.layer.lay(h)
  }

  /** Takes over an accepted step in which the cells lost alcohol and water at these rates (m³/s as X). */
  commit(alcoholLoss: Float64Array, waterLoss: Float64Array): void {
    const { law, layer, drawn, chill, step } = this
    if (!law) return
    const N = this.mesh.cells
    for (let i = 0; i < N; i++)
      drawn[i] += step * (law.alcoholHeat * alcoholLoss[i] + law.waterHeat * waterLoss[i])
    layer.commit(drawn, 0)
    let mean = 0
    for (let i = 0; i < N; i++) {
      const cold = Math.min(MOST, Math.max(-MOST, layer.surface(i)))
      chill[i] = cold
      mean += 2 * this.mesh.area[i] * cold
    }
    this.alcohol = exp(-law.alcoholFall * mean)
    this.water = exp(-law.waterFall * mean)
    this.tension = law.tensionRise * mean
  }
}
