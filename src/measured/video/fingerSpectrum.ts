/** Number of fingers on a drop's rim and their spacing, from the spectrum of its outline. Lengths in pixels. Pure. */
import { medianOf } from './light.ts'
import { type RimCurve, rimCurveOf } from './rimCurve.ts'
import type { FingerReading, FingerVerdict } from './types.ts'
import {
  type Band,
  bandOf,
  calmedPower,
  extremesOf,
  phaseSteps,
  powerWithin,
  type Spectrum,
  spectrumOf,
} from './waves.ts'

/** Below this distance from one finger to the next nothing is told, px: blur and pixels leave too little of them. */
const leastSpacing = 6
/** Fewer waves than this round the rim are its shape, not fingers. */
const fewestFingers = 5

/** How well the outline shows what lies behind it; all in px, 0 where it is not known. */
export interface Sharpness {
  /** Standard deviation of the blur, lens and smoothing together. */
  blur: number
  /** Standard deviation of the place of one point of the outline. */
  noise: number
  /** Share of the full turn on which the outline was carried across something. */
  bridged: number
}

/** Waves are drawn out against the blur by this factor at most. */
const mostGain = 4
/** What counts as about the peak, as a share of its number of waves. */
const [lower, upper] = [0.6, 1.6]
/** Least root mean square of fingers, px (common practice, no source), and how far it must stand above the noise. */
const leastRms = 0.3
const leastOverNoise = 2.5
/** Three ways of counting may differ by this share; farther apart they do not count the same thing. */
const mostSpread = 0.12
/** A tip is one if it stands out by this share of the usual height from neck to tip. */
const tipShare = 0.1
/** Where the waves are lower than this share of their usual height, and for so many fingers at least, there are none. */
const quietShare = 0.2
const quietLength = 4
/** Least share of the rim on which fingers must be seen, and the largest that may have been bridged. */
const leastSeen = 0.5
const mostBridged = 0.3
/** Relative standard error of a count by what merges and splits, set by made outlines of known number. */
const mergeShare = 0.02

/** Blur by a bell of σ takes exp(−(2πσ/λ)²/2) from a wave of length λ: that much is given back. */
function sharpened({ re, im, power }: Spectrum, length: number, blur: number): Spectrum {
  const gain = (n: number) => Math.min(mostGain, Math.exp(0.5 * ((2 * Math.PI * blur * n) / length) ** 2))
  return {
    re: re.map((value, n) => value * gain(n)),
    im: im.map((value, n) => value * gain(n)),
    power: power.map((value, n) => value * gain(n) ** 2),
  }
}

interface Peak {
  /** Number of waves at the peak. */
  n: number
  /** Root mean square of what lies about it, and of the noise that the finest waves show, px. */
  rms: number
  noise: number
}

/**
 * Where most power stands above the noise per relative width of the spectrum; null if none does. The noise is that of
 * the finest waves, three times over, since pixels and smoothing take most of it away there; of an even noise each
 * wave's power is spread exponentially, with a median of ln 2 of its mean.
 */
function peakOf({ power }: Spectrum, length: number): Peak | null {
  const calm = calmedPower(power)
  const floor = (3 * medianOf(power.slice(Math.floor(length / 4.5)))) / Math.LN2
  let n = 0
  let best = 0
  for (let k = fewestFingers; k < power.length; k++) {
    const stands = k * (calm[k]! - floor)
    if (stands > best) [best, n] = [stands, k]
  }
  if (n === 0) return null
  const modes = Math.floor(upper * n) - Math.ceil(lower * n) + 1
  const rms = Math.sqrt(powerWithin(power, Math.max(fewestFingers, lower * n), upper * n))
  return { n, rms, noise: Math.sqrt(floor * modes) }
}

/** 1 where there are fingers, 0 on long stretches where the waves are low. */
function seenOf({ wave, quarter }: Band, n: number, usual: number): Uint8Array {
  const m = wave.length
  const half = Math.max(1, Math.round(m / n / 2))
  const envelope = wave.map((value, k) => Math.hypot(value, quarter[k]!))
  const low = envelope.map((_, k) => {
    let sum = 0
    for (let d = -half; d <= half; d++) sum += envelope[(k + d + m) % m]!
    return sum / (2 * half + 1) < quietShare * usual ? 1 : 0
  })
  const seen = new Uint8Array(m).fill(1)
  const start = low.indexOf(0)
  if (start < 0) return seen
  for (let k = 1, run = 0; k <= m; k++) {
    if (low[(start + k) % m]) run++
    else {
      if (run >= (quietLength * m) / n) for (let d = 1; d <= run; d++) seen[(start + k - d) % m] = 0
      run = 0
    }
  }
  return seen
}

const meanAt = (values: Float64Array, places: readonly number[]): number =>
  places.reduce((sum, i) => sum + values[i]!, 0) / places.length

const nothing = (verdict: FingerVerdict, curve: RimCurve | null): FingerReading => ({
  verdict,
  areaRadius: curve?.areaRadius ?? Number.NaN,
  meanRadius: curve?.meanRadius ?? Number.NaN,
  count: Number.NaN,
  countError: Number.NaN,
  spacing: Number.NaN,
  spacingError: Number.NaN,
  tipRadius: Number.NaN,
  neckRadius: Number.NaN,
  tips: 0,
  necks: 0,
  seen: Number.NaN,
})

/**
 * Counts the fingers on an outline (x, y, x, y … in px, closed). Three counts are made: the peak of the spectrum, the
 * turns that the phase of the waves about the peak makes on the way round, and the tips of the outline made of waves up
 * to 2.2 times the peak's number. The middle one is told; its standard error takes the truth to lie as far from it as
 * the least is from the most of them, or half a finger if they agree (rectangular distribution: JCGM 100:2008, 4.3.7).
 * Where a part of the rim was bridged, the rest stands for the whole, and what it stands for adds as a Poisson count.
 */
export function fingersOf(flat: ArrayLike<number>, sharpness: Partial<Sharpness> = {}): FingerReading {
  const { blur = 0, noise = 0, bridged = 0 } = sharpness
  const curve = rimCurveOf(flat)
  if (!curve) return nothing('no-rim', null)
  const { length } = curve
  const m = curve.radius.length
  const finest = Math.min(Math.floor((m - 1) / 2), Math.floor(length / 3))
  const spectrum = sharpened(spectrumOf(curve.radius, finest), length, blur)
  const peak = peakOf(spectrum, length)
  if (!peak || peak.rms < Math.max(leastRms, leastOverNoise * Math.max(noise, peak.noise))) {
    return nothing('none', curve)
  }
  const near = bandOf(spectrum, m, Math.max(fewestFingers - 1, 0.5 * peak.n), 1.7 * peak.n)
  const seen = seenOf(near, peak.n, Math.SQRT2 * peak.rms)
  const part = Math.min(
    1,
    curve.share.reduce((sum, share, k) => sum + (seen[k] ? share : 0), 0),
  )
  if (!(part >= leastSeen) || bridged > mostBridged) return nothing('irregular', curve)
  const turns = phaseSteps(near).reduce((sum, by, k) => sum + (seen[k] ? by : 0), 0) / (2 * Math.PI)
  const shape = bandOf(spectrum, m, 0, 4.2 * peak.n).wave
  const wide = bandOf(spectrum, m, Math.max(fewestFingers - 1, 0.4 * peak.n), 2.2 * peak.n).wave
  const { tips, necks } = extremesOf(wide, (tipShare * 2 * Math.SQRT2 * peak.rms) / Math.sqrt(part))
  const bare = seen.reduce((sum, s) => sum + (s ? 0 : 1), 0) / m
  return judged(curve, { counts: [peak.n * (1 - bare), turns, tips.length], part, bridged }, () => ({
    tipRadius: meanAt(shape, tips),
    neckRadius: meanAt(shape, necks),
    tips: tips.length,
    necks: necks.length,
  }))
}

interface Counted {
  /** By peak, phase and tips, on the part of the rim where fingers are seen. */
  counts: readonly [number, number, number]
  part: number
  bridged: number
}

function judged(
  curve: RimCurve,
  { counts, part, bridged }: Counted,
  rest: () => Pick<FingerReading, 'tipRadius' | 'neckRadius' | 'tips' | 'necks'>,
): FingerReading {
  const [least, middle, largest] = [...counts].sort((a, b) => a - b) as [number, number, number]
  const spacing = (2 * Math.PI * curve.areaRadius * part) / middle
  if (largest - least > Math.max(1.01, mostSpread * middle)) return nothing('irregular', curve)
  if (spacing < leastSpacing) return nothing('fine', curve)
  const error = Math.hypot(Math.max(0.5, largest - least) / Math.sqrt(3), mergeShare * middle)
  // A stretch without fingers that was bridged hides them; any other has none.
  const hidden = bridged > 0.5 * (1 - part) ? middle * (1 / part - 1) : 0
  const count = middle + hidden
  const countError = Math.hypot((error * count) / middle, Math.sqrt(hidden))
  return {
    verdict: 'counted',
    areaRadius: curve.areaRadius,
    meanRadius: curve.meanRadius,
    count,
    countError,
    spacing,
    spacingError: (spacing * error) / middle,
    ...rest(),
    seen: part,
  }
}
