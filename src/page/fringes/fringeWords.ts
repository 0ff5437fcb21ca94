/** What the fringes tell, in sentences. */
import { totalSigma } from '../../measured/fringes/types.ts'
import { length, plain } from '../format.ts'
import { baseOf, type Shown } from './panels.ts'

export const invitation =
  'A picture of the drop in yellow lamp light, or in white light, shows fringes. From them you get the film’s thickness along the radius, with its error, laid over the simulated one.'

export const explanation =
  'Light from the upper and the lower surface of the film adds up or cancels, so that from one bright fringe to the next the thickness changes by half a wavelength in the liquid. One picture in one wavelength gives differences; the thickness itself needs one place where it is known, or colours of white light. Fringes finer than a few pixels, and places where the film may turn from thinning to thickening unnoticed, are left out as gaps.'

export const caution =
  'Do not use a laser as the lamp: light mirrored by the drop may enter an eye. Sodium lamps get hot, and a hot lamp or a spark may light the vapour of the alcohol. The rules of your lab and the word of the person responsible for it come first.'

const many = (n: number, one: string): string => `${n} ${one}${n === 1 ? '' : 's'}`

/** Mean square difference from the simulation, m, and the mean thickness over the same places. */
function against({ thickness, film, ...rest }: Shown): { rms: number; mean: number } | null {
  if (!film) return null
  const base = 1e-6 * baseOf({ thickness, film, ...rest })
  let [sum, total, count] = [0, 0, 0]
  thickness.h.forEach((h, i) => {
    const simulated = film.h(thickness.r[i]!) - base
    if (Number.isNaN(h) || !Number.isFinite(simulated)) return
    sum += (h - simulated) ** 2
    total += h
    count++
  })
  return count > 0 ? { rms: Math.sqrt(sum / count), mean: total / count } : null
}

export function resultWords(shown: Shown): string {
  const { thickness } = shown
  const { r, h, pieces, fringes, turns } = thickness
  if (pieces.length === 0) return 'No thickness could be told from this picture.'
  const told = [...h.keys()].filter((i) => !Number.isNaN(h[i]!))
  const values = told.map((i) => h[i]!)
  const [least, most] = [Math.min(...values), Math.max(...values)]
  const sigma = Math.sqrt(told.reduce((sum, i) => sum + totalSigma(thickness, i) ** 2, 0) / told.length)
  const absolute = pieces.every((piece) => piece.absolute)
  const to = plain(1e3 * r[told.at(-1)!]!, 3)
  const where =
    told[0] === 0
      ? `from the centre to ${to} mm`
      : `from ${plain(1e3 * r[told[0]!]!, 3)} to ${to} mm from the centre`
  const what = absolute
    ? `The film is ${plain(1e6 * least, 3)} to ${plain(1e6 * most, 3)} µm thick`
    : `The thickness differs by up to ${plain(1e6 * most, 3)} µm`
  const seen =
    fringes.length > 0 ? ` by ${many(fringes.length, 'bright and dark fringe')}` : ' by its colours'
  const turn =
    turns.length > 0 ? ` It turns at ${turns.map((at) => `${plain(1e3 * at, 3)} mm`).join(' and ')}.` : ''
  const compared = against(shown)
  const beside = compared
    ? ` The simulated one differs by ${length(compared.rms, 2)} r.m.s.${absolute ? ` (${plain((100 * compared.rms) / compared.mean, 2)} %)` : ''}.`
    : ''
  return `${what}, ± ${length(sigma, 2)}, ${where},${seen}.${turn}${beside}`
}
