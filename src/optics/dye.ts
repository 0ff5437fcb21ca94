/**
 * A dyed film over a white ground, seen from above in daylight: the light passes the film down and up again and loses
 * 10^(−2 A h), A the decadic absorbance per length (Beer–Lambert). The dye and the ground are invented: no real dye has just
 * this spectrum. The dye is taken as evenly spread, its strength as steady while the drop dries.
 */
import { COUNT, FIRST, STEP, WEIGHTS } from './cie.ts'
import { screenColour, type Triple } from './colourSpace.ts'

/** Absorbance of the invented blue dye relative to its peak at 630 nm: a band with a shoulder at 585 nm. */
export const dyeShape = (nm: number): number =>
  Math.min(1, Math.exp(-(((nm - 630) / 38) ** 2)) + 0.45 * Math.exp(-(((nm - 585) / 32) ** 2)))

/** Share of light that the invented ground, pale oil over white, throws back: straw, as clear oils take some violet. */
const groundShare = (nm: number): number => 0.88 - 0.3 / (1 + Math.exp((nm - 450) / 25))

/**
 * Screen colour of a film h (m) thick.
 * @param strength decadic absorbance per mm at the dye's peak, ≥ 0; 0 is the bare ground
 */
export function dyedColour(strength: number, h: number): Triple {
  const xyz: Triple = [0, 0, 0]
  for (let i = 0; i < COUNT; i++) {
    const nm = FIRST + STEP * i
    const back = groundShare(nm) * 10 ** (-2 * strength * 1e3 * Math.max(0, h) * dyeShape(nm))
    for (let c = 0; c < 3; c++) xyz[c]! += WEIGHTS[i]![c]! * back
  }
  return screenColour(xyz)
}
