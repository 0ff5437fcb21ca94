/** A figure of the report out of panels. */
import { csvText } from '../plots/dataTable.ts'
import type { Panel } from '../plots/plotData.ts'
import { type PictureOptions, svgText } from '../plots/svgText.ts'
import type { ReportFigure } from './parts.ts'

/** Width of a figure, px, and room for the labels at its lines' ends. */
const width = 700
const room = 66

/** A figure of panels with its data. */
export function panelsFigure(
  title: string,
  caption: string,
  panels: readonly Panel[],
  more: Partial<PictureOptions> = {},
): ReportFigure {
  const svg = svgText(panels, {
    title,
    subtitle: '',
    bare: true,
    width,
    ...(more.legend ? {} : { room }),
    ...more,
  })
  return { title, caption, svg, csv: csvText(panels) }
}
