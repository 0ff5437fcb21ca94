/** What is told of the rim's fingers: JSON object, readable section, columns of the CSV. Units in the names. Pure. */
import type { Fingers, FingersTable } from '../rim/fingers.ts'

const known = (value: number): number | null => (Number.isFinite(value) ? value : null)
const TABLE = ['t_s', 'count', 'wavelength_mm', 'growth_perS', 'gain'] as const

/** The object of --json; null where there is no number. */
export function fingersObject(fingers: Fingers): Record<string, unknown> {
  const { verdict, appear_s, table, ...numbers } = fingers
  const { low, value, high } = appear_s
  const told = Object.fromEntries(Object.entries(numbers).map(([name, number]) => [name, known(number)]))
  return {
    verdict,
    appear_s: { low: known(low), value: known(value), high: known(high) },
    ...told,
    table: Object.fromEntries(TABLE.map((name) => [name, table[name].map(known)])),
  }
}

/** Values of the table at the times given (s), linear in between; null before its start and after its end. */
function tableAt(table: FingersTable, name: keyof FingersTable, times: readonly (number | null)[]) {
  const { t_s } = table
  return times.map((time) => {
    if (time === null || t_s.length === 0 || time < t_s[0]! || time > t_s.at(-1)!) return null
    const next = t_s.findIndex((t) => t >= time)
    const at = Math.max(next, 1)
    const share = (time - t_s[at - 1]!) / (t_s[at]! - t_s[at - 1]!)
    const column = table[name]
    return known(column[at - 1]! + share * (column[at]! - column[at - 1]!))
  })
}

/** Columns that the CSV of a series gets beside its own, at the times of the series (s). */
export function fingersColumns(
  { table }: Fingers,
  times: readonly (number | null)[],
): Record<string, (number | null)[]> {
  return {
    fingersCount: tableAt(table, 'count', times),
    fingersWavelength_mm: tableAt(table, 'wavelength_mm', times),
    fingersGrowth_perS: tableAt(table, 'growth_perS', times),
    fingersGain: tableAt(table, 'gain', times),
  }
}

const digits = (value: number): string =>
  Number.isFinite(value) ? String(Number(value.toPrecision(3))) : '–'

function verdictWords({ verdict, appear_s, gainAtLargest }: Fingers): string {
  const seen = Number.isFinite(appear_s.value)
  if (verdict === 'depends')
    return 'may or may not come: that depends on the drop/oil tension, which is not known well enough'
  if (verdict === 'none') {
    return Number.isFinite(gainAtLargest)
      ? 'none expected: ripples of the rim do not grow enough before the drop is largest'
      : 'none expected: the drop does not spread'
  }
  return seen ? 'the rim beads' : 'the rim beads, but hardly so before the drop is largest'
}

/** The section of the readable output. */
export function fingersLines(fingers: Fingers, every: number): string[] {
  const { appear_s, count, wavelength_mm, growth_perS, gainAtLargest, countAtLargest, dropRadius_um, table } =
    fingers
  const lines = [['fingers', verdictWords(fingers)]]
  const end = (t: number) => (Number.isFinite(t) ? `${digits(t)} s` : 'not before the largest radius')
  if (Number.isFinite(count)) {
    lines.push(
      ['  to be seen', `${Number.isFinite(appear_s.value) ? 'from ' : ''}${end(appear_s.value)}`],
      ['  noise × 10, ÷ 10', `${end(appear_s.low)}, ${end(appear_s.high)}`],
      ['  beads', `${digits(count)} round the drop, ${digits(wavelength_mm)} mm apart`],
      ['  their growth', `${digits(growth_perS)} per s`],
      ['  drops', `radius about ${digits(dropRadius_um)} µm, if each bead makes one`],
    )
  }
  if (Number.isFinite(gainAtLargest)) {
    const beads = Number.isFinite(countAtLargest) ? `, ${digits(countAtLargest)} beads` : ''
    lines.push(['  at largest radius', `grown by e^${digits(gainAtLargest)}${beads}`])
  }
  const section = lines.map(([name, value]) => `${name!.padEnd(20)}${value}`)
  if (table.t_s.length === 0) return section
  return [...section, '', ...tableLines(table, every)]
}

function tableLines(table: FingersTable, every: number): string[] {
  const line = (row: readonly string[]) => row.map((cell) => cell.padStart(14)).join('')
  const rows: string[] = []
  let next = Number.NEGATIVE_INFINITY
  const last = table.t_s.length - 1
  table.t_s.forEach((t, k) => {
    if (t < next && k < last) return
    next = t + 0.999 * every
    rows.push(line(TABLE.map((name) => digits(table[name][k]!))))
  })
  return [line(TABLE), ...rows]
}
