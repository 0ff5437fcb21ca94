/** The numbers of a lab sheet: how far the drop may reach, how wide the dish must be, the camera. */
import type { Life } from '../../life/types.ts'
import { beadFacts } from '../beads.ts'
import { cameraPlan } from '../camera.ts'
import type { Dish } from '../dish.ts'
import { type Reach, reachAbout } from '../reach.ts'
import type { Recipe } from '../recipe.ts'
import type { SureBand } from '../sureness.ts'
import type { SheetFigures, SheetWish } from './types.ts'

/** Radius of a dish in which the drop takes up 0.7 of it: common practice, no source. */
const RULE = 0.7

function dishOf(life: Life, reach: Reach, dish: Dish | undefined): { radius_mm: number; by: string } {
  if (dish?.status === 'done') {
    // Found for the central life; the largest drop of the band needs as much more.
    const grown = Math.max(1, reach.high / life.summary.maxRadius)
    const by = `${dish.criterion}; the meniscus at the wall is not counted, so take a wider one`
    return { radius_mm: Math.ceil(1e3 * dish.radius * grown), by }
  }
  return { radius_mm: Math.ceil((1e3 * reach.high) / RULE), by: 'the drop fills 0.7 of it (common practice)' }
}

function reachOfLife(life: Life, band: SureBand | undefined): Reach {
  const central = life.summary.maxRadius
  const found = band?.reach.maxRadius
  if (!found || !(found.central > 0)) return { central, low: central, high: central, most: undefined }
  return reachAbout(found, central)
}

export function figuresOf(wish: SheetWish, recipe: Recipe): SheetFigures {
  const { life } = wish
  const { drop, bath } = life.preset
  const reach = reachOfLife(life, wish.band)
  // π R² H in mm³ = 10⁻³ mL
  const oil_mL = 1e-3 * Math.PI * bath.dishRadius_mm ** 2 * bath.depth_mm
  const { radius_mm, by } = dishOf(life, reach, wish.dish)
  return {
    recipe,
    dropsPer_mL: 1000 / drop.volume_uL,
    oil_mL,
    oil_g: 1e-3 * oil_mL * life.facts.oilDensity,
    maxRadius_mm: { low: 1e3 * reach.low, central: 1e3 * reach.central, high: 1e3 * reach.high },
    maxRadiusTime_s: life.summary.maxRadiusTime,
    collapseTime_s: life.summary.collapseTime,
    lifeEnd_s: life.summary.lifeEnd,
    smallestDish_mm: radius_mm,
    smallestDishBy: by,
    camera: cameraPlan(life, reach.high, wish.frames, wish.pixels),
    beads: beadFacts(life, wish.fingers),
  }
}
