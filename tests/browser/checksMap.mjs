/** The map of outcomes: it fills, stops and goes on, shows every output, and is saved. */
import { readFile } from 'node:fs/promises'
import { parquetReadObjects } from 'hyparquet'
import { drawn, settled } from './browser.mjs'
import { becomes, hold, inLightAndDark, nextLife, violationsIn, visit } from './page.mjs'

const LIMIT = { timeout: 120_000 }

const press = (page, name) => page.locator('#map').getByRole('button', { name, exact: true }).click()
const colour = (page, id) => page.getByLabel('Colour the map by').selectOption(id)
const note = (page) => page.locator('#map .note').first().textContent()

/** Until the map that was asked for is there, or has been stopped. */
async function whole(page) {
  await page.waitForSelector('.map-area path', LIMIT)
  await page.waitForFunction(() => document.querySelector('#map progress').hidden, undefined, LIMIT)
  await drawn(page)
}

async function coarseMap(page) {
  await page.getByLabel('Fineness').selectOption('0')
  await press(page, 'Work out the map')
  await whole(page)
}

/** What a button of the menu saves. */
async function saved(page, name) {
  const menu = page.locator('#map .plot-menu')
  if (!(await menu.evaluate((it) => it.open))) await menu.locator('summary').click()
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    menu.getByRole('button', { name, exact: true }).click(),
  ])
  return readFile(await download.path())
}

export async function theMapFillsAndAPointBecomesTheDrop({ page }) {
  hold(await page.locator('.map-area').isHidden(), 'the map is worked out unasked')
  await coarseMap(page)
  hold(/L.*lens/.test(await page.locator('.map-legend').textContent()), 'the legend has no lens')
  hold(/^\d+ of 221 points were run/.test(await note(page)), `it says "${await note(page)}"`)
  await page.locator('.map-area').focus()
  await page.keyboard.press('Home')
  await page.keyboard.press('Shift+ArrowUp')
  await page.keyboard.press('ArrowDown')
  await drawn(page)
  const pointed = page.locator('#map .pointed')
  const told = await pointed.filter({ hasText: 'takes this drop' }).textContent()
  hold(/^20 %, .* lens/.test(told), `the point is "${told}"`)
  const life = await nextLife(page, () => page.keyboard.press('Enter'))
  hold(life.outcome === 'lens', `the drop ${life.outcome}`)
  // Idle work above the map may still move it: the place is looked up at the click.
  const area = page.locator('.map-area')
  const { width, height } = await area.boundingBox()
  const strong = { x: 0.8 * width, y: 0.5 * height }
  const after = await nextLife(page, () => area.click({ position: strong }))
  hold(after.outcome !== 'lens', 'a click at the strong end gives a lens')
}

export async function aStoppedMapGoesOnAfterAReload({ page }) {
  await press(page, 'Work out the map')
  await page.waitForFunction(() => document.querySelector('#map progress').value > 0.02, undefined, LIMIT)
  await press(page, 'Stop')
  await whole(page)
  const points = /^Stopped after (\d+) of 825 points\.$/
  const stopped = await becomes(
    () => note(page),
    (text) => points.test(text),
    (text) => `it says "${text}"`,
  )
  const goesOn = page.getByRole('button', { name: 'Go on', exact: true })
  hold(await goesOn.evaluate((it) => it === document.activeElement), 'the focus is lost with the stop')
  const before = await saved(page, 'CSV')
  // What is written to the browser's store is there when the page is loaded anew.
  await becomes(
    async () => {
      await page.reload()
      await settled(page)
      await visit(page, 'map')
      return page.locator('#map .note').first().textContent()
    },
    (text) => text === stopped,
    (text) => `after a reload it says "${text}", before "${stopped}"`,
  )
  hold(before.equals(await saved(page, 'CSV')), 'the map after the reload is another one')
  await goesOn.click()
  await whole(page)
  hold(/^\d+ of 825 points were run/.test(await note(page)), `it says "${await note(page)}"`)
  const lengthened = (await saved(page, 'CSV')).toString()
  await press(page, 'Work it out again')
  await whole(page)
  hold((await saved(page, 'CSV')).toString() === lengthened, 'the map in two pieces is not that in one')
  const run = lengthened.split('\n').filter((line) => /,yes,/.test(line)).length
  hold(run > Number(points.exec(stopped)[1]), 'nothing was run after it went on')
}

export async function everyOutputOfAMapIsThereWithoutAnotherLife({ page }) {
  await coarseMap(page)
  const table = await saved(page, 'CSV')
  const words = await note(page)
  const ids = await page
    .getByLabel('Colour the map by')
    .locator('option')
    .evaluateAll((all) => all.map(({ value }) => value))
  hold(ids.length === 14, `there are ${ids.length} colours`)
  for (const id of ids.slice(1)) {
    await colour(page, id)
    await drawn(page)
    hold(await page.locator('#map progress').isHidden(), `${id} is worked out anew`)
    const title = await page.locator('.map-legend .scale').textContent()
    const option = await page.getByLabel('Colour the map by').locator('option:checked').textContent()
    hold(title.toLowerCase().startsWith(option.toLowerCase()), `${option} has the legend "${title}"`)
    hold((await page.locator('.map-legend .tick').count()) >= 2, `${id} has no numbers at its scale`)
  }
  hold(table.equals(await saved(page, 'CSV')) && words === (await note(page)), 'the map has changed')
  await colour(page, 'maxRadius_mm')
  await drawn(page)
  hold((await page.locator('.map-area .map-number').count()) > 0, 'no contour has a number')
  await page.locator('.map-area').focus()
  await page.keyboard.press('End')
  await drawn(page)
  hold((await page.locator('.map-values dt').count()) === 13, 'not every output is told at the cursor')
  await page.getByLabel('lines', { exact: true }).uncheck()
  await drawn(page)
  hold((await page.locator('.map-area :is(.map-contours, .map-borders)').count()) === 0, 'lines are left')
  await page.getByLabel('Up: input').selectOption('bath.depth_mm')
  hold(/none of the lives of this map can be kept/.test(await note(page)), `it says "${await note(page)}"`)
}

export async function aMapIsSavedAsParquet({ page }) {
  await coarseMap(page)
  const loaded = () => page.evaluate(() => performance.getEntriesByType('resource').map(({ name }) => name))
  const csv = (await saved(page, 'CSV')).toString().trim().split('\n')
  const before = new Set(await loaded())
  const bytes = await saved(page, 'Parquet')
  const later = (await loaded()).filter((name) => /\.js$/.test(name) && !before.has(name))
  hold(later.length > 0, 'the writer was there before anybody asked')
  const file = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength)
  const rows = await parquetReadObjects({ file })
  const [header, ...lines] = csv.map((line) => line.split(','))
  hold(rows.length === lines.length, `${rows.length} rows as Parquet, ${lines.length} as CSV`)
  rows.forEach((row, k) => {
    header.forEach((name, i) => {
      const value = row[name] ?? ''
      const text = typeof value === 'number' ? String(Number(value.toPrecision(7))) : value
      hold(text === lines[k][i], `row ${k}: ${name} is ${value} as Parquet, ${lines[k][i]} as CSV`)
    })
  })
}

export async function theMapIsReadableOnAPhone({ page }) {
  await coarseMap(page)
  await colour(page, 'life_s')
  await page.locator('.map-area').focus()
  await page.keyboard.press('ArrowLeft')
  await page.setViewportSize({ width: 390, height: 844 })
  await drawn(page)
  const { left, right } = await page
    .locator('.map-area')
    .evaluate((it) => it.getBoundingClientRect().toJSON())
  hold(left >= 0 && right <= 390, `the map reaches from ${left} to ${right}`)
  hold(
    await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth),
    'the page is wider than a phone',
  )
  await inLightAndDark(page, async (scheme) => {
    const wrong = await violationsIn(page, '#map')
    hold(wrong.length === 0, `${scheme}: ${wrong.map(({ id }) => id).join(', ')}`)
  })
}

for (const check of [
  theMapFillsAndAPointBecomesTheDrop,
  aStoppedMapGoesOnAfterAReload,
  everyOutputOfAMapIsThereWithoutAnotherLife,
  aMapIsSavedAsParquet,
  theMapIsReadableOnAPhone,
]) {
  check.at = 'map'
}
