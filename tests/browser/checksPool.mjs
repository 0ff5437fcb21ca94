/** Lives computed by several workers at the same time. */
import { execFile } from 'node:child_process'
import { readFile } from 'node:fs/promises'
import { promisify } from 'node:util'
import { settled } from './browser.mjs'
import { hold, visit } from './page.mjs'

const LIMIT = { timeout: 120_000 }

/** Opens the page as on a machine with so many cores. */
async function openedWith(cores, page, address) {
  await page.addInitScript((count) => {
    Object.defineProperty(navigator, 'hardwareConcurrency', { get: () => count, configurable: true })
  }, cores)
  await page.goto(`${address}?cores=${cores}`)
  await settled(page)
  await visit(page, 'map')
}

// The map of the visit before is kept.
const begin = (page) => page.getByRole('button', { name: /^Work (out the map|it out again)$/ }).click()
const done = (page) =>
  page.waitForFunction(() => document.querySelector('#map progress').hidden, undefined, LIMIT)
const handsOf = (page) => page.workers().filter((worker) => /\/hand-/.test(worker.url()))

async function handsBorn(page, count) {
  for (let i = 0; i < 600 && handsOf(page).length < count; i++) await page.waitForTimeout(50)
  hold(handsOf(page).length >= count, `there are ${handsOf(page).length} workers that help`)
}

/** The finished map as it is saved. */
async function saved(page) {
  await page.locator('#map .menu summary, #map summary').first().click()
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.locator('#map').getByRole('button', { name: /CSV/ }).click(),
  ])
  return readFile(await download.path(), 'utf8')
}

/** The life of a point of the map, by the command line, in the digits of the table. */
async function byCommand(header, row) {
  const sets = header.slice(0, 2).flatMap((key, i) => ['--set', `${key}=${row[i]}`])
  const argv = ['simulate', 'presets/harbour-lane-bursts.json', '--accuracy', 'quick', '--json', ...sets]
  const { stdout } = await promisify(execFile)(process.execPath, ['src/cli/launch.mjs', ...argv], {
    cwd: new URL('../..', import.meta.url),
    maxBuffer: 1e8,
  })
  return JSON.parse(stdout)
}

export async function aMapOfSeveralWorkersIsThatOfOneAndOfTheCommandLine({ page, address }) {
  await openedWith(1, page, address)
  await begin(page)
  await done(page)
  const alone = await saved(page)
  hold(handsOf(page).length === 0, 'a machine of one core has workers that help')
  await openedWith(4, page, address)
  await begin(page)
  await handsBorn(page, 2)
  await done(page)
  hold((await saved(page)) === alone, 'the map of three workers differs from that of one')
  const [header, ...rows] = alone
    .trim()
    .split('\n')
    .map((line) => line.split(','))
  // The corners: their values are whole in the table.
  const across = rows.findIndex(([x], i) => i > 0 && x === rows[0][0])
  for (const row of [rows[0], rows[across - 1], rows.at(-across), rows.at(-1)]) {
    const { outcome, maxRadius_mm } = await byCommand(header, row)
    hold(row[2] === outcome, `at ${row.slice(0, 2)} the page has ${row[2]}, the command ${outcome}`)
    const radius = Number(maxRadius_mm.toPrecision(7))
    hold(Number(row[4]) === radius, `at ${row.slice(0, 2)} the page has ${row[4]} mm, the command ${radius}`)
  }
}

export async function aWorkerThatEndsWhileItHelpsIsNoLoss({ page, address, errors }) {
  await page.clock.install()
  await openedWith(4, page, address)
  await begin(page)
  await handsBorn(page, 2)
  await handsOf(page)[0].evaluate(() => self.close())
  // Step by step: those that live answer in between.
  for (let i = 0; i < 9; i++) {
    await page.clock.runFor(5000)
    await page.waitForTimeout(500)
  }
  await done(page)
  hold(!/broke off/.test(await page.locator('#map').textContent()), 'the map broke off')
  const text = await saved(page)
  hold(text.trim().split('\n').length === 826, 'the map is not whole')
  hold(!/failed|unknown/.test(text), 'lives of the map are missing')
  for (let i = errors.length - 1; i >= 0; i--) if (/about:blank/.test(errors[i])) errors.splice(i, 1)
}
