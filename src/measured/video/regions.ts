/** Connected regions, filled holes, distances: on masks of one byte per pixel, row by row. */

export interface Region {
  mask: Uint8Array
  /** Number of pixels. */
  size: number
}

/** Calls `visit` with every region (pixels joined by their sides). */
function eachRegion(
  mask: Uint8Array,
  width: number,
  height: number,
  visit: (pixels: Int32Array, size: number) => void,
): void {
  const seen = new Uint8Array(mask.length)
  const queue = new Int32Array(mask.length)
  for (let start = 0; start < mask.length; start++) {
    if (!mask[start] || seen[start]) continue
    let end = 0
    queue[end++] = start
    seen[start] = 1
    for (let head = 0; head < end; head++) {
      const i = queue[head]!
      const x = i % width
      const add = (j: number) => {
        if (!mask[j] || seen[j]) return
        seen[j] = 1
        queue[end++] = j
      }
      if (x > 0) add(i - 1)
      if (x < width - 1) add(i + 1)
      if (i >= width) add(i - width)
      if (i < width * (height - 1)) add(i + width)
    }
    visit(queue, end)
  }
}

/** The largest region of a mask, or the heaviest if pixels have `weights`; null if nothing is set. */
export function largestRegion(
  mask: Uint8Array,
  width: number,
  height: number,
  weights?: ArrayLike<number>,
): Region | null {
  let best: Int32Array | null = null
  let most = 0
  eachRegion(mask, width, height, (pixels, size) => {
    let weight = size
    if (weights) {
      weight = 0
      for (let i = 0; i < size; i++) weight += weights[pixels[i]!]!
    }
    if (best && weight <= most) return
    best = pixels.slice(0, size)
    most = weight
  })
  if (!best) return null
  const result = new Uint8Array(mask.length)
  for (const i of best as Int32Array) result[i] = 1
  return { mask: result, size: (best as Int32Array).length }
}

/** Sets everything that is not joined with the border by unset pixels. Gives a new mask. */
export function fillHoles(mask: Uint8Array, width: number, height: number): Uint8Array {
  const outside = new Uint8Array(mask.length)
  const queue = new Int32Array(mask.length)
  let end = 0
  const add = (i: number) => {
    if (mask[i] || outside[i]) return
    outside[i] = 1
    queue[end++] = i
  }
  for (let x = 0; x < width; x++) {
    add(x)
    add((height - 1) * width + x)
  }
  for (let y = 0; y < height; y++) {
    add(y * width)
    add(y * width + width - 1)
  }
  for (let head = 0; head < end; head++) {
    const i = queue[head]!
    const x = i % width
    if (x > 0) add(i - 1)
    if (x < width - 1) add(i + 1)
    if (i >= width) add(i - width)
    if (i < width * (height - 1)) add(i + width)
  }
  return outside.map((out) => 1 - out)
}

const far = 1e6

/** Squared distances along one line: lower envelope of parabolas. */
function envelope(f: Float64Array, n: number, v: Int32Array, z: Float64Array, out: Float64Array): void {
  let k = 0
  v[0] = 0
  z[0] = Number.NEGATIVE_INFINITY
  z[1] = Number.POSITIVE_INFINITY
  const meet = (q: number, p: number) => (f[q]! + q * q - (f[p]! + p * p)) / (2 * (q - p))
  for (let q = 1; q < n; q++) {
    let s = meet(q, v[k]!)
    while (s <= z[k]! && k > 0) {
      k--
      s = meet(q, v[k]!)
    }
    k++
    v[k] = q
    z[k] = s
    z[k + 1] = Number.POSITIVE_INFINITY
  }
  k = 0
  for (let q = 0; q < n; q++) {
    while (z[k + 1]! < q) k++
    out[q] = (q - v[k]!) ** 2 + f[v[k]!]!
  }
}

/** Distance of every pixel to the nearest set one of its column, px (`far` if there is none). */
function alongColumns(mask: Uint8Array, width: number, height: number): Float64Array {
  const away = new Float64Array(mask.length)
  for (let i = 0; i < mask.length; i++) {
    away[i] = mask[i] ? 0 : i < width ? far : away[i - width]! + 1
  }
  for (let i = width * (height - 1) - 1; i >= 0; i--) {
    const below = away[i + width]! + 1
    if (below < away[i]!) away[i] = below
  }
  return away
}

/**
 * Squared distance of every pixel to the nearest set one, px² (a huge number if none is set). P. Felzenszwalb and
 * D. Huttenlocher, Distance transforms of sampled functions, Theory of Computing 8 (2012).
 */
export function squaredDistance(mask: Uint8Array, width: number, height: number): Float64Array {
  const result = alongColumns(mask, width, height)
  const line = new Float64Array(width)
  const out = new Float64Array(width)
  const v = new Int32Array(width)
  const z = new Float64Array(width + 1)
  for (let y = 0; y < height; y++) {
    const from = y * width
    for (let x = 0; x < width; x++) line[x] = Math.min(result[from + x]! ** 2, 2 * far)
    envelope(line, width, v, z, out)
    result.set(out, from)
  }
  return result
}

const not = (mask: Uint8Array): Uint8Array => mask.map((set) => 1 - set)

/** Everything within `reach` px of a set pixel. */
export function grow(mask: Uint8Array, width: number, height: number, reach: number): Uint8Array {
  const away = squaredDistance(mask, width, height)
  return mask.map((_, i) => (away[i]! <= reach * reach ? 1 : 0))
}

/** Set pixels more than `reach` px from any unset one; the border does not count as unset. */
export function shrink(mask: Uint8Array, width: number, height: number, reach: number): Uint8Array {
  const away = squaredDistance(not(mask), width, height)
  return mask.map((set, i) => (set && away[i]! > reach * reach ? 1 : 0))
}

/**
 * The largest region with everything left out that hangs on by a neck narrower than 2·`reach` px: opening by a
 * disc, largest part, grown back within the mask. The mask itself if nothing is that wide.
 */
export function withoutNecks(mask: Uint8Array, width: number, height: number, reach: number): Uint8Array {
  const core = largestRegion(shrink(mask, width, height, reach), width, height)
  if (!core) return mask
  const back = grow(core.mask, width, height, reach + 0.6)
  return mask.map((set, i) => (set && back[i] ? 1 : 0))
}
