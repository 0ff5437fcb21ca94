/** The page as such: policy, accessibility, narrow view. */
import { drawn } from './browser.mjs'
import {
  asFile,
  chooseFiles,
  hold,
  inLightAndDark,
  neighbours,
  openInputs,
  openMenu,
  pinLife,
  places,
  violationsIn,
  visit,
} from './page.mjs'
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
    // Each is told of in a task of its own.
    for (let i = 0; i < 100 && new Set(seen).size < 3; i++) {
      await new Promise((resolve) => setTimeout(resolve, 50))
    }
    return { seen, hit: document.body.dataset.hit ?? null }
  })
  errors.length = 0
  hold(broken.hit === null, 'a script in the page was run')
  for (const directive of ['script-src-elem', 'connect-src', 'img-src']) {
    hold(broken.seen.includes(directive), `${directive} is not enforced (${broken.seen})`)
  }
}
thePolicyIsInForce.mayAskForeign = true

/** What axe finds, in words. */
const foundBy = (violations) =>
  violations
    .map(({ id, nodes }) => {
      const places = nodes.slice(0, 3).map((node) => node.target.join(' '))
      return `${id}: ${places.join(', ')}`
    })
    .join('; ')

async function accessible(page, where) {
  await inLightAndDark(page, async (scheme) => {
    // The report's preview is looked at as a file of its own; no script may run in it, not even that of axe.
    const violations = await violationsIn(page)
    hold(violations.length === 0, `${where}, ${scheme}: ${foundBy(violations)}`)
  })
}

const unfold = async (page, part) => {
  for (const summary of await page.locator(`#${part} summary:visible`).all()) await summary.click()
}

/** With everything open and worked out that adds something to a place. */
export async function thePageIsAccessibleInLightAndDark({ page }) {
  await chooseFiles(page, [asFile('bench-3.csv', csvOf(0.024), 'text/csv')])
  await page.waitForSelector('#clock .measured path.points')
  await pinLife(page)
  await page.locator('#pins li').waitFor()
  await accessible(page, 'measured')
  for (const part of ['about', 'threshold', 'recipe']) {
    await visit(page, part)
    await unfold(page, part)
    await accessible(page, part)
  }
  await visit(page, 'map')
  await page.getByLabel('Fineness').selectOption('0')
  await page.getByRole('button', { name: 'Work out the map' }).click()
  await page.waitForFunction(() => document.querySelector('#map progress').hidden, undefined, {
    timeout: 60_000,
  })
  await page.locator('.map-area path').first().waitFor()
  await accessible(page, 'map')
  await visit(page, 'sheet')
  await page.getByRole('button', { name: 'Make the lab sheet' }).click()
  await page.waitForSelector('#sheet .paper-shown:not([hidden])', { timeout: 60_000 })
  await accessible(page, 'sheet')
  await visit(page, 'watch')
  await neighbours(page)
  await page.getByRole('button', { name: 'The physics' }).click()
  await openInputs(page)
  await page.locator('.help-button:visible').nth(2).click()
  await page.locator('#sentence .uncertain').click()
  await accessible(page, 'watch with the physics and all inputs')
}

/** Nothing scrolls but what is long inside its part, and every section in sight lies in the window. */
async function fitsTheWindow(page, ids, what) {
  await drawn(page)
  const scrolled = await page.evaluate(() =>
    [document.scrollingElement, document.querySelector('.frame')]
      .filter((it) => it.scrollHeight > it.clientHeight + 1 || it.scrollWidth > it.clientWidth + 1)
      .map(
        (it) =>
          `${it.tagName} ${it.scrollWidth} × ${it.scrollHeight} in ${it.clientWidth} × ${it.clientHeight}`,
      ),
  )
  hold(scrolled.length === 0, `${what}: it scrolls: ${scrolled}`)
  for (const id of ids) {
    const box = await page.locator(`#${id}`).boundingBox()
    hold(
      box &&
        box.height > 20 &&
        box.y >= 0 &&
        box.y + box.height <= 900.5 &&
        box.x >= 0 &&
        box.x + box.width <= 1440.5,
      `${what}: #${id} is at ${JSON.stringify(box)}`,
    )
  }
}

export async function theFrameFitsAWideScreen({ page }) {
  const first = ['what', 'sentence', 'stage', 'clock', 'large']
  await fitsTheWindow(page, first, 'at first')
  await page.getByRole('button', { name: 'The physics' }).click()
  const all = [...first, 'section', 'pulls', 'traces']
  await fitsTheWindow(page, all, 'with the physics')
  await openInputs(page)
  await fitsTheWindow(page, [...all, 'controls'], 'with all inputs')
}

export async function stageAndSectionShareTheirAxis({ page }) {
  await page.getByRole('button', { name: 'The physics' }).click()
  await page.locator('#section').waitFor()
  const stage = await page.locator('#stage').boundingBox()
  const section = await page.locator('#section').boundingBox()
  hold(stage.width > 600 && stage.height > 150, `the stage has ${stage.width} × ${stage.height}`)
  hold(stage.x === section.x && stage.width === section.width, 'stage and section have different edges')
}

/** Whether both large sliders can be touched: in the window, with nothing above them. */
const slidersAreInReach = (page) =>
  page.evaluate(() =>
    ['strength', 'volume'].every((id) => {
      const slider = document.getElementById(id)
      const { left, top, right, bottom } = slider.getBoundingClientRect()
      const hit = document.elementFromPoint((left + right) / 2, (top + bottom) / 2)
      return top >= 0 && left >= 0 && bottom <= innerHeight && right <= innerWidth && hit === slider
    }),
  )

export async function theNarrowViewFitsAndKeepsTheSlidersInReach({ page }) {
  for (const name of Object.entries(places).flatMap(([place, parts]) =>
    parts.length > 0 ? parts : [place],
  )) {
    await visit(page, name)
    const wide = await page.evaluate(() => document.documentElement.scrollWidth)
    hold(wide <= 390, `${name}: the page is ${wide} px wide on a screen of 390`)
    hold(await slidersAreInReach(page), `${name}: the sliders are out of reach`)
  }
  await visit(page, 'watch')
  await page.getByRole('button', { name: 'The physics' }).click()
  await drawn(page)
  const tops = await page.evaluate(() =>
    ['sentence', 'stage', 'section', 'pulls', 'traces', 'clock'].map(
      (id) => document.getElementById(id).getBoundingClientRect().top,
    ),
  )
  hold(
    tops.every((top, i) => i === 0 || top > tops[i - 1]),
    `the order is wrong: ${tops}`,
  )
  for (const down of [0, 600, 5000]) {
    await page.locator('.frame').evaluate((frame, top) => {
      frame.scrollTop = top
    }, down)
    hold(await slidersAreInReach(page), `scrolled by ${down}, the sliders are out of reach`)
  }
}
theNarrowViewFitsAndKeepsTheSlidersInReach.options = { viewport: { width: 390, height: 844 }, hasTouch: true }

export async function lightAndDarkCanBeChosen({ page }) {
  const ground = () => page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor)
  await openMenu(page, 'More')
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
