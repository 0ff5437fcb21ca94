/**
 * A second store for a stage that shows the companion: it has all of the page's state (clock, spans, colours, marked radius)
 * but the companion's drop and life. What its stage changes (marked radius, colouring) is changed in the page's store.
 */
import type { Life, Preset } from '../../../life/types.ts'
import { createPageStore, noNeighbours, type Store } from '../../store.ts'

export interface Mirror {
  store: Store
  /** Shows a drop with its life; `stale` while the life belongs to an older choice. */
  show(preset: Preset, life: Life | null, stale: boolean): void
  destroy(): void
}

export function createMirror(main: Store): Mirror {
  const store = createPageStore(main.getState().preset)
  let shown: { preset: Preset; life: Life | null; stale: boolean } | null = null
  let copying = false

  function copy(): void {
    if (!shown) return
    copying = true
    store.setState({
      ...main.getState(),
      ...shown,
      outgoing: null,
      pins: [],
      measured: [],
      neighbours: noNeighbours,
    })
    copying = false
  }
  const ends = [
    main.subscribe(copy),
    store.subscribe(({ cursorRadius, colourBy, heightFactor, logHeight }, before) => {
      if (copying) return
      const same =
        cursorRadius === before.cursorRadius &&
        colourBy === before.colourBy &&
        heightFactor === before.heightFactor &&
        logHeight === before.logHeight
      if (!same) main.setState({ cursorRadius, colourBy, heightFactor, logHeight })
    }),
  ]
  return {
    store,
    show(preset, life, stale) {
      if (shown?.preset === preset && shown.life === life && shown.stale === stale) return
      shown = { preset, life, stale }
      copy()
    },
    destroy() {
      for (const end of ends) end()
    },
  }
}
