/**
 * Colours of a clear film on a bath, looked at from straight above in light from straight above. Reflectances are a few per
 * cent; all are shown brighter by one fixed factor, `EXPOSURE`, so that hues and ratios stay.
 */
import { COUNT, STEP, WAVELENGTHS, WEIGHTS } from './cie.ts'
import { encode, screenColour, type Triple } from './colourSpace.ts'
import { meanOver } from './thinFilm.ts'

/** A reflectance of 4 % is shown as full white. */
export const EXPOSURE = 25

/** Film on bath. Composition: whatever number `film` understands. Wavelengths in m. */
export interface Stack {
  film(composition: number, wavelength: number): number
  bath(wavelength: number): number
}

const BAND = 1e-9 * STEP

/** Rows of the spectrum with their indices at one composition: worked out once for many thicknesses. */
export interface Rows {
  film: Float64Array
  slope: Float64Array
  bath: Float64Array
}

export function rowsOf(stack: Stack, composition: number): Rows {
  const rows = {
    film: new Float64Array(COUNT),
    slope: new Float64Array(COUNT),
    bath: new Float64Array(COUNT),
  }
  WAVELENGTHS.forEach((wavelength, i) => {
    const [low, high] = [wavelength - BAND / 2, wavelength + BAND / 2]
    rows.film[i] = stack.film(composition, wavelength)
    rows.slope[i] = (stack.film(composition, high) - stack.film(composition, low)) / BAND
    rows.bath[i] = stack.bath(wavelength)
  })
  return rows
}

/** X, Y, Z of the light reflected in D65 by films from h − width/2 to h + width/2 (m); Y = 1 is a perfect mirror. */
export function reflectedXyz({ film, slope, bath }: Rows, h: number, width = 0): Triple {
  const xyz: Triple = [0, 0, 0]
  for (let i = 0; i < COUNT; i++) {
    const R = meanOver(film[i]!, slope[i]!, bath[i]!, WAVELENGTHS[i]!, h, width, BAND)
    const weight = WEIGHTS[i]!
    xyz[0] += weight[0] * R
    xyz[1] += weight[1] * R
    xyz[2] += weight[2] * R
  }
  return xyz
}

/** Screen colour in white light (D65). */
export function whiteColour(rows: Rows, h: number, width = 0): Triple {
  const [x, y, z] = reflectedXyz(rows, h, width)
  return screenColour([EXPOSURE * x, EXPOSURE * y, EXPOSURE * z])
}

/** Grey in light of one wavelength (m), as a camera without colours sees it: white is a reflectance of 4 %. */
export function monoColour(
  stack: Stack,
  composition: number,
  wavelength: number,
  h: number,
  width = 0,
): Triple {
  const film = stack.film(composition, wavelength)
  const R = meanOver(film, 0, stack.bath(wavelength), wavelength, h, width, 0)
  const grey = encode(Math.min(1, EXPOSURE * R))
  return [grey, grey, grey]
}
