/** A browser and the built page, for the checks and for the pictures. */
import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { chromium } from 'playwright-core'
import { servePage } from '../../src/cli/serving.mjs'
import { slowness } from './slow.mjs'

const root = fileURLToPath(new URL('../..', import.meta.url))

export { findBrowser } from '../findBrowser.mjs'

export const missingBrowser =
  'No Chromium or Chrome was found. Install one (Debian: apt-get install chromium) or set RIMTIDE_BROWSER to its path.'

/**
 * WebGL2 is drawn in software, and the page itself without a graphics processor: a software one is slow at that.
 * Everything that would call out to the network is off.
 */
const flags = [
  '--no-first-run',
  '--use-angle=swiftshader-webgl',
  '--enable-unsafe-swiftshader',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--disable-quic',
  '--disable-default-apps',
  '--disable-dev-shm-usage',
  ...(process.getuid?.() === 0 ? ['--no-sandbox'] : []),
]

export const launch = (executablePath, more = []) =>
  chromium.launch({ executablePath, headless: true, args: [...flags, ...more] })

/** Serves the built page on a free port of 127.0.0.1. RIMTIDE_DIST names another build to be served. */
export async function serve() {
  const outDir = process.env.RIMTIDE_DIST ?? `${root}dist`
  if (!existsSync(`${outDir}/index.html`))
    throw new Error(`There is no built page in ${outDir}. Run npm run build first.`)
  return servePage({ outDir, port: 4370, strictPort: false })
}

/**
 * Waits until the page has done what it put off: what waits for at most `ms` by a timer, and what is drawn or published
 * with the frames after that, one leading to the next. Timers fire in their order, so that this holds however slow the
 * machine is.
 */
export const drawn = (page, ms = 0) =>
  page.evaluate(async (wait) => {
    await new Promise((done) => setTimeout(done, wait))
    for (let i = 0; i < 3; i++) await new Promise((done) => requestAnimationFrame(done))
  }, ms)

/** Waits until a finished, current life is on the page, and the stage, whose code comes last. */
export async function settled(page, timeout = 60_000) {
  // That a life is out of date is published with the next frame.
  await drawn(page)
  const here = () =>
    document.documentElement.dataset.state === 'done' &&
    document.documentElement.dataset.mounted === 'all' &&
    document.getElementById('stage').childElementCount > 0
  await page.waitForFunction(here, undefined, { timeout: timeout * slowness })
}

/** Numbers of the life that is shown, as the page publishes them for reading aloud and for these checks. */
export const shownLife = (page) =>
  page.evaluate(() => ({
    outcome: document.documentElement.dataset.outcome,
    maxRadius: Number(document.documentElement.dataset.maxRadius),
    lives: Number(document.documentElement.dataset.lives ?? 0),
    sentence: document.querySelector('#sentence .says')?.textContent ?? '',
  }))
