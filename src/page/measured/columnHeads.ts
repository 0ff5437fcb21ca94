/** The head of a previewed table: what each column holds, and its unit. */
import { isSize } from '../../measured/pairing.ts'
import type { Column, ColumnRole, ColumnUnit } from '../../measured/types.ts'
import { ROLE_UNITS } from '../../measured/units.ts'
import { el } from '../dom.ts'

const ROLES: readonly (readonly [ColumnRole, string])[] = [
  ['ignore', 'not taken'],
  ['time', 'time'],
  ['radius', 'radius'],
  ['diameter', 'diameter'],
  ['area', 'area'],
  ['uncertainty', 'uncertainty'],
  ['series', 'name of the curve'],
  ['used', 'point used (1 or 0)'],
  ['alcohol', 'alcohol fraction'],
  ['liquid', 'kind of alcohol'],
  ['volume', 'drop volume, µL'],
  ['contact', 'moment of contact, s'],
  ['depth', 'bath depth, mm'],
  ['temperature', 'temperature, °C'],
  ['humidity', 'relative humidity'],
  ['oil', 'oil'],
  ['group', 'group of repetitions'],
  ['conditions', 'conditions'],
  ['note', 'note'],
]

const UNIT_WORDS: Partial<Record<ColumnUnit, string>> = {
  frame: 'frames',
  '%': '%',
  px: 'pixels (px)',
  'px²': 'pixels (px²)',
  share: '0 to 1',
  mass: 'by mass, 0 to 1',
  volume: 'by volume, 0 to 1',
  'mass %': '% by mass',
  'volume %': '% by volume',
}

/** Units to choose from with their words, the usual one first; '' where a column may be without. */
function unitsOf(role: ColumnRole): (readonly [ColumnUnit | '', string])[] {
  const units = (ROLE_UNITS[role] ?? []).map((unit) => [unit, UNIT_WORDS[unit] ?? unit] as const)
  return role === 'uncertainty' ? [['', 'as its radius or area'], ...units] : units
}

/** A column with another role; the unit stays if it fits, else it is the usual one. */
function withRole({ unit, ...column }: Column, role: ColumnRole, title: string): Column {
  const units = unitsOf(role)
  const next: Column = { ...column, role }
  const named = isSize(next) || role === 'uncertainty'
  if (named && !next.name && title) next.name = title
  if (units.length === 0) return next
  const fitting = units.find(([one]) => one === unit)?.[0] ?? units[0]![0]
  return fitting ? { ...next, unit: fitting } : next
}

const withUnit = ({ unit: _, ...column }: Column, unit: ColumnUnit | ''): Column =>
  unit ? { ...column, unit } : column

/** One head cell per column; `change` gets all columns whenever one of them was changed. */
export function columnHeads(
  header: readonly string[],
  columns: readonly Column[],
  change: (columns: Column[]) => void,
): HTMLElement[] {
  let present = header.map(
    (_, index): Column => columns.find((column) => column.index === index) ?? { index, role: 'ignore' },
  )
  return header.map((title, index) => {
    const words = `Column ${index + 1}${title ? ` (${title})` : ''}`
    const role = el('select', { 'aria-label': `${words}: what it holds` })
    for (const [value, text] of ROLES) role.add(new Option(text, value))
    const unit = el('select', { 'aria-label': `${words}: unit` })
    const put = (column: Column) => {
      present = present.with(index, column)
      show()
      change(present)
    }
    const show = () => {
      const column = present[index]!
      role.value = column.role
      const units = unitsOf(column.role)
      unit.hidden = units.length === 0
      unit.replaceChildren(...units.map(([value, text]) => new Option(text, value)))
      unit.value = column.unit ?? ''
    }
    role.addEventListener('change', () => put(withRole(present[index]!, role.value as ColumnRole, title)))
    unit.addEventListener('change', () => put(withUnit(present[index]!, unit.value as ColumnUnit | '')))
    show()
    return el('th', { scope: 'col' }, el('span', { class: 'heads' }, role, unit))
  })
}
