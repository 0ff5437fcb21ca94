/** The balance of pulls at one radius as rows of numbers and words. */
import type { Pulls } from '../../life/view.ts'
import { niceStep } from '../spans.ts'

export interface PullRow {
  key: 'above' | 'below' | 'capillary' | 'drag'
  name: string
  /** What it is, in a few words. */
  why: string
  /** Pa, outward positive. */
  value: number
  /** The value as shown; the shown values add up to zero exactly. */
  shown: string
}

export interface PullBalance {
  rows: PullRow[]
  /** Sum of the shown values. */
  sum: string
  /** Half length of the drawing's axis, Pa. */
  limit: number
  /** N/m. */
  edge: number
  place: Pulls['place']
}

const names: Record<PullRow['key'], [string, string]> = {
  above: ['Tension above', 'gradient of drop/air tension'],
  below: ['Tension below', 'gradient of drop/oil tension'],
  capillary: ['Capillary', 'pressure of the curved film'],
  drag: ['Bath drag', 'the oil resists'],
}

/** Decimals with which the largest value has three digits, 0 to 6. */
export function decimalsFor(largest: number): number {
  if (!(largest > 0)) return 2
  return Math.min(6, Math.max(0, 2 - Math.floor(Math.log10(largest))))
}

const signed = (value: number, decimals: number): string => {
  const text = Math.abs(value).toFixed(decimals)
  if (Number(text) === 0) return text
  return `${value < 0 ? '−' : '+'}${text}`
}

/**
 * Rows with equally many decimals. The drag is what balances the others, so its shown value is the negative
 * sum of their shown values: the column adds up to zero to the last digit.
 */
export function pullBalance(pulls: Pulls): PullBalance {
  const { above, below, capillary } = pulls
  const largest = Math.max(Math.abs(above), Math.abs(below), Math.abs(capillary), Math.abs(pulls.drag))
  const decimals = decimalsFor(largest)
  const round = (value: number) => Number(value.toFixed(decimals))
  const values = {
    above: round(above),
    below: round(below),
    capillary: round(capillary),
    drag: 0,
  }
  values.drag = round(-(values.above + values.below + values.capillary))
  const rows = (['above', 'below', 'capillary', 'drag'] as const).map((key) => ({
    key,
    name: names[key][0],
    why: names[key][1],
    value: pulls[key],
    shown: signed(values[key], decimals),
  }))
  const sum = values.above + values.below + values.capillary + values.drag
  return {
    rows,
    sum: signed(round(sum), decimals),
    limit: largest > 1e-9 ? niceStep(largest) : 1,
    edge: pulls.edge,
    place: pulls.place,
  }
}

/** The balance in one sentence. */
export function balanceText(balance: PullBalance): string {
  if (balance.place === 'bath')
    return 'Outside the drop nothing pulls on the oil; it is carried along, and only its own drag holds it back.'
  const parts = balance.rows.map((row) => `${row.name.toLowerCase()} ${row.shown}`)
  const edge = balance.place === 'edge' ? ', including the line pull of the edge' : ''
  return `Pulls on the bath in pascal, outward positive${edge}: ${parts.join(', ')}; sum ${balance.sum}.`
}
