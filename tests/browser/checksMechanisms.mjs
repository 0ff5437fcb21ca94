/** Mechanisms that are switched off: in the link, in what is told, on the sheet; what-ifs from the drop as set. */
import { settled } from './browser.mjs'
import { hold, inLightAndDark, nextLife, violationsIn } from './page.mjs'

const says = (page) => page.locator('#sentence .says').textContent()
const group = (page) => page.locator('.lil-gui .lil-gui', { hasText: 'Mechanisms' }).last()
const evaporation = (page) => group(page).getByRole('checkbox', { name: /^Evaporation/ })
const told =
  /^Made with evaporation switched off: not a forecast of a real drop\. This drop spreads to a radius of /

/** The group is closed at first. */
async function openGroup(page) {
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

export async function whatIfsBeginFromTheDropAsSet({ page }) {
  const press = (name) => nextLife(page, () => page.getByRole('button', { name, exact: true }).click())
  const own = await press('Only 2 mm of oil?')
  await press('What if nothing left the drop?')
  await page.waitForFunction(() =>
    /mechanisms\.evaporation=false.*mechanisms\.uptake=false/.test(location.hash),
  )
  hold(!page.url().includes('depth_mm=2'), `both changes are in the link: ${page.url()}`)
  const beside = await page.locator('.what-ifs [role=status]').textContent()
  hold(
    /^What if nothing left the drop\? As you set it, the drop spreads to .*\. With this change it (is still growing|reaches the wall)/.test(
      beside,
    ),
    `it says "${beside}"`,
  )
  const back = await press('Back to the drop as set')
  hold(back.maxRadius !== own.maxRadius, 'the first change is still there')
  hold(!/switched off/.test(await says(page)), `the sentence is "${await says(page)}"`)
  hold(await page.locator('.what-ifs [role=status]').isHidden(), 'the comparison stays')
}
