/**
 * Thickness from the fringes in light of one wavelength. Both surfaces reflect; the path between them is 2 n h cos θ', so that
 * from one bright fringe to the next the thickness changes by λ/(2 n cos θ') (Born & Wolf, Principles of Optics, § 7.6; the
 * number of the section is from memory). Where the film's index lies between air's and the bath's, both reflections turn the
 * phase alike and no thickness is bright; else it is dark. Brightness alone does not tell thickening from thinning: the sign
 * is the user's word, or follows from a rim at which the film thins to nothing.
 */
import { type Extremum, extremaOf } from './extrema.ts'
import { type Chain, chainsOf } from './phase.ts'
import { refinePhase } from './refine.ts'
import { passings, resolvedWays } from './turns.ts'
import type { Film, Known, Piece, RadialLight, Thickness } from './types.ts'

export interface OneWavelength {
  /** m, and its standard uncertainty. */
  wavelength: number
  wavelengthSigma: number
  film: Film
  known: Known
  /** What the film does from the inner end of the fringes outwards; 'unknown': the sign of differences is not told. */
  outward: 'thinner' | 'thicker' | 'unknown'
}

const TURN = 2 * Math.PI

/** Cosine of the angle in the film (Snell). */
const cosInside = ({ index, angle }: Film): number => Math.sqrt(1 - (Math.sin(angle) / index) ** 2)

/** Phase at which the film of no thickness stands: bright (0) or dark (π). */
const zeroPhase = ({ index, bath }: Film): number => (index < bath ? 0 : Math.PI)

/** One curve of the three colours: each as much as its fringes stand out of its noise. */
export function oneLight({ light, error }: RadialLight): { y: Float64Array; error: Float64Array } {
  const weights = light.map((values, c) => {
    const mean = values.reduce((sum, v) => sum + v, 0) / values.length
    const spread = Math.sqrt(values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / values.length)
    const noise = error[c]!.slice().sort()[Math.floor(values.length / 2)]!
    return spread / Math.max(noise, 1e-9) ** 2
  })
  const total = weights.reduce((sum, w) => sum + w, 0) || 1
  const [a, b, c] = weights.map((w) => w / total) as [number, number, number]
  const y = light[0].map((v, i) => a * v + b * light[1][i]! + c * light[2][i]!)
  const noise = error[0].map((e, i) => Math.hypot(a * e, b * error[1][i]!, c * error[2][i]!))
  return { y, error: noise }
}

interface Placed {
  /** Sign that turns the chain's phase into one that grows with the thickness, and what is added then. */
  sign: 1 | -1
  shift: number
  absolute: boolean
  signed: boolean
  note: string
}

const mm = (r: number): string => `${(1e3 * r).toFixed(2)} mm`

/** The sign of a chain by the user's word about its inner end. */
function signOf({ outward }: OneWavelength): { sign: 1 | -1; signed: boolean } {
  return { sign: outward === 'thicker' ? 1 : -1, signed: outward !== 'unknown' }
}

function atRim(chain: Chain, wish: OneWavelength, r: Float64Array): Placed | null {
  if (wish.known.at !== 'rim') return null
  const last = chain.extrema.at(-1)!
  const brightZero = zeroPhase(wish.film) === 0
  const rim = wish.known.r
  const reached = r[Math.min(r.length - 1, Math.round(last.at))]!
  const fromEnd = (rim - reached) / (r[1]! - r[0]!)
  const isZero = last.bright === brightZero && fromEnd <= 6
  if (!isZero && last.bright === brightZero) return null
  const { phase } = chain
  const before = phase.at(-1)! - phase.at(-2)!
  const sign = before > 0 ? -1 : 1
  // The last fringe is that of no thickness, or half a turn before it.
  return {
    sign,
    shift: (isZero ? 0 : Math.PI) - sign * phase.at(-1)!,
    absolute: true,
    signed: true,
    note: '',
  }
}

function atPlace(chain: Chain, phase: Float64Array, wish: OneWavelength, r: Float64Array): Placed | null {
  const { known, film, wavelength } = wish
  if (known.at !== 'place') return null
  const step = r[1]! - r[0]!
  const i = Math.round((known.r - r[0]!) / step)
  if (i < chain.from - 1 || i > chain.to + 1) return null
  const perMetre = (2 * TURN * film.index * cosInside(film)) / wavelength
  const { sign, signed } = signOf(wish)
  const here = sign * phase[Math.min(chain.to, Math.max(chain.from, i)) - chain.from]! + zeroPhase(film)
  const order = Math.round((perMetre * known.h - here) / TURN)
  const left = perMetre * known.h - here - TURN * order
  const sigma = perMetre * known.sigma
  if (2 * sigma > Math.PI) {
    const most = (1e9 * Math.PI) / (2 * perMetre)
    const note = `The thickness at ${mm(known.r)} is not known well enough to count the fringes from it: ± ${most.toFixed(0)} nm or better is needed. Differences only.`
    return { sign, shift: zeroPhase(film), absolute: false, signed, note }
  }
  const apart = (1e9 * Math.abs(left)) / perMetre
  const note =
    Math.abs(left) > Math.max(2 * sigma, 0.5)
      ? `The nearest thickness that the fringes allow at ${mm(known.r)} is ${apart.toFixed(0)} nm from the given one.`
      : ''
  return { sign, shift: zeroPhase(film) + TURN * order, absolute: true, signed, note }
}

function place(
  chain: Chain,
  phase: Float64Array,
  wish: OneWavelength,
  r: Float64Array,
  isLast: boolean,
  first: boolean,
): Placed {
  const found = (isLast ? atRim(chain, wish, r) : null) ?? atPlace(chain, phase, wish, r)
  if (found) return found
  const { sign, signed } = signOf(wish)
  return { sign, shift: zeroPhase(wish.film), absolute: false, signed: signed && first, note: '' }
}

const empty = (r: Float64Array): Thickness => ({
  r,
  h: new Float64Array(r.length).fill(Number.NaN),
  own: new Float64Array(r.length).fill(Number.NaN),
  shared: new Float64Array(r.length).fill(Number.NaN),
  pieces: [],
  fringes: [],
  turns: [],
  notes: [],
})

/** Writes a chain into the thickness. */
function write(
  into: Thickness,
  chain: Chain,
  { phase, sigma }: { phase: Float64Array; sigma: Float64Array },
  placed: Placed,
  wish: OneWavelength,
): void {
  const { film, wavelength, wavelengthSigma } = wish
  const metres = wavelength / (2 * TURN * film.index * cosInside(film))
  const relative = Math.hypot(wavelengthSigma / wavelength, film.indexSigma / film.index)
  const delta = phase.map((phi) => placed.sign * phi + placed.shift)
  const least = delta.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY)
  const base = placed.absolute ? 0 : least
  // Differences share the error of the place from which they count.
  const baseSigma = placed.absolute ? 0 : metres * sigma[delta.indexOf(least)]!
  delta.forEach((d, j) => {
    const i = chain.from + j
    into.h[i] = metres * (d - base)
    into.own[i] = metres * sigma[j]!
    into.shared[i] = Math.hypot(Math.abs(into.h[i]!) * relative, baseSigma)
  })
  const spread = delta.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY) - least
  const piece: Piece = {
    from: chain.from,
    to: chain.to,
    absolute: placed.absolute,
    signed: placed.signed,
    orders: spread / TURN,
  }
  into.pieces.push(piece)
  const step = into.r[1]! - into.r[0]!
  const radius = (one: Extremum) => into.r[0]! + one.at * step
  chain.extrema.forEach((one, k) => {
    const turned = chain.passing[k] === 'turned' || chain.passing[k] === 'partial'
    if (turned) into.turns.push(radius(one))
    const end = k === 0 ? chain.sure.first : k + 1 < chain.extrema.length || chain.sure.last
    if (chain.passing[k] === 'partial' || !end) return
    const order = (placed.sign * chain.phase[k]! + placed.shift) / TURN
    into.fringes.push({
      r: radius(one),
      bright: one.bright,
      order: placed.absolute ? Math.round(2 * order) / 2 : Number.NaN,
    })
  })
}

function sayWhatIsMissing(
  into: Thickness,
  chains: readonly Chain[],
  unsure: readonly number[],
  wish: OneWavelength,
): void {
  const { notes, pieces, r } = into
  if (chains.length === 0) {
    notes.push(
      'No run of fringes was found: a bright and a dark one that stand out of the noise are needed at least.',
    )
    return
  }
  for (const at of unsure)
    notes.push(
      `At ${mm(r[Math.round(at)]!)} it cannot be told whether the film turns: the thickness is not carried across.`,
    )
  if (!pieces.some(({ absolute }) => absolute)) {
    if (wish.known.at === 'rim') notes.push('The fringes cannot be followed to the rim: differences only.')
    else if (wish.known.at === 'place' && notes.length === 0)
      notes.push('No fringes can be followed to the place where the thickness is known: differences only.')
    else if (wish.known.at === 'nowhere')
      notes.push(
        'The order of the fringes is not known: differences only, counted from the thinnest place of each run.',
      )
  }
  if (pieces.some(({ signed }) => !signed))
    notes.push(
      'Brightness does not tell thinning from thickening: where the direction is not given, a run may be upside down.',
    )
}

/** Of several runs those of known thickness; else those of known sign; else the one with the most fringes. */
function joined<T extends { chain: Chain; placed: Placed }>(all: readonly T[]): readonly T[] {
  const absolute = all.filter(({ placed }) => placed.absolute)
  if (absolute.length > 0) return absolute
  const signed = all.filter(({ placed }) => placed.signed)
  if (signed.length > 0) return signed
  const most = Math.max(...all.map(({ chain }) => chain.extrema.length))
  return all.filter(({ chain }) => chain.extrema.length === most).slice(0, 1)
}

/** Thickness along the radius in light of one wavelength. Never throws; what cannot be told is NaN, and `notes` say why. */
export function thicknessOneWavelength(profile: RadialLight, wish: OneWavelength): Thickness {
  const into = empty(profile.r)
  const { y, error } = oneLight(profile)
  const extrema = extremaOf(y, error)
  const passing = passings(y, error, extrema, resolvedWays(extrema))
  const chains = chainsOf(y, extrema, passing, wish.known.at === 'rim')
  const placedChains = chains.map((chain, k) => {
    const found = refinePhase(
      { y, error, level: chain.level, amplitude: chain.amplitude, beyond: chain.beyond },
      chain.from,
      chain.to,
      chain.start,
    )
    const placed = place(chain, found.phase, wish, profile.r, k === chains.length - 1, k === 0)
    if (placed.note) into.notes.push(placed.note)
    return { chain, found, placed }
  })
  const kept = joined(placedChains)
  for (const { chain, found, placed } of kept) write(into, chain, found, placed, wish)
  for (const { chain } of placedChains.filter((one) => !kept.includes(one))) {
    const [a, b] = [profile.r[chain.from]!, profile.r[chain.to]!]
    into.notes.push(
      `The fringes from ${mm(a)} to ${mm(b)} cannot be joined to the others: they are left out.`,
    )
  }
  const unsure = extrema.filter((_, k) => passing[k] === 'unsure').map(({ at }) => at)
  sayWhatIsMissing(into, chains, unsure, wish)
  return into
}
