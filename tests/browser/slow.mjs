/**
 * RIMTIDE_SLOW=4 runs what a page does on its own thread at a quarter of its speed, as a loaded machine would. Workers
 * keep theirs: the browser's protocol slows pages only.
 */

/** How many times slower pages run, 1 or more. */
export const slowness = Math.max(Number(process.env.RIMTIDE_SLOW) || 1, 1)

/** Slows the thread of a page down, through a session of the browser's protocol with it. */
const slowDown = (session, rate = slowness) => session.send('Emulation.setCPUThrottlingRate', { rate })

/** Slows down every page that a context opens, and gives all waits the time that they then need. */
export function slowAll(context) {
  if (slowness === 1) return
  context.setDefaultTimeout(30_000 * slowness)
  context.on('page', (page) => {
    // A page that is closed at once needs no slowing down.
    const slowed = context.newCDPSession(page).then(slowDown)
    slowed.catch(() => {})
  })
}
