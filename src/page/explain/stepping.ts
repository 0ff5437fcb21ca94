/** Lets the classroom's keys move the explanation, which may still be loading. */

/** Goes on by +1 or back by −1; the first press on a question tells its answer. */
type Present = (by: number) => void

let present: Present | null = null

/** The explanation that is on the page offers itself; gives back the function that ends it. */
export function offerPresenting(own: Present): () => void {
  present = own
  return () => {
    if (present === own) present = null
  }
}

export const presentStep = (by: number): void => present?.(by)
