/** Columns of the plots' tables that tell the beads on the ring. */
import type { Beads } from '../beads.ts'
import type { Column } from './plotData.ts'

/** Empty where there are no beads to speak of. None of the columns where there never are. @param x in the unit of the axis */
export function beadColumns(x: ArrayLike<number>, moments: readonly (Beads | null)[]): Column[] {
  if (!moments.some((beads) => beads?.grown)) return []
  const told = (value: (beads: Beads) => number) =>
    Float64Array.from(moments, (beads) => (beads?.grown ? value(beads) : Number.NaN))
  return [
    { column: 'beads (estimate)', x, y: told(({ count }) => count) },
    { column: 'bead_spacing_mm (estimate)', x, y: told(({ spacing }) => 1e3 * spacing) },
    { column: 'bead_drop_size_um (estimate)', x, y: told(({ dropRadius }) => 1e6 * dropRadius) },
  ]
}
