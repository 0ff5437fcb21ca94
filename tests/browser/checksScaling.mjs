/** Scaling: one number for the spread, the rule beside it, reasons, the same figures as on the command line. */
import { execFile } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { drawn } from './browser.mjs'
import {
  asFile,
  becomes,
  chooseFiles,
  hold,
  inLightAndDark,
  nextLife,
  pinLife,
  violationsIn,
  visit,
} from './page.mjs'

const preset = fileURLToPath(new URL('../../presets/harbour-lane-spreads.json', import.meta.url))
const launcher = fileURLToPath(new URL('../../src/cli/launch.mjs', import.meta.url))

/** Loads the drop without break-up, whose lives show their collapse. */
const loadDrop = (page) =>
  nextLife(page, () =>
    chooseFiles(page, [asFile('drop.json', readFileSync(preset, 'utf8'), 'application/json')]),
  )

const strength = (page, percent) => nextLife(page, () => page.locator('#strength').fill(String(2 * percent)))

const goTo = (page) => visit(page, 'scaling')

const textOf = (page, selector) => page.locator(selector).first().textContent()

/** Waits until a part of the section says something like it. */
async function saysLike(page, selector, pattern) {
  await becomes(
    () => textOf(page, selector),
    (text) => pattern.test(text ?? ''),
    (text) => `${selector} says ${JSON.stringify(text)}, not ${pattern}`,
  )
  await drawn(page)
}

export async function scalingShowsOneSpreadForPinnedLives({ page }) {
  await loadDrop(page)
  await pinLife(page)
  await strength(page, 65)
  await pinLife(page)
  await goTo(page)
  await saysLike(page, '#scaling-spread', /^Spread 0\.\d+ of R_max: .* of 2 series/)
  const first = await textOf(page, '#scaling-spread')
  hold(/falls below 0\.3 of its largest value/.test(first), `the rule is not named: ${first}`)
  hold((first.match(/Spread/g) ?? []).length === 1, 'there is more than one number for the spread')
  await page.locator('#scaling-rule').selectOption('below-0.5')
  await saysLike(page, '#scaling-spread', /falls below 0\.5/)
  hold(
    first.split(':')[0] !== (await textOf(page, '#scaling-spread')).split(':')[0],
    'the spread is not of the rule',
  )
  await page.locator('#scaling [data-series] input').first().uncheck()
  await saysLike(page, '#scaling-spread', /^Only one drop shows its collapse: choose another one/)
}

export async function scalingTellsWhatIsLeftOutAndWhy({ page }) {
  await loadDrop(page)
  const rows = ['t (s),R (mm)', '0,2', '1,12', '2,15', '3,14'].join('\n')
  await chooseFiles(page, [asFile('early.csv', rows, 'text/csv')])
  await strength(page, 40)
  await goTo(page)
  await saysLike(page, '#scaling .scaling-view', /early: it does not show its collapse: it ends at 0\.933/)
  await saysLike(page, '#scaling .scaling-view', /\(present\): it stays a lens/)
  const trend = await page.locator('#scaling .scaling-view').nth(1).textContent()
  hold(/early: its alcohol fraction is not known/.test(trend), `the line says: ${trend}`)
}

/** What a button saves, as text. */
async function savedText(page, name) {
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name }).click(),
  ])
  return readFileSync(await download.path(), 'utf8')
}

/** The same life on the page and from the command line has the same digits: see src/numerics/elementary.ts. */
const same = (mine, theirs, what) =>
  hold(mine === theirs, `${what}: "${mine}" on the page, "${theirs}" from the command`)

/** What the command prints as JSON. */
async function jsonOf(...argv) {
  const { stdout } = await promisify(execFile)(process.execPath, [launcher, ...argv, '--json'], {
    maxBuffer: 1e8,
  })
  return JSON.parse(stdout)
}

export async function aLifeHasTheDigitsOfTheCommandLine({ page }) {
  const { maxRadius } = await loadDrop(page)
  const { maxRadius_mm } = await jsonOf('simulate', preset)
  same(String(1e3 * maxRadius), String(maxRadius_mm), 'the largest radius, mm')
}
aLifeHasTheDigitsOfTheCommandLine.shares = true

export async function scalingAgreesWithTheCommandLine({ page }) {
  await loadDrop(page)
  await goTo(page)
  await page.locator('#scaling [data-series] input').first().uncheck()
  await page.getByLabel('lives', { exact: true }).fill('5')
  await page.getByRole('button', { name: 'Run the present drop at these strengths' }).click()
  await saysLike(page, '#scaling .scaling-rows', /5 lives run/)
  await saysLike(page, '#scaling-lines', /simulated:/)
  const folder = mkdtempSync(join(tmpdir(), 'rimtide-'))
  const csv = join(folder, 'scales.csv')
  const strengths = ['--strengths', '0.4,0.5,0.6,0.7,0.8']
  const { spread, trend, ratio } = await jsonOf('scaling', preset, ...strengths, '--csv', csv)
  const saved = await savedText(page, 'Save as CSV: Scales and ratios')
  same(saved, readFileSync(csv, 'utf8'), 'scales and ratios')
  rmSync(folder, { recursive: true })
  const { mean, scatter, standardError } = ratio.bath.simulated
  const printed = [mean, scatter, standardError].map((value) => Number(value.toPrecision(7)))
  const means = await savedText(page, 'Save as CSV: R_max/R*, means')
  const [head, first] = means.split('\n')
  same(`${head}\n${first}`, `${head}\nbath,simulated,4,${printed}`, 'the means')
  const shown = Number(/^Spread ([\d.]+) of R_max/.exec(await textOf(page, '#scaling-spread'))[1])
  hold(
    Math.abs(shown - spread.value) < 6e-4,
    `the spread is ${shown} on the page, ${spread.value} from the command`,
  )
  const slope = Number(/\+ \(([\d.]+) ±/.exec(await textOf(page, '#scaling-lines'))[1])
  hold(Math.abs(slope - trend.simulated.slope_mmPerPercent) < 0.051, `the slope is ${slope} on the page`)
}

export async function scalingCursorsMoveByKeys({ page }) {
  await loadDrop(page)
  await goTo(page)
  const run = page.getByRole('button', { name: 'Run the present drop at these strengths' })
  const hasFocus = (locator) => locator.evaluate((element) => element === document.activeElement)
  await run.focus()
  await page.keyboard.press('Enter')
  const stop = page.locator('#scaling').getByRole('button', { name: 'Stop' })
  await stop.waitFor()
  hold(await hasFocus(stop), 'the focus is not on Stop')
  await saysLike(page, '#scaling .scaling-rows', /9 lives run/)
  await becomes(
    () => hasFocus(run),
    Boolean,
    () => 'the focus does not come back from Stop',
  )
  for (const [name, pattern] of [
    ['Scaled time along the scaled radius', /^at [\d.]+ t_collapse: mean 0\.\d+/],
    ['Alcohol along the largest radius', /^at [\d.]+ %: curve [\d.]+ mm/],
  ]) {
    const slider = page.getByRole('slider', { name })
    const before = await slider.getAttribute('aria-valuenow')
    await slider.focus()
    await page.keyboard.press('ArrowRight')
    await drawn(page)
    const [now, text] = [
      await slider.getAttribute('aria-valuenow'),
      await slider.getAttribute('aria-valuetext'),
    ]
    hold(Number(now) > Number(before), `${name} stays at ${now}`)
    hold(pattern.test(text), `${name} says ${text}`)
    const box = await slider.boundingBox()
    await page.mouse.move(box.x + 0.4 * box.width, box.y + 0.5 * box.height)
    await becomes(
      async () => Number(await slider.getAttribute('aria-valuenow')),
      (value) => value < Number(now),
      () => `${name} does not follow the mouse`,
    )
  }
  const text = await savedText(page, 'Save as CSV: What R* and t* are made of')
  hold(
    /^series,kind,alcohol_percent_mass,phi0,volume_uL/.test(text),
    `the table begins: ${text.slice(0, 80)}`,
  )
}

export async function theScalingHasItsOwnLink({ page }) {
  const focused = await page.evaluate(() => document.activeElement?.id)
  hold(focused === 'scaling-title', `the focus is on ${focused}`)
}
theScalingHasItsOwnLink.options = { path: '#scaling' }

/** Fewer lives than the page proposes, where their number does not matter. */
async function runThree(page) {
  await page.getByLabel('lives', { exact: true }).fill('3')
  await page.getByRole('button', { name: 'Run the present drop at these strengths' }).click()
  await saysLike(page, '#scaling .scaling-rows', /3 lives run/)
}

export async function scalingIsAccessibleInLightAndDark({ page }) {
  await chooseFiles(page, [asFile('early.csv', 't (s),R (mm)\n0,2\n1,12\n2,15\n3,14\n', 'text/csv')])
  await goTo(page)
  await runThree(page)
  await inLightAndDark(page, async (scheme) => {
    const violations = await violationsIn(page, '#scaling')
    const told = violations.map(({ id, nodes }) => `${id}: ${nodes[0].target.join(' ')}`)
    hold(told.length === 0, `${scheme}: ${told.join('; ')}`)
  })
}

export async function scalingFitsANarrowScreen({ page }) {
  await goTo(page)
  await runThree(page)
  const wide = await page.evaluate(() => document.documentElement.scrollWidth)
  hold(wide <= 390, `the page is ${wide} px wide on a screen of 390`)
  const low = await page.evaluate(() =>
    [...document.querySelectorAll('#scaling :is(button, select, label:has(input))')]
      .filter((one) => one.checkVisibility() && one.getBoundingClientRect().height < 43.5)
      .map((one) => `${one.textContent.slice(0, 20)} ${one.getBoundingClientRect().height}`),
  )
  hold(low.length === 0, `too low for a finger: ${low.join('; ')}`)
}
scalingFitsANarrowScreen.options = { viewport: { width: 390, height: 844 }, hasTouch: true }

for (const check of [scalingShowsOneSpreadForPinnedLives, scalingTellsWhatIsLeftOutAndWhy]) {
  check.shares = true
}
