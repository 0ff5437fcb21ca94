/**
 * Elementary functions that give the same digits on every machine. ECMAScript lets engines differ in the last digits of
 * Math.exp, Math.log, `**` and their kin, and a life makes much of such a difference: the step control follows error
 * estimates, and two lives whose inputs differ in the last digit end up to 1e-3 of their radius apart. Sums, products,
 * quotients and square roots are the same everywhere (IEEE 754); these functions are made of nothing else, so that the
 * page and the command line give one and the same life. Everything that a life rests on uses them.
 *
 * Method of `exp` and `log`: FDLIBM 5.3 (Sun Microsystems 1993), files e_exp.c and e_log.c; errors below 1 unit of the
 * last place there, a few in the functions built on them.
 */

const words = new DataView(new ArrayBuffer(8))
const LN2_HIGH = 6.9314718036912381649e-1
const LN2_LOW = 1.90821492927058770002e-10

/** 2^k for whole k from −1022 to 1023. */
function powerOfTwo(k: number): number {
  words.setUint32(0, (k + 1023) << 20)
  words.setUint32(4, 0)
  return words.getFloat64(0)
}

/** e^x; 0 and Infinity beyond the range of numbers. */
export function exp(x: number): number {
  if (!(x <= 709.782712893384)) return x > 0 ? Number.POSITIVE_INFINITY : x
  if (x < -745.2) return 0
  const k = Math.round(x * Math.LOG2E)
  const high = x - k * LN2_HIGH
  const low = k * LN2_LOW
  const r = high - low
  const t = r * r
  const even =
    t *
    (1.66666666666666019037e-1 +
      t *
        (-2.77777777770155933842e-3 +
          t * (6.61375632143793436117e-5 + t * (-1.6533902205465251539e-6 + t * 4.13813679705723846039e-8))))
  const c = r - even
  const y = 1 - (low - (r * c) / (2 - c) - high)
  // In two factors: 2^k itself may lie beyond the range where the product does not.
  const half = k >> 1
  return y * powerOfTwo(half) * powerOfTwo(k - half)
}

/** Natural logarithm; −Infinity at 0, NaN below. */
export function log(x: number): number {
  if (!(x > 0)) return x === 0 ? Number.NEGATIVE_INFINITY : Number.NaN
  if (x === Number.POSITIVE_INFINITY) return x
  if (x < 2.2250738585072014e-308) return log(x * 18014398509481984) - 54 * Math.LN2
  words.setFloat64(0, x)
  const high = words.getUint32(0)
  const fraction = high & 0xfffff
  // The mantissa is taken between √½ and √2.
  const up = (fraction + 0x95f64) & 0x100000
  words.setUint32(0, fraction | (up ^ 0x3ff00000))
  const k = (high >>> 20) - 1023 + (up >>> 20)
  const f = words.getFloat64(0) - 1
  const s = f / (2 + f)
  const z = s * s
  const w = z * z
  const odd = w * (3.999999999940941908e-1 + w * (2.222219843214978396e-1 + w * 1.531383769920937332e-1))
  const even =
    z *
    (6.66666666666673513e-1 +
      w * (2.857142874366239149e-1 + w * (1.818357216161805012e-1 + w * 1.479819860511658591e-1)))
  const half = 0.5 * f * f
  return k * LN2_HIGH - (half - (s * (half + odd + even) + k * LN2_LOW) - f)
}

/** ln(1 + x) to full relative precision near 0 (Kahan, as in Goldberg, ACM Comput. Surv. 23, 5 (1991), theorem 4). */
export function log1p(x: number): number {
  const u = 1 + x
  if (u === 1 || u === Number.POSITIVE_INFINITY) return x
  return (log(u) * x) / (u - 1)
}

/** x·x. Written out because engines may take `x ** 2` for a general power, with other last digits. */
export const square = (x: number): number => x * x

/** x^y for x ≥ 0; relative error about |y ln x| units of the last place. */
export function pow(x: number, y: number): number {
  if (x === 0) return y > 0 ? 0 : y === 0 ? 1 : Number.POSITIVE_INFINITY
  return exp(y * log(x))
}

/** Cube root of x > 0; 0 at 0. */
export function cbrt(x: number): number {
  if (x === 0) return 0
  const root = exp(log(x) / 3)
  return root - (root - x / (root * root)) / 3
}
