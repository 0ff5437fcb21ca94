/** Marks of long measured series: those that lie on one another are drawn once. */

/** Lines of up to so many points are drawn whole. */
const few = 2000
/** Side of the squares that hold one mark each, px: half a mark. */
const cell = 3

/**
 * Tells for the points of a line of `count` points, one after the other at their place (px), whether each is to be
 * drawn. In a long line, a point in a square of 3 px that holds a mark already is not; lone points always are.
 */
export function crowd(count: number, ratio = 1): (x: number, y: number) => boolean {
  if (count <= few) return () => true
  const side = cell * ratio
  const taken = new Set<number>()
  return (x, y) => {
    const key = Math.round(x / side) * 65_536 + Math.round(y / side)
    if (taken.has(key)) return false
    taken.add(key)
    return true
  }
}
