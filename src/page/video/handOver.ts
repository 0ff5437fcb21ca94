/** Recordings that come in elsewhere on the page find their section here. */

let receiver: ((files: readonly File[]) => void) | null = null

/** The section of recordings says that it is there; null = it is gone. */
export const receiveRecordings = (take: typeof receiver): void => {
  receiver = take
}

/** Gives a video or pictures to that section; false if the page has none. */
export function handOver(files: readonly File[]): boolean {
  receiver?.(files)
  return receiver !== null
}
