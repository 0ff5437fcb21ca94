/** What the calculation of the rim can see; for it, and for those who tell what it found. */

/** ln G up to which nothing is expected to be seen: a displacement of 1 µm becomes 20 µm. */
export const NEEDED_GAIN = 3
/** Largest number of waves round the drop that is followed: there may be more. */
export const MOST_WAVES = 1000
