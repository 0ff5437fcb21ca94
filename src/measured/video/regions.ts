/** Connected regions, filled holes, growing: on masks of one byte per pixel, row by row. */

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
  let end = 0
  const add = (j: number) => {
    if (!mask[j] || seen[j]) return
    seen[j] = 1
    queue[end++] = j
  }
  for (let start = 0; start < mask.length; start++) {
    if (!mask[start] || seen[start]) continue
    end = 0
    add(start)
    for (let head = 0; head < end; head++) {
      const i = queue[head]!
      const x = i % width
      if (x > 0) add(i - 1)
      if (x < width - 1) add(i + 1)
      if (i >= width) add(i - width)
      if (i < width * (height - 1)) add(i + width)
    }
    visit(queue, end)
  }
}

/** All regions of a mask, each as the list of its pixels. */
export function regionsOf(mask: Uint8Array, width: number, height: number): Int32Array[] {
  const list: Int32Array[] = []
  eachRegion(mask, width, height, (pixels, size) => list.push(pixels.slice(0, size)))
  return list
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

/** Half lengths of the rows of a disc of radius `reach` px, from the lowest row to the highest. */
function discRows(reach: number): Int32Array {
  const most = Math.floor(reach)
  return Int32Array.from({ length: 2 * most + 1 }, (_, i) =>
    Math.floor(Math.sqrt(reach * reach - (i - most) ** 2) + 1e-9),
  )
}

/** Writes `value` into every pixel within `reach` px of a pixel of `mask` that has a neighbour without `from`. */
function paint(
  into: Uint8Array,
  value: number,
  mask: Uint8Array,
  from: number,
  width: number,
  height: number,
  reach: number,
): void {
  const rows = discRows(reach)
  const most = (rows.length - 1) / 2
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = y * width + x
      if (mask[i] !== from) continue
      const inner =
        (x === 0 || mask[i - 1] === from) &&
        (x === width - 1 || mask[i + 1] === from) &&
        (y === 0 || mask[i - width] === from) &&
        (y === height - 1 || mask[i + width] === from)
      if (inner) continue
      for (let dy = Math.max(-most, -y); dy <= Math.min(most, height - 1 - y); dy++) {
        const half = rows[dy + most]!
        const line = (y + dy) * width
        into.fill(value, line + Math.max(0, x - half), line + Math.min(width, x + half + 1))
      }
    }
  }
}

/** Everything within `reach` px (centre to centre) of a set pixel. */
export function grow(mask: Uint8Array, width: number, height: number, reach: number): Uint8Array {
  const result = mask.slice()
  paint(result, 1, mask, 1, width, height, reach)
  return result
}
