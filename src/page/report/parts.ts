/**
 * Figures that can stand in a report. A view offers its own with one call of `offerPart`; the report asks for them when
 * it is composed, so that they are always of the present state.
 */
import type { Table } from '../../plan/table.ts'

/** One figure, table, or both. All text is plain; the report escapes it. */
export interface ReportFigure {
  title: string
  /** What is seen, with the numbers and definitions that go with it. */
  caption: string
  /**
   * SVG text on white paper, about 700 px wide, without its title: `svgText(panels, { title, subtitle: '', bare: true })`.
   * No script, no style sheet, nothing loaded from elsewhere. Ids in it are made unique by the report.
   */
  svg?: string
  /** The data behind the picture as CSV. */
  csv?: string
  /** Shown under the picture, and saved as CSV. */
  table?: Table
}

/** What the user asked of the figures. */
export interface ReportWish {
  /** Moments of the section, s; never empty. */
  times: readonly number[]
}

export interface ReportPart {
  /** Unique, kept for the visit. */
  id: string
  /** In the list to choose from. */
  label: string
  /** Place in the report; lower comes first. */
  order: number
  /** Whether it is in the report until somebody chooses. */
  first: boolean
  /** Why there is nothing to show at present, as in "no map has been worked out"; '' if there is something. */
  lacks(): string
  /** What it adds to the answer on the first page and to its doubts; called only when nothing is lacking. */
  answer?(): { sentences: readonly string[]; doubts: readonly string[] } | null
  /** Called only when nothing is lacking. */
  make(wish: ReportWish): ReportFigure[]
}

const parts = new Map<string, ReportPart>()
const listeners = new Set<() => void>()

/** Tells the report that something in a part has changed (a fit has come, a map has grown). */
export function partsChanged(): void {
  for (const listener of listeners) listener()
}

/** Offers a part; one of the same id is replaced. Gives back the function that takes it away. */
export function offerPart(part: ReportPart): () => void {
  parts.set(part.id, part)
  partsChanged()
  return () => {
    if (parts.get(part.id) !== part) return
    parts.delete(part.id)
    partsChanged()
  }
}

/** All parts in the order in which they stand in the report. */
export const offeredParts = (): ReportPart[] => [...parts.values()].sort((a, b) => a.order - b.order)

/** Calls back when parts come, go or change; gives back the function that ends it. */
export function watchParts(listener: () => void): () => void {
  listeners.add(listener)
  return () => listeners.delete(listener)
}
