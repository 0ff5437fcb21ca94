/** Opens the page for one check and watches what it says and asks for. */
import { AxeBuilder } from '@axe-core/playwright'
import { settled, shownLife } from './browser.mjs'

export class Failed extends Error {}

/** Fails the check with this text unless `condition` holds. */
export function hold(condition, text) {
  if (!condition) throw new Failed(text)
}

/** The browser says so of itself where it has no graphics processor and copies the WebGL picture into the page. */
const drawnInSoftware = /GL Driver Message .* GPU stall due to ReadPixels/

/** An open page with everything a check needs. `errors` and `foreign` are looked at when the check is over. */
export async function openPage(browser, address, options = {}) {
  const { path = '', ...contextOptions } = options
  const context = await browser.newContext({
    viewport: { width: 1440, height: 900 },
    reducedMotion: 'reduce',
    ...contextOptions,
  })
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
  await page.goto(address + path)
  await settled(page)
  return { page, context, errors, foreign }
}

/** Does something and waits until the life that follows from it is on the page. */
export async function nextLife(page, act) {
  const before = (await shownLife(page)).lives
  await act()
  await page.waitForFunction(
    (lives) =>
      Number(document.documentElement.dataset.lives) > lives &&
      document.documentElement.dataset.state === 'done',
    before,
    { timeout: 60_000 },
  )
  return shownLife(page)
}

/** Waits until the neighbouring lives of the present drop are known: the sentence then stays as it is. */
export const neighbours = (page) =>
  page.waitForFunction(() => document.documentElement.dataset.neighbours === 'done', undefined, {
    timeout: 120_000,
  })

/** Chooses files through the page's own button. */
export async function chooseFiles(page, files) {
  const [chooser] = await Promise.all([
    page.waitForEvent('filechooser'),
    page.getByRole('button', { name: 'Open file' }).click(),
  ])
  await chooser.setFiles(files)
}

export const asFile = (name, text, mimeType = 'text/plain') => ({ name, mimeType, buffer: Buffer.from(text) })

/** What the page holds of the user's: compared before and after something that must change nothing. */
export const stateOf = (page) =>
  page.evaluate(() => ({
    strength: document.querySelector('#strength')?.getAttribute('aria-valuetext'),
    volume: document.querySelector('#volume')?.getAttribute('aria-valuetext'),
    sentence: document.querySelector('#sentence .says')?.textContent,
    curves: document.querySelectorAll('#measured li').length,
    radius: document.documentElement.dataset.maxRadius,
    address: location.hash,
  }))

/** Waits for a message that matches. */
export async function messageLike(page, pattern) {
  const text = () => page.locator('#messages').textContent()
  for (let i = 0; i < 100; i++) {
    if (pattern.test(await text())) return
    await page.waitForTimeout(50)
  }
  throw new Failed(`no message like ${pattern}; the messages are: ${JSON.stringify(await text())}`)
}

/** Calls `look` with the page in light and in dark, as the system asks for. */
export async function inLightAndDark(page, look) {
  const grounds = []
  for (const colorScheme of ['light', 'dark']) {
    await page.emulateMedia({ colorScheme })
    await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))))
    grounds.push(await page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor))
    await look(colorScheme)
  }
  hold(grounds[0] !== grounds[1], 'light and dark look the same')
}

/**
 * What axe finds wrong, in the page or in one part of it. The report's preview is looked at as a file of its own: no
 * script may run in it, not even that of axe.
 */
export async function violationsIn(page, part = 'html') {
  const axe = new AxeBuilder({ page }).options({ resultTypes: ['violations'] })
  const { violations } = await axe.include(part).exclude('iframe').analyze()
  return violations
}
