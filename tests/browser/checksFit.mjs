/** Fitting lives to measured curves on the page. */
import { readdir, readFile } from 'node:fs/promises'
import { drawn, settled } from './browser.mjs'
import { asFile, becomes, chooseFiles, hold, nextLife, violationsIn, visit } from './page.mjs'

const presets = new URL('../../presets/', import.meta.url)

/** Loads a table of the invented demo through the page's own button. */
async function loadDemo(page) {
  const name = (await readdir(presets))
    .filter((file) => /^harbour-lane-measured.*\.csv$/.test(file))
    .sort()
    .at(-1)
  const before = await page.locator('#measured li[data-curve]').count()
  await chooseFiles(page, [asFile(name, await readFile(new URL(name, presets), 'utf8'), 'text/csv')])
  await page.waitForFunction(
    (count) => document.querySelectorAll('#measured li[data-curve]').length > count,
    before,
  )
  await visit(page, 'fit')
  await page.waitForSelector('#fit-begin:not([disabled])')
}

async function fitted(page) {
  await page.waitForFunction(() => document.querySelector('#fit').dataset.fit === 'done', undefined, {
    timeout: 120_000,
  })
  await page.waitForSelector('#fit .fit-table')
  await drawn(page)
}

const valueBeside = async (page, label) =>
  (await page.locator(`#fit .fit-table tr:has(th:text-is("${label}")) .fit-value`).textContent()) ?? ''
const number = (text) => Number(/^([\d.]+) ± /.exec(text)?.[1])

export async function twoUnknownsAreFittedTakenOverAndUndone({ page }) {
  await loadDemo(page)
  await page.locator('#fit-begin').click()
  await fitted(page)
  const oil = await valueBeside(page, 'Oil viscosity')
  const uptake = await valueBeside(page, 'Solubility in oil')
  hold(/^[\d.]+ ± [\d.]+ mPa·s$/.test(oil), `the viscosity is "${oil}"`)
  hold(/^[\d.]+ ± [\d.]+ by volume$/.test(uptake), `the solubility is "${uptake}"`)
  const text = await page.locator('#fit .fit-goodness').textContent()
  hold(
    /^χ² per degree of freedom [\d.]+ \(\d+ points, \d+ degrees of freedom\)/.test(text),
    `it says "${text}"`,
  )
  hold((await page.locator('#fit .plot-canvas canvas').count()) === 2, 'the plots are not there')
  const inAddress = () =>
    page.evaluate(() => new URLSearchParams(location.hash.slice(1)).get('bath.viscosity_mPas'))
  await page.getByRole('button', { name: 'Take these values over into the drop' }).click()
  await page.waitForFunction(() => location.hash.includes('bath.viscosity_mPas'))
  await settled(page)
  hold(
    Math.abs(Number(await inAddress()) / number(oil) - 1) < 0.01,
    `${await inAddress()} in the address, ${oil} in the table`,
  )
  await becomes(
    () => page.locator('#fit .fit-says').textContent(),
    (says) => !/earlier drop/.test(says),
    () => 'the fit is called old after it was taken over',
  )
  await page.keyboard.press('Control+z')
  await page.waitForFunction(() => !location.hash.includes('bath.viscosity_mPas'))
}

/** Figures of the fit in the report: caption and head of the table of values. */
const printedFit = (page) =>
  page.evaluate(() => {
    const paper = new DOMParser().parseFromString(
      document.querySelector('#report iframe')?.srcdoc ?? '',
      'text/html',
    )
    const captions = [...paper.querySelectorAll('figcaption')].map(({ textContent }) => textContent)
    return [
      ...captions.filter((text) => /fitted lives|Residuals of the fit/.test(text)),
      ...[...paper.querySelectorAll('h3')]
        .map(({ textContent }) => textContent)
        .filter((t) => /^Fitted/.test(t)),
    ]
  })

/** Waits until the report's figures of the fit are marked, or are not. */
async function fitIsMarked(page, wanted, words) {
  await visit(page, 'report')
  const isRight = (text) => /stale/i.test(text) === wanted && (!wanted || text.includes(words))
  await becomes(
    () => printedFit(page),
    (texts) => texts.length === 3 && texts.every(isRight),
    (texts) => `the report ${wanted ? 'does not mark' : 'marks'} the fit: ${JSON.stringify(texts)}`,
  )
}

export async function aStaleFitIsMarkedInTheReport({ page }) {
  const drop = JSON.parse(await readFile(new URL('harbour-lane-spreads.json', presets), 'utf8'))
  await nextLife(page, () => chooseFiles(page, [asFile('drop.json', JSON.stringify(drop))]))
  await loadDemo(page)
  await page.locator('#fit-begin').click()
  await fitted(page)
  await fitIsMarked(page, false)
  const name = await page.locator('#measured li[data-curve] .name').textContent()
  await visit(page, 'measured')
  await page.getByRole('button', { name: `Edit ${name}`, exact: true }).click()
  await page
    .getByLabel(/^Use the point at/)
    .first()
    .uncheck()
  await fitIsMarked(page, true, `the points set aside of “${name}”`)
  await page.locator('body').press('Control+z')
  await fitIsMarked(page, false)
  const other = { ...drop, bath: { ...drop.bath, liquid: 'sunflower-oil' } }
  await nextLife(page, () => chooseFiles(page, [asFile('other.json', JSON.stringify(other))]))
  await fitIsMarked(page, true, '“Bath”')
}

export async function aFitIsStoppedAndGoesOnWithTheKeyboard({ page }) {
  await loadDemo(page)
  await page.locator('#fit').getByText('Search widely for a start').click()
  await page.locator('#fit-begin').focus()
  await page.keyboard.press('Enter')
  const stop = page.locator('#fit').getByRole('button', { name: 'Stop' })
  await stop.waitFor()
  await page.waitForFunction(() => /lives, χ²/.test(document.querySelector('#fit .fit-says').textContent))
  hold(await stop.evaluate((element) => element === document.activeElement), 'the focus is not on Stop')
  await page.keyboard.press('Enter')
  await page.waitForFunction(() => document.querySelector('#fit').dataset.fit === 'done')
  await becomes(
    () => page.locator('#fit .fit-says').textContent(),
    (says) => /^Stopped /.test(says),
    (says) => `it says "${says}"`,
  )
  hold(
    await page.locator('#fit-begin').evaluate((element) => element === document.activeElement),
    'the focus is not back on Fit',
  )
}

export async function whatTheDataCannotTellApartHasNoValue({ page }) {
  // An oil that drinks would tell them apart: it takes alcohol by the drop's size, not by the air.
  const drop = JSON.parse(await readFile(new URL('harbour-lane-spreads.json', presets), 'utf8'))
  drop.bath.solubility = 0
  await nextLife(page, () =>
    chooseFiles(page, [asFile('dry.json', JSON.stringify(drop), 'application/json')]),
  )
  await loadDemo(page)
  await page.locator('[data-unknown="bath.viscosity_mPas"]').uncheck()
  await page.locator('[data-unknown="drop.volume_uL"]').check()
  await page.locator('#fit-begin').click()
  await fitted(page)
  for (const label of ['Volume', 'Film coefficient']) {
    const value = await valueBeside(page, label)
    hold(value === 'not determined', `${label} is "${value}"`)
  }
  const why = await page.locator('#fit .fit-table tr:has(th:text-is("Volume")) .fit-notes').textContent()
  hold(/apart from Film coefficient|together with Film coefficient/.test(why), `it says "${why}"`)
}

export async function keptFitsAreRanked({ page }) {
  await loadDemo(page)
  const keep = page.getByRole('button', { name: 'Keep this result for comparison' })
  await page.locator('#fit-begin').click()
  await fitted(page)
  await keep.click()
  await page.waitForSelector('#fit .buttons button[disabled]:text("Keep this result")')
  await page.locator('[data-unknown="bath.solubility"]').uncheck()
  await page.locator('#fit-begin').click()
  await page.waitForFunction(
    () =>
      document.querySelectorAll('#fit .fit-table tbody tr').length === 1 &&
      document.querySelector('#fit').dataset.fit === 'done',
    undefined,
    { timeout: 60_000 },
  )
  await keep.click()
  await drawn(page)
  const names = await page.locator('#fit .fit-group tbody th').allTextContents()
  hold(names.length === 2 && names.every((name) => /^[AB]: /.test(name)), `the names are ${names}`)
  const weights = await page.locator('#fit .fit-group tbody td:nth-child(4)').allTextContents()
  hold(
    weights.every((text) => /%$/.test(text)),
    `the weights are ${weights}`,
  )
  await page.getByRole('button', { name: /^Remove A:/ }).click()
  await drawn(page)
  hold((await page.locator('#fit .fit-group tbody tr').count()) === 1, 'a kept result cannot be removed')
}

export async function tooManyUnknownsAreAnsweredAtOnce({ page }) {
  await loadDemo(page)
  for (const key of ['bath.depth_mm', 'drop.volume_uL', 'drop.startRadius_mm'])
    await page.locator(`[data-unknown="${key}"]`).check()
  await page.waitForSelector('#fit-begin[disabled]')
  await becomes(
    () => page.locator('#fit .fit-part > .problem').textContent(),
    (says) => /5 unknowns are chosen; at most 4/.test(says),
    (says) => `it says "${says}"`,
  )
  await page.locator('[data-unknown="drop.volume_uL"]').uncheck()
  await page.waitForSelector('#fit-begin:not([disabled])')
}

/** In the page: true once its database holds that the wider errors are shown. */
const wideIsWritten = () =>
  new Promise((tell) => {
    indexedDB.open('rimtide-fits', 1).onsuccess = ({ target }) => {
      const record = target.result.transaction('fits').objectStore('fits').get('last')
      record.onsuccess = () => {
        target.result.close()
        tell(record.result?.wide === true)
      }
    }
  })

export async function whatIsKnownBesideThePointsIsWeighedAndAReloadKeepsTheFit({ page }) {
  await loadDemo(page)
  await page.locator('[data-unknown="bath.solubility"]').uncheck()
  const known = page.getByRole('group', { name: 'Oil viscosity, known beforehand' })
  await known.getByLabel('Known as').fill('60')
  await page.waitForSelector('#fit-begin[disabled]')
  hold(/Give its ± as well/.test(await known.locator('.problem').textContent()), 'a value without ± is taken')
  await known.getByLabel('± 1 σ').fill('5')
  await page.locator('#fit .fit-fold summary').click()
  await page.getByLabel(/^Volume, .* ±$/).fill('0,3')
  await page.waitForFunction(() =>
    /cost 2 lives more/.test(document.querySelector('#fit .fit-fold').textContent),
  )
  await page.locator('#fit-begin').click()
  await fitted(page)
  const heads = await page.locator('#fit .fit-table thead th').allTextContents()
  hold(heads.includes('Statistical') && heads.includes('Systematic'), `the columns are ${heads}`)
  const row = await page.locator('#fit .fit-table tbody tr').first().textContent()
  hold(/known beforehand as 60\.0 ± 5\.0/.test(row), `the row is "${row}"`)
  hold(
    (await page.getByRole('region', { name: 'Known beside the points' }).count()) === 1,
    'no table of pulls',
  )
  await page.locator('[data-profile="bath.viscosity_mPas"]').click()
  await page.waitForSelector('#fit .fit-profile', { timeout: 60_000 })
  const profile = await page.locator('#fit .fit-profile').textContent()
  hold(/χ² has risen by 1 at/.test(profile), `the profile says "${profile}"`)
  const before = await valueBeside(page, 'Oil viscosity')
  await page.locator('#fit-wide').check()
  await page.waitForFunction(() => /are multiplied by/.test(document.querySelector('.fit-wide').textContent))
  const wide = await valueBeside(page, 'Oil viscosity')
  hold(wide !== before, `the errors are no wider: ${wide}`)
  await page.waitForFunction(wideIsWritten, undefined, { polling: 50 })
  await page.reload()
  await visit(page, 'fit')
  await page.waitForSelector('#fit .fit-table')
  await drawn(page)
  hold((await valueBeside(page, 'Oil viscosity')) === wide, 'the fit of the last visit is another one')
  hold(await page.locator('#fit-wide').isChecked(), 'which errors are shown is forgotten')
  await page.waitForFunction(() => !/earlier drop/.test(document.querySelector('#fit .fit-says').textContent))
  await fitIsMarked(page, false)
  const drop = JSON.parse(await readFile(new URL('harbour-lane-spreads.json', presets), 'utf8'))
  const other = { ...drop, bath: { ...drop.bath, liquid: 'sunflower-oil' } }
  await nextLife(page, () => chooseFiles(page, [asFile('other.json', JSON.stringify(other))]))
  await fitIsMarked(page, true, '“Bath”')
}

export async function theFitIsFitForScreenReadersAndPhones({ page }) {
  await loadDemo(page)
  await page.locator('#fit-begin').click()
  await fitted(page)
  await page.getByRole('button', { name: 'Keep this result for comparison' }).click()
  const violations = await violationsIn(page, '#fit')
  hold(
    violations.length === 0,
    violations.map(({ id, nodes }) => `${id}: ${nodes[0].html.slice(0, 120)}`).join(' | '),
  )
  const small = await page
    .locator('#fit button:visible, #fit label.fit-choice:visible')
    .evaluateAll((all) =>
      all
        .filter((element) => element.getBoundingClientRect().height < 43.5)
        .map((element) => element.textContent),
    )
  hold(small.length === 0, `too small for a finger: ${small}`)
  hold(
    await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth),
    'the page scrolls sideways',
  )
}
theFitIsFitForScreenReadersAndPhones.options = { viewport: { width: 390, height: 844 }, hasTouch: true }
