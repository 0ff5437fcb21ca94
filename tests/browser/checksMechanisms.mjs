/** Mechanisms that are switched off: in the link, in what is told, on the sheet. */
import { readFileSync } from 'node:fs'
import { settled } from './browser.mjs'
import { hold, inLightAndDark, nextLife, openInputs, violationsIn, visit } from './page.mjs'

const says = (page) => page.locator('#sentence .says').textContent()
const group = (page) => page.locator('.lil-gui .lil-gui', { hasText: 'Mechanisms' }).last()
const evaporation = (page) => group(page).getByRole('checkbox', { name: /^Evaporation/ })
const told =
  /^Made with evaporation switched off: not a forecast of a real drop\. This drop spreads to a radius of /

/** The group is closed at first. */
async function openGroup(page) {
  await openInputs(page)
  hold(!(await evaporation(page).isVisible()), 'the group of the mechanisms is open')
  await group(page).getByRole('button', { name: 'Mechanisms' }).click()
  await evaporation(page).waitFor({ state: 'visible' })
}

export async function aMechanismSwitchedOffIsInTheLinkAndOnTheSheet({ page }) {
  await openGroup(page)
  await nextLife(page, () => evaporation(page).click())
  await page.waitForFunction(() => location.hash.includes('mechanisms.evaporation=false'))
  hold(told.test(await says(page)), `the sentence is "${await says(page)}"`)
  await page.reload()
  await settled(page)
  hold(told.test(await says(page)), `after reloading the sentence is "${await says(page)}"`)
  await openGroup(page)
  hold(!(await evaporation(page).isChecked()), 'after reloading the switch is on')
  await visit(page, 'sheet')
  await page.getByRole('button', { name: 'Make the lab sheet' }).click()
  const notice = page.locator('.paper-shown .unreal')
  await notice.waitFor({ timeout: 120_000 })
  const text = await notice.textContent()
  hold(
    text === 'Made with evaporation switched off: not a forecast of a real drop.',
    `the sheet says "${text}"`,
  )
  const size = (locator) => locator.evaluate((node) => Number.parseFloat(getComputedStyle(node).fontSize))
  const [large, usual] = [await size(notice), await size(page.locator('.paper-shown dd').first())]
  hold(large >= 1.7 * usual, `the notice has ${large} px, the rows ${usual} px`)
  await inLightAndDark(page, async (scheme) => {
    const [first] = await violationsIn(page, '.paper-shown')
    hold(!first, `${scheme}: ${first?.help}`)
  })
}

/** What is saved from a plot of such a life says so too: picture, table, and the figures of the report one by one. */
export async function whatIsSavedOfSuchALifeSaysSo({ page }) {
  const saved = async (act) => {
    const [download] = await Promise.all([page.waitForEvent('download'), act()])
    return readFileSync(await download.path(), 'utf8')
  }
  const notice = 'Made with evaporation switched off: not a forecast of a real drop.'
  await openGroup(page)
  await nextLife(page, () => evaporation(page).click())
  await page.getByRole('button', { name: 'All inputs', exact: true }).click()
  await page.getByRole('button', { name: 'The physics' }).click()
  // What is saved is looked at here; that the menu is in reach is looked at elsewhere.
  const menu = page.locator('.plot-menu', {
    has: page.locator('summary[aria-label$="Time along the radius curve"]'),
  })
  const press = (text) => () => menu.locator('button', { hasText: text }).evaluate((node) => node.click())
  const svg = await saved(press('SVG'))
  hold(svg.includes(notice), 'the picture of the plot does not say so')
  hold(/width="170mm"/.test(svg), 'the picture has no size on paper')
  const csv = await saved(press('CSV'))
  hold(csv.startsWith(`# ${notice}\n`), `the table of the plot begins ${csv.slice(0, 60)}`)
  await visit(page, 'report')
  const single = page.locator('#report .report-single').first()
  await single.locator('summary').click()
  const picture = await saved(() => single.getByRole('button', { name: 'SVG' }).click())
  hold(picture.includes(notice), 'the picture of the report does not say so')
  const table = await saved(() => single.getByRole('button', { name: 'CSV' }).click())
  hold(table.startsWith(`# ${notice}\n`), `the table of the report begins ${table.slice(0, 60)}`)
}
