/** What a life has shed, in numbers and words. */
import { figure } from '../figures.ts'
import type { Bench, Changes, Told } from './bench.ts'

/** The life of a drop whose ring breaks up. */
export const bursting = (bench: Bench, changes: Changes): Promise<Told> =>
  bench.life({ ...changes, 'ring.breakUp': true })

/** Part of the drop that is shed. */
export const shareOf = ({ summary: { childDrops }, preset }: Told): number =>
  childDrops.volume / (1e-9 * preset.drop.volume_uL)

/** Median radius by volume of the child drops, µm; NaN unless they hold a hundredth of the drop. */
export const medianOf = (life: Told): number =>
  shareOf(life) > 0.01 ? 1e6 * life.summary.childDrops.medianRadius : Number.NaN

/** Several sizes, in their order. */
export const sizes = (values: readonly number[]): string =>
  values.map((x) => (Number.isNaN(x) ? 'nothing shed' : `${figure(x, 2)} µm`)).join(', ')

export const sizeWords = (radius_um: number): string =>
  Number.isNaN(radius_um) ? 'less than 1 % of the drop is shed' : `median radius ${figure(radius_um, 2)} µm`

/** Two digits are enough; from ten thousand on thousands stand apart. */
export function counted(count: number): string {
  const rounded = String(Number(count.toPrecision(2)))
  return rounded.length < 5 ? rounded : rounded.replace(/\B(?=(\d{3})+$)/g, ' ')
}
