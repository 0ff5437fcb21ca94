/** What a whole life comes to, as single numbers: the one table for sweeps, maps, sensitivities and bands. Pure. */
import { alcoholShares } from '../life/alcoholShares.ts'
import { beadsOf } from '../life/beads.ts'
import type { Life } from '../life/types.ts'

export interface Output {
  /** Name in plans and column heads, with its unit. */
  id: string
  /** For people, lower case, without unit. */
  label: string
  /** '' for a pure number. */
  unit: string
  /** In `unit`; NaN where this life has none. */
  of(life: Life): number
}

/** A lens and a failed life have no size or time of their own. */
const spreads = ({ summary: { outcome } }: Life): boolean => outcome !== 'lens' && outcome !== 'failed'

/** When a life is over: its collapse, or else its end; NaN for a lens, and where it was still spread when the computed time ended. */
export function lifeTime(life: Life): number {
  const { outcome, collapseTime, lifeEnd } = life.summary
  if (outcome === 'lens') return Number.NaN
  if (!Number.isNaN(collapseTime)) return collapseTime
  return spreads(life) && outcome !== 'spreads' ? lifeEnd : Number.NaN
}

/** Largest height of the ring up to the largest radius, m; NaN without a ring. */
function highestRing({ series, summary }: Pick<Life, 'series' | 'summary'>): number {
  let most = Number.NaN
  const { t, ringHeight } = series
  for (let k = 0; k < t.length && t[k]! <= summary.maxRadiusTime; k++)
    if (!(ringHeight[k]! <= most)) most = numberOr(ringHeight[k]!, most)
  return most
}

const numberOr = (value: number, other: number): number => (Number.isNaN(value) ? other : value)

/** Part of the alcohol at touch-down that the oil has taken up at the end, %. */
function uptakeShare(life: Life): number {
  const shares = alcoholShares(life.series)
  return shares ? 100 * shares.oil : Number.NaN
}

export const OUTPUTS: readonly Output[] = [
  { id: 'maxRadius_mm', label: 'largest radius', unit: 'mm', of: ({ summary }) => 1e3 * summary.maxRadius },
  {
    id: 'maxRadiusTime_s',
    label: 'time of the largest radius',
    unit: 's',
    of: (life) => (spreads(life) ? life.summary.maxRadiusTime : Number.NaN),
  },
  { id: 'life_s', label: 'life', unit: 's', of: lifeTime },
  {
    id: 'thinnest_um',
    label: 'thinnest film',
    unit: 'µm',
    of: ({ summary }) => 1e6 * summary.thinnest.thickness,
  },
  {
    id: 'thinnestRadius_mm',
    label: 'place of the thinnest film',
    unit: 'mm',
    of: ({ summary }) => 1e3 * summary.thinnest.radius,
  },
  { id: 'rimHeight_um', label: 'height of the rim', unit: 'µm', of: (life) => 1e6 * highestRing(life) },
  { id: 'beads', label: 'beads', unit: '', of: (life) => beadsOf(life)?.count ?? Number.NaN },
  { id: 'beadsFrom_s', label: 'first beads', unit: 's', of: (life) => beadsOf(life)?.from ?? Number.NaN },
  { id: 'firstBreakUp_s', label: 'first child drops', unit: 's', of: ({ summary }) => summary.firstBreakUp },
  { id: 'childDrops', label: 'child drops', unit: '', of: ({ summary }) => summary.childDrops.count },
  {
    id: 'childRadius_um',
    label: 'radius of the child drops',
    unit: 'µm',
    of: ({ summary }) => 1e6 * summary.childDrops.medianRadius,
  },
  { id: 'alcoholInOil_percent', label: 'alcohol taken up by the oil', unit: '%', of: uptakeShare },
  {
    id: 'startSpreading_mNperM',
    label: 'spreading parameter at touch-down',
    unit: 'mN/m',
    of: ({ facts }) => 1e3 * facts.S0,
  },
]

export const outputOf = (id: string): Output | undefined => OUTPUTS.find((output) => output.id === id)
