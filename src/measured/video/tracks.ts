/** Sights that follow from one another as those of one drop do, and those that do not. Lengths in pixels. */
import { medianOf } from './light.ts'
import type { Rejection, Sight } from './sight.ts'

const distance = (a: Sight, b: Sight): number => Math.hypot(a.drop.x - b.drop.x, a.drop.y - b.drop.y)

/** Half a window of the running median by which single stray frames are told. */
const half = 2
/** Slack for small drops, px. */
const slack = 4

/**
 * How far each radius is off its two neighbours and the median of five, whichever is nearest, in units of what is
 * permitted (a quarter of the median); 0 at both ends, where there are not enough neighbours.
 */
function straying(sights: readonly Sight[]): number[] {
  return sights.map(({ drop }, i) => {
    if (i < half || i + half >= sights.length) return 0
    const near = sights.slice(i - half, i + half + 1).map((sight) => sight.drop.equivalentRadius)
    const median = medianOf(Float64Array.from(near))
    const permitted = Math.max(slack, 0.25 * median, 3 * drop.uncertainty)
    const off = [median, near[half - 1]!, near[half + 1]!].map((r) => Math.abs(drop.equivalentRadius - r))
    return Math.min(...off) / permitted
  })
}

/** The sights without single stray radii: the worst of each neighbourhood goes first, for it spoils the medians. */
function withoutStrays(sights: readonly Sight[]): readonly Sight[] {
  let left = sights
  for (;;) {
    const off = straying(left)
    const kept = left.filter(
      (_, i) =>
        off[i]! <= 1 || off.slice(Math.max(0, i - half), i + half + 1).some((other) => other > off[i]!),
    )
    if (kept.length === left.length) return left
    left = kept
  }
}

/** The best way of seeing the sights up to one of them as those of one drop. */
interface Chain {
  /** Sum of the contrasts, so that faint finds count for little. */
  weight: number
  count: number
  /** Largest radius so far. */
  largest: number
  /** Index of the sight before; −1 = none. */
  from: number
}

/**
 * True if a drop may look so after that. Its centre stays within about its own size, and a drop that collapses does so
 * about its centre. At first it may grow by several times from frame to frame, later by less and less; once it has
 * shrunk to well under its largest size it hardly grows any more. It may shrink by any amount.
 */
function follows(last: Sight, { count, largest }: Chain, next: Sight): boolean {
  const [a, b] = [last.drop.equivalentRadius, next.drop.equivalentRadius]
  if (distance(last, next) > 0.5 * Math.min(a, b) + 0.25 * Math.max(a, b) + slack) return false
  if (count === 1) return true
  const growth = a < 0.7 * largest ? 1.15 : 1.3 + 3 / count
  return b <= growth * a + slack
}

/** Most sights that may lie between two that belong together. */
const mostBetween = 200

/** The heaviest chain of sights of which each may follow the one before; what lies between is skipped. */
function heaviestChain(sights: readonly Sight[]): Sight[] {
  const chains: Chain[] = []
  sights.forEach((sight, i) => {
    const r = sight.drop.equivalentRadius
    const own = Math.min(sight.drop.contrast, 1)
    let best: Chain = { weight: own, count: 1, largest: r, from: -1 }
    for (let j = i - 1; j >= Math.max(0, i - 1 - mostBetween); j--) {
      const { weight, count, largest } = chains[j]!
      if (weight + own <= best.weight || !follows(sights[j]!, chains[j]!, sight)) continue
      best = { weight: weight + own, count: count + 1, largest: Math.max(largest, r), from: j }
    }
    chains.push(best)
  })
  let at = chains.reduce((best, chain, i) => (chain.weight > chains[best]!.weight ? i : best), 0)
  const chain: Sight[] = []
  for (; at >= 0; at = chains[at]!.from) chain.unshift(sights[at]!)
  return chain
}

/** Why a sight is not the drop: how far it lies from it, or how its radius differs. */
export function jumpOf(sight: Sight, main: readonly Sight[]): (length: (pixels: number) => string) => string {
  const earlier = main.filter(({ key }) => key < sight.key).at(-1)
  const other = earlier ?? main[0]!
  const away = distance(other, sight)
  const [from, to] = [other.drop.equivalentRadius, sight.drop.equivalentRadius]
  const where = earlier ? 'the drop’s last place' : 'where the drop is later'
  return (length) =>
    away > 0.5 * Math.max(from, to)
      ? `${length(away)} from ${where}`
      : `radius ${length(to)}, the drop’s was ${length(from)}`
}

/** The sights of the drop, and all others with the reason why not. */
export function tracksOf(sights: readonly Sight[]): {
  main: readonly Sight[]
  jumps: Map<number, Rejection>
} {
  const jumps = new Map<number, Rejection>()
  if (sights.length === 0) return { main: [], jumps }
  const main = heaviestChain(withoutStrays(sights))
  const own = new Set(main)
  for (const sight of sights) {
    if (own.has(sight)) continue
    const why = jumpOf(sight, main)
    jumps.set(sight.key, { kind: 'jumped', text: (length) => `jumped: ${why(length)}` })
  }
  return { main, jumps }
}
