/** The page as such: policy, accessibility, narrow view. */
import { asFile, chooseFiles, hold, inLightAndDark, violationsIn } from './page.mjs'
import { csvOf } from './samples.mjs'

export async function thePolicyIsInForce({ page, errors }) {
  const broken = await page.evaluate(async () => {
    const seen = []
    document.addEventListener('securitypolicyviolation', (event) => seen.push(event.effectiveDirective))
    const script = document.createElement('script')
    script.textContent = 'document.body.dataset.hit = 1'
    document.body.append(script)
    await fetch('http://127.0.0.1:9/').catch(() => {})
    const image = new Image()
    image.src = 'http://127.0.0.1:9/x.png'
    await new Promise((resolve) => setTimeout(resolve, 300))
    return { seen, hit: document.body.dataset.hit ?? null }
  })
  errors.length = 0
  hold(broken.hit === null, 'a script in the page was run')
  for (const directive of ['script-src-elem', 'connect-src', 'img-src']) {
    hold(broken.seen.includes(directive), `${directive} is not enforced (${broken.seen})`)
  }
}
thePolicyIsInForce.mayAskForeign = true

export async function thePageIsAccessibleInLightAndDark({ page }) {
  await chooseFiles(page, [asFile('bench-3.csv', csvOf(0.024), 'text/csv')])
  await page.waitForSelector('#clock .measured path.points')
  await page.getByRole('button', { name: 'Pin this life' }).first().click()
  await page.locator('.help-button').nth(2).click()
  for (const summary of await page.locator('#about summary, #threshold summary, #recipe summary').all()) {
    await summary.click()
  }
  await page.waitForFunction(() => document.documentElement.dataset.neighbours === 'done')
  await page.locator('#sentence .uncertain').click()
  await page.getByLabel('Fineness').selectOption('0')
  await page.getByRole('button', { name: 'Work out the map' }).click()
  await page.getByRole('button', { name: 'Make the lab sheet' }).click()
  await page.waitForSelector('#sheet .paper-shown:not([hidden])', { timeout: 60_000 })
  await inLightAndDark(page, async (scheme) => {
    // The report's preview is looked at as a file of its own; no script may run in it, not even that of axe.
    const violations = await violationsIn(page)
    const serious = violations.filter(({ impact }) => impact === 'serious' || impact === 'critical')
    const told = serious.map(({ id, nodes }) => {
      const places = nodes.slice(0, 3).map((node) => node.target.join(' '))
      return `${id}: ${places.join(', ')}`
    })
    hold(serious.length === 0, `${scheme}: ${told.join('; ')}`)
  })
}

export async function theFrameFitsAWideScreen({ page }) {
  for (const id of ['sentence', 'stage', 'section', 'pulls', 'traces', 'clock', 'large', 'controls']) {
    const box = await page.locator(`#${id}`).boundingBox()
    hold(
      box && box.height > 20 && box.y >= 0 && box.y + box.height <= 900.5,
      `#${id} is at ${JSON.stringify(box)}`,
    )
  }
}

export async function stageAndSectionShareTheirAxis({ page }) {
  const stage = await page.locator('#stage').boundingBox()
  const section = await page.locator('#section').boundingBox()
  hold(stage.width > 600 && stage.height > 150, `the stage has ${stage.width} × ${stage.height}`)
  hold(stage.x === section.x && stage.width === section.width, 'stage and section have different edges')
}

export async function theNarrowViewFitsAndKeepsTheSlidersInReach({ page }) {
  const wide = await page.evaluate(() => document.documentElement.scrollWidth)
  hold(wide <= 390, `the page is ${wide} px wide on a screen of 390`)
  const tops = await page.evaluate(() =>
    ['sentence', 'stage', 'clock', 'section', 'pulls', 'traces', 'controls'].map(
      (id) => document.getElementById(id).getBoundingClientRect().top,
    ),
  )
  hold(
    tops.every((top, i) => i === 0 || top > tops[i - 1]),
    `the order is wrong: ${tops}`,
  )
  await page.evaluate(() => scrollTo(0, 1200))
  const box = await page.locator('#large').boundingBox()
  hold(Math.abs(box.y + box.height - 844) < 1, `the sliders end at ${box.y + box.height}`)
}
theNarrowViewFitsAndKeepsTheSlidersInReach.options = { viewport: { width: 390, height: 844 }, hasTouch: true }

export async function lightAndDarkCanBeChosen({ page }) {
  const ground = () => page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor)
  const select = page.locator('.theme-choice select')
  await select.selectOption('dark')
  const dark = await ground()
  await select.selectOption('light')
  hold(dark !== (await ground()), 'light and dark look the same')
  await select.selectOption('system')
}

for (const check of [stageAndSectionShareTheirAxis, theFrameFitsAWideScreen]) {
  check.shares = true
}
