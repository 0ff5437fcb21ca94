/** What the simulated life says about the film at a moment: thickness, composition, index. */
import type { Life } from '../../life/types.ts'
import { cellValue, createFields, type Fields, moveTo } from '../../life/view.ts'

export interface SimulatedFilm {
  time: number
  /** Radius of the rim, m. */
  rim: number
  /** Thickness, m, and alcohol's share of the volume at a radius; NaN outside. */
  h(r: number): number
  phi(r: number): number
  /** Mean of the alcohol's share over the radius. */
  meanPhi: number
  /** Thickness of the thinnest place, m. */
  least: number
}

/** Null while nothing of the life is known. */
export function filmAt(life: Life | null, time: number): SimulatedFilm | null {
  if (!life) return null
  const fields: Fields = createFields()
  if (!moveTo(fields, life.frames, 1e-3 * life.preset.bath.dishRadius_mm, time)) return null
  const inside = (r: number) => Math.min(Math.max(r, 0), fields.R)
  return {
    time: fields.time,
    rim: fields.R,
    h: (r) => cellValue(fields, 'h', r),
    phi: (r) => cellValue(fields, 'phi', inside(r)),
    meanPhi: fields.phi.reduce((sum, phi) => sum + phi, 0) / fields.inner,
    least: fields.h.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY),
  }
}
