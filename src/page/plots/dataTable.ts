/** Panels to a table: one column per line, lines over the same x values share their x column. */
import { csvFormatRows } from 'd3-dsv'
import type { Column, Line, Panel } from './plotData.ts'

interface Group {
  column: string
  x: ArrayLike<number>
  lines: (Line | Column)[]
}

/** Points with error bars have a column of them behind their own: `R_mm (name)`, `uncertainty_mm (name)`. */
function withErrors(line: Line): (Line | Column)[] {
  if (line.kind !== 'points' || !line.base) return [line]
  const unit = /^[A-Za-z]+_([^\s_]+)/.exec(line.column)
  const column = unit
    ? line.column.replace(unit[0], `uncertainty_${unit[1]}`)
    : `uncertainty of ${line.column}`
  return [line, { column, x: line.x, y: line.base }]
}

function groupsOf(panels: readonly Panel[]): Group[] {
  const groups: Group[] = []
  for (const panel of panels) {
    for (const line of [...panel.lines.flatMap(withErrors), ...(panel.columns?.() ?? [])]) {
      const known = groups.find((group) => group.x === line.x && group.column === panel.xColumn)
      if (known) known.lines.push(line)
      else groups.push({ column: panel.xColumn, x: line.x, lines: [line] })
    }
  }
  return groups
}

const cell = (value: number | undefined): string =>
  value === undefined || !Number.isFinite(value) ? '' : Number(value.toPrecision(7)).toString()

/** What tells a column from others of its kind: what stands in its brackets, else all of it. */
const nameOf = ({ column }: Line | Column): string => /\((.*)\)$/.exec(column)?.[1] ?? column

/** The x column of a group, named after its lines where there are several groups and they are one thing. */
function titleOf({ column, lines }: Group, many: boolean): string {
  const name = nameOf(lines[0]!)
  return many && lines.every((line) => nameOf(line) === name) ? `${column} (${name})` : column
}

/**
 * CSV with a header row; the unit is in every column's name. Gaps are empty cells. Where x is a time, the import of measured
 * curves reads it: `R_mm (name)`, `uncertainty_mm (name)`. @param notice stands above, as a comment
 */
export function csvText(panels: readonly Panel[], notice = ''): string {
  const groups = groupsOf(panels)
  const many = groups.length > 1
  const header = groups.flatMap((group) => [titleOf(group, many), ...group.lines.map((line) => line.column)])
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
  return `${notice && `# ${notice}\n`}${csvFormatRows([header, ...body])}\n`
}
