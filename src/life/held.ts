/** A radius that changes by less than this part in the time that has passed (or its later half) is held. */
export const HELD = 0.1
