import type { Life } from './types.ts'

/**
 * The buffers of a life's frames and series, each once, to be handed over instead of copied. An array that is only a
 * window on a larger buffer is left out: handing it over would take the rest along.
 */
export function transferables(life: Life): ArrayBuffer[] {
  const buffers = new Set<ArrayBuffer>()
  for (const part of [life.frames, life.series]) {
    for (const value of Object.values(part)) {
      if (!(value instanceof Float64Array)) continue
      if (value.buffer instanceof ArrayBuffer && value.byteLength === value.buffer.byteLength) {
        buffers.add(value.buffer)
      }
    }
  }
  return [...buffers]
}
