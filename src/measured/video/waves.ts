/** Waves on a periodic curve: their Fourier sums, a band of them, highest and lowest places. */

/** Relative width of the window in which a spectrum is calmed, natural logarithm. */
const window = 0.12

export interface Spectrum {
  /** Fourier coefficients of the radius: r(φ) = Σ re·cos nφ + im·sin nφ; index = n. */
  re: Float64Array
  im: Float64Array
  /** Variance that n waves contribute, px². */
  power: Float64Array
}

/** Fourier sums of a periodic curve for 0 … `highest` waves. */
export function spectrumOf(values: Float64Array, highest: number): Spectrum {
  const m = values.length
  const cos = Float64Array.from({ length: m }, (_, k) => Math.cos((2 * Math.PI * k) / m))
  const sin = Float64Array.from({ length: m }, (_, k) => Math.sin((2 * Math.PI * k) / m))
  const re = new Float64Array(highest + 1)
  const im = new Float64Array(highest + 1)
  for (let n = 0; n <= highest; n++) {
    for (let k = 0, at = 0; k < m; k++, at = (at + n) % m) {
      re[n]! += values[k]! * cos[at]!
      im[n]! += values[k]! * sin[at]!
    }
    const factor = (n === 0 ? 1 : 2) / m
    re[n]! *= factor
    im[n]! *= factor
  }
  const power = re.map((value, n) => (n === 0 ? 0 : 0.5 * (value * value + im[n]! * im[n]!)))
  return { re, im, power }
}

/** Mean power of a wave near each number of waves, within a window of constant relative width. */
export function calmedPower(power: Float64Array): Float64Array {
  return power.map((_, n) => {
    if (n === 0) return 0
    const reach = Math.max(1, Math.ceil(3 * window * n))
    let sum = 0
    let weight = 0
    for (let k = Math.max(1, n - reach); k <= Math.min(power.length - 1, n + reach); k++) {
      const w = Math.exp(-0.5 * (Math.log(k / n) / window) ** 2)
      sum += w * power[k]!
      weight += w
    }
    return sum / weight
  })
}

/** Power of the waves from one number to another, both included, px². */
export function powerWithin(power: Float64Array, from: number, to: number): number {
  let sum = 0
  const last = Math.min(power.length - 1, Math.floor(to))
  for (let n = Math.max(1, Math.ceil(from)); n <= last; n++) sum += power[n]!
  return sum
}

/** A part of a curve, and the same a quarter turn of each wave behind: their phase goes round once a wave. */
export interface Band {
  wave: Float64Array
  quarter: Float64Array
}

/** The waves from one number to another, both included, at `count` places. */
export function bandOf({ re, im }: Spectrum, count: number, from: number, to: number): Band {
  const wave = new Float64Array(count)
  const quarter = new Float64Array(count)
  const cos = Float64Array.from({ length: count }, (_, k) => Math.cos((2 * Math.PI * k) / count))
  const sin = Float64Array.from({ length: count }, (_, k) => Math.sin((2 * Math.PI * k) / count))
  const last = Math.min(re.length - 1, Math.floor(to))
  for (let n = Math.max(0, Math.ceil(from)); n <= last; n++) {
    for (let k = 0, at = 0; k < count; k++, at = (at + n) % count) {
      wave[k]! += re[n]! * cos[at]! + im[n]! * sin[at]!
      quarter[k]! += re[n]! * sin[at]! - im[n]! * cos[at]!
    }
  }
  return { wave, quarter }
}

/** Turn of the phase from each place to the next, rad, −π … π. */
export const phaseSteps = ({ wave, quarter }: Band): Float64Array =>
  wave.map((a, k) => {
    const j = (k + 1) % wave.length
    const [b, qa, qb] = [wave[j]!, quarter[k]!, quarter[j]!]
    return Math.atan2(a * qb - qa * b, a * b + qa * qb)
  })

export interface Extremes {
  tips: number[]
  necks: number[]
}

/** Highest and lowest places in turn, all round; a rise or fall of less than `least` is none. */
export function extremesOf(values: Float64Array, least: number): Extremes {
  const m = values.length
  const start = values.indexOf(values.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY))
  const tips: number[] = []
  const necks: number[] = []
  let rising = false
  let tip = start
  let neck = start
  for (let k = 1; k <= m; k++) {
    const i = (start + k) % m
    const value = values[i]!
    if (rising) {
      if (value > values[tip]!) tip = i
      else if (value < values[tip]! - least) {
        tips.push(tip)
        neck = i
        rising = false
      }
    } else if (value < values[neck]!) neck = i
    else if (value > values[neck]! + least) {
      necks.push(neck)
      tip = i
      rising = true
    }
  }
  // Back at the highest place, which has not been written down as it ends the last rise.
  if (necks.length > tips.length) tips.push(start)
  return { tips, necks }
}
