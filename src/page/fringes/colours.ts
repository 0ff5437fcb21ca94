/** Table of a film's colours in white light, as the reading of pictures wants it. */
import type { FilmColours } from '../../measured/fringes/types.ts'
import { linearSrgb, type Triple } from '../../optics/colourSpace.ts'
import { reflectedXyz, rowsOf, type Stack } from '../../optics/interference.ts'

/** Thickness from entry to entry, and the last one, m: beyond it colours are too pale for any camera. */
const STEP = 5e-9
const LAST = 2e-6

/** Linear light (sRGB primaries, D65) that a film reflects; h in m, its part of the spectrum's rows at one composition. */
export const filmLight = (stack: Stack, composition: number): ((h: number, width?: number) => Triple) => {
  const rows = rowsOf(stack, composition)
  return (h, width = 0) => linearSrgb(reflectedXyz(rows, h, width))
}

/** @param composition alcohol's share of the volume, 0–1 */
export function filmColours(stack: Stack, composition: number): FilmColours {
  const at = filmLight(stack, composition)
  const all = Array.from({ length: Math.round(LAST / STEP) + 1 }, (_, k) => at(k * STEP))
  const light = [0, 1, 2].map((c) => Float64Array.from(all, (rgb) => rgb[c]!)) as FilmColours['light']
  // Many fringes within the mean: no colour is left.
  return { step: STEP, light, thick: at(20e-6, 8e-6) }
}
