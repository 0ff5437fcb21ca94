/** Opens the page for one check and watches what it says and asks for. */
import { AxeBuilder } from '@axe-core/playwright'
import { drawn, settled, shownLife } from './browser.mjs'
import { slowAll, slowness } from './slow.mjs'

export class Failed extends Error {}

/** Fails the check with this text unless `condition` holds. */
export function hold(condition, text) {
  if (!condition) throw new Failed(text)
}

/**
 * Waits until what `read` gives passes, and gives it. Fails the check with what `text` says of the last reading where
 * that does not happen in time.
 */
export async function becomes(read, passes, text, seconds = 10) {
  const end = performance.now() + 1000 * seconds * slowness
  for (let pause = 10; ; pause = Math.min(2 * pause, 200)) {
    const value = await read()
    if (passes(value)) return value
    if (performance.now() > end) throw new Failed(text(value))
    await new Promise((done) => setTimeout(done, pause))
  }
}

/** The browser says so of itself where it has no graphics processor and copies the WebGL picture into the page. */
const drawnInSoftware = /GL Driver Message .* GPU stall due to ReadPixels/

/** The address of a drop that stays a lens: where any drop will do, its neighbouring lives take the least time. */
export const lens = { path: '#rimtide=1&drop.alcoholMassFraction=0.3' }

/** A context with one empty page. `errors` and `foreign` (addresses of other hosts) fill as it is used. */
export async function openContext(browser, address, options) {
  const context = await browser.newContext(options)
  slowAll(context)
  const page = await context.newPage()
  const errors = []
  const foreign = []
  page.on('console', (message) => {
    const told = message.type() === 'error' || message.type() === 'warning'
    if (told && !drawnInSoftware.test(message.text())) errors.push(message.text())
  })
  page.on('pageerror', (error) => errors.push(`uncaught: ${error.message}`))
  context.on('request', (request) => {
    const url = request.url()
    if (!url.startsWith(address) && !/^(data|blob|about):/.test(url)) foreign.push(url)
  })
  return { page, context, errors, foreign }
}

/** Opens the built page, or what is named in its address, and waits until the first life is there. */
export async function loadPage(page, address) {
  await page.goto(address)
  await settled(page)
}

/** An open page in a context of its own, for a check that needs a second one. */
export async function openPage(browser, address, options = {}) {
  const { path = '', ...contextOptions } = options
  const opened = await openContext(browser, address, {
    viewport: { width: 1440, height: 900 },
    reducedMotion: 'reduce',
    ...contextOptions,
  })
  await loadPage(opened.page, address + path)
  return opened
}

/** The places by the name in their address, each with its parts in order. */
export const places = {
  watch: [],
  explain: ['rim', 'without', 'exercises', 'glossary', 'about'],
  bench: ['recipe', 'threshold', 'map', 'matters', 'choose', 'sheet', 'cautions'],
  data: ['video', 'measured', 'fit', 'scaling', 'report'],
}

/** Presses a link to a place or a part unless it is the present one. */
async function follow(link) {
  if ((await link.getAttribute('aria-current')) === null) await link.click()
}

/** Goes to a place or to a part of one by the links that everybody has, and waits until it is in sight. */
export async function visit(page, name) {
  const found = Object.entries(places).find(([place, parts]) => place === name || parts.includes(name))
  hold(found, `there is no part ${name}`)
  const [place] = found
  await follow(page.locator(`#places a[href="#${place}"]`))
  await page.locator(`html[data-place="${place}"]`).waitFor()
  if (name !== place) {
    await follow(page.locator(`#tabs a[href="#${name}"]`))
    await page.locator(`#${name}`).waitFor()
  }
  // What was out of sight is drawn once it is seen.
  await drawn(page)
}

/** Opens the drawer with all inputs. */
export async function openInputs(page) {
  const button = page.getByRole('button', { name: 'All inputs', exact: true })
  if ((await button.getAttribute('aria-expanded')) !== 'true') await button.click()
  await page.locator('#controls').waitFor()
  await drawn(page)
}

/** Opens a menu of the bar. */
export const openMenu = (page, title) => page.locator('.bar .menu > summary', { hasText: title }).click()

/** Presses a button of the menu "More". */
export async function more(page, name) {
  await openMenu(page, 'More')
  await page.locator('.menu[open]').getByRole('button', { name, exact: true }).click()
}

/** Keeps the present life as a ghost, in the place where the lives are compared. */
export async function pinLife(page) {
  await visit(page, 'measured')
  await page.getByRole('button', { name: 'Pin this life' }).first().click()
}

/** Does something and waits until the life that follows from it is on the page. */
export async function nextLife(page, act) {
  const before = (await shownLife(page)).lives
  await act()
  // That a life is out of date is published with the next frame.
  await drawn(page)
  await page.waitForFunction(
    (lives) =>
      Number(document.documentElement.dataset.lives) > lives &&
      document.documentElement.dataset.state === 'done',
    before,
    { timeout: 60_000 * slowness },
  )
  await drawn(page)
  return shownLife(page)
}

/** Waits until the neighbouring lives of the present drop are known: the sentence then stays as it is. */
export async function neighbours(page) {
  const known = () => document.documentElement.dataset.neighbours === 'done'
  await page.waitForFunction(known, undefined, { timeout: 120_000 * slowness, polling: 50 })
  await drawn(page)
}

/** Holds what a worker does up, as on a machine that is busy, until what this gives is called. */
export async function holdWorker(page, name) {
  const isIt = (worker) => worker.url().includes(`/${name}-`)
  const worker = page.workers().find(isIt) ?? (await page.waitForEvent('worker', isIt))
  let release
  const released = new Promise((resolve) => {
    release = resolve
  })
  await page.route('**/held', async (route) => {
    await released
    await route.fulfill({ body: '' })
  })
  const begun = page.waitForRequest('**/held')
  const held = worker.evaluate(() => {
    const request = new XMLHttpRequest()
    request.open('GET', '/held', false)
    request.send()
  })
  await begun
  return async () => {
    release()
    await held
    await page.unroute('**/held')
  }
}

/** Chooses files through the page's own button. */
export async function chooseFiles(page, files) {
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), more(page, 'Open file')])
  await chooser.setFiles(files)
}

export const asFile = (name, text, mimeType = 'text/plain') => ({ name, mimeType, buffer: Buffer.from(text) })

/** What the page holds of the user's: compared before and after something that must change nothing. */
const stateNow = (page) =>
  page.evaluate(() => ({
    strength: document.querySelector('#strength')?.getAttribute('aria-valuetext'),
    volume: document.querySelector('#volume')?.getAttribute('aria-valuetext'),
    sentence: document.querySelector('#sentence .says')?.textContent,
    curves: document.querySelectorAll('#measured li').length,
    radius: document.documentElement.dataset.maxRadius,
    address: location.hash,
  }))

/** What the user would miss, read once nothing of it changes any more: the address follows the drop a little later. */
export async function stateOf(page) {
  let last = await stateNow(page)
  for (let same = 0, tries = 0; same < 3 && tries < 40; tries++) {
    await page.waitForTimeout(200)
    const now = await stateNow(page)
    same = JSON.stringify(now) === JSON.stringify(last) ? same + 1 : 0
    last = now
  }
  return last
}

/** Waits for a message that matches. */
export async function messageLike(page, pattern) {
  await becomes(
    () => page.locator('#messages').textContent(),
    (text) => pattern.test(text),
    (text) => `no message like ${pattern}; the messages are: ${JSON.stringify(text)}`,
  )
  await drawn(page)
}

/** Calls `look` with the page in light and in dark, as the system asks for. */
export async function inLightAndDark(page, look) {
  const grounds = []
  for (const colorScheme of ['light', 'dark']) {
    await page.emulateMedia({ colorScheme })
    await drawn(page)
    grounds.push(await page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor))
    await look(colorScheme)
  }
  hold(grounds[0] !== grounds[1], 'light and dark look the same')
}

/**
 * What axe finds wrong, in the page or in one part of it. The report's preview is looked at as a file of its own: no
 * script may run in it, not even that of axe. Once axe is in a document it stays there.
 */
export async function violationsIn(page, part = 'html') {
  if (!(await page.evaluate(() => 'axe' in window))) await page.evaluate(new AxeBuilder({ page }).script())
  return page.evaluate(async (include) => {
    const context = { include: [[include]], exclude: [['iframe']] }
    const { violations } = await window.axe.run(context, { resultTypes: ['violations'] })
    return violations
  }, part)
}
