/**
 * Opening a browser's window and process costs more than most checks: a lane keeps its pages from check to check. Each
 * check finds its page as it would be opened for the first time, its storage empty, in the window and with the settings
 * that the check asks for. A check that leaves something behind that outlasts the page (scripts for every document, a
 * clock, a session of the protocol) costs the lane that page.
 *
 * A check that `shares` does without the opening: it takes the page as the one before it left, put back by what every
 * user has: Escape, Undo, the links and buttons of the bar, those that dismiss messages.
 */
import { settled } from './browser.mjs'
import { loadPage, openContext, visit } from './page.mjs'

async function clickWhile(locator, mayGoOn) {
  for (let i = 0; i < 60 && (await mayGoOn()); i++) await locator.first().click()
}

/** Presses a button of the bar once more if what it opens is open. */
async function shut(page, name, attribute) {
  const button = page.getByRole('button', { name, exact: true })
  if ((await button.getAttribute(attribute)) === 'true') await button.click()
}

/** What tells whether a page is as it was opened: the drop, and what the user might have brought or left open. */
const signOf = (page) =>
  page.evaluate(() => {
    const left = '#pins .list li, #measured li[data-curve], #questions form, #messages .message, [open].menu'
    return JSON.stringify([
      document.querySelector('#strength').getAttribute('aria-valuetext'),
      document.querySelector('#volume').getAttribute('aria-valuetext'),
      document.querySelectorAll(left).length,
    ])
  })

/** Brings a page back to how it was opened, by hand; false if that does not succeed. */
async function putBack({ page, sign, settings }) {
  await page.setViewportSize(settings.viewport)
  await page.emulateMedia(settings.media)
  await page.keyboard.press('Escape')
  const undo = page.getByRole('button', { name: 'Undo', exact: true })
  await clickWhile(undo, () => undo.isEnabled())
  const messages = page.locator('#messages .close')
  await clickWhile(messages, () => messages.count())
  await shut(page, 'All inputs', 'aria-expanded')
  await visit(page, 'watch')
  await shut(page, 'The physics', 'aria-pressed')
  await page.evaluate(() => document.activeElement?.blur())
  await settled(page)
  return (await signOf(page)) === sign
}

/** Calls that leave something behind in a context that no new document takes away. */
const lasting = ['addInitScript', 'newCDPSession', 'exposeFunction', 'exposeBinding', 'grantPermissions']

/** Marks the page as not to be kept as soon as something is done that lasts. */
function markWhatLasts(opened) {
  const { page, context } = opened
  const mark = (object, name) => {
    const usual = object[name]?.bind(object)
    if (!usual) return
    object[name] = (...given) => {
      opened.spoiled = true
      return usual(...given)
    }
  }
  for (const name of lasting) for (const object of [page, context]) mark(object, name)
  mark(page.clock, 'install')
}

/** An empty document of the page's own origin, so that the storage of its window can be emptied. It asks for no icon. */
async function goNowhere(page, address) {
  const nowhere = `${address}nowhere`
  const empty = { contentType: 'text/html', body: '<!doctype html><link rel="icon" href="data:,">' }
  await page.route(nowhere, (route) => route.fulfill(empty))
  await page.goto(nowhere)
  await page.unroute(nowhere)
}

/** Takes away what a check has left: other windows, routes, storage. */
async function clean({ page, context, session, errors, foreign }, address) {
  for (const other of context.pages()) if (other !== page) await other.close()
  await page.unrouteAll()
  await page.mouse.move(-1, -1)
  await goNowhere(page, address)
  await page.evaluate(() => sessionStorage.clear())
  const storageTypes = 'cookies,local_storage,indexeddb,file_systems,cache_storage,service_workers'
  await session.send('Storage.clearDataForOrigin', { origin: new URL(address).origin, storageTypes })
  errors.length = 0
  foreign.length = 0
}

/** What a context is opened with for good; window and colours can be set later. */
const partsOf = (options = {}) => {
  const { path = '', viewport, colorScheme, reducedMotion, forcedColors, ...lastly } = options
  const media = {
    media: null,
    colorScheme: colorScheme ?? 'light',
    reducedMotion: reducedMotion ?? 'reduce',
    forcedColors: forcedColors ?? 'none',
  }
  return { path, settings: { viewport: viewport ?? { width: 1440, height: 900 }, media }, lastly }
}

/** A place where one check after the other is run. */
export function createLane(browser, address) {
  /** The page that is kept, by what its context was opened with. */
  const kept = new Map()
  const drop = async (key) => {
    const opened = kept.get(key)
    kept.delete(key)
    await opened?.context.close()
  }

  async function open(key, lastly) {
    for (const other of [...kept.keys()]) if (other !== key && other !== '{}') await drop(other)
    const opened = await openContext(browser, address, lastly)
    opened.session = await opened.context.newCDPSession(opened.page)
    markWhatLasts(opened)
    kept.set(key, opened)
    return opened
  }

  async function load(opened, { path, settings }) {
    await opened.page.setViewportSize(settings.viewport)
    await opened.page.emulateMedia(settings.media)
    await loadPage(opened.page, address + path)
    Object.assign(opened, { path, settings, sign: await signOf(opened.page) })
  }

  async function takeShared(key, path) {
    const opened = kept.get(key)
    if (!opened?.shared || opened.spoiled || opened.path !== path) return false
    const well = await putBack(opened).catch(() => false)
    opened.errors.length = 0
    opened.foreign.length = 0
    return well
  }

  return {
    /** The page for a check. */
    async take({ options, shares = false }) {
      const parts = partsOf(options)
      const key = JSON.stringify(parts.lastly)
      if (shares && (await takeShared(key, parts.path))) return kept.get(key)
      if (kept.get(key)?.spoiled) await drop(key)
      const again = kept.get(key)
      if (again) await clean(again, address)
      const opened = again ?? (await open(key, parts.lastly))
      await load(opened, parts)
      opened.shared = shares
      /** The page as somebody else finds it who opens this address; what this check had is gone. */
      opened.openElsewhere = async (path) => {
        opened.shared = false
        await clean(opened, address)
        await load(opened, { ...parts, path })
      }
      return opened
    },
    /** Throws the page of a check away that did not end well. */
    async drop({ options }) {
      await drop(JSON.stringify(partsOf(options).lastly))
    },
    async close() {
      for (const key of [...kept.keys()]) await drop(key)
    },
  }
}
