/** The rim of a drop as a periodic curve: how far out it lies, all round. Lengths in pixels. */
import { areaOf, calmed, meanRadius, type Outline } from './outline.ts'

export interface RimCurve {
  /** Distance from the centre of the area at places that are evenly spread all round. */
  radius: Float64Array
  /** Share of the full turn that each place stands for; they sum to 1. */
  share: Float64Array
  /** `angle`: the places are evenly spread in direction; `arc`: along the rim, for it overhangs somewhere. */
  along: 'angle' | 'arc'
  /** Length of the rim, px: along the circle of the area for `angle`, along the rim itself for `arc`. */
  length: number
  areaRadius: number
  meanRadius: number
}

/** Fewest and most places; about one to a pixel between. */
const [fewest, most] = [64, 4096]
/** Share of the way round that may lead backwards before the rim counts as overhanging: a pixel's noise leads back too. */
const overhang = 0.04

const turnOf = (from: number, to: number): number => {
  const by = to - from
  return by > Math.PI ? by - 2 * Math.PI : by <= -Math.PI ? by + 2 * Math.PI : by
}

interface Polar {
  angle: Float64Array
  away: Float64Array
  /** Turn from each point to the next; positive in the sense of the whole. */
  turns: Float64Array
}

function polarOf({ x, y }: Outline, cx: number, cy: number): Polar | null {
  const n = x.length
  const angle = x.map((value, i) => Math.atan2(y[i]! - cy, value - cx))
  const away = x.map((value, i) => Math.hypot(value - cx, y[i]! - cy))
  const turns = angle.map((value, i) => turnOf(value, angle[(i + 1) % n]!))
  const round = turns.reduce((sum, by) => sum + by, 0)
  if (Math.abs(Math.abs(round) - 2 * Math.PI) > 1e-6) return null
  return round > 0 ? { angle, away, turns } : { angle, away, turns: turns.map((by) => -by) }
}

/** Mean radius in equal sectors: each piece of the rim counts by the turn it makes, backwards ones negative. */
function inSectors({ away, turns }: Polar, count: number): Float64Array {
  const sums = new Float64Array(count)
  const width = (2 * Math.PI) / count
  let at = 0
  for (let i = 0; i < away.length; i++) {
    const end = at + turns[i]! / width
    const first = away[i]!
    const slope = (away[(i + 1) % away.length]! - first) / (end - at || 1)
    const sign = end < at ? -1 : 1
    const [low, high] = sign < 0 ? [end, at] : [at, end]
    for (let sector = Math.floor(low); sector < high; sector++) {
      const from = Math.max(sector, low)
      const to = Math.min(sector + 1, high)
      const mean = first + slope * ((from + to) / 2 - at)
      sums[((sector % count) + count) % count]! += sign * (to - from) * mean
    }
    at = end
  }
  return sums
}

/** Places evenly spread along the rim, and the turn that each stands for. */
function alongRim(outline: Outline, { away, turns }: Polar): Pick<RimCurve, 'radius' | 'share' | 'length'> {
  const { x, y } = outline
  const n = x.length
  const reached = new Float64Array(n + 1)
  for (let i = 0; i < n; i++) {
    const next = (i + 1) % n
    reached[i + 1] = reached[i]! + Math.hypot(x[next]! - x[i]!, y[next]! - y[i]!)
  }
  const length = reached[n]!
  const count = Math.min(Math.max(Math.round(length), fewest), most)
  const radius = new Float64Array(count)
  const share = new Float64Array(count)
  for (let k = 0, i = 0; k < count; k++) {
    const at = ((k + 0.5) * length) / count
    while (i < n - 1 && reached[i + 1]! <= at) i++
    const part = (at - reached[i]!) / (reached[i + 1]! - reached[i]! || 1)
    radius[k] = away[i]! + part * (away[(i + 1) % n]! - away[i]!)
  }
  for (let i = 0; i < n; i++) {
    const middle = 0.5 * (reached[i]! + reached[i + 1]!)
    share[Math.min(count - 1, Math.floor((middle / length) * count))]! += turns[i]! / (2 * Math.PI)
  }
  return { radius, share, length }
}

/** Null for what is no rim round its own middle: fewer than 16 points, a crescent, a figure of eight. */
export function rimCurveOf(flat: ArrayLike<number>): RimCurve | null {
  const n = Math.floor(flat.length / 2)
  if (n < 16) return null
  const pick = (from: 0 | 1) => Float64Array.from({ length: n }, (_, i) => flat[2 * i + from]!)
  const outline: Outline = { x: pick(0), y: pick(1), doubtful: new Uint8Array(n) }
  const { area, centre } = areaOf(outline)
  const polar = area > 0 ? polarOf(outline, centre.x, centre.y) : null
  if (!polar) return null
  const areaRadius = Math.sqrt(area / Math.PI)
  const known = { areaRadius, meanRadius: meanRadius(outline, centre) }
  const soft = calmed(outline, 2)
  const softPolar = polarOf(soft, centre.x, centre.y) ?? polar
  const back = softPolar.turns.reduce((sum, by) => sum + Math.max(0, -by), 0) / (2 * Math.PI)
  if (back > overhang) return { ...known, ...alongRim(soft, softPolar), along: 'arc' }
  const count = Math.min(Math.max(Math.round(2 * Math.PI * areaRadius), fewest), most)
  return {
    ...known,
    radius: inSectors(polar, count),
    share: new Float64Array(count).fill(1 / count),
    along: 'angle',
    length: 2 * Math.PI * areaRadius,
  }
}
