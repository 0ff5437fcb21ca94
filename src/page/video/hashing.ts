/** SHA-256 of recordings (FIPS 180-4), by the browser's own Web Crypto. */

/** Longest file that is hashed, bytes: it is read as a whole. */
const mostHashed = 500_000_000

const hex = (bytes: ArrayBuffer): string =>
  Array.from(new Uint8Array(bytes), (byte) => byte.toString(16).padStart(2, '0')).join('')

/** Of some bytes; undefined where the browser has no Web Crypto (a page that came over plain http from another machine). */
export async function sha256(bytes: BufferSource): Promise<string | undefined> {
  if (!globalThis.crypto?.subtle) return undefined
  return hex(await crypto.subtle.digest('SHA-256', bytes))
}

/**
 * Of one file that of its bytes, of several that of their sums in hexadecimal, one after the other. Undefined where one of
 * them is longer than `mostHashed` or cannot be read.
 */
async function hashOf(files: readonly File[]): Promise<string | undefined> {
  if (files.length === 0 || files.some(({ size }) => size > mostHashed)) return undefined
  const sums: string[] = []
  for (const file of files) {
    const sum = await file
      .arrayBuffer()
      .then(sha256)
      .catch(() => undefined)
    if (!sum) return undefined
    sums.push(sum)
  }
  return sums.length === 1 ? sums[0] : sha256(new TextEncoder().encode(sums.join('')))
}

const known = new WeakMap<readonly File[], Promise<string | undefined>>()

/** The same, worked out once for each list of files. */
export function hashOnce(files: readonly File[]): Promise<string | undefined> {
  const before = known.get(files)
  if (before) return before
  const made = hashOf(files)
  known.set(files, made)
  return made
}
