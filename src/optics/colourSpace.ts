/** From XYZ (D65, Y = 1 for white) to what a screen shows, and how different two colours look. */

export type Triple = [number, number, number]

/** Linear sRGB of XYZ, not yet cut to what a screen can show. IEC 61966-2-1, matrix to seven digits. */
export function linearSrgb([x, y, z]: Readonly<Triple>): Triple {
  return [
    3.2406255 * x - 1.537208 * y - 0.4986286 * z,
    -0.9689307 * x + 1.8757561 * y + 0.0415175 * z,
    0.0557101 * x - 0.2040211 * y + 1.0569959 * z,
  ]
}

/** Share of light (0–1) as a screen's number (0–1), IEC 61966-2-1, and back. */
export const encode = (c: number): number => (c <= 0.0031308 ? 12.92 * c : 1.055 * c ** (1 / 2.4) - 0.055)
export const decode = (c: number): number => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4)

/** Luminance of linear sRGB. */
const luminance = ([r, g, b]: Readonly<Triple>): number => 0.2126 * r + 0.7152 * g + 0.0722 * b

/**
 * A colour that a screen can show: where a part is negative or above 1, the colour is drawn towards the grey of its own
 * luminance just so far that it fits; its hue stays. A luminance above 1 becomes white.
 */
export function fitted(rgb: Readonly<Triple>): Triple {
  const grey = Math.min(1, Math.max(0, luminance(rgb)))
  let share = 1
  for (const c of rgb) {
    if (c < 0) share = Math.min(share, grey / (grey - c))
    if (c > 1) share = Math.min(share, (1 - grey) / (c - grey))
  }
  const part = (c: number) => Math.min(1, Math.max(0, grey + share * (c - grey)))
  return [part(rgb[0]), part(rgb[1]), part(rgb[2])]
}

/** XYZ as the screen's numbers 0–1. */
export function screenColour(xyz: Readonly<Triple>): Triple {
  const [r, g, b] = fitted(linearSrgb(xyz))
  return [encode(r), encode(g), encode(b)]
}

/** White point of D65, 2° (CIE 15). */
const WHITE: Triple = [0.95047, 1, 1.08883]

/** L*, a*, b* (ISO/CIE 11664-4) of a screen's colour 0–1. */
export function labOf([r, g, b]: Readonly<Triple>): Triple {
  const [R, G, B] = [decode(r), decode(g), decode(b)]
  const f = (t: number) => (t > 216 / 24389 ? Math.cbrt(t) : ((24389 / 27) * t + 16) / 116)
  const x = f((0.4124564 * R + 0.3575761 * G + 0.1804375 * B) / WHITE[0])
  const y = f(0.2126729 * R + 0.7151522 * G + 0.072175 * B)
  const z = f((0.0193339 * R + 0.119192 * G + 0.9503041 * B) / WHITE[2])
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)]
}

const degrees = Math.PI / 180
const seventh = (c: number) => Math.sqrt(c ** 7 / (c ** 7 + 25 ** 7))

/** CIEDE2000 (ISO/CIE 11664-6; formulae as in Sharma, Wu & Dalal, Color Res. Appl. 30, 21 (2005)) of two L*a*b* colours. */
export function deltaE2000([L1, a1, b1]: Readonly<Triple>, [L2, a2, b2]: Readonly<Triple>): number {
  const G = 0.5 * (1 - seventh(0.5 * (Math.hypot(a1, b1) + Math.hypot(a2, b2))))
  const [p, q] = [(1 + G) * a1, (1 + G) * a2]
  const [C1, C2] = [Math.hypot(p, b1), Math.hypot(q, b2)]
  const hue = (a: number, b: number) => (a === 0 && b === 0 ? 0 : (Math.atan2(b, a) / degrees + 360) % 360)
  const [h1, h2] = [hue(p, b1), hue(q, b2)]
  const grey = C1 * C2 === 0
  const turn = h2 - h1
  const dh = grey ? 0 : turn > 180 ? turn - 360 : turn < -180 ? turn + 360 : turn
  const dH = 2 * Math.sqrt(C1 * C2) * Math.sin((dh / 2) * degrees)
  const sum = h1 + h2
  const h = grey ? sum : Math.abs(turn) <= 180 ? sum / 2 : sum < 360 ? (sum + 360) / 2 : (sum - 360) / 2
  const L = 0.5 * (L1 + L2)
  const C = 0.5 * (C1 + C2)
  const cos = (of: number) => Math.cos(of * degrees)
  const T = 1 - 0.17 * cos(h - 30) + 0.24 * cos(2 * h) + 0.32 * cos(3 * h + 6) - 0.2 * cos(4 * h - 63)
  const SL = 1 + (0.015 * (L - 50) ** 2) / Math.sqrt(20 + (L - 50) ** 2)
  const SC = 1 + 0.045 * C
  const SH = 1 + 0.015 * C * T
  const RT = -2 * seventh(C) * Math.sin(60 * Math.exp(-(((h - 275) / 25) ** 2)) * degrees)
  const [l, c, k] = [(L2 - L1) / SL, (C2 - C1) / SC, dH / SH]
  return Math.sqrt(l * l + c * c + k * k + RT * c * k)
}
