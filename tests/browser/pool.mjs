/** Checks run a few at a time, and none for ever. */
import { Failed } from './page.mjs'

/** Calls `work` with each item in order and the lane that is free for it, as many at a time as there are lanes. */
export async function runPool(items, lanes, work) {
  let next = 0
  const use = async (lane) => {
    while (next < items.length) await work(items[next++], lane)
  }
  await Promise.all(lanes.map(use))
}

/** The result of `work`; fails it when it takes longer than `seconds`. */
export async function within(seconds, work) {
  let timer
  const late = new Promise((_, reject) => {
    timer = setTimeout(() => reject(new Failed(`did not end within ${seconds} s`)), 1000 * seconds)
  })
  try {
    return await Promise.race([work, late])
  } finally {
    clearTimeout(timer)
  }
}
