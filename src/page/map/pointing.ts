/** Pointing at a cell of the map, by keys, mouse or finger. */
import type { OutcomeMap } from '../../plan/mapGrid.ts'
import { cellAt, type MapFrame } from './frame.ts'

export interface MapCell {
  i: number
  j: number
}

interface Pointing {
  map(): OutcomeMap | null
  frame(): MapFrame | null
  /** The cell that is pointed at has changed. */
  moved(): void
  /** The cell is to become the drop. */
  choose(): void
}

const moves: Record<string, [number, number]> = {
  ArrowRight: [1, 0],
  ArrowLeft: [-1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
  PageUp: [0, 4],
  PageDown: [0, -4],
  Home: [-1000, 0],
  End: [1000, 0],
}

/** Cells of a step with Shift. */
const FAR = 8

/** A step from a cell (null: from the middle), within the map. */
function stepped({ x, y }: OutcomeMap, from: MapCell | null, [di, dj]: [number, number]): MapCell {
  const within = (value: number, count: number) => Math.min(Math.max(value, 0), count - 1)
  const { i, j } = from ?? { i: x.length >> 1, j: y.length >> 1 }
  return { i: within(i + di, x.length), j: within(j + dj, y.length) }
}

/** Follows what points at `area`; gives the cell that is pointed at (of the present map, which may be coarser), null before anything is. */
export function followPointing(area: HTMLElement, to: Pointing): () => MapCell | null {
  let cell: MapCell | null = null
  const under = (event: MouseEvent): MapCell | null => {
    const [map, frame] = [to.map(), to.frame()]
    if (!map || !frame) return null
    const box = area.getBoundingClientRect()
    return cellAt(map, frame, event.clientX - box.left, event.clientY - box.top)
  }
  area.addEventListener('keydown', (event) => {
    const map = to.map()
    if (!map || event.ctrlKey || event.metaKey || event.altKey) return
    const by = moves[event.key]
    if (event.key === 'Enter' || event.key === ' ') to.choose()
    else if (by) {
      const far = event.shiftKey ? FAR : 1
      cell = stepped(map, cell, [far * by[0], far * by[1]])
      to.moved()
    } else return
    event.preventDefault()
  })
  area.addEventListener('pointermove', (event) => {
    const next = under(event)
    if (!next || (next.i === cell?.i && next.j === cell.j)) return
    cell = next
    to.moved()
  })
  area.addEventListener('click', (event) => {
    const next = under(event)
    if (next) {
      cell = next
      to.choose()
    }
    to.moved()
  })
  return () => {
    const map = to.map()
    return map && cell ? stepped(map, cell, [0, 0]) : null
  }
}
