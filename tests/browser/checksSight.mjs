/** What is looked at is where the answer appears: headings, messages that lead on, and what fits a small window. */
import { drawn } from './browser.mjs'
import { asFile, becomes, chooseFiles, hold, places, visit } from './page.mjs'
import { csvOf } from './samples.mjs'

const phone = { viewport: { width: 390, height: 844 }, hasTouch: true }

/** In the page: whether the middle of an element is inside the window and nothing else is drawn over it. */
const uncovered = (element) => {
  const box = element.getBoundingClientRect()
  const at = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2)
  return element.contains(at)
}

export async function everyPartHasOneHeadingNamedAsItsTab({ page }) {
  const sizes = new Set()
  for (const name of Object.values(places).flat()) {
    await visit(page, name)
    const headings = page.locator(`#${name} h2`)
    hold((await headings.count()) === 1, `${name} has ${await headings.count()} headings`)
    if (name === 'rim') continue
    const [title, tab] = [
      await headings.textContent(),
      await page.locator('#tabs [aria-current]').textContent(),
    ]
    hold(title === tab, `the tab "${tab}" leads to "${title}"`)
    sizes.add(await headings.evaluate((heading) => getComputedStyle(heading).fontSize))
  }
  hold(sizes.size === 1, `the headings have the sizes ${[...sizes]}`)
}
everyPartHasOneHeadingNamedAsItsTab.shares = true

export async function aCurveOpenedInWatchLeadsToItsList({ page }) {
  await chooseFiles(page, [asFile('bench-3.csv', csvOf(0.024), 'text/csv')])
  const message = page.locator('.message', { hasText: 'The list of curves is in Data, under Curves.' })
  await message.getByRole('button', { name: 'Show the list' }).click()
  await page.locator('#measured li[data-curve]').waitFor()
  const held = await page.evaluate(() => document.activeElement?.textContent)
  hold(held === 'Curves', `the focus is at ${held}`)
  // Where the list is in sight already, nothing leads there.
  await chooseFiles(page, [asFile('other.csv', csvOf(0.02), 'text/csv')])
  await page.locator('#measured li[data-curve]').nth(1).waitFor()
  await drawn(page)
  hold(
    (await page.getByRole('button', { name: 'Show the list' }).count()) <= 1,
    'a way is shown to what is in sight',
  )
}

export async function theReportLeavesTheFocusWhereItIs({ page }) {
  await visit(page, 'report')
  const tab = page.locator('#tabs [aria-current]')
  await tab.focus()
  await page.locator('#strength').evaluate((slider) => {
    slider.value = '120'
    slider.dispatchEvent(new Event('input', { bubbles: true }))
  })
  await chooseFiles(page, [asFile('bench-3.csv', csvOf(0.024), 'text/csv')])
  await page.waitForFunction(
    () =>
      !/no measured series/.test(
        document.querySelector('#report [data-part=residuals]')?.textContent ?? 'no measured series',
      ),
  )
  await drawn(page)
  const held = await page.evaluate(() => document.activeElement?.closest('#report input')?.type ?? '')
  hold(held === '', `an input of the report (${held}) has taken the focus`)
}

export async function onAPhoneTheReasonForAnUncertaintyIsSeen({ page }) {
  await page.locator('#sentence .uncertain').tap()
  const reason = page.locator('#reason p').first()
  await becomes(
    () => reason.evaluate(uncovered),
    Boolean,
    () => 'the reason for ± is cut off',
  )
}
onAPhoneTheReasonForAnUncertaintyIsSeen.options = phone

export async function onAPhoneTheStripSaysItsFirstStatementWhole({ page }) {
  await visit(page, 'recipe')
  const line = page.locator('#sentence p').first()
  const more = page.locator('#sentence .more')
  const all = await page.locator('#sentence .says').textContent()
  const said = all.slice(0, all.length - (await more.textContent()).length)
  hold(await more.isHidden(), 'the strip says all')
  const cut = await line.evaluate((p) =>
    [p, p.parentElement].some(({ scrollHeight, clientHeight }) => scrollHeight > clientHeight + 1),
  )
  hold(/^This drop spreads to a radius of .* µm\.$/s.test(said), `the strip says ${said}`)
  hold(!cut, 'the strip is cut off')
}
onAPhoneTheStripSaysItsFirstStatementWhole.options = phone

export async function onAPhoneAnExerciseThatIsChosenIsInSight({ page }) {
  await visit(page, 'exercises')
  for (const k of [0, 4]) {
    await page.locator('#exercises .exercise-list button').nth(k).click()
    await drawn(page)
    hold(await page.locator('.exercise-open h3').evaluate(uncovered), `exercise ${k + 1} opened out of sight`)
    hold(
      await page.locator('.exercise-task').evaluate(uncovered),
      `the task of exercise ${k + 1} is out of sight`,
    )
  }
}
onAPhoneAnExerciseThatIsChosenIsInSight.options = phone

export async function theTwoDropsAndTheirSwitchesFitOneWindow({ page }) {
  await visit(page, 'without')
  await page.locator('.without-switches input').first().check()
  await page.waitForSelector('.without-shown .without-stage canvas')
  await page.waitForFunction(() => /spreads/.test(document.querySelector('.without-says').textContent))
  await drawn(page)
  const over = await page.locator('#without').evaluate((part) => part.scrollHeight - part.clientHeight)
  hold(over <= 2, `the part is ${over} px longer than its room`)
  hold(
    await page.getByRole('button', { name: 'Play both' }).evaluate(uncovered),
    'the way to play is out of sight',
  )
}
theTwoDropsAndTheirSwitchesFitOneWindow.options = { viewport: { width: 1280, height: 720 } }

/** The names of measured curves stand in Data: here they would take the room of the curve. */
export async function theTimeBarKeepsItsHeightBesideAStepWithMeasuredCurves({ page }) {
  await visit(page, 'rim')
  const height = async () => (await page.locator('#clock .bar-of-time').boundingBox()).height
  const before = await height()
  await visit(page, 'fit')
  await page.getByRole('button', { name: 'Begin with invented demo data' }).click()
  await page.waitForFunction(() => document.querySelectorAll('#measured li[data-curve]').length === 3)
  await visit(page, 'rim')
  await page.waitForFunction(() => document.querySelectorAll('#clock g.measured').length === 3)
  await drawn(page)
  hold(Math.abs((await height()) - before) < 2, `${before} px became ${await height()} px`)
}
