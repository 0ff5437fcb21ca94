/**
 * Colour scales of the stage. Every table is made in OKLab (Ottosson 2020), where equal distances look about
 * equally different: lightness runs one way only, so that the scales also read in grey and for colour-blind
 * eyes, and the table is cut into steps of equal distance.
 */
export type Triple = readonly [number, number, number]

const gammaIn = (c: number) => (c <= 0.0031308 ? 12.92 * c : 1.055 * c ** (1 / 2.4) - 0.055)
const gammaOut = (c: number) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4)

/** OKLab (L 0–1, a, b) to sRGB 0–1, cut at the gamut. Source of the matrices: B. Ottosson, OKLab, 2020. */
export function oklabToSrgb([L, a, b]: Triple): Triple {
  const l = (L + 0.3963377774 * a + 0.2158037573 * b) ** 3
  const m = (L - 0.1055613458 * a - 0.0638541728 * b) ** 3
  const s = (L - 0.0894841775 * a - 1.291485548 * b) ** 3
  const cut = (c: number) => Math.min(1, Math.max(0, gammaIn(Math.max(0, c))))
  return [
    cut(4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s),
    cut(-1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s),
    cut(-0.0041960863 * l - 0.7034186147 * m + 1.707614701 * s),
  ]
}

/** sRGB 0–1 to OKLab. */
export function srgbToOklab([r, g, b]: Triple): Triple {
  const [R, G, B] = [gammaOut(r), gammaOut(g), gammaOut(b)]
  const l = Math.cbrt(0.4122214708 * R + 0.5363325363 * G + 0.0514459929 * B)
  const m = Math.cbrt(0.2119034982 * R + 0.6806995451 * G + 0.1073969566 * B)
  const s = Math.cbrt(0.0883024619 * R + 0.2817188376 * G + 0.6299787005 * B)
  return [
    0.2104542553 * l + 0.793617785 * m - 0.0040720468 * s,
    1.9779984951 * l - 2.428592205 * m + 0.4505937099 * s,
    0.0259040371 * l + 0.7827717662 * m - 0.808675766 * s,
  ]
}

/** Lightness (0–1), chroma, hue in degrees. */
type Stop = readonly [number, number, number]

const toLab = ([L, C, hue]: Stop): Triple => {
  const angle = (hue * Math.PI) / 180
  return [L, C * Math.cos(angle), C * Math.sin(angle)]
}

const distance = (p: Triple, q: Triple) => Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2])

/** Point at x (0–1) on the path through the stops (linear in lightness, chroma and hue). */
function along(stops: readonly Stop[], x: number): Triple {
  const place = Math.min(Math.max(x, 0), 1) * (stops.length - 1)
  const i = Math.min(Math.floor(place), stops.length - 2)
  const [p, q, f] = [stops[i]!, stops[i + 1]!, place - i]
  return toLab([p[0] + f * (q[0] - p[0]), p[1] + f * (q[1] - p[1]), p[2] + f * (q[2] - p[2])])
}

/** Number of colours in a table. */
export const tableSize = 256

/** RGB bytes of `tableSize` colours at equal distances along the path through the stops. */
function evenTable(stops: readonly Stop[]): Uint8Array {
  const fine = 2048
  const points = Array.from({ length: fine + 1 }, (_, i) => srgbToOklab(oklabToSrgb(along(stops, i / fine))))
  const length = [0]
  for (let i = 1; i <= fine; i++) length.push(length[i - 1]! + distance(points[i - 1]!, points[i]!))
  const table = new Uint8Array(3 * tableSize)
  let j = 0
  for (let k = 0; k < tableSize; k++) {
    const wanted = (length[fine]! * k) / (tableSize - 1)
    while (j < fine && length[j]! < wanted) j++
    const rgb = oklabToSrgb(points[j]!)
    for (let c = 0; c < 3; c++) table[3 * k + c] = Math.round(255 * rgb[c]!)
  }
  return table
}

/** Two halves of equal length that meet in `middle`. */
function divergingTable(low: Stop, middle: Stop, high: Stop): Uint8Array {
  const left = evenTable([low, [middle[0], middle[1], low[2]]])
  const right = evenTable([[middle[0], middle[1], high[2]], high])
  const table = new Uint8Array(3 * tableSize)
  for (let k = 0; k < tableSize; k++) {
    const place = (2 * k) / (tableSize - 1)
    const from = place < 1 ? left : right
    const i = Math.round((place < 1 ? place : place - 1) * (tableSize - 1))
    for (let c = 0; c < 3; c++) table[3 * k + c] = from[3 * i + c]!
  }
  return table
}

export type Quantity = 'thickness' | 'alcohol' | 'tension' | 'speed'

/** On light paper more is darker, on dark paper more is lighter. */
const light: Record<Quantity, () => Uint8Array> = {
  thickness: () =>
    evenTable([
      [0.94, 0.04, 190],
      [0.72, 0.1, 215],
      [0.5, 0.13, 250],
      [0.3, 0.13, 280],
    ]),
  alcohol: () =>
    evenTable([
      [0.95, 0.025, 330],
      [0.7, 0.13, 335],
      [0.46, 0.16, 325],
      [0.28, 0.12, 310],
    ]),
  tension: () =>
    evenTable([
      [0.95, 0.045, 165],
      [0.74, 0.11, 165],
      [0.5, 0.09, 180],
      [0.3, 0.06, 200],
    ]),
  speed: () => divergingTable([0.4, 0.14, 255], [0.95, 0.005, 0], [0.48, 0.15, 45]),
}
const dark: Record<Quantity, () => Uint8Array> = {
  thickness: () =>
    evenTable([
      [0.3, 0.1, 285],
      [0.5, 0.13, 255],
      [0.72, 0.11, 220],
      [0.94, 0.06, 185],
    ]),
  alcohol: () =>
    evenTable([
      [0.28, 0.1, 305],
      [0.5, 0.16, 322],
      [0.72, 0.13, 338],
      [0.94, 0.035, 350],
    ]),
  tension: () =>
    evenTable([
      [0.28, 0.055, 205],
      [0.5, 0.09, 185],
      [0.74, 0.12, 165],
      [0.95, 0.06, 150],
    ]),
  speed: () => divergingTable([0.72, 0.12, 240], [0.27, 0.005, 0], [0.76, 0.13, 55]),
}

const made = new Map<string, Uint8Array>()

/** RGB bytes for a quantity on light or dark paper. */
export function colourTable(quantity: Quantity, onDark: boolean): Uint8Array {
  const key = `${quantity} ${onDark}`
  let table = made.get(key)
  if (!table) {
    table = (onDark ? dark : light)[quantity]()
    made.set(key, table)
  }
  return table
}

/** CSS colour of a table at x (0–1). */
export function cssColour(table: Uint8Array, x: number): string {
  const k = 3 * Math.round(Math.min(Math.max(x, 0), 1) * (tableSize - 1))
  return `rgb(${table[k]} ${table[k + 1]} ${table[k + 2]})`
}
