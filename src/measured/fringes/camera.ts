/** What a camera makes of a film's colours: light = lamp(r) (stray + gain × table), for each of red, green, blue. */
import { invert } from '../../numerics/invert.ts'
import type { FilmColours, RadialLight } from './types.ts'

export interface CameraFit {
  gain: [number, number, number]
  stray: [number, number, number]
  /** Change of the lamp along the radius, 1 at the centre. */
  lamp(r: number): number
  /** Root mean square of what is left, light. */
  misfit: number
  /** The same over the variation of the fitted colours: small where the colours are really explained. */
  quality: number
}

const mean = (values: ArrayLike<number>): number => {
  let sum = 0
  for (let i = 0; i < values.length; i++) sum += values[i]!
  return sum / values.length
}

/** Shares of the thick film's light that stray light may add; the fit begins at each. */
const STARTS = [0, 0.25] as const
/** Shares of the table's range that the film may mostly lie in: the mean colours of the picture are those. */
const RANGES = [1, 0.35] as const

/** Where the bath beside the drop is seen, its light gives the gain; else the mean of the picture does. */
export function startCameras({ light, outside }: RadialLight, colours: FilmColours): CameraFit[] {
  const least = (0.03 * (mean(light[0]) + mean(light[1]) + mean(light[2]))) / 3
  return STARTS.flatMap((stray) =>
    (outside ? [1] : RANGES).map((range) => {
      const gain = light.map((values, c) => {
        const table = colours.light[c]!
        if (outside) return outside[c]! / (table[0]! + stray * colours.thick[c]!)
        const usual = mean(table.subarray(0, Math.ceil(range * table.length)))
        return mean(values) / (usual + stray * colours.thick[c]!)
      }) as CameraFit['gain']
      const strays = gain.map((g, c) => stray * g * colours.thick[c]!) as CameraFit['stray']
      return { gain, stray: strays, lamp: () => 1, misfit: least, quality: Number.POSITIVE_INFINITY }
    }),
  )
}

/** Standard deviations that stray light (share of the light) and the lamp's change from centre to rim are given beforehand. */
const PRIOR = { stray: 0.3, lamp: 0.2 } as const

/** The bath beside the drop counts as much as this share of all steps. */
const BATH = 0.25

/** Solves for gain and stray of a channel with the lamp as it is. */
function channel(
  y: Float64Array,
  table: (i: number) => number,
  lamp: Float64Array,
  bath: { table: number; light: number } | null,
): [number, number] {
  const a = new Float64Array(4)
  const b = [0, 0]
  for (let i = 0; i < y.length; i++) {
    const row = [lamp[i]! * table(i), lamp[i]!]
    for (let p = 0; p < 2; p++) {
      b[p]! += row[p]! * y[i]!
      for (let q = 0; q < 2; q++) a[2 * p + q]! += row[p]! * row[q]!
    }
  }
  if (bath) {
    const weight = BATH * y.length
    const row = [bath.table, 1]
    for (let p = 0; p < 2; p++) {
      b[p]! += weight * row[p]! * bath.light
      for (let q = 0; q < 2; q++) a[2 * p + q]! += weight * row[p]! * row[q]!
    }
  }
  // Noise of a step taken as 2 % of the light: the prior on the stray light counts as much as a few steps.
  a[3]! += (0.02 / PRIOR.stray) ** 2 * y.length
  a[0]! += 1e-12
  invert(a, 0, 2)
  return [a[0]! * b[0]! + a[1]! * b[1]!, a[2]! * b[0]! + a[3]! * b[1]!]
}

/** @param best state of each step; the last one beyond the table is the thick film */
export function fitCamera(
  profile: RadialLight,
  colours: FilmColours,
  best: Int32Array,
  least: number,
): CameraFit {
  const { r, light, outside } = profile
  const rim = r.at(-1)!
  const at = (c: number) => (i: number) => colours.light[c]![best[i]!] ?? colours.thick[c]!
  let bend = 0
  const gain: CameraFit['gain'] = [1, 1, 1]
  const stray: CameraFit['stray'] = [0, 0, 0]
  for (let round = 0; round < 3; round++) {
    const lamp = Float64Array.from(r, (x) => 1 + bend * (x / rim) ** 2)
    let [top, bottom] = [0, 0]
    for (let c = 0; c < 3; c++) {
      const bath = outside && { table: colours.light[c]![0]!, light: outside[c]! / (1 + 1.15 * bend) }
      const [g, o] = channel(light[c]!, at(c), lamp, bath)
      gain[c] = Math.max(g, 1e-9)
      stray[c] = o
      for (let i = 0; i < r.length; i++) {
        const base = gain[c]! * at(c)(i) + stray[c]!
        const slope = base * (r[i]! / rim) ** 2
        top += slope * (light[c]![i]! - base)
        bottom += slope * slope
      }
    }
    bend = Math.min(0.5, Math.max(-0.5, top / (bottom * (1 + (0.02 / PRIOR.lamp) ** 2))))
  }
  let [left, varied] = [0, 0]
  for (let c = 0; c < 3; c++) {
    const middle = mean(Float64Array.from(r, (_, i) => at(c)(i)))
    for (let i = 0; i < r.length; i++) {
      const lamp = 1 + bend * (r[i]! / rim) ** 2
      left += (light[c]![i]! / lamp - stray[c]! - gain[c]! * at(c)(i)) ** 2
      varied += (gain[c]! * (at(c)(i) - middle)) ** 2
    }
  }
  const misfit = Math.max(Math.sqrt(left / (3 * r.length)), least)
  const quality = Math.sqrt(left / Math.max(varied, 1e-30))
  return { gain, stray, lamp: (x) => 1 + bend * (x / rim) ** 2, misfit, quality }
}
