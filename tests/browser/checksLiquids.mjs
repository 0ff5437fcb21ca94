/** The liquids and the air on the page: what is derived is shown, and where numbers come from is in reach. */
import { readFile } from 'node:fs/promises'
import { settled, shownLife } from './browser.mjs'
import { asFile, chooseFiles, hold, messageLike, nextLife, openInputs } from './page.mjs'

const row = (page, key) => page.locator(`.controls [data-key="${key}"]`)

export async function anAirSpeedTakesThePlaceOfTheFilmCoefficient({ page }) {
  await openInputs(page)
  const coefficient = row(page, 'air.filmCoefficient_mmPerS').locator('input[type=text]')
  const speed = row(page, 'air.speed_mPerS')
  hold((await coefficient.inputValue()) === '4', 'the film coefficient is not 4 mm/s at first')
  const equal = Number(await speed.locator('input[type=text]').inputValue())
  hold(equal > 0.1 && equal < 0.4, `4 mm/s are shown as an air speed of ${equal} m/s`)
  await nextLife(page, () => speed.getByLabel('Air speed: own value').check())
  await nextLife(page, async () => {
    await speed.locator('input[type=text]').fill('1')
    await speed.locator('input[type=text]').press('Enter')
  })
  await page.waitForFunction(() => {
    const field = document.querySelector('[data-key="air.filmCoefficient_mmPerS"] input[type=text]')
    return field.disabled && Number(field.value) > 6
  })
  const why = await row(page, 'air.filmCoefficient_mmPerS').getAttribute('title')
  hold(/comes from the air speed/.test(why), `the reason reads "${why}"`)
  await speed.locator('.help-button').click()
  const help = await page.locator('.help:not([hidden])').textContent()
  hold(/gives a film coefficient of [\d.]+ mm\/s/.test(help), `the help reads "${help}"`)
  hold(/Incropera/.test(help), 'the help names no source')
}

/** One liquid file by the chooser: named in the list, kept by the address, its faults told. */
export async function aLiquidOfTheUsersIsLoadedAndKept({ page }) {
  const text = await readFile(
    new URL('../../presets/liquids/harbour-lane-spirit.json', import.meta.url),
    'utf8',
  )
  const wrong = asFile('wrong.json', text.replace('"value_Pa": 5900', '"value_Pa": -1'), 'application/json')
  await chooseFiles(page, [wrong])
  await messageLike(page, /wrong\.json is not a liquid.*value_Pa is -1\. Permitted: 1 to 200000 Pa.*is kept/)
  const loaded = await nextLife(page, () =>
    chooseFiles(page, [asFile('mine.json', text, 'application/json')]),
  )
  await messageLike(page, /Harbour Lane spirit is now the alcohol.*comes from ethanol/)
  const shown = await row(page, 'drop.alcohol').locator('.lil-display').textContent()
  hold(shown === 'Harbour Lane spirit (own)', `the list shows "${shown}"`)
  await openInputs(page)
  await row(page, 'drop.alcohol').locator('.help-button').click()
  const help = await page.locator('.help:not([hidden])').textContent()
  hold(/surface tension of Harbour Lane spirit–water: invented/.test(help), `the help reads "${help}"`)
  await page.waitForFunction(() => location.hash.includes('liquids.mixture'))
  await page.reload()
  await settled(page)
  const again = await shownLife(page)
  hold(again.maxRadius === loaded.maxRadius, `${again.maxRadius} m instead of ${loaded.maxRadius} m`)
}

anAirSpeedTakesThePlaceOfTheFilmCoefficient.shares = true
