/** What goes wrong behind the page: workers that are missing, refused or silent; kept things that cannot be read. */
import { readFile } from 'node:fs/promises'
import { drawn, findBrowser, launch, settled, shownLife } from './browser.mjs'
import {
  asFile,
  becomes,
  chooseFiles,
  hold,
  lens,
  loadPage,
  messageLike,
  nextLife,
  openContext,
  openMenu,
  visit,
} from './page.mjs'
import { csvOf, presetWith } from './samples.mjs'

const says = (page) => page.locator('#sentence .says').textContent()

async function saysLike(page, pattern) {
  await becomes(
    () => says(page),
    (text) => pattern.test(text),
    (text) => `the sentence says "${text}", nothing like ${pattern}`,
  )
}

/** What needs no calculation goes on: curves come in and are edited, the cautions stand, the drop can be changed. */
async function theRestWorks(page) {
  await chooseFiles(page, [asFile('invented.csv', csvOf(0.02))])
  await visit(page, 'measured')
  await page.waitForSelector('#measured li[data-curve]')
  await page.locator('#measured').getByRole('button', { name: /^Edit/ }).click()
  await page.locator('.curve-editor').getByLabel('Drop volume').fill('9')
  await page.locator('.curve-editor').getByLabel('Drop volume').press('Enter')
  await page.waitForFunction(() =>
    /9 µL/.test(document.querySelector('#measured li[data-curve]').textContent),
  )
  hold(/flammable/i.test(await page.locator('#cautions').textContent()), 'the caution is missing')
  await page.locator('#strength').fill('120')
  hold((await page.locator('#strength').inputValue()) === '120', 'the strength cannot be changed')
}

/** Opens the page where no life will come; what the console says of the missing worker is meant. */
async function withoutLife({ page, address, errors }, prepare) {
  await prepare(page)
  await page.goto(`${address}?again`)
  return () => {
    errors.length = 0
  }
}

export async function aMissingWorkerIsToldWhereTheSentenceStands(opened) {
  const { page } = opened
  const done = await withoutLife(opened, (to) =>
    to.route(/\/(life|plan)-[^/]*\.js$/, (route) => route.fulfill({ status: 404, body: 'not here' })),
  )
  await saysLike(
    page,
    /does not run \(its program could not be loaded\)[\s\S]*another browser[\s\S]*command line/,
  )
  await messageLike(page, /does not run/)
  await theRestWorks(page)
  await visit(page, 'sheet')
  await page.locator('#sheet').getByRole('button', { name: 'Make the lab sheet' }).click()
  await page.waitForFunction(() => /could not be loaded/.test(document.querySelector('#sheet').textContent))
  done()
}

export async function aBrowserThatRefusesWorkersStillHasThePage(opened) {
  const { page } = opened
  const done = await withoutLife(opened, (to) =>
    to.addInitScript(() => {
      window.Worker = class {
        constructor() {
          throw new DOMException('workers are switched off', 'SecurityError')
        }
      }
    }),
  )
  await saysLike(page, /does not run[\s\S]*workers are switched off/)
  await theRestWorks(page)
  const rows = Array.from(
    { length: 30_000 },
    (_, i) => `${(i * 1e-4).toFixed(4)},${(5 + i * 1e-4).toFixed(4)}`,
  )
  await chooseFiles(page, [asFile('long.csv', ['t (s),R (mm)', ...rows].join('\n'))])
  await page.waitForFunction(() => document.querySelectorAll('#measured li[data-curve]').length === 2)
  done()
}

export async function aWorkerThatNeverAnswersIsGivenUpInTime(opened) {
  const { page } = opened
  const done = await withoutLife(opened, async (to) => {
    await to.clock.install()
    await to.addInitScript(() => {
      window.Worker = class extends EventTarget {
        postMessage() {}
        terminate() {}
      }
    })
  })
  await page.waitForSelector('#measured h2', { state: 'attached' })
  await page.clock.runFor(11_000)
  await saysLike(page, /still on its way/)
  await page.clock.runFor(60_000)
  await saysLike(page, /started again[\s\S]*not answered for 60 s/)
  await page.clock.runFor(70_000)
  await saysLike(page, /does not run[\s\S]*another browser/)
  done()
}

export async function aWorkerThatEndsSilentlyIsReplaced({ page, errors }) {
  await page.clock.install()
  await page.goto(`${page.url().split('#')[0]}?again`)
  await settled(page)
  await page.waitForFunction(() => Number(document.documentElement.dataset.lives) > 0)
  const [worker] = page.workers()
  await worker.evaluate(() => self.close())
  await page.locator('#strength').fill('150')
  const lives = await page.evaluate(() => Number(document.documentElement.dataset.lives))
  await page.clock.runFor(40_000)
  await messageLike(page, /was started again[\s\S]*not answered for 30 s/)
  await page.waitForFunction((before) => Number(document.documentElement.dataset.lives) > before, lives)
  hold(
    /150|0\.75|75/.test(await page.locator('#strength').getAttribute('aria-valuetext')),
    'the drop is another',
  )
  await becomes(
    () => says(page),
    (text) => !/started again/.test(text),
    () => 'the sentence still speaks of the trouble',
  )
  // The clock of the check is put into the report's preview too, where no script may run.
  for (let i = errors.length - 1; i >= 0; i--) if (/about:blank/.test(errors[i])) errors.splice(i, 1)
}

export async function keptPresetsThatCannotBeReadStayAndAreTold({ page }) {
  const later = presetWith({ version: 7, title: 'From a later version' })
  await page.evaluate((text) => localStorage.setItem('rimtide.presets', JSON.stringify([text])), later)
  await openMenu(page, 'Presets')
  await page.locator('.menu-panel input').fill('Mine')
  await page.getByRole('button', { name: 'Keep in this browser' }).click()
  await page
    .locator('.menu[open] .menu-panel')
    .getByText(/1 kept preset cannot be read\. Record 1: version is 7/)
    .waitFor()
  await page.getByRole('button', { name: 'Forget Mine' }).click()
  const left = await page.evaluate(() => JSON.parse(localStorage.getItem('rimtide.presets')))
  hold(left.length === 1 && left[0] === later, `the store holds ${JSON.stringify(left)}`)
}

export async function aCorruptListOfPresetsIsSetAsideAndCanBeSaved({ page }) {
  await page.evaluate(() => localStorage.setItem('rimtide.presets', '[{"half'))
  await openMenu(page, 'Presets')
  await messageLike(page, /set aside in the browser's storage as “rimtide\.presets\.unreadable-1”/)
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.locator('#messages').getByRole('button', { name: 'Save it as a file' }).click(),
  ])
  hold((await readFile(await download.path(), 'utf8')) === '[{"half', 'the file holds something else')
  await page.locator('.bar .menu[open]').or(page.locator('.bar .menu')).first().waitFor()
  if (!(await page.locator('.menu[open] .menu-panel').isVisible())) await openMenu(page, 'Presets')
  await page.getByRole('button', { name: 'Keep in this browser' }).click()
  const store = await page.evaluate(() => ({ ...localStorage }))
  hold(store['rimtide.presets.unreadable-1'] === '[{"half', 'the list is not set aside')
  hold(JSON.parse(store['rimtide.presets']).length === 1, 'the preset is not kept')
}

export async function undoInAnEditorBelongsToItsCurve({ page }) {
  await chooseFiles(page, [asFile('one.csv', csvOf(0.02)), asFile('two.csv', csvOf(0.018))])
  await page.waitForFunction(() => document.querySelectorAll('#measured li[data-curve]').length === 2)
  await visit(page, 'measured')
  const edit = (name) => page.getByRole('button', { name: `Edit ${name}`, exact: true }).click()
  const row = async (i) => {
    await drawn(page)
    return page.locator('#measured li[data-curve]').nth(i).textContent()
  }
  const leaveOut = (t) => page.getByLabel(`Use the point at ${t} s`, { exact: true }).click()
  await edit('one')
  await leaveOut('0.5')
  await edit('two')
  await leaveOut('0.75')
  await edit('one')
  await leaveOut('1')
  const undo = page.locator('.curve-editor').getByRole('button', { name: 'Undo the last change' })
  await undo.click()
  await undo.click()
  await drawn(page)
  hold(await undo.isDisabled(), 'there is still something to undo in the first curve')
  hold(!/set aside/.test(await row(0)), `the first curve: ${await row(0)}`)
  hold(/1 set aside/.test(await row(1)), `the second curve: ${await row(1)}`)
  await page.getByLabel('Use the point at 0 s', { exact: true }).focus()
  await page.keyboard.press('Control+z')
  hold(/1 set aside/.test(await row(1)), `after Ctrl+Z the second curve: ${await row(1)}`)
  await page.locator('.curve-editor').getByRole('button', { name: 'Redo it' }).click()
  hold(/1 set aside/.test(await row(0)), `after redo the first curve: ${await row(0)}`)
}

/** A set of curves of some megabytes, as the page saves it; invented. */
const setOfCurves = (points, count = 1) => {
  const list = (value) => Array.from({ length: points }, (_, i) => value(i))
  const curve = (_, k) => ({
    id: `long ${k}`,
    name: `Long and invented ${k}`,
    file: '',
    meta: {},
    time_s: list((i) => (i * 6) / points),
    radius_m: list((i) => 0.005 + k * 1e-5 + (i * 1e-3) / points),
  })
  return JSON.stringify({
    format: 'rimtide-curves',
    version: 1,
    curves: Array.from({ length: count }, curve),
  })
}

export async function aLongSetOfCurvesIsReadInAWorkerAndCanBeStopped({ page }) {
  const file = asFile('long.json', setOfCurves(60_000), 'application/json')
  let release = () => {}
  const held = new Promise((resolve) => {
    release = resolve
  })
  await page.route(/\/table-[^/]*\.js$/, async (route) => {
    await held
    await route.continue()
  })
  await chooseFiles(page, [file])
  await page.locator('.message.reading').getByRole('button', { name: 'Stop' }).click()
  await messageLike(page, /The reading of long\.json was stopped/)
  hold((await page.locator('#measured li[data-curve]').count()) === 0, 'the curve is here')
  release()
  await chooseFiles(page, [file])
  await page.locator('#measured li[data-curve]', { hasText: '60000 points' }).waitFor()
  await page.unrouteAll()
  await chooseFiles(page, [asFile('huge.json', `{"a": "${'x'.repeat(5_100_000)}"}`, 'application/json')])
  await messageLike(page, /huge\.json has 5\.1 MB; a preset or a liquid of at most 5 MB/)
}

export async function aHundredCurvesAreDrawnAndNamedInMeasure({ page }) {
  await chooseFiles(page, [asFile('many.json', setOfCurves(900, 100), 'application/json')])
  await page.waitForFunction(() => document.querySelectorAll('#measured li[data-curve]').length === 100)
  await page.locator('#clock .legend', { hasText: /and 76 more$/ }).waitFor()
  await page.waitForFunction(() => document.querySelectorAll('#clock .measured').length === 100)
  const marks = await page.evaluate(() =>
    [...document.querySelectorAll('#clock .measured .points')].map(
      (path) => path.getAttribute('d').split('M').length - 1,
    ),
  )
  const sum = marks.reduce((a, b) => a + b, 0)
  hold(
    sum <= 30_100 && Math.min(...marks) > 200,
    `${sum} marks are drawn, ${Math.min(...marks)} of one curve`,
  )
  const last = page.locator('#measured li[data-curve] .rms').last()
  await last.scrollIntoViewIfNeeded()
  await becomes(
    () => last.textContent(),
    (text) => /r\.m\.s\./.test(text),
    (text) => `the last curve says "${text}"`,
  )
}

/** What reaches beyond the window to the right, unless it lies in something that scrolls or cuts by itself. */
const beyondTheWindow = (page) =>
  page.evaluate(() => {
    const width = document.documentElement.clientWidth
    const within = (element) => {
      for (let up = element.parentElement; up && up !== document.body; up = up.parentElement) {
        if (getComputedStyle(up).overflowX !== 'visible') return true
      }
      return false
    }
    const name = (one) => `${one.tagName.toLowerCase()}.${one.className} in #${one.closest('[id]')?.id}`
    const beyond = [...document.body.querySelectorAll('*')].filter((element) => {
      const box = element.getBoundingClientRect()
      return box.width > 0 && box.height > 0 && box.right > width + 1 && !within(element)
    })
    return { names: [...new Set(beyond.map(name))], by: document.documentElement.scrollWidth - width }
  })

/** The controls, which scroll downwards only: nothing in them may be cut at the side. */
const cutControls = (page) =>
  page.evaluate(() =>
    ['#controls', '#large']
      .map((id) => document.querySelector(id))
      .flatMap((panel) => {
        const edge = panel.getBoundingClientRect().right
        const inputs = [...panel.querySelectorAll('input, select, button')]
        return inputs.filter((one) => one.getBoundingClientRect().right > edge).map((one) => one.outerHTML)
      }),
  )

const sizes = [
  [1280, 800],
  [390, 844],
]

async function fits(page, what) {
  await drawn(page)
  const { names, by } = await beyondTheWindow(page)
  hold(by <= 0 && names.length === 0, `${what}: ${by} px too wide: ${names.slice(0, 9).join('; ')}`)
  const cut = await cutControls(page)
  hold(cut.length === 0, `${what}: cut at the side: ${cut.slice(0, 3).join(' ')}`)
}

/** Text twice as large by the page's own root (as some tools set it), and by the setting of the browser. */
export async function nothingIsWiderThanTheWindowAtDoubleTextSize({ page, context }) {
  for (const [width, height] of sizes) {
    await page.setViewportSize({ width, height })
    await page.evaluate(() => {
      document.documentElement.style.fontSize = '200%'
    })
    await fits(page, `root text of 200 % at ${width} px`)
  }
  const session = await context.newCDPSession(page)
  await session.send('Page.setFontSizes', { fontSizes: { standard: 32 } })
  for (const [width, height] of sizes) {
    await page.setViewportSize({ width, height })
    await page.reload()
    await settled(page)
    const size = await page.evaluate(() =>
      Number.parseFloat(getComputedStyle(document.documentElement).fontSize),
    )
    hold(size > 25, `the page's text has ${size} px whatever the browser's setting`)
    await fits(page, `the browser's text at 200 % and ${width} px`)
  }
}

export async function withoutScriptsThePageSaysWhatItNeeds({ browser, address }) {
  const context = await browser.newContext({ javaScriptEnabled: false })
  const page = await context.newPage()
  await page.goto(address)
  const words = page.locator('.noscript')
  await words.waitFor()
  const text = (await words.textContent()).replace(/\s+/g, ' ')
  await context.close()
  hold(
    /needs JavaScript/.test(text) && /npm run simulate/.test(text),
    `without scripts the page says "${text}"`,
  )
}

aLongSetOfCurvesIsReadInAWorkerAndCanBeStopped.at = 'measured'
aHundredCurvesAreDrawnAndNamedInMeasure.at = 'measured'
for (const check of [aLongSetOfCurvesIsReadInAWorkerAndCanBeStopped, undoInAnEditorBelongsToItsCurve]) {
  check.options = lens
}
for (const check of [
  keptPresetsThatCannotBeReadStayAndAreTold,
  aCorruptListOfPresetsIsSetAsideAndCanBeSaved,
]) {
  check.options = lens
}
aLongSetOfCurvesIsReadInAWorkerAndCanBeStopped.shares = true
undoInAnEditorBelongsToItsCurve.shares = true

/** Without the compilers of the script engine there is no WebAssembly either. */
const quickDrop = '#rimtide=1&model.accuracy=quick'

export async function withoutWebAssemblyTheLivesAreTheSameAndItIsSaidOnce({ page, address }) {
  const wanted = await shownLife(page)
  const browser = await launch(findBrowser(), ['--js-flags=--jitless'])
  try {
    const opened = await openContext(browser, address)
    await loadPage(opened.page, `${address}${quickDrop}`)
    await messageLike(opened.page, /does not run the compiled calculation/)
    const plain = await shownLife(opened.page)
    hold(plain.maxRadius === wanted.maxRadius, `${plain.maxRadius} m instead of ${wanted.maxRadius} m`)
    await nextLife(opened.page, () => opened.page.locator('#strength').press('ArrowRight'))
    const count = await opened.page.locator('#messages .message', { hasText: 'compiled calculation' }).count()
    hold(count === 1, `it is said ${count} times`)
    hold(opened.errors.length === 0, `the console says: ${opened.errors.join(' | ')}`)
  } finally {
    await browser.close()
  }
}
withoutWebAssemblyTheLivesAreTheSameAndItIsSaidOnce.options = { path: quickDrop }
