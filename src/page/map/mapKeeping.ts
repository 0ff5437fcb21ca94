/** Keeps the map that was worked out last over a reload, also while it grows. */
import { CALCULATION } from '../../life/calculation.ts'
import { noteAgreement } from '../../plan/mapCells.ts'
import type { LastRecord } from '../lastRecord.ts'
import type { MapColour } from './mapData.ts'
import { type MapRecord, mapShelf } from './mapShelf.ts'
import type { Made } from './mapSteps.ts'

/** Least time between two writings of a growing map, ms: each is a copy of it. */
const EVERY = 4000

export class MapKeeping {
  private last = Number.NEGATIVE_INFINITY
  private writing: Promise<void> = Promise.resolve()
  private kept: MapRecord | null = null

  /** @param read called when a map has been found */
  constructor(
    read: () => void,
    private readonly shelf: LastRecord<MapRecord> = mapShelf(),
  ) {
    this.shelf
      .read()
      .then((record) => {
        this.kept = record
        if (record) read()
      })
      .catch((error: unknown) => console.info('The kept map was not read.', error))
  }

  /** The map of an earlier visit, if it is of this drop; it goes on from where it was. */
  take(nowFor: (made: Made) => string): (Made & { by: MapColour }) | null {
    const { kept } = this
    if (!kept || kept.madeFor !== nowFor(kept)) return null
    this.kept = null
    const { map, wish, madeFor, by } = kept
    // It was growing when the page went away.
    if (map.status === 'growing') {
      map.status = 'stopped'
      noteAgreement(map, wish.refine?.by)
    }
    return { map, wish, madeFor, by }
  }

  /** Keeps a map. A growing one is written now and then, the others at once. */
  note({ map, wish, madeFor }: Made, by: MapColour): void {
    this.kept = null
    if (map.status === 'growing' && performance.now() - this.last < EVERY) return
    this.last = performance.now()
    this.writing = this.writing
      .then(() => this.shelf.write({ format: 2, calculation: CALCULATION, map, wish, madeFor, by }))
      .catch((error: unknown) => console.info('The map is not kept.', error))
  }
}
