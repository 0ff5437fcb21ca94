/** Ten recordings of one camera to one figure with error bars and the report: queue, settings of the camera, names, groups. */
import { createHash } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { drawn } from './browser.mjs'
import { giveBrush } from './brush.mjs'
import { hold, lens, messageLike, violationsIn, visit } from './page.mjs'

const size = { width: 320, height: 240 }
/** Radii of an invented run, px; two pictures before the touch-down. */
const course = [0, 0, 20, 34, 46, 54, 58, 50]
/** Runs by strength, % by mass, and what each is larger by. */
const shelf = [
  [40, 0.8, 4],
  [50, 1, 3],
  [60, 1.2, 3],
]
const runs = shelf.flatMap(([percent, factor, count]) =>
  Array.from({ length: count }, (_, i) => ({
    name: `2026-11-29_${percent}pct_10uL_${i + 1}`,
    radii: course.map((r) => r * factor * (1 + 0.04 * (i - (count - 1) / 2))),
  })),
)

/** The pictures of invented runs as files, in the order of their names. */
async function shelfFiles(page, wanted = runs) {
  await giveBrush(page)
  const drawn = await page.evaluate(
    ({ size, wanted }) => {
      const canvas = document.createElement('canvas')
      Object.assign(canvas, size)
      const c = canvas.getContext('2d')
      return wanted.map(({ radii }) =>
        radii.map((r) => {
          globalThis.drawDrop(c, size, r)
          return canvas.toDataURL('image/png').split(',')[1]
        }),
      )
    },
    { size, wanted },
  )
  return wanted.flatMap(({ name }, k) =>
    drawn[k].map((data, i) => ({
      name: `${name}_${String(i + 1).padStart(2, '0')}.png`,
      mimeType: 'image/png',
      buffer: Buffer.from(data, 'base64'),
    })),
  )
}

const sum = (data) => createHash('sha256').update(data).digest('hex')
/** Sum of the sums of a run's pictures. */
const sumOf = (files, name) =>
  sum(
    files
      .filter((file) => file.name.startsWith(`${name}_`))
      .map(({ buffer }) => sum(buffer))
      .join(''),
  )

const inside = (page, name) => page.locator('#video').getByRole('button', { name, exact: true })

/** A hand at the mouse: every click counts; typing follows the click on its field. */
const mouse = (page) => ({
  presses: 0,
  async press(locator) {
    this.presses++
    await locator.click()
  },
  async type(locator, text) {
    await this.press(locator)
    await locator.fill(text)
  },
  /** Two points 200 px apart in the picture. */
  async twoPoints() {
    const picture = page.locator('.video-picture')
    const box = await picture.locator('canvas').boundingBox()
    for (const x of [60, 260]) {
      this.presses++
      await picture.click({ position: { x: (x * box.width) / size.width, y: box.height / 3 } })
    }
  },
})

/** A hand at the keyboard: what is pressed counts, not the way there, which is Tab; arrows set the points. */
const keyboard = (page) => ({
  presses: 0,
  async press(locator) {
    this.presses++
    await locator.focus()
    const tick = (await locator.getAttribute('type')) === 'checkbox'
    await page.keyboard.press(tick ? 'Space' : 'Enter')
  },
  async type(locator, text) {
    await locator.focus()
    await page.keyboard.press('Control+A')
    await page.keyboard.type(text)
    await page.keyboard.press('Tab')
  },
  async twoPoints() {
    this.presses += 2
    await page.keyboard.press('Enter')
    for (let i = 0; i < 10; i++) await page.keyboard.press('Shift+ArrowRight')
    for (let i = 0; i < 10; i++) await page.keyboard.press('Shift+ArrowRight')
    await page.keyboard.press('Enter')
  },
})

const states = (page) => page.locator('.queue-list .queue-state').allTextContents()

const queueEnds = (page) =>
  page.waitForFunction(
    () => {
      const words = [...document.querySelectorAll('.queue-list .queue-state')].map((one) => one.textContent)
      return words.length > 0 && words.every((text) => /^(done|needs|failed|among)/.test(text))
    },
    undefined,
    { timeout: 120_000 },
  )

/** The whole way with one hand; gives its presses and the saved report. */
async function fromShelfToReport(page, hand, files) {
  await hand.press(page.locator('#places a[href="#data"]'))
  await inside(page, 'Choose a video or pictures').waitFor()
  const [chooser] = await Promise.all([
    page.waitForEvent('filechooser'),
    hand.press(inside(page, 'Choose a video or pictures')),
  ])
  // In the browser's own window: all files, and Open.
  hand.presses += 2
  await chooser.setFiles(files)
  await page.waitForSelector('.video-picture canvas')
  await page.waitForFunction(() => document.querySelectorAll('.queue-list li').length === 10)
  await page.waitForFunction(() =>
    /picture 1/.test(document.querySelector('.video-status')?.textContent ?? ''),
  )
  await hand.press(inside(page, 'Two points'))
  await hand.twoPoints()
  await hand.type(page.locator('#video').getByRole('textbox', { name: 'Distance of the points' }), '100')
  await hand.type(page.locator('#video').getByRole('textbox', { name: 'Recorded at' }), '2')
  await hand.press(inside(page, 'Measure all'))
  await queueEnds(page)
  const words = await states(page)
  hold(
    words.every((text) => /^done: 6 points/.test(text)),
    `the queue says ${words.join(' | ')}`,
  )
  await hand.press(page.locator('#video').getByRole('button', { name: /^Add all good ones/ }))
  await hand.press(page.locator('#messages').getByRole('button', { name: 'Show the list' }))
  await page.waitForFunction(() => document.querySelectorAll('#measured li[data-curve]').length === 10)
  await hand.press(page.locator('.run-names summary'))
  await hand.press(page.getByRole('button', { name: 'Take over for 10 runs' }))
  await hand.press(page.getByLabel('Group repetitions'))
  await page.waitForFunction(() => document.querySelectorAll('#clock g.measured').length === 3)
  await hand.press(page.locator('#tabs a[href="#report"]'))
  const save = page.getByRole('button', { name: 'Save the report (HTML)' })
  await save.waitFor()
  await page.waitForFunction(
    () =>
      !document.querySelector('#report button.main')?.disabled &&
      document.documentElement.dataset.neighbours === 'done',
    undefined,
    { timeout: 120_000 },
  )
  const [download] = await Promise.all([page.waitForEvent('download'), hand.press(save)])
  return readFileSync(await download.path(), 'utf8')
}

/** What the report must say of the ten runs. */
function holdReport(report, files) {
  for (const [percent, , count] of shelf)
    hold(
      report.includes(`${percent}pct_10uL: mean ± SD of ${count} runs`),
      `no mean of ${percent} % in the report`,
    )
  for (const { name } of runs)
    hold(
      report.includes(sumOf(files, name).slice(0, 12)),
      `the report does not say of which files ${name} was made`,
    )
}

export async function tenRecordingsBecomeOneFigureByMouse({ page }) {
  const files = await shelfFiles(page)
  const hand = mouse(page)
  const report = await fromShelfToReport(page, hand, files)
  hold(hand.presses <= 25, `it takes ${hand.presses} presses of the mouse`)
  holdReport(report, files)
  // The groups' means at the largest radius: course × factor × 0.5 mm per px; SD of runs 4 % apart.
  await visit(page, 'measured')
  const rows = await page.locator('#measured li[data-curve]').count()
  hold(rows === 10, `${rows} curves are listed`)
  console.log(`         ${hand.presses} presses by mouse from the files to the saved report`)
}

export async function tenRecordingsBecomeOneFigureByKeyboard({ page }) {
  const files = await shelfFiles(page)
  const hand = keyboard(page)
  const report = await fromShelfToReport(page, hand, files)
  hold(hand.presses <= 25, `it takes ${hand.presses} presses by keyboard`)
  holdReport(report, files)
  console.log(`         ${hand.presses} presses by keyboard (Tab and arrows apart)`)
}

/** Chooses files through the button of the recordings. */
async function choose(page, files) {
  const [chooser] = await Promise.all([
    page.waitForEvent('filechooser'),
    inside(page, 'Choose a video or pictures').click(),
  ])
  await chooser.setFiles(files)
}

const rowOf = (page, name) => page.locator('.queue-list li', { hasText: name })
const saysOf = (page, name) => rowOf(page, name).locator('.queue-state').textContent()
const waitSays = (page, name, pattern) =>
  page.waitForFunction(
    ([wanted, source]) =>
      [...document.querySelectorAll('.queue-list li')].some(
        (row) =>
          row.querySelector('.queue-name').textContent === wanted &&
          new RegExp(source).test(row.querySelector('.queue-state').textContent),
      ),
    [name, pattern.source],
    { timeout: 60_000 },
  )

export async function theQueueGoesOnAfterAReloadAndPastWhatFails({ page }) {
  const [first, second] = runs.slice(0, 2).map(({ name }) => name)
  const long = { name: 'long run', radii: Array.from({ length: 60 }, (_, i) => (i < 2 ? 0 : 20 + 0.5 * i)) }
  const files = await shelfFiles(page, [...runs.slice(0, 2), long])
  const broken = {
    name: 'broken.webm',
    mimeType: 'video/webm',
    buffer: Buffer.from([0x1a, 0x45, 0xdf, 0xa3, 1, 2, 3]),
  }
  await visit(page, 'video')
  await inside(page, 'Choose a video or pictures').waitFor()
  await choose(page, [...files, broken])
  await page.waitForSelector('.video-picture canvas')
  // Without a scale nothing is measured, and it is said why; what is broken says so itself.
  await inside(page, 'Measure all').click()
  await queueEnds(page)
  hold(
    /^needs you: no scale is set for its camera \(stills, 320 × 240 px\)/.test(await saysOf(page, first)),
    await saysOf(page, first),
  )
  hold(/^failed: broken\.webm /.test(await saysOf(page, 'broken.webm')), await saysOf(page, 'broken.webm'))
  const hand = mouse(page)
  await hand.press(inside(page, 'Two points'))
  await hand.twoPoints()
  await page.locator('#video').getByRole('textbox', { name: 'Distance of the points' }).fill('100')
  await page.locator('#video').getByRole('textbox', { name: 'Recorded at' }).fill('2')
  await inside(page, 'Measure all').click()
  await waitSays(page, 'long run', /^measuring [1-9]/)
  await page.getByRole('button', { name: 'Stop the queue' }).click()
  await waitSays(page, 'long run', /^stopped/)
  const part = Number(/\d+/.exec(await saysOf(page, 'long run'))[0])
  hold(part > 0 && part < 100, `it stopped at ${part} %`)
  await drawn(page, 600)
  await page.reload()
  await waitSays(page, 'long run', /choose its file again/)
  // What was done is done without its file; the list of unfinished work does not show it a second time.
  hold(
    /^done: 6 points/.test(await saysOf(page, second)),
    `after the reload it says ${await saysOf(page, second)}`,
  )
  hold(await page.locator('.video-kept').isHidden(), 'queued recordings are listed as unfinished too')
  await choose(page, files)
  await messageLike(page, /3 recordings are known from before/)
  await inside(page, 'Go on measuring').click()
  await waitSays(page, 'long run', /^done: 58 points/)
  // Opened, it shows its frame, its points, and settings that are the camera's.
  await rowOf(page, 'long run').getByRole('button', { name: 'Open long run' }).click()
  await page.waitForFunction(() => document.querySelectorAll('.video-table tbody tr').length === 60)
  await page.waitForFunction(() =>
    /^29\.500 s: radius/.test(document.querySelector('.video-status').textContent),
  )
  const wrong = await violationsIn(page, '.video-queue')
  hold(wrong.length === 0, `axe: ${wrong.map(({ id, nodes }) => `${id} ${nodes[0].target}`)}`)
  // A point left out by hand changes what the queue says of it.
  await page.locator('.video-table tbody tr').nth(10).getByRole('checkbox').uncheck()
  await waitSays(page, 'long run', /^done: 57 points/)
  // Another distance of the points, laid on the others too: their radii are then half as large.
  await page.locator('#video').getByRole('textbox', { name: 'Distance of the points' }).fill('50')
  await page.getByRole('button', { name: 'Scale and rate of the open one for 2 others' }).click()
  await page
    .locator('#video')
    .getByRole('button', { name: /^Add all good ones/ })
    .click()
  await waitSays(page, first, /^among the measured curves: 6 points/)
  await page.getByRole('button', { name: 'Undo', exact: true }).click()
  await waitSays(page, first, /^done: 6 points/)
  await page
    .locator('#video')
    .getByRole('button', { name: /^Add all good ones/ })
    .click()
  await visit(page, 'measured')
  await page.waitForFunction(() => document.querySelectorAll('#measured li[data-curve]').length === 3)
  // The widest of the first run: 58 px × 0.8 × (1 − 0.06), at 50 mm on 200 px.
  await page.getByRole('button', { name: `Edit ${first}` }).click()
  const radii = await page
    .locator('.points-editor tbody tr')
    .evaluateAll((rows) => rows.map((row) => Number(row.querySelectorAll('input[type=text]')[1]?.value)))
  const wanted = 58 * 0.8 * 0.94 * 0.25
  hold(
    Math.abs(Math.max(...radii) - wanted) < 0.01 * wanted,
    `the largest radius is ${Math.max(...radii)} instead of ${wanted} mm`,
  )
}

export async function settingsOfACameraAreKeptForItsNextRecording({ page }) {
  const files = await shelfFiles(page, runs.slice(0, 2))
  const of = (k) => files.filter(({ name }) => name.startsWith(`${runs[k].name}_`))
  await visit(page, 'video')
  await inside(page, 'Choose a video or pictures').waitFor()
  await choose(page, of(0))
  await page.waitForSelector('.video-picture canvas')
  hold(await page.locator('.video-queue').isHidden(), 'one recording alone makes a queue')
  hold(
    await page.locator('.video-camera').isHidden(),
    'settings are said to be of a recording that never was',
  )
  const hand = mouse(page)
  await hand.press(inside(page, 'Two points'))
  await hand.twoPoints()
  await page.locator('#video').getByRole('textbox', { name: 'Distance of the points' }).fill('100')
  await page.locator('#video').getByRole('textbox', { name: 'Recorded at' }).fill('25')
  await page.locator('#video').getByRole('textbox', { name: 'Frames from one point to the next' }).fill('3')
  await page.reload()
  await inside(page, 'Choose a video or pictures').waitFor()
  await choose(page, of(1))
  await page.waitForSelector('.video-camera:not([hidden])')
  const said = await page.locator('.video-camera').textContent()
  hold(
    /^As for the last recording of this camera: scale 0\.50\d* mm per px, 25 frames per s, every 3rd frame\. Begin afresh$/.test(
      said,
    ),
    `the line is "${said}"`,
  )
  const length = page.locator('#video').getByRole('textbox', { name: 'Distance of the points' })
  hold((await length.inputValue()) === '100', 'the known length is not kept')
  await inside(page, 'Begin afresh').click()
  await page.waitForFunction(() => /Without a scale/.test(document.querySelector('.video-setup').textContent))
  await inside(page, 'Take them again').click()
  await page.waitForFunction(() =>
    /0\.50\d* mm per pixel/.test(document.querySelector('.video-setup').textContent),
  )
}

/** A table of runs with two curves, and a block pasted into it. */
export async function aBlockOfCellsIsPastedIntoTheTableOfRuns({ page }) {
  const rows = ['first', 'second', 'third 40 wt% EtOH'].flatMap((name, k) =>
    [0, 1, 2, 3].map((t) => `${t},${5 + k + t},${name}`),
  )
  await visit(page, 'measured')
  await page.evaluate(
    (text) => {
      const data = new DataTransfer()
      data.setData('text/plain', text)
      document.body.dispatchEvent(
        new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true }),
      )
    },
    ['time (s),radius (mm),curve', ...rows].join('\n'),
  )
  await page.locator('#questions').getByRole('button', { name: /^Take/ }).click()
  await page.waitForSelector('.runs-table tbody tr:nth-child(3)')
  const cell = (field, name) =>
    page
      .getByRole('textbox', { name: `${field}: ${name}`, exact: true })
      .or(page.getByRole('combobox', { name: `${field}: ${name}`, exact: true }))
  await cell('Strength, %', 'first').evaluate((input, text) => {
    input.focus()
    const data = new DataTransfer()
    data.setData('text/plain', text)
    input.dispatchEvent(new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true }))
  }, '60\tvolume\t2-propanol\t12\r\n55\tmass\tethanol\tmany\r\n')
  await messageLike(page, /2 runs have new data from the pasted cells/)
  const value = (field, name) => cell(field, name).inputValue()
  hold(
    (await value('Strength, %', 'first')) === '60' && (await value('by', 'first')) === 'volume',
    'the first row was not filled',
  )
  hold(
    (await value('Volume, µL', 'first')) === '12' && (await value('Volume, µL', 'second')) === '',
    'volumes are wrong',
  )
  const problem = await page.locator('.runs > .problem').textContent()
  hold(
    /second, Volume: "many" cannot be used. Permitted: a number above 0 µL/.test(problem),
    `it says "${problem}"`,
  )
  // One step of undo for the whole block.
  await page.getByRole('button', { name: 'Undo', exact: true }).click()
  await page.waitForFunction(() =>
    [...document.querySelectorAll('.runs-table input')].every((input) => input.value === ''),
  )
  // The name of the third is read, offered, and taken with one press; the others are said to state nothing.
  const offer = await page.locator('.run-offers').textContent()
  hold(/“third 40 wt% EtOH” says 40 % by mass, ethanol\./.test(offer), `the offer is "${offer}"`)
  hold(/No strength is stated for “first”, “second”/.test(offer), `the offer is "${offer}"`)
  await page.getByRole('button', { name: 'Take over what the name says' }).click()
  await page.waitForFunction(() => document.querySelectorAll('.runs-table input')[22].value === '40')
  hold((await value('Alcohol', 'third 40 wt% EtOH')) === 'ethanol', 'the alcohol was not taken')
  await page.locator('.run-names summary').click()
  await page.getByLabel('Show ± (standard uncertainties, 1 σ)').check()
  const wrong = await violationsIn(page, '#measured')
  hold(wrong.length === 0, `axe: ${wrong.map(({ id, nodes }) => `${id} ${nodes[0].target}`)}`)
}

for (const check of [
  theQueueGoesOnAfterAReloadAndPastWhatFails,
  settingsOfACameraAreKeptForItsNextRecording,
  aBlockOfCellsIsPastedIntoTheTableOfRuns,
]) {
  check.options = lens
}
