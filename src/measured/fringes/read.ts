/** From a picture to the thickness along the radius: what the worker offers to the page. */
import type { Frame } from '../video/types.ts'
import { type OneWavelength, oneLight, thicknessOneWavelength } from './oneWavelength.ts'
import { radialLight, type Wish } from './radial.ts'
import type { Thickness } from './types.ts'
import { thicknessWhiteLight, type WhiteLight } from './whiteLight.ts'

export interface Task {
  where: Wish
  light: { kind: 'one'; wish: OneWavelength } | { kind: 'white'; wish: WhiteLight }
}

export type Reading =
  | {
      ok: true
      thickness: Thickness
      /** Brightness along the radius, 0–1 of the most that the picture can show. */
      brightness: Float64Array
      /** Centre (px) and departure from round that the fringes were found to lie about. */
      shape: { x: number; y: number; c2: number; s2: number }
    }
  | { ok: false; message: string }

/** Never throws: what is wrong with the task comes back as a sentence. */
export function readFringes(frame: Frame, { where, light }: Task): Reading {
  const { x, y, radius } = where
  const inside = x >= 0 && y >= 0 && x <= frame.width && y <= frame.height
  if (!inside) return { ok: false, message: 'The centre lies outside the picture.' }
  if (!(radius >= 8)) return { ok: false, message: 'The drop must be at least 8 px in radius.' }
  if (!(radius <= Math.hypot(frame.width, frame.height)))
    return {
      ok: false,
      message: `The radius is larger than the picture (${frame.width} × ${frame.height} px).`,
    }
  const profile = radialLight(frame, where)
  if (profile.light[1].some(Number.isNaN))
    return { ok: false, message: 'No part of the drop lies within the picture in this direction.' }
  const thickness =
    light.kind === 'one'
      ? thicknessOneWavelength(profile, light.wish)
      : thicknessWhiteLight(profile, light.wish)
  const { centre, c2, s2 } = profile
  return { ok: true, thickness, brightness: oneLight(profile).y, shape: { ...centre, c2, s2 } }
}
