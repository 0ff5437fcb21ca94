/**
 * Opening the page with its first life costs more than most checks. Those marked `shares` take turns on one page, which
 * is put back in between by what every user has: Escape, Undo, the buttons that dismiss messages.
 */
import { settled } from './browser.mjs'
import { openPage } from './page.mjs'

async function clickWhile(locator, mayGoOn) {
  for (let i = 0; i < 60 && (await mayGoOn()); i++) await locator.first().click()
}

/** Brings a page back to how it was opened, as far as these checks can tell; false if that does not succeed. */
async function putBack({ page, errors, foreign }) {
  await page.keyboard.press('Escape')
  const undo = page.getByRole('button', { name: 'Undo', exact: true })
  await clickWhile(undo, () => undo.isEnabled())
  const messages = page.locator('#messages .close')
  await clickWhile(messages, () => messages.count())
  await page.evaluate(() => {
    document.activeElement?.blur()
    scrollTo(0, 0)
  })
  await settled(page)
  errors.length = 0
  foreign.length = 0
  const left = '#pins .list li, #measured li[data-curve], #questions form, #messages .message, .menu[open]'
  return (await page.locator(left).count()) === 0
}

/** A page that takes one check after the other. */
export function createSharedPage(browser, address) {
  let kept = null
  let strength = ''
  const strengthNow = () => kept.page.locator('#strength').getAttribute('aria-valuetext')
  const close = async () => {
    await kept?.context.close()
    kept = null
  }
  const isAsOpened = async () => (await putBack(kept)) && (await strengthNow()) === strength
  return {
    close,
    /** The page as at the beginning. */
    async take() {
      if (kept && !(await isAsOpened().catch(() => false))) await close()
      if (kept) return kept
      kept = await openPage(browser, address)
      strength = await strengthNow()
      return kept
    },
  }
}
