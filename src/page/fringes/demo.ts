/** An invented picture of the present drop's film, as a camera above it would take it in the chosen light. */

import type { Life } from '../../life/types.ts'
import type { Frame } from '../../measured/video/types.ts'
import { randomStream } from '../../numerics/sampling/random.ts'
import type { Triple } from '../../optics/colourSpace.ts'
import { EXPOSURE } from '../../optics/interference.ts'
import { bareReflectance, reflectance } from '../../optics/thinFilm.ts'
import { stackOf } from '../stage/look.ts'
import { filmLight } from './colours.ts'
import { drawFilm } from './invented.ts'
import { filmAt, type SimulatedFilm } from './simulated.ts'

export const demoName = 'Harbour Lane evening school, bench 3 (invented picture)'

/** Thicker films show no fringes that a camera resolves, m. */
const THICKEST = 4e-6

/** Moment at which the film is thin and its middle has flattened: half as long again as to the largest radius, but before the collapse. */
export function demoMoment({ summary }: Life): number {
  const late = 1.5 * summary.maxRadiusTime
  return Number.isFinite(summary.collapseTime) ? Math.min(late, 0.85 * summary.collapseTime) : late
}

export interface Demo {
  frame: Frame
  film: SimulatedFilm
  x: number
  y: number
  radius: number
}

/** Light that the camera sees of a film, linear 0–1: yellow lamp or white light, with the composition at its place. */
function lightOf(life: Life, film: SimulatedFilm, light: 'one' | 'white', wavelength: number) {
  const stack = stackOf(life.preset)
  const shown = 0.7 * EXPOSURE
  if (light === 'one') {
    const bath = stack.bath(wavelength)
    return (h: number | null, r: number): Triple => {
      const R =
        h === null
          ? bareReflectance(bath)
          : reflectance(stack.film(film.phi(r), wavelength), bath, wavelength, h)
      return [shown * R, 0.8 * shown * R, 0.08 * shown * R]
    }
  }
  const white = filmLight(stack, film.meanPhi)
  return (h: number | null): Triple => white(h ?? 0).map((v) => Math.max(0, shown * v)) as Triple
}

/** Null if the life has no film thin enough for fringes at the moment. */
export function drawDemo(life: Life, time: number, light: 'one' | 'white', wavelength: number): Demo | null {
  const film = filmAt(life, time)
  if (!film || !(film.least < THICKEST)) return null
  const [width, height, radius] = [640, 560, 250]
  const [x, y] = [322.4, 278.7]
  const scene = {
    width,
    height,
    scale: film.rim / radius,
    x,
    y,
    rim: film.rim,
    c2: 0.004,
    s2: -0.003,
    thickness: (r: number) => film.h(Math.min(r, film.rim)),
    light: lightOf(life, film, light, wavelength),
    lamp: (px: number, py: number) => 1 + (0.12 * (px - x)) / radius - 0.1 * ((py - y) / radius) ** 2,
    blur: 0.7,
    noise: 3,
    random: randomStream(20261129),
  }
  return { frame: drawFilm(scene), film, x, y, radius }
}
