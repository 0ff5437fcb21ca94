/** What the button of the map does next, given what is there and what is chosen. Pure. */
import type { MapWish, OutcomeMap } from '../../plan/mapGrid.ts'

/** A map with what it was made for. */
export interface Made {
  map: OutcomeMap
  wish: MapWish
  /** Names the drop without the two inputs, as `withoutInputs` does. */
  madeFor: string
}

export interface MapStep {
  label: string
  /** It is what there is to do: the map is not the one that is asked for. */
  main: boolean
  /** The points that are there are not run again. */
  keeps: boolean
  says: string
}

const ofEarlier = 'This map is of an earlier drop.'

const range = ({ key, from, to, logarithmic = false }: MapWish['x']): string =>
  JSON.stringify([key, from, to, logarithmic])

const sameRange = (a: MapWish, b: MapWish): boolean => range(a.x) === range(b.x) && range(a.y) === range(b.y)

const samePoints = (a: MapWish, b: MapWish): boolean =>
  a.x.count === b.x.count && a.y.count === b.y.count && a.refine?.coarse === b.refine?.coarse

/** @param nowFor names the present drop without the inputs of the map that is there */
export function stepFor(made: Made | null, nowFor: string, wish: MapWish): MapStep {
  if (!made) return { label: 'Work out the map', main: true, keeps: false, says: '' }
  const { map, madeFor } = made
  const anew = { label: 'Work it out anew', main: true, keeps: false }
  if (madeFor !== nowFor) return { ...anew, says: ofEarlier }
  if (!sameRange(made.wish, wish))
    return { ...anew, says: 'Another range has other points: none of the lives of this map can be kept.' }
  if (!samePoints(made.wish, wish)) {
    const says = `${map.done} points are known already; those that both maps have are not run again.`
    return { label: 'Go on with these points', main: true, keeps: true, says }
  }
  if (map.status !== 'done') return { label: 'Go on', main: true, keeps: true, says: '' }
  if (wish.refine?.by && wish.refine.by !== made.wish.refine?.by)
    return { label: 'Refine for this colour', main: false, keeps: true, says: '' }
  return { label: 'Work it out again', main: false, keeps: false, says: '' }
}
