/** Random numbers that can be had again: a stream is named by its seed. */

/**
 * Stream of numbers evenly spread in [0, 1), by Mulberry32 (T. Ettinger, 2017, public domain): 2³² states, good enough for
 * samples of some millions, not for secrets.
 */
export function randomStream(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
}

/** The numbers 0 … count − 1 in random order (Fisher and Yates; Durstenfeld's form). */
export function shuffled(count: number, random: () => number): Uint32Array {
  const order = Uint32Array.from({ length: count }, (_, i) => i)
  for (let i = count - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1))
    const kept = order[i]!
    order[i] = order[j]!
    order[j] = kept
  }
  return order
}
