/** Panels to a table: one column per line, lines over the same x values share their x column. */
import { csvFormatRows } from 'd3-dsv'
import type { Column, Line, Panel } from './model.ts'

interface Group {
  column: string
  x: ArrayLike<number>
  lines: (Line | Column)[]
}

function groupsOf(panels: readonly Panel[]): Group[] {
  const groups: Group[] = []
  for (const panel of panels) {
    for (const line of [...panel.lines, ...(panel.columns?.() ?? [])]) {
      const known = groups.find((group) => group.x === line.x && group.column === panel.xColumn)
      if (known) known.lines.push(line)
      else groups.push({ column: panel.xColumn, x: line.x, lines: [line] })
    }
  }
  return groups
}

const cell = (value: number | undefined): string =>
  value === undefined || !Number.isFinite(value) ? '' : Number(value.toPrecision(7)).toString()

/** CSV with a header row; the unit is in every column's name. Gaps are empty cells. */
export function csvText(panels: readonly Panel[]): string {
  const groups = groupsOf(panels)
  const many = groups.length > 1
  const header = groups.flatMap((group) => [
    many && group.lines.length === 1 ? `${group.column} (${group.lines[0]!.column})` : group.column,
    ...group.lines.map((line) => line.column),
  ])
  const rows = Math.max(0, ...groups.map((group) => group.x.length))
  const body = Array.from({ length: rows }, (_, i) =>
    groups.flatMap((group) => [
      cell(group.x[i]),
      ...group.lines.map((line) => {
        const height = 'kind' in line && line.kind === 'area' ? line.y[i]! - (line.base?.[i] ?? 0) : line.y[i]
        return cell(height)
      }),
    ]),
  )
  return `${csvFormatRows([header, ...body])}\n`
}
