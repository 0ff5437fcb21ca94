/**
 * The bath's light without the drop: a smooth low-order surface through the bath that can be seen, or a picture of the
 * bare bath times such a surface (the lamp may have changed since).
 */
import { qr, solveUpper } from '../../numerics/denseSolve.ts'
import { type Coarse, coarsen, lightOf, smooth, spreadAbout } from './light.ts'
import type { Circle, Frame } from './types.ts'

/** Light of the bath as polynomials of both coordinates (−1 … 1 over the picture), one per colour. */
export interface Bath {
  degree: number
  width: number
  height: number
  coefficients: [Float64Array, Float64Array, Float64Array]
  /** Light of the bare bath's picture, by colour; the polynomials are then factors of it. */
  picture?: Picture
}

/** A picture of the bare bath, made ready. */
export interface Picture {
  /** Light of every pixel. */
  light: [Float32Array, Float32Array, Float32Array]
  coarse: Coarse
}

const ready = new WeakMap<Frame, Picture>()

/** Makes a picture of the bare bath ready (once): calmed by one pixel, so that its noise hardly adds to the frame's. */
export function pictureOf(frame: Frame): Picture {
  const known = ready.get(frame)
  if (known) return known
  const { width, height, data } = frame
  const light = [0, 1, 2].map((k) => {
    const values = Float32Array.from({ length: width * height }, (_, i) => lightOf[data[4 * i + k]!]!)
    const { values: calm } = smooth({ width, height, values }, 1)
    return calm.map((value) => Math.max(value, leastLight))
  }) as Picture['light']
  const picture = { light, coarse: coarsen(frame) }
  ready.set(frame, picture)
  return picture
}

/** Least light that a bath is taken to have, so that ratios stay finite. */
export const leastLight = 0.004
/** Most blocks used for one surface. */
const mostSamples = 1500

const termsOf = (degree: number): number => ((degree + 1) * (degree + 2)) / 2

function fillTerms(into: Float64Array, degree: number, u: number, v: number): void {
  let at = 0
  for (let j = 0, vj = 1; j <= degree; j++, vj *= v) {
    for (let i = 0, ui = vj; i + j <= degree; i++, ui *= u) into[at++] = ui
  }
}

/** Where a block's centre lies, −1 … 1. */
const placeOf = (index: number, count: number): number => (2 * (index + 0.5)) / count - 1

/** Writes the bath's light along row y, from column `left` on (frame pixels), into the three rows. */
export function bathRow(bath: Bath, y: number, left: number, rows: readonly Float32Array[]): void {
  const { degree, width, height, coefficients, picture } = bath
  const v = placeOf(y, height)
  const inX = new Float64Array(degree + 1)
  for (let k = 0; k < 3; k++) {
    inX.fill(0)
    let at = 0
    for (let j = 0, vj = 1; j <= degree; j++, vj *= v) {
      for (let i = 0; i + j <= degree; i++) inX[i]! += coefficients[k]![at++]! * vj
    }
    const row = rows[k]!
    for (let x = 0; x < row.length; x++) {
      const u = placeOf(x + left, width)
      let value = inX[degree]!
      for (let i = degree - 1; i >= 0; i--) value = value * u + inX[i]!
      row[x] = picture ? value * picture.light[k]![y * width + x + left]! : Math.max(value, leastLight)
    }
  }
}

/** True for the blocks whose centre lies in the watched circle (with `margin`, px, off its edge). */
export function watched({ width, height, block }: Coarse, watch: Circle | null, margin = 0): Uint8Array {
  const mask = new Uint8Array(width * height).fill(1)
  if (!watch) return mask
  const reach = Math.max(1, watch.r - margin)
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const away = Math.hypot((x + 0.5) * block - watch.x, (y + 0.5) * block - watch.y)
      mask[y * width + x] = away <= reach ? 1 : 0
    }
  }
  return mask
}

/** Blocks near the edge of the watched part: the likeliest place of bare bath. */
function outerBand(coarse: Coarse, inside: Uint8Array, watch: Circle | null): Uint8Array {
  const { width, height, block } = coarse
  const band = new Uint8Array(inside.length)
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = y * width + x
      if (!inside[i]) continue
      const part = watch
        ? Math.hypot((x + 0.5) * block - watch.x, (y + 0.5) * block - watch.y) / watch.r
        : Math.max(Math.abs(placeOf(x, width)), Math.abs(placeOf(y, height)))
      band[i] = part > 0.75 ? 1 : 0
    }
  }
  return band
}

interface Fit {
  coefficients: Bath['coefficients']
  /** Robust standard deviation of the blocks about the surface, by colour. */
  spread: [number, number, number]
}

/** Evenly thinned list of the blocks that are set. */
function pick(mask: Uint8Array): Int32Array {
  const all: number[] = []
  for (let i = 0; i < mask.length; i++) if (mask[i]) all.push(i)
  const step = Math.max(1, Math.floor(all.length / mostSamples))
  return Int32Array.from(all.filter((_, k) => (k * 7919) % step === 0))
}

/**
 * Weighted least squares repeated with Tukey's biweight (cut at 4.685 robust standard deviations), so that the drop,
 * child drops and reflections among the samples lose their say. Null if there are too few samples.
 */
function fitSurface(coarse: Coarse, mask: Uint8Array, degree: number, rounds: number): Fit | null {
  const samples = pick(mask)
  const terms = termsOf(degree)
  if (samples.length < 3 * terms) return null
  const design = new Float64Array(samples.length * terms)
  samples.forEach((index, s) => {
    const u = placeOf(index % coarse.width, coarse.width)
    const v = placeOf(Math.floor(index / coarse.width), coarse.height)
    fillTerms(design.subarray(s * terms, (s + 1) * terms), degree, u, v)
  })
  const weights = new Float64Array(samples.length).fill(1)
  let fit: Fit | null = null
  for (let round = 0; round < rounds; round++) {
    const next = solveWeighted(coarse, samples, design, weights, terms)
    if (!next) return fit
    fit = { coefficients: next.coefficients, spread: next.spread }
    reweigh(weights, next.residuals, next.spread)
  }
  return fit
}

function reweigh(weights: Float64Array, residuals: Float64Array[], spread: readonly number[]): void {
  for (let s = 0; s < weights.length; s++) {
    let worst = 0
    for (let k = 0; k < 3; k++) worst = Math.max(worst, Math.abs(residuals[k]![s]!) / (4.685 * spread[k]!))
    weights[s] = worst < 1 ? (1 - worst * worst) ** 2 : 0
  }
}

/** Normal equations of all three colours at once (the same weights for all). */
function solveWeighted(
  coarse: Coarse,
  samples: Int32Array,
  design: Float64Array,
  weights: Float64Array,
  terms: number,
): (Fit & { residuals: Float64Array[] }) | null {
  const normal = new Float64Array(terms * terms)
  const right = [0, 1, 2].map(() => new Float64Array(terms))
  for (let s = 0; s < samples.length; s++) {
    const w = weights[s]!
    if (w === 0) continue
    const row = design.subarray(s * terms, (s + 1) * terms)
    for (let i = 0; i < terms; i++) {
      const wi = w * row[i]!
      for (let j = i; j < terms; j++) normal[i * terms + j]! += wi * row[j]!
      for (let k = 0; k < 3; k++) right[k]![i]! += wi * coarse.light[k]![samples[s]!]!
    }
  }
  for (let i = 0; i < terms; i++) for (let j = 0; j < i; j++) normal[i * terms + j] = normal[j * terms + i]!
  const residuals: Float64Array[] = []
  const coefficients: Float64Array[] = []
  for (let k = 0; k < 3; k++) {
    const { r, qtb } = qr(normal, terms, terms, right[k]!)
    const solved = solveUpper(r, terms, qtb)
    if (!solved) return null
    coefficients.push(solved)
    residuals.push(
      Float64Array.from(samples, (index, s) => {
        let value = coarse.light[k]![index]!
        for (let i = 0; i < terms; i++) value -= design[s * terms + i]! * solved[i]!
        return value
      }),
    )
  }
  const spread = residuals.map((list) => Math.max(spreadAbout(list, 0), 1e-5)) as Fit['spread']
  return { coefficients: coefficients as Bath['coefficients'], spread, residuals }
}

/** Light of the bath at every block. */
export function bathBlocks(bath: Bath, coarse: Coarse): [Float32Array, Float32Array, Float32Array] {
  const planes = surfaceBlocks(bath, coarse)
  const { picture } = bath
  if (picture) {
    planes.forEach((plane, k) => {
      for (let i = 0; i < plane.length; i++) {
        plane[i] = Math.max(plane[i]! * picture.coarse.light[k]![i]!, leastLight)
      }
    })
  }
  return planes
}

/** The polynomials at every block. */
function surfaceBlocks(bath: Bath, coarse: Coarse): [Float32Array, Float32Array, Float32Array] {
  const { degree, coefficients } = bath
  const whole: Bath = { degree, coefficients, width: coarse.width, height: coarse.height }
  const planes = [0, 1, 2].map(() => new Float32Array(coarse.width * coarse.height))
  for (let y = 0; y < coarse.height; y++) {
    bathRow(
      whole,
      y,
      0,
      planes.map((plane) => plane.subarray(y * coarse.width, (y + 1) * coarse.width)),
    )
  }
  return planes as [Float32Array, Float32Array, Float32Array]
}

/** Blocks that lie on the surface within `times` robust standard deviations in every colour. */
function onSurface(coarse: Coarse, bath: Bath, fit: Fit, inside: Uint8Array, times: number): Uint8Array {
  const planes = surfaceBlocks(bath, coarse)
  return inside.map((set, i) => {
    if (!set) return 0
    for (let k = 0; k < 3; k++) {
      if (Math.abs(coarse.light[k]![i]! - planes[k]![i]!) > times * fit.spread[k]!) return 0
    }
    return 1
  })
}

const count = (mask: Uint8Array): number => mask.reduce((sum, set) => sum + set, 0)

/**
 * The bath's light: a surface of second degree through the outer band, then, again and again, one of fourth degree through all
 * that lies on the last one (second degree where little is bare). Uneven light and vignetting of common lenses are of that order. Where most of the band is covered, the
 * surface of what is seen there is given; null if the watched part is too small for one.
 */
export function bathOf(
  frame: Frame,
  seen: Coarse,
  watch: Circle | null,
  bare: Frame | null = null,
): Bath | null {
  const fits = bare && bare.width === frame.width && bare.height === frame.height
  const picture = fits ? pictureOf(bare) : undefined
  const coarse = picture ? dividedBy(seen, picture.coarse) : seen
  const margin = watch ? Math.max(coarse.block, 0.03 * watch.r) : 0
  const inside = watched(coarse, watch, margin)
  const make = (degree: number, { coefficients }: Fit): Bath => ({
    degree,
    width: frame.width,
    height: frame.height,
    coefficients,
    ...(picture ? { picture } : {}),
  })
  const first = fitSurface(coarse, outerBand(coarse, inside, watch), 2, 4) ?? fitSurface(coarse, inside, 0, 5)
  if (!first) return null
  const rough = make(first.coefficients[0].length === 1 ? 0 : 2, first)
  return rough.degree === 0 ? rough : refine(rough, first, coarse, inside, make, picture ? 2 : 4)
}

/** Fits again and again what lies on the last surface, with a finer one as long as enough is bare. */
function refine(
  rough: Bath,
  first: Fit,
  coarse: Coarse,
  inside: Uint8Array,
  make: (degree: number, fit: Fit) => Bath,
  finest: number,
): Bath {
  let bath = rough
  let fit = first
  for (let round = 0; round < 3; round++) {
    const bare = onSurface(coarse, bath, fit, inside, 4)
    const degree = count(bare) / count(inside) > 0.3 ? finest : 2
    const next = fitSurface(coarse, bare, degree, 3)
    if (!next) break
    fit = next
    bath = make(degree, next)
  }
  return bath
}

/** The frame's light as a share of the bare bath's. */
function dividedBy(seen: Coarse, bare: Coarse): Coarse {
  const light = seen.light.map((values, k) =>
    values.map((value, i) => value / Math.max(bare.light[k]![i]!, leastLight)),
  ) as Coarse['light']
  return { ...seen, light }
}
