/** Expected errors over the number of drops, as data for plots. Pure. */
import type { Choice } from '../../plan/choose/types.ts'
import { plain } from '../format.ts'
import type { Line, Panel } from '../plots/plotData.ts'
import { niceStep } from '../spans.ts'
import { seriesStyles } from '../theme.ts'

const column = (label: string): string => label.toLowerCase().replace(/[^a-z0-9]+/g, '_')

/** Error of each unknown in per cent of its value, chosen (strong, with points) and spread evenly (thin). */
export function errorsPanel({ unknowns, curve, drops }: Choice): Panel {
  const x = curve.map(({ drops: n }) => n)
  const all = curve.flatMap(({ chosen, even }) => [...chosen, ...even]).map((error) => 100 * error)
  const finite = all.filter((error) => Number.isFinite(error) && error > 0)
  const lines = unknowns.flatMap(({ label }, j): Line[] => {
    const { colour, dash } = seriesStyles[j % seriesStyles.length]!
    const chosen = curve.map((one) => 100 * one.chosen[j]!)
    const base = { x, colour }
    return [
      {
        ...base,
        key: `even ${j}`,
        label: '',
        column: `${column(label)}_even_percent`,
        dash: [2, 3],
        width: 1.2,
        kind: 'line',
        y: curve.map((one) => 100 * one.even[j]!),
        opacity: 0.8,
      },
      {
        ...base,
        key: `chosen ${j}`,
        label,
        column: `${column(label)}_percent`,
        dash,
        width: 2,
        kind: 'line',
        y: chosen,
        opacity: 1,
      },
    ]
  })
  const wanted = drops.reduce((sum, { times }) => sum + times, 0)
  return {
    id: 'errors',
    title: 'Expected error (1 σ)',
    xLabel: 'number of drops',
    yLabel: 'error, %',
    xColumn: 'drops',
    xMin: 0,
    xMax: Math.max(2, x.at(-1) ?? 2),
    yMin: Math.min(...finite) / 1.3,
    yMax: Math.max(niceStep(Math.max(...finite)), Math.max(...finite) * 1.1),
    logarithmic: true,
    lines,
    marks: unknowns.flatMap((_, j) => {
      const at = curve.find(({ drops: n }) => n === wanted)
      return at ? [{ x: wanted, y: 100 * at.chosen[j]!, label: '', below: false }] : []
    }),
    weight: 1,
    showX: true,
  }
}

/** "4 drops: Constant rate 1.2 % (evenly 1.5 %)" */
export function errorsWords({ unknowns, curve }: Choice, n: number): string {
  const at = curve.find(({ drops }) => drops === n)
  if (!at) return ''
  const parts = unknowns.map(
    ({ label }, j) => `${label} ${plain(100 * at.chosen[j]!, 2)} % (evenly ${plain(100 * at.even[j]!, 2)} %)`,
  )
  return `${n} ${n === 1 ? 'drop' : 'drops'}: ${parts.join(', ')}`
}
