/** Measured curves: kept between visits, shared among tabs, saved to files; nothing of the user's is lost. */
import { execFile } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { drawn, settled } from './browser.mjs'
import { asFile, becomes, chooseFiles, hold, lens, messageLike, nextLife, visit } from './page.mjs'
import { csvOf } from './samples.mjs'

const rows = (page) => page.locator('#measured li[data-curve]')
const names = (page) => page.locator('#measured li[data-curve] .name').allTextContents()

/** Waits until the list holds these names, in any order. */
async function listed(page, wanted) {
  await becomes(
    () => names(page),
    (list) => JSON.stringify([...list].sort()) === JSON.stringify([...wanted].sort()),
    (list) => `the list holds ${JSON.stringify(list)} instead of ${JSON.stringify(wanted)}`,
  )
  await drawn(page)
}

const kept = (page) =>
  page.waitForFunction(() => /^Kept/.test(document.querySelector('#measured .keeping p')?.textContent ?? ''))

async function withCurves(page, ...list) {
  await chooseFiles(
    page,
    list.map((name, i) => asFile(`${name}.csv`, csvOf(0.02 + 0.002 * i))),
  )
  await listed(page, list)
  await kept(page)
}

const remove = (page, name) => page.getByRole('button', { name: `Remove ${name}`, exact: true }).click()

export async function measuredCurvesAreThereAfterAReload({ page }) {
  await withCurves(page, 'first', 'second')
  await page.getByLabel('Show second').uncheck()
  await kept(page)
  await page.reload()
  await settled(page)
  await listed(page, ['first', 'second'])
  hold(!(await page.getByLabel('Show second').isChecked()), 'the hidden curve is shown')
  hold((await page.locator('#clock g.measured').count()) === 1, 'the clock strip does not draw what is shown')
}

export async function aRemovedCurveComesBackEvenAfterAReload({ page }) {
  await withCurves(page, 'first', 'second')
  await remove(page, 'first')
  await listed(page, ['second'])
  await page.locator('body').press('Control+z')
  await listed(page, ['first', 'second'])
  await remove(page, 'second')
  await listed(page, ['first'])
  await kept(page)
  await page.reload()
  await settled(page)
  await listed(page, ['first'])
  await page.locator('#measured .trash summary').click()
  await page.getByRole('button', { name: 'Bring back second' }).click()
  await listed(page, ['first', 'second'])
  hold(await page.locator('#measured .trash').isHidden(), 'what was brought back is still among the removed')
  await remove(page, 'second')
  await listed(page, ['first'])
  await page.locator('#measured .trash summary').waitFor()
  if (!(await page.getByRole('button', { name: 'Delete them for good' }).isVisible()))
    await page.locator('#measured .trash summary').click()
  await page.getByRole('button', { name: 'Delete them for good' }).click()
  await page.locator('#measured .trash').waitFor({ state: 'hidden' })
}

export async function twoTabsShareTheirCurves({ page, context, address }) {
  await withCurves(page, 'first')
  const other = await context.newPage()
  await other.goto(address + lens.path)
  await settled(other)
  await listed(other, ['first'])
  await withCurvesAdded(other, 'second')
  await listed(page, ['first', 'second'])
  await remove(page, 'first')
  await listed(other, ['second'])
  await page.locator('body').press('Control+z')
  await listed(page, ['first', 'second'])
  await listed(other, ['first', 'second'])
}

async function withCurvesAdded(page, name) {
  await chooseFiles(page, [asFile(`${name}.csv`, csvOf(0.017))])
  await page.waitForFunction((n) => document.querySelector('#measured ul')?.textContent.includes(n), name)
}

/** Makes the browser refuse its store, as it does in some private windows. */
async function openRefused(browser, address, script) {
  const context = await browser.newContext({ reducedMotion: 'reduce' })
  await context.addInitScript(script)
  const page = await context.newPage()
  await page.goto(address + lens.path)
  await settled(page)
  return { context, page }
}

const refusing = () => {
  IDBFactory.prototype.open = () => {
    throw new DOMException('The operation is insecure.', 'SecurityError')
  }
}
const full = () => {
  IDBObjectStore.prototype.put = () => {
    throw new DOMException('full', 'QuotaExceededError')
  }
}

export async function aRefusedOrFullStoreOffersAFile({ browser, address }) {
  for (const [script, words] of [
    [refusing, /not kept in this browser: it does not let the page keep anything/],
    [full, /not kept in this browser: its store is full/],
  ]) {
    const { context, page } = await openRefused(browser, address, script)
    await chooseFiles(page, [asFile('first.csv', csvOf(0.02))])
    await listed(page, ['first'])
    await messageLike(page, words)
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.locator('#messages').getByRole('button', { name: 'Save all curves to a file' }).click(),
    ])
    hold(
      download.suggestedFilename() === 'measured-curves.json',
      `it is called ${download.suggestedFilename()}`,
    )
    await chooseFiles(page, [asFile('second.csv', csvOf(0.021))])
    await listed(page, ['first', 'second'])
    await context.close()
  }
}

aRefusedOrFullStoreOffersAFile.shares = true

export async function aSpoiledStoreLeavesThePageUsable({ page }) {
  await withCurves(page, 'first', 'second')
  await page.evaluate(
    () =>
      new Promise((resolve, reject) => {
        const request = indexedDB.open('rimtide')
        request.onerror = reject
        request.onsuccess = () => {
          const store = request.result.transaction('curves', 'readwrite').objectStore('curves')
          store.getAll().onsuccess = ({ target }) => {
            const record = target.result.find(({ curve }) => curve.name === 'first')
            record.curve.radius = record.curve.radius.slice(2)
            store.put(record).onsuccess = () => {
              request.result.close()
              resolve()
            }
          }
        }
      }),
  )
  await page.reload()
  await settled(page)
  await listed(page, ['second'])
  await messageLike(page, /one cannot be read: There are \d+ times, \d+ radii/)
  hold((await rows(page).count()) === 1, 'more is shown than can be read')
}

const shipped = (name) => fileURLToPath(new URL(`../../presets/${name}`, import.meta.url))
const launcher = fileURLToPath(new URL('../../src/cli/launch.mjs', import.meta.url))
const [sixty, fifty] = [shipped('harbour-lane-spreads.json'), shipped('harbour-lane-measured-50.csv')]

/** What `compare` prints of the only curve of a table. */
async function comparedByCommand(...argv) {
  const words = [launcher, 'compare', sixty, fifty, ...argv, '--json']
  const { stdout } = await promisify(execFile)(process.execPath, words)
  return JSON.parse(stdout).curves[0]
}

const reportText = (page) =>
  page.evaluate(
    () =>
      new DOMParser().parseFromString(document.querySelector('#report iframe').srcdoc, 'text/html').body
        .textContent,
  )

/** The numbers of the report's table of residuals; null while it is not there. */
const residualRow = (page) =>
  page.evaluate(() => {
    const paper = new DOMParser().parseFromString(
      document.querySelector('#report iframe').srcdoc,
      'text/html',
    )
    const table = paper.querySelector('[aria-label="Residuals, measured minus life"]')
    return table && [...table.querySelectorAll('tbody td')].map((cell) => cell.textContent)
  })

/** List, legend and report say of the curve what the command says. */
async function agreesWith({ name, rms_mm, bias_mm, worst_mm }, page) {
  const wanted = `r.m.s. ${rms_mm.toPrecision(2)} mm against its own drop: 50 % by mass`
  const list = page.locator('#measured li[data-curve] .rms')
  await page
    .waitForFunction(
      (words) => document.querySelector('#measured li[data-curve] .rms').textContent === words,
      wanted,
    )
    .catch(async () => hold(false, `the list says "${await list.textContent()}" instead of "${wanted}"`))
  await becomes(
    () => page.locator('#clock .legend .entry').textContent(),
    (legend) => legend === `${name} ${wanted}`,
    (legend) => `the legend says "${legend}" instead of "${wanted}"`,
  )
  await visit(page, 'report')
  const row = [rms_mm, bias_mm, worst_mm].map((value) => value.toPrecision(3).replace('-', '−'))
  await page
    .waitForFunction(
      (words) => document.querySelector('#report iframe')?.srcdoc.includes(words),
      `${row[0]}</td>`,
    )
    .catch(async () => hold(false, `the report has ${await residualRow(page)} instead of ${row}`))
  const printed = await residualRow(page)
  hold(
    JSON.stringify(printed.slice(2, 5)) === JSON.stringify(row) &&
      printed[6] === 'its own drop: 50 % by mass',
    `the report has ${printed} instead of ${row}`,
  )
  await page
    .locator('#report')
    .getByRole('checkbox', { name: /^Radius against time/ })
    .check()
  const mark = `${name} (other drop, r.m.s. ${rms_mm.toPrecision(2)} mm)`
  await becomes(
    () => reportText(page),
    (text) => text.includes(mark),
    () => 'the traces do not mark the curve',
  )
}

/** A drop of 60 % by mass and a curve that states 50 %. */
export async function aCurveIsComparedWithItsOwnDropAsByTheCommand({ page }) {
  await nextLife(page, () => chooseFiles(page, [sixty]))
  await chooseFiles(page, [fifty])
  await listed(page, ['50 % bench 3'])
  await agreesWith(await comparedByCommand(), page)
  // Another air, which the curve does not state: its own drop has it too.
  const drop = JSON.parse(readFileSync(sixty, 'utf8'))
  const changed = { ...drop, air: { ...drop.air, filmCoefficient_mmPerS: 6 } }
  await nextLife(page, () => chooseFiles(page, [asFile('drier.json', JSON.stringify(changed))]))
  await agreesWith(await comparedByCommand('--set', 'air.filmCoefficient_mmPerS=6'), page)
}

for (const check of [
  measuredCurvesAreThereAfterAReload,
  aRemovedCurveComesBackEvenAfterAReload,
  twoTabsShareTheirCurves,
]) {
  check.at = 'measured'
}
for (const check of [
  measuredCurvesAreThereAfterAReload,
  aRemovedCurveComesBackEvenAfterAReload,
  twoTabsShareTheirCurves,
  aSpoiledStoreLeavesThePageUsable,
  aRefusedOrFullStoreOffersAFile,
]) {
  check.options = lens
}
