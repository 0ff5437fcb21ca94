/**
 * Colours of a film as a table, long enough for many fringes. Columns: thickness, evenly spaced in asinh(s/BEND), so that
 * cells are 8 nm wide for thin films (two dozen a fringe), 34 nm at 20 µm and 1/600 of the thickness beyond. Each column is the
 * mean over its cell: fringes finer than cells fade to their mean and make no false pattern. Rows: composition. The
 * coordinate s is the thickness times n/n₀, n the film's index at its composition and n₀ that of the first row: fringes then
 * lie at the same s in all rows, and between rows only their strength need be interpolated.
 */
import { decode, encode, type Triple } from './colourSpace.ts'

/** m */
const BEND = 5e-6
/** Thicknesses beyond it have the last colour, m. */
export const REACH = 2e-3
export const COLUMNS = 4096
const SCALE = Math.asinh(REACH / BEND)

/** What a shader needs: x = asinh(s/bend)/scale. */
export const mapping = { bend: BEND, scale: SCALE } as const

/** Place 0–1 of s (m), and back. */
export const placeOfThickness = (s: number): number => Math.min(1, Math.asinh(Math.max(0, s) / BEND) / SCALE)
export const thicknessOfPlace = (x: number): number => BEND * Math.sinh(SCALE * x)

export interface FilmTable {
  /** Compositions of the rows, ascending. */
  rows: readonly number[]
  /** n/n₀ at any composition. */
  ratio(composition: number): number
  /** Screen colours in bytes, rows × COLUMNS × 3. */
  bytes: Uint8Array
  /** Running integral of the linear light over s, rows × COLUMNS × 3. */
  integral: Float64Array
}

const between = (a: number, b: number, share: number): number => a + share * (b - a)

/** A smooth function kept at 129 places and interpolated: it is asked for at every pixel. */
function tabulated(of: (x: number) => number, from: number, to: number): (x: number) => number {
  const values = Float64Array.from({ length: 129 }, (_, i) => of(from + ((to - from) * i) / 128))
  return (x) => {
    const place = to > from ? Math.min(1, Math.max(0, (x - from) / (to - from))) * 128 : 0
    const i = Math.min(127, Math.floor(place))
    return between(values[i]!, values[i + 1]!, place - i)
  }
}

/** @param colour screen colour 0–1 of the row's composition, mean over s ± width/2 (m of the row's own thickness) */
export function filmTable(
  rows: readonly number[],
  exactRatio: (composition: number) => number,
  colour: (composition: number, h: number, width: number) => Triple,
): FilmTable {
  const ratio = tabulated(exactRatio, rows[0]!, rows.at(-1)!)
  const bytes = new Uint8Array(rows.length * COLUMNS * 3)
  const integral = new Float64Array(bytes.length)
  const at = Array.from({ length: COLUMNS }, (_, k) => thicknessOfPlace(k / (COLUMNS - 1)))
  rows.forEach((composition, row) => {
    const own = 1 / ratio(composition)
    let before: Triple | null = null
    for (let k = 0; k < COLUMNS; k++) {
      const width =
        k === 0
          ? 0
          : thicknessOfPlace((k + 0.5) / (COLUMNS - 1)) - thicknessOfPlace((k - 0.5) / (COLUMNS - 1))
      const shown = colour(composition, own * at[k]!, own * width)
      const light: Triple = [0, 0, 0]
      const place = 3 * (row * COLUMNS + k)
      for (let c = 0; c < 3; c++) {
        bytes[place + c] = Math.round(255 * shown[c]!)
        light[c] = decode(bytes[place + c]! / 255)
        const step = before ? 0.5 * (at[k]! - at[k - 1]!) * (before[c]! + light[c]!) : 0
        integral[place + c] = (k > 0 ? integral[place + c - 3]! : 0) + step
      }
      before = light
    }
  })
  return { rows, ratio, bytes, integral }
}

/** Row below a composition and the share of the way to the next one. */
export function rowOf({ rows }: FilmTable, composition: number): [row: number, share: number] {
  const last = rows.length - 1
  if (last === 0 || !(composition > rows[0]!)) return [0, 0]
  if (composition >= rows[last]!) return [last, 0]
  let row = 0
  while (row < last - 1 && rows[row + 1]! <= composition) row++
  return [row, (composition - rows[row]!) / (rows[row + 1]! - rows[row]!)]
}

/** Linear light of every byte. */
const LIGHT = Float64Array.from({ length: 256 }, (_, byte) => decode(byte / 255))

/** Column at or below s (m), its own s, the share of the way to the next. */
interface Spot {
  s: number
  k: number
  start: number
  share: number
}

function spotOf(s: number): Spot {
  const x = placeOfThickness(s) * (COLUMNS - 1)
  const k = Math.min(COLUMNS - 2, Math.floor(x))
  return { s, k, start: thicknessOfPlace(k / (COLUMNS - 1)), share: x - k }
}

/** Linear light in a row and channel. */
function lightIn({ bytes }: FilmTable, row: number, { k, share }: Spot, channel: number): number {
  const at = 3 * (row * COLUMNS + k) + channel
  return between(LIGHT[bytes[at]!]!, LIGHT[bytes[at + 3]!]!, share)
}

function integralTo(table: FilmTable, row: number, spot: Spot, channel: number): number {
  const at = 3 * (row * COLUMNS + spot.k) + channel
  const light = LIGHT[table.bytes[at]!]! + lightIn(table, row, spot, channel)
  return table.integral[at]! + (spot.s - spot.start) * 0.5 * light
}

/** Mean screen colour (0–1) of films from thickness h1 to h2 (m, any order) at one composition: of a pixel, as its light adds up. */
export function meanColour(table: FilmTable, h1: number, h2: number, composition: number): Triple {
  const [row, share] = rowOf(table, composition)
  const ratio = table.ratio(composition)
  const low = spotOf(Math.max(0, ratio * Math.min(h1, h2)))
  const high = spotOf(Math.max(0, ratio * Math.max(h1, h2)))
  const width = high.s - low.s
  const mean = (r: number, c: number) =>
    width > 1e-10
      ? (integralTo(table, r, high, c) - integralTo(table, r, low, c)) / width
      : lightIn(table, r, low, c)
  const part = (c: number) => {
    const first = mean(row, c)
    return encode(share > 0 ? between(first, mean(row + 1, c), share) : first)
  }
  return [part(0), part(1), part(2)]
}

export const colourAt = (table: FilmTable, h: number, composition: number): Triple =>
  meanColour(table, h, h, composition)
