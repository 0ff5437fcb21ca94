/** Which drops: the choice, its plan on paper, its runs in the table. */
import { drawn } from './browser.mjs'
import { becomes, hold, inLightAndDark, violationsIn } from './page.mjs'

/** Two strengths and two volumes: few lives. */
async function smallWish(page) {
  for (const key of ['drop.alcoholMassFraction', 'drop.volume_uL']) {
    const row = page.locator(`li:has(> label [data-vary="${key}"])`)
    await row.getByRole('textbox', { name: 'values' }).fill('2')
  }
  await page.locator('[data-vary="bath.depth_mm"]').uncheck()
  await page.locator('#choose').getByLabel('Number of drops, 1 to 24').fill('3')
}

async function choose(page) {
  await smallWish(page)
  await becomes(
    () => page.locator('#choose').textContent(),
    (text) => text.includes('4 kinds of drops: 100 quick lives and 4 finer ones'),
    () => 'the cost is not told beforehand',
  )
  await page.getByRole('button', { name: 'Choose the drops' }).click()
  await page.waitForSelector('.choose-result table', { timeout: 120_000 })
  await drawn(page)
}

export async function theDropsAreChosenPlannedAndHandedToTheRuns({ page }) {
  await choose(page)
  const slider = page.getByRole('slider', { name: 'Number of drops' })
  await slider.focus()
  await page.keyboard.press('ArrowRight')
  await becomes(
    () => slider.getAttribute('aria-valuetext'),
    (text) => /^4 drops: .+ % \(evenly [\d.]+ %\)/.test(text ?? ''),
    (text) => `one drop more says "${text}"`,
  )
  // The plan is printed alone; what prints is replaced, for a dialogue would wait for somebody.
  await page.evaluate(() => {
    window.print = () => {
      window.printed = [...document.querySelectorAll('#run-paper tbody tr')].length
    }
  })
  await page.getByRole('button', { name: /print the plan of runs/ }).click()
  hold((await page.evaluate(() => window.printed)) === 3, 'the plan has not one row a drop')
  await page.emulateMedia({ media: 'print' })
  hold(await page.locator('#run-paper').isVisible(), 'the plan is not on the paper')
  hold(await page.locator('#choose').isHidden(), 'something else is on the paper')
  const text = await page.locator('#run-paper').textContent()
  hold(/Local rules and the person responsible/.test(text), 'the plan has no cautions')
  hold(/% by mass: [\d.]+ mL of the bottle/.test(text), 'the plan does not say how to mix')
  await page.emulateMedia({ media: 'screen' })
  await page.evaluate(() => window.dispatchEvent(new Event('afterprint')))
  await page.getByRole('button', { name: 'To Data: rows to fill in' }).click()
  await page.waitForSelector('.runs-table select.planned-choice')
  hold((await page.locator('.planned-choice').count()) === 3, 'not every run has a row')
  const volume = await page.getByLabel('Volume, µL: Planned run 1 of 3').inputValue()
  hold(['5', '30'].includes(volume), `the volume of the first run is "${volume}"`)
  await page.locator('.planned-choice').first().selectOption('take this row out')
  await becomes(
    () => page.locator('.planned-choice').count(),
    (count) => count === 2,
    (count) => `${count} rows are left of three`,
  )
  await page.getByRole('button', { name: 'Undo' }).click()
  await page.waitForFunction(() => document.querySelectorAll('.planned-choice').length === 3)
}

export async function theChoiceOfDropsSaysWhatItCannotTakeAndCanBeStopped({ page }) {
  const row = page.locator('li:has(> label [data-vary="drop.volume_uL"])')
  await row.getByRole('textbox', { name: 'to' }).fill('500')
  await becomes(
    () => row.locator('.problem').first().textContent(),
    (text) => /500.*Permitted: 0\.5 to 100 µL/.test(text),
    (text) => `a volume of 500 µL says "${text}"`,
  )
  const begin = page.getByRole('button', { name: 'Choose the drops' })
  hold(await begin.isDisabled(), 'what cannot be is begun all the same')
  await row.getByRole('textbox', { name: 'to' }).fill('30')
  await begin.click()
  await page.locator('#choose').getByRole('button', { name: 'Stop' }).click()
  await page.locator('#choose').getByText('Stopped before all drops were known.').waitFor()
  hold((await page.locator('.choose-result table').count()) === 0, 'there is a result all the same')
  const focused = await page.evaluate(() => document.activeElement.textContent)
  hold(focused === 'Choose the drops', `the focus is at "${focused}"`)
}

export async function theChoiceOfDropsIsFitForScreenReadersAndPhones({ page }) {
  await choose(page)
  await inLightAndDark(page, async (look) => {
    const found = await violationsIn(page, '#choose')
    hold(found.length === 0, `${look}: ${found.map(({ id }) => id).join(', ')}`)
  })
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)
  hold(wide <= 0, `the page is ${wide} px too wide`)
}
theChoiceOfDropsIsFitForScreenReadersAndPhones.options = {
  viewport: { width: 390, height: 844 },
  hasTouch: true,
}

for (const check of [
  theDropsAreChosenPlannedAndHandedToTheRuns,
  theChoiceOfDropsSaysWhatItCannotTakeAndCanBeStopped,
  theChoiceOfDropsIsFitForScreenReadersAndPhones,
]) {
  check.at = 'choose'
}
