/** What matters as a figure of the report: the shares of the chosen number as a picture, those of all as a table. */
import type { OutputShares, Sensitivity } from '../../plan/sensitivity.ts'
import { leftWords, mattersMost, ranked, sharesTable } from '../../plan/sensitivityWords.ts'
import { svg } from '../dom.ts'
import { paperColours } from '../plots/seriesColours.ts'
import { offerPart, type ReportFigure } from '../report/parts.ts'
import { drawShares, heightOf, lookOf } from './drawing.ts'

export interface ShownShares {
  so: Sensitivity
  /** The number that is chosen. */
  shares: OutputShares
  /** Whether it is of the present drop. */
  present: boolean
}

const WIDTH = 700

function figureOf({ so, shares }: ShownShares): ReportFigure {
  const rows = ranked(so, shares)
  const height = heightOf(rows, WIDTH)
  const picture = svg(
    'svg',
    { width: WIDTH, height, viewBox: `0 0 ${WIDTH} ${height}`, 'font-family': 'system-ui, sans-serif' },
    ...drawShares(rows, WIDTH, lookOf(paperColours, false)),
  )
  const meaning =
    'Alone: the part of the spread (variance) that goes when this input is known. With others: the part that stays if all but this are known. ± 1 σ, by bootstrap.'
  return {
    title: `What matters for the ${shares.label}`,
    caption: [mattersMost(so, shares), meaning, `From ${so.lives} lives (quick mesh).`, leftWords(so)]
      .filter(Boolean)
      .join(' '),
    svg: new XMLSerializer().serializeToString(picture),
    table: sharesTable(so),
  }
}

/** Offers it; `get` gives what is shown, or null. Gives back the function that takes it away. */
export function offerSharesPart(get: () => ShownShares | null): () => void {
  return offerPart({
    id: 'matters',
    label: 'What matters most',
    order: 65,
    first: true,
    lacks() {
      const shown = get()
      if (!shown) return 'it has not been worked out'
      if (!shown.shares.indices) return 'too few lives tell of it'
      return shown.present ? '' : 'it is of an earlier drop'
    },
    make: () => [figureOf(get()!)],
  })
}
