/** How the drop is coloured: by a quantity, or as an eye or a camera sees it from straight above. */
import type { Life, Preset } from '../../life/types.ts'
import { massFractionOfAdditive } from '../../liquids/composition.ts'
import { ethanol } from '../../liquids/ethanol.ts'
import { mixtureIndex, oilIndex, SODIUM } from '../../liquids/opticalIndices.ts'
import { mixtureNamed, oilNamed } from '../../liquids/own/resolve.ts'
import { dyedColour } from '../../optics/dye.ts'
import { colourAt, type FilmTable, filmTable, meanColour } from '../../optics/filmTable.ts'
import { EXPOSURE, monoColour, rowsOf, type Stack, whiteColour } from '../../optics/interference.ts'
import { firstDark, fringeStep } from '../../optics/thinFilm.ts'
import { colourTable, tableSize } from '../colour.ts'
import { type ColourScale, colourScale } from '../colourScale.ts'
import type { ColourBy, State } from '../store.ts'

export interface Look {
  by: ColourBy
  scale: ColourScale
  /** The legend's colours in bytes, even along its scale. */
  table: Uint8Array
  /** Null where the colours are those of a quantity. */
  film: FilmTable | null
  /** Colour of the bare oil, 0–1; null likewise. */
  bare: [number, number, number] | null
}

type Wish = Pick<State, 'colourBy' | 'dark' | 'wavelength' | 'dye'>

/** Light for which the legend of white light gives its fringes: about where the eye sees best. */
const GREEN = 550e-9

/** The drop's film on its oil; composition is the alcohol's share of the volume. The reference case counts as ethanol. */
export function stackOf(preset: Preset): Stack {
  const T = preset.air.temperature_C + 273.15
  const mixture = mixtureNamed(preset.drop.alcohol, preset.liquids) ?? ethanol
  const oil = oilNamed(preset.bath.liquid, preset.liquids) ?? null
  const strongest = mixture.strongest ?? 1
  return {
    film: (phi, wavelength) => {
      const w = massFractionOfAdditive(mixture, Math.min(1, Math.max(0, phi)), T)
      return mixtureIndex(mixture, Math.min(strongest, w), T, wavelength)
    },
    bath: (wavelength) => oilIndex(oil, T, wavelength),
  }
}

const ROWS = [0, 0.25, 0.5, 0.75, 1] as const

function whiteTable(stack: Stack): FilmTable {
  const rows = new Map(ROWS.map((phi) => [phi as number, rowsOf(stack, phi)]))
  return filmTable(ROWS, ratioOf(stack, SODIUM), (phi, h, width) => whiteColour(rows.get(phi)!, h, width))
}

const monoTable = (stack: Stack, wavelength: number): FilmTable =>
  filmTable(ROWS, ratioOf(stack, wavelength), (phi, h, width) => monoColour(stack, phi, wavelength, h, width))

const ratioOf = (stack: Stack, wavelength: number) => {
  const first = stack.film(ROWS[0], wavelength)
  return (phi: number) => stack.film(phi, wavelength) / first
}

const dyedTable = (strength: number): FilmTable =>
  filmTable(
    [0],
    () => 1,
    (_, h) => dyedColour(strength, h),
  )

/** Tables take some 0.1 s: the last few are kept. */
const kept = new Map<string, FilmTable>()
function once(key: string, make: () => FilmTable): FilmTable {
  const known = kept.get(key)
  if (known) return known
  const made = make()
  if (kept.size >= 6) kept.delete(kept.keys().next().value!)
  kept.set(key, made)
  return made
}

function filmOf({ colourBy, wavelength, dye }: Wish, preset: Preset, stack: Stack): FilmTable | null {
  const { drop, bath, air, liquids } = preset
  const pairing = JSON.stringify([drop.alcohol, bath.liquid, air.temperature_C, liquids])
  if (colourBy === 'white') return once(`white ${pairing}`, () => whiteTable(stack))
  if (colourBy === 'mono') {
    return once(`mono ${wavelength} ${pairing}`, () => monoTable(stack, 1e-9 * wavelength))
  }
  return colourBy === 'dyed' ? once(`dyed ${dye}`, () => dyedTable(dye)) : null
}

/** Mean share of alcohol in the film over the life: the legend's composition. */
function meanShare(life: Life | null, preset: Preset): number {
  const cells = life ? life.frames.count * life.frames.inner : 0
  if (!life || cells === 0) return preset.drop.alcoholMassFraction
  let sum = 0
  for (let i = 0; i < cells; i++) sum += life.frames.phi[i]!
  return sum / cells
}

const nm = (m: number): string => `${Math.round(1e9 * m)} nm`

function fringes(stack: Stack, phi: number, wavelength: number): string {
  const n = stack.film(phi, wavelength)
  return `First dark fringe at ${nm(firstDark(n, stack.bath(wavelength), wavelength))}, then every ${nm(fringeStep(n, wavelength))}`
}

function noteOf({ colourBy, dye, wavelength }: Wish, stack: Stack, phi: number): string {
  if (colourBy === 'dyed') {
    return `Invented blue dye over a white ground, seen from straight above; decadic absorbance ${dye} per mm, which stays as the drop dries.`
  }
  const shown = `Reflected light shown ${EXPOSURE}× as bright.`
  return colourBy === 'white'
    ? `Interference colours, white light (D65), seen from straight above. ${fringes(stack, phi, GREEN)} (green light). ${shown}`
    : `Light of ${wavelength} nm, seen from straight above by a black-and-white camera. ${fringes(stack, phi, 1e-9 * wavelength)}. ${shown}`
}

const titles: Partial<Record<ColourBy, string>> = {
  white: 'Thickness by colour',
  mono: 'Thickness by fringes',
  dyed: 'Thickness by dye',
}

function scaleOf(wish: Wish, note: string): ColourScale {
  const dyed = wish.colourBy === 'dyed'
  return {
    quantity: 'thickness',
    title: titles[wish.colourBy]!,
    unit: 'µm',
    min: 0,
    max: dyed ? 500 : 2,
    logarithmic: false,
    perUnit: 1e6,
    ticks: dyed ? [0, 100, 200, 300, 400, 500] : [0, 0.5, 1, 1.5, 2],
    note,
  }
}

/** Colours along the scale, each the mean over its own part of it. */
function legendTable(film: FilmTable, scale: ColourScale, phi: number): Uint8Array {
  const bytes = new Uint8Array(3 * tableSize)
  const step = scale.max / scale.perUnit / (tableSize - 1)
  for (let k = 0; k < tableSize; k++) {
    const rgb = meanColour(film, Math.max(0, k - 0.5) * step, (k + 0.5) * step, phi)
    for (let c = 0; c < 3; c++) bytes[3 * k + c] = Math.round(255 * rgb[c]!)
  }
  return bytes
}

/** @param preset the drop whose liquids count while there is no life */
export function lookOf(wish: Wish, life: Life | null, preset: Preset): Look {
  const by = wish.colourBy
  if (by !== 'white' && by !== 'mono' && by !== 'dyed') {
    const scale = colourScale(by, life?.frames.count ? life.frames : null)
    const note = by === 'thickness' ? { note: `Thick is ${wish.dark ? 'light' : 'dark'}.` } : {}
    return { by, scale: { ...scale, ...note }, table: colourTable(by, wish.dark), film: null, bare: null }
  }
  const of = life?.preset ?? preset
  const stack = stackOf(of)
  const film = filmOf(wish, of, stack)!
  const phi = meanShare(life, of)
  const scale = scaleOf(wish, noteOf(wish, stack, phi))
  return { by, scale, table: legendTable(film, scale, phi), film, bare: colourAt(film, 0, phi) }
}
