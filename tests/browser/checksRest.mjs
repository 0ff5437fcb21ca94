/** Measured points and runs: what is ticked counts and what counts is ticked; runs before they are curves; their messages. */
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { inflateSync } from 'node:zlib'
import { giveBrush } from './brush.mjs'
import { asFile, chooseFiles, hold, messageLike, visit } from './page.mjs'

/** Invented: six points, the second and the fourth set aside. */
const aside = JSON.stringify({
  format: 'rimtide-curves',
  version: 1,
  curves: [
    {
      id: 'ticks',
      name: 'six points',
      file: 'bench.csv',
      meta: {},
      time_s: [0, 1, 2, 3, 4, 5],
      radius_m: [0.004, 0.009, 0.012, 0.019, 0.011, 0.008],
      excluded: [2, 4],
    },
  ],
})

/** Ticks of the points of the curve in the editor as 1 and 0, held against how the rows look and what is said and counted. */
async function ticksOf(page) {
  const told = await page.evaluate(() => {
    const editor = document.querySelector('.curve-editor')
    const rows = [...editor.querySelectorAll('.points-table tbody tr')]
    return {
      ticks: rows.map((row) => Number(row.querySelector('input[type=checkbox]').checked)),
      plain: rows.map((row) => Number(!row.classList.contains('out'))),
      says: editor.querySelector('.points-editor > .note').textContent,
      listed: document.querySelector('#measured li[data-curve] .figures').textContent,
    }
  })
  const ticks = told.ticks.join('')
  const used = told.ticks.filter(Boolean).length
  hold(ticks === told.plain.join(''), `ticked are ${ticks}, but the rows look like ${told.plain.join('')}`)
  hold(
    told.says.includes(`${ticks.length} points, ${used} used;`),
    `${ticks}: the editor says "${told.says}"`,
  )
  const left = ticks.length - used
  const counted = left > 0 ? `, ${left} set aside` : ' points'
  hold(told.listed.endsWith(counted), `${ticks}: the list says "${told.listed}"`)
  return ticks
}

async function holdTicks(page, wanted, when) {
  // The list is drawn with the next frame of the screen.
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))))
  const ticks = await ticksOf(page)
  hold(ticks === wanted, `${when} the ticks are ${ticks} instead of ${wanted}`)
}

const editPoints = async (page) => {
  await visit(page, 'measured')
  await page.getByRole('button', { name: 'Edit six points' }).click()
  await page.locator('.curve-editor .points-table tbody tr').nth(5).waitFor()
}

/** A point that is set aside has no tick, however it was set aside and however often the page is opened again. */
export async function pointsSetAsideHaveNoTick({ page }) {
  await chooseFiles(page, [asFile('six.json', aside, 'application/json')])
  await editPoints(page)
  const editor = page.locator('.curve-editor')
  const press = (name) => editor.getByRole('button', { name, exact: true }).click()
  await holdTicks(page, '101011', 'from the file')
  await editor.getByLabel('Use the point at 5 s').click()
  await holdTicks(page, '101010', 'after one by hand')
  await editor.getByLabel('Use the point at 1 s').click()
  await holdTicks(page, '111010', 'after one taken back by hand')
  await press('Undo the last change')
  await holdTicks(page, '101010', 'after Undo in the editor')
  await press('Redo it')
  await holdTicks(page, '111010', 'after Redo in the editor')
  for (const [name, value] of [
    ['time from, s', '0'],
    ['time to, s', '3.5'],
    ['radius from, mm', '0'],
    ['radius to, mm', '30'],
  ])
    await editor.getByLabel(`Frame: ${name}`).fill(value)
  await page.keyboard.press('Enter')
  await editor.getByText('4 points are framed, 1 of them set aside.').waitFor()
  await press('Set aside what is framed')
  await holdTicks(page, '000010', 'after a frame')
  await page.getByRole('button', { name: 'Undo', exact: true }).click()
  await holdTicks(page, '111010', "after the page's Undo")
  await editor.getByText('4 points are framed, 1 of them set aside.').waitFor()
  await press('Take back what is framed')
  await holdTicks(page, '111110', 'after a frame is taken back')
  await press('Close')
  await editPoints(page)
  await holdTicks(page, '111110', 'opened again')
  await page.waitForFunction(() =>
    /^Kept/.test(document.querySelector('#measured .keeping p')?.textContent ?? ''),
  )
  await page.reload()
  await editPoints(page)
  await holdTicks(page, '111110', 'after a reload')
  const crosses = await page.locator('.frame-plot .aside').getAttribute('d')
  hold((crosses.match(/M/g) ?? []).length === 1, `the plot has other than one cross: ${crosses}`)
  // A table tells it in a column.
  await page.locator('.curve-editor').getByRole('button', { name: 'Remove this curve' }).click()
  const table = 'time_s,radius_mm,used\n0,4,1\n1,9,0\n2,12,yes\n3,19,no\n4,11,1\n5,8,1\n'
  await chooseFiles(page, [asFile('six points.csv', table, 'text/csv')])
  await editPoints(page)
  await holdTicks(page, '101011', 'from a table')
}

/** Wherever a condition is typed, what is refused stays in sight and the permitted range stands beside it, with its unit. */
export async function aRefusedConditionTellsWhatIsPermitted({ page }) {
  await chooseFiles(page, [asFile('140pct_0uL_1.csv', 't (s),R (mm)\n0,4\n1,9\n2,12\n', 'text/csv')])
  await visit(page, 'measured')
  const cell = (label) => page.locator('.runs-table').getByLabel(new RegExp(`^${label}`))
  const problem = page.locator('.runs > .problem')
  for (const [label, text, range] of [
    ['Strength', '-5 %%', 'a number from 0 to 100 %'],
    ['Volume', '10 mm', 'a number above 0 µL'],
    ['Temperature', '1200', 'a number above −273.15 °C and below 1000 °C'],
    ['Humidity', 'dry', 'a number from 0 to 100 %'],
    ['Date', 'today', 'a day as 2026-11-29'],
  ]) {
    await cell(label).fill(text)
    await cell(label).blur()
    const said = await problem.textContent()
    hold(
      said.endsWith(`${JSON.stringify(text)} cannot be used. Permitted: ${range}.`),
      `${label}: it says "${said}"`,
    )
    hold((await cell(label).inputValue()) === text, `${label}: what was typed is gone`)
    hold((await cell(label).getAttribute('aria-invalid')) === 'true', `${label} is not marked as wrong`)
  }
  await page.locator('.run-names summary').click()
  await page.getByLabel('Pattern of the names').fill('{strength}pct_{volume}uL_{run}')
  const given = await page.locator('.run-given tbody').textContent()
  for (const words of [
    '{strength}: "140" cannot be used. Permitted: a number from 0 to 100 %',
    '{volume}: "0" cannot be used. Permitted: a number above 0 µL',
  ])
    hold(given.includes(words), `the names' preview says "${given}"`)
  await page.getByRole('button', { name: /^Edit 140pct/ }).click()
  for (const [label, text, range] of [
    ['Relative humidity', '140', 'a number from 0 to 100 %'],
    ['Alcohol fraction', 'half', 'a number from 0 to 100 %'],
    ['Depth of the bath', '0', 'a number above 0 mm'],
  ]) {
    const field = page.locator('.curve-editor .field', { has: page.getByLabel(label, { exact: true }) })
    await field.locator('input').fill(text)
    await field.locator('input').blur()
    const said = await field.locator('.problem').textContent()
    hold(said.endsWith(`Permitted: ${range}.`), `${label}: it says "${said}"`)
  }
}

const size = { width: 320, height: 240 }
/** Radii of an invented run, px; two pictures before the touch-down. */
const course = [0, 0, 20, 34, 46, 54, 58, 50]

/** Pictures of invented runs of these names, as files. */
async function pictures(page, names) {
  await giveBrush(page)
  const drawn = await page.evaluate(
    ({ size, course, count }) => {
      const canvas = document.createElement('canvas')
      Object.assign(canvas, size)
      const c = canvas.getContext('2d')
      return Array.from({ length: count }, (_, k) =>
        course.map((r) => {
          globalThis.drawDrop(c, size, r * (1 + 0.05 * k))
          return canvas.toDataURL('image/png').split(',')[1]
        }),
      )
    },
    { size, course, count: names.length },
  )
  return names.flatMap((name, k) =>
    drawn[k].map((data, i) => ({
      name: `${name}_${String(i + 1).padStart(2, '0')}.png`,
      mimeType: 'image/png',
      buffer: Buffer.from(data, 'base64'),
    })),
  )
}

const inside = (page, name) => page.locator('#video').getByRole('button', { name, exact: true })

async function chooseRecordings(page, files) {
  await visit(page, 'video')
  await inside(page, 'Choose a video or pictures').waitFor()
  const [chooser] = await Promise.all([
    page.waitForEvent('filechooser'),
    inside(page, 'Choose a video or pictures').click(),
  ])
  await chooser.setFiles(files)
  await page.waitForFunction(() =>
    /picture 1|0.000 s/.test(document.querySelector('.video-status')?.textContent ?? ''),
  )
}

/** Two points 200 px apart are 100 mm; two pictures a second. */
async function setCamera(page) {
  await inside(page, 'Two points').click()
  const picture = page.locator('.video-picture')
  const box = await picture.locator('canvas').boundingBox()
  for (const x of [60, 260])
    await picture.click({ position: { x: (x * box.width) / size.width, y: box.height / 3 } })
  const field = (name) => page.locator('#video').getByRole('textbox', { name })
  await field('Distance of the points').fill('100')
  await field('Recorded at').fill('2')
}

const says = (page, name) =>
  page.locator('.queue-list li', { hasText: name }).locator('.queue-state').textContent()
async function waitSays(page, name, pattern) {
  for (let i = 0; i < 200; i++) {
    if (pattern.test(await says(page, name))) return
    await page.waitForTimeout(50)
  }
  hold(false, `${name}: the queue says "${await says(page, name)}" instead of ${pattern}`)
}
const addAll = (page) =>
  page
    .locator('#video')
    .getByRole('button', { name: /^Add all good ones/ })
    .click()
const undoPage = (page) => page.getByRole('button', { name: 'Undo', exact: true }).click()

const runCell = (page, field, name) =>
  page
    .getByRole('textbox', { name: `${field}: ${name}`, exact: true })
    .or(page.getByRole('combobox', { name: `${field}: ${name}`, exact: true }))

const type = async (locator, text) => {
  await locator.fill(text)
  await locator.blur()
}

const valuesOf = (page, name) =>
  Promise.all(['Strength, %', 'Volume, µL', 'Oil'].map((field) => runCell(page, field, name).inputValue()))

/** What is stated of a recording before it is a curve is kept and goes with it. */
export async function recordingsInTheQueueHaveRowsInTheTableOfRuns({ page }) {
  const [first, second] = ['2026-11-29_40pct_10uL_1', '2026-11-29_50pct_12uL_2']
  const files = await pictures(page, [first, second])
  await chooseRecordings(page, files)
  await setCamera(page)
  await visit(page, 'measured')
  const rows = page.locator('.runs-table tbody tr')
  hold((await rows.count()) === 2, `${await rows.count()} rows`)
  hold(
    /recording in the queue, no curve yet; conditions not stated: the page’s drop is used/.test(
      await rows.first().textContent(),
    ),
    `the row says "${await rows.first().textContent()}"`,
  )
  await type(runCell(page, 'Strength, %', first), '45')
  await type(runCell(page, 'Oil', first), 'sunflower')
  await undoPage(page)
  await page.waitForFunction(() => document.querySelectorAll('.runs-table input')[4].value === '')
  await page.getByRole('button', { name: 'Redo', exact: true }).click()
  await page.waitForFunction(() => document.querySelectorAll('.runs-table input')[4].value === 'sunflower')
  await page.locator('.run-names summary').click()
  await page.getByRole('button', { name: 'Take over for 2 runs' }).click()
  await page.waitForFunction(() => document.querySelectorAll('.runs-table input')[3].value === '10')
  const wanted = { [first]: '45,10,sunflower', [second]: '50,12,' }
  const holdAll = async (when) => {
    for (const name of [first, second]) {
      const values = (await valuesOf(page, name)).join()
      hold(values === wanted[name], `${when} ${name} states ${values} instead of ${wanted[name]}`)
    }
  }
  await holdAll('in the queue')
  // They are there after a reload, before the recordings are looked at.
  await page.reload()
  await visit(page, 'measured')
  await rows.nth(1).waitFor()
  await holdAll('after a reload')
  await chooseRecordings(page, files)
  await inside(page, 'Measure all').click()
  for (const name of [first, second]) await waitSays(page, name, /^done: 6 points/)
  const alcohol = page.locator('#video').getByRole('textbox', { name: 'Alcohol' })
  await page.getByRole('button', { name: `Open ${second}` }).click()
  await page.waitForFunction(() => document.querySelectorAll('.video-table tbody tr').length === 8)
  hold((await alcohol.inputValue()) === '50', `the form says ${await alcohol.inputValue()} % instead of 50 %`)
  await addAll(page)
  await messageLike(page, /2 recordings are among the measured curves/)
  await visit(page, 'measured')
  await page.waitForFunction(() => document.querySelectorAll('#measured li[data-curve]').length === 2)
  hold((await rows.count()) === 2, `as curves they have ${await rows.count()} rows`)
  await page.waitForFunction(() => document.querySelectorAll('.runs-table tr.queued').length === 0)
  await holdAll('as curves')
  await undoPage(page)
  await page.waitForFunction(() => document.querySelectorAll('.runs-table tr.queued').length === 2)
  await holdAll('after Undo')
}

const curveNames = (page) => page.locator('#measured li[data-curve] .name').allTextContents()
/** The largest radius of a curve, mm, as its editor has it. */
async function largest(page, name) {
  await visit(page, 'measured')
  await page.getByRole('button', { name: `Edit ${name}`, exact: true }).click()
  const radii = await page
    .locator('.points-editor tbody tr')
    .evaluateAll((list) => list.map((row) => Number(row.querySelectorAll('input[type=text]')[1].value)))
  await page.locator('.curve-editor').getByRole('button', { name: 'Close', exact: true }).click()
  return Math.max(...radii)
}

/** A recording that was corrected renews its curve; what was changed by hand in that is asked about; all of it can be undone. */
export async function aCorrectedRecordingRenewsItsCurve({ page }) {
  const [name, other] = ['40pct_1', '40pct_2']
  await chooseRecordings(page, await pictures(page, [name, other]))
  await setCamera(page)
  await inside(page, 'Measure all').click()
  for (const one of [name, other]) await waitSays(page, one, /^done: 6 points/)
  await addAll(page)
  await waitSays(page, name, /^among the measured curves/)
  await visit(page, 'measured')
  await type(runCell(page, 'Volume, µL', name), '11')
  const correct = async (radius) => {
    await visit(page, 'video')
    const cell = page.locator('.video-table tbody tr').nth(6).locator('input[type=text]')
    await cell.fill(String(radius))
    await cell.blur()
  }
  await visit(page, 'video')
  await page.getByRole('button', { name: `Open ${name}` }).click()
  await page.waitForFunction(() => document.querySelectorAll('.video-table tbody tr').length === 8)
  await correct(40)
  await waitSays(page, name, /^corrected since it was added: 6 points/)
  await addAll(page)
  await messageLike(page, /One curve has its points anew from its recording/)
  await waitSays(page, name, /^among the measured curves/)
  hold((await largest(page, name)) === 40, `renewed, the largest radius is ${await largest(page, name)} mm`)
  const list = (await curveNames(page)).join()
  hold(list === `${name},${other}`, `the list holds ${list}`)
  hold(
    (await runCell(page, 'Volume, µL', name).inputValue()) === '11',
    'what was stated of the curve is gone',
  )
  await undoPage(page)
  hold((await largest(page, name)) < 30, `after Undo the largest radius is ${await largest(page, name)} mm`)
  await visit(page, 'video')
  await waitSays(page, name, /^corrected since it was added/)
  await addAll(page)
  await waitSays(page, name, /^among the measured curves/)
  // By the form of the recording itself.
  await correct(42)
  await inside(page, 'Add to measured curves').click()
  await messageLike(page, /40pct_1: 6 points from the recording are in the place of its earlier ones/)
  hold((await largest(page, name)) === 42, `by the form it becomes ${await largest(page, name)} mm`)
  // A curve that was changed by hand is not overwritten unasked.
  await page.getByRole('button', { name: `Edit ${name}`, exact: true }).click()
  await page.locator('.points-editor tbody tr').nth(1).getByRole('checkbox').uncheck()
  await page.locator('.curve-editor').getByRole('button', { name: 'Close', exact: true }).click()
  await correct(44)
  await addAll(page)
  const question = page.getByRole('group', { name: 'What becomes of the curves that are there' })
  await question.getByText('“40pct_1”: a curve of this recording with other points').waitFor()
  await question.getByRole('button', { name: 'Change nothing' }).click()
  hold((await largest(page, name)) === 42, 'unasked it was changed')
  await visit(page, 'video')
  await addAll(page)
  await question.getByRole('button', { name: 'Keep it, add a second curve' }).click()
  hold((await largest(page, `${name} (2)`)) === 44, 'the second curve does not have the new points')
  hold((await largest(page, name)) === 42, 'the first curve was changed')
  await undoPage(page)
  await page.waitForFunction(() => document.querySelectorAll('#measured li[data-curve]').length === 2)
  await visit(page, 'video')
  await addAll(page)
  await question.getByRole('button', { name: 'Put the new points in their place' }).click()
  hold((await largest(page, name)) === 44, 'the new points did not take the place of the old ones')
  // What was replaced is among the removed curves, also after a reload.
  await page.waitForFunction(() =>
    /^Kept/.test(document.querySelector('#measured .keeping p')?.textContent ?? ''),
  )
  await page.reload()
  await visit(page, 'measured')
  await page.locator('#measured .trash summary').click()
  const removed = await page.locator('#measured .trash li .name').allTextContents()
  hold(removed.filter((one) => one === name).length >= 3, `the removed curves are ${removed}`)
  await visit(page, 'video')
  await waitSays(page, name, /^among the measured curves/)
}

/** Where a run states nothing it is said, once a curve, that the page's drop stands for it: in the table of runs and before the fit. */
export async function aRunThatStatesNothingIsSaidToTakeThePagesDrop({ page }) {
  const table = (k) => `t (s),R (mm)\n0,${4 + k}\n1,9\n2,12\n3,13\n`
  await chooseFiles(page, [
    asFile('bare.csv', table(0), 'text/csv'),
    asFile('half.csv', table(1), 'text/csv'),
    asFile('whole.csv', table(2), 'text/csv'),
  ])
  await visit(page, 'measured')
  await runCell(page, 'Volume, µL', 'whole').waitFor()
  await type(runCell(page, 'Strength, %', 'half'), '60')
  await type(runCell(page, 'Strength, %', 'whole'), '60')
  await type(runCell(page, 'Volume, µL', 'whole'), '10')
  const nothing = 'conditions not stated: the page’s drop is used'
  const wanted = { bare: nothing, half: 'volume not stated: that of the page’s drop is used', whole: '' }
  const holdWords = async (rows, when) => {
    for (const [name, words] of Object.entries(wanted)) {
      const row = page.locator(rows, { hasText: name })
      const said = (await row.locator('.run-unstated').allTextContents()).filter(Boolean).join('|')
      hold(said === words, `${when} it says of ${name}: "${said}"`)
    }
  }
  await page.waitForTimeout(100)
  await holdWords('.runs-table tbody tr', 'in the table of runs')
  await visit(page, 'fit')
  await page.locator('.fit-choices li', { hasText: 'whole' }).waitFor()
  await holdWords('.fit-choices fieldset:first-child li', 'before the fit')
  await visit(page, 'measured')
  await type(runCell(page, 'Strength, %', 'bare'), '60')
  await type(runCell(page, 'Volume, µL', 'bare'), '10')
  wanted.bare = ''
  await visit(page, 'fit')
  await page.waitForTimeout(100)
  await holdWords('.fit-choices fieldset:first-child li', 'filled in, before the fit')
}

/** Files chosen together are told of in one message, in which each can be read and looked at; on a phone it lies over nothing that is worked on. */
export async function filesChosenTogetherGiveOneMessage({ page }) {
  const table = (name, last) => asFile(name, `t (s),R (mm)\n0,4\n1,9\n2,12\n3,${last}\n`, 'text/csv')
  const messages = page.locator('#messages .message')
  await chooseFiles(page, [
    table('good.csv', '13'),
    table('wide.csv', 'wide'),
    asFile('empty.csv', 't (s),R (mm)\n', 'text/csv'),
    asFile(
      'drop.json',
      '{"format": "rimtide-preset", "version": 1, "drop": {"volume_uL": -3}}',
      'application/json',
    ),
  ])
  await messageLike(page, /Of 4 files, 3 cannot be used, of one there is a note\./)
  hold((await messages.count()) === 1, `${await messages.count()} messages are in sight`)
  const told = await messages.locator('li').allTextContents()
  for (const words of [
    /good\.csv: .*taken over/,
    /wide\.csv cannot be used.*"wide"/,
    /empty\.csv cannot be used/,
    /drop\.json.*volume/,
  ])
    hold(
      told.filter((text) => words.test(text)).length === 1,
      `${words} is not told once: ${told.join(' | ')}`,
    )
  await messages
    .locator('li', { hasText: 'wide.csv' })
    .getByRole('button', { name: 'Look at its columns' })
    .click()
  await page.locator('.look', { hasText: 'wide.csv' }).waitFor()
  await page.locator('.look').getByRole('button', { name: 'Leave it out' }).click()
  const dismissAll = async () => {
    const close = page.locator('#messages .close')
    while ((await close.count()) > 0) await close.first().click()
  }
  await dismissAll()
  await page.setViewportSize({ width: 390, height: 844 })
  for (const place of ['video', 'measured', 'fit', 'report']) {
    await visit(page, place)
    await chooseFiles(page, [table(`a ${place}.csv`, 'wide'), table(`b ${place}.csv`, 'wide')])
    await messageLike(page, /None of the 2 files can be used\./)
    const message = await messages.last().boundingBox()
    const panel = await page.locator(`#${place}`).boundingBox()
    hold(
      message.y + message.height <= panel.y + 1,
      `in ${place} it ends at ${message.y + message.height}, the part begins at ${panel.y}`,
    )
    const last = messages.last()
    await last.locator('summary').click()
    hold(
      (await last.locator('li').count()) === 2 && (await last.locator('li').last().isVisible()),
      'they cannot be read',
    )
    await dismissAll()
  }
}
filesChosenTogetherGiveOneMessage.shares = true

/** Invented recordings, encoded by ffmpeg (libx264 with B-frames, libx265, GIF): frame n is a drop of 15 + n px. */
const media = (name) => fileURLToPath(new URL(`media/${name}`, import.meta.url))

async function openMedia(page, name) {
  await visit(page, 'video')
  await inside(page, 'Choose a video or pictures').waitFor()
  const [chooser] = await Promise.all([
    page.waitForEvent('filechooser'),
    inside(page, 'Choose a video or pictures').click(),
  ])
  await chooser.setFiles(media(name))
}

/** Frames that lean on later ones, unevenly in time: at 40 n + 13 (n mod 3) ms, as ffprobe tells them too. */
export async function framesThatLeanOnLaterOnesComeInTheirOrder({ page }) {
  await openMedia(page, 'uneven.mp4')
  await page.waitForFunction(() => /radius/.test(document.querySelector('.video-status')?.textContent ?? ''))
  await inside(page, 'Measure from the start').click()
  await page.waitForFunction(
    () => document.querySelectorAll('.video-table tbody tr').length === 50,
    undefined,
    {
      timeout: 60_000,
    },
  )
  const rows = await page.locator('.video-table tbody tr').evaluateAll((list) =>
    list.map((row) => ({
      time: Math.round(1000 * Number.parseFloat(row.querySelector('button').textContent)),
      radius: Number(row.querySelector('input[type=text]').value),
    })),
  )
  rows.forEach(({ time, radius }, n) => {
    hold(time === 40 * n + 13 * (n % 3), `frame ${n} is at ${time} ms`)
    hold(Math.abs(radius - (15 + n)) < 0.6, `frame ${n} is ${radius} px instead of ${15 + n}`)
  })
}

/** What cannot be read, or not as a whole, is told with what would be right. */
export async function recordingsOfOtherKindsAreToldOf({ page }) {
  await openMedia(page, 'moving.gif')
  await messageLike(
    page,
    /moving\.gif moves: of its 3 pictures only the first is read\. Convert it to a video/,
  )
  const plays = await page.evaluate(() =>
    document.createElement('video').canPlayType('video/mp4; codecs="hvc1.1.6.L93.B0"'),
  )
  await openMedia(page, 'h265.mp4')
  if (plays === '')
    await messageLike(page, /h265\.mp4 holds H\.265 video, which this browser cannot decode\. Convert it/)
  else await page.locator('.video-name', { hasText: 'h265.mp4' }).waitFor()
}

/** How much is drawn on each page of a PDF: operators that show text or paint (ISO 32000-1, annex A). */
function drawnOnPages(pdf) {
  const text = pdf.toString('latin1')
  const streams = new Map()
  for (const object of text.split(/\bendobj\b/)) {
    const [, id, head, body] =
      /(\d+) 0 obj\s*(<<(?:(?!stream)[\s\S])*>>)\s*stream\r?\n([\s\S]*?)\r?\nendstream/.exec(object) ?? []
    if (id === undefined) continue
    const bytes = Buffer.from(body, 'latin1')
    streams.set(id, /FlateDecode/.test(head) ? () => inflateSync(bytes).toString('latin1') : () => body)
  }
  const pages = [...text.matchAll(/\/Type \/Page\b(?!s)[\s\S]*?\/Contents (\d+) 0 R/g)]
  return pages.map(
    ([, id]) =>
      (
        streams
          .get(id)()
          .match(/\b(Tj|TJ|S|f|f\*|B)\b/g) ?? []
      ).length,
  )
}

/** A report of many curves, printed: no page is empty, the result is on the first two, what fits on a page is not broken. */
export async function aLongReportPrintsWithoutEmptyPagesAndBrokenTables({ page, context }) {
  const curve = (k) =>
    Array.from(
      { length: 30 },
      (_, i) => `${i / 5},${(4 + k / 5 + 12 * Math.sin((Math.PI * (i + 1)) / 31)).toFixed(2)},0.3`,
    )
  await chooseFiles(
    page,
    Array.from({ length: 16 }, (_, k) =>
      asFile(
        `run ${k} of a long afternoon, ${30 + k} wt% ethanol.csv`,
        ['t (s),R (mm),uncertainty (mm)', ...curve(k)].join('\n'),
      ),
    ),
  )
  await visit(page, 'report')
  const save = page.getByRole('button', { name: 'Save the report (HTML)' })
  await page.waitForFunction(
    () =>
      !document.querySelector('#report button.main')?.disabled &&
      document.documentElement.dataset.neighbours === 'done',
    undefined,
    { timeout: 120_000 },
  )
  const [download] = await Promise.all([page.waitForEvent('download'), save.click()])
  const report = await context.newPage()
  await report.setContent(readFileSync(await download.path(), 'utf8'))
  const drawn = drawnOnPages(await report.pdf({ preferCSSPageSize: true }))
  hold(drawn.length >= 4 && drawn.length <= 20, `it prints on ${drawn.length} pages`)
  hold(
    drawn.every((count) => count > 10),
    `what is drawn on each page: ${drawn}`,
  )
  await report.emulateMedia({ media: 'print' })
  // A4 less its borders at 96 px an inch (ISO 216): 703 px wide, 1009 px high.
  await report.setViewportSize({ width: 703, height: 1009 })
  const parts = await report.evaluate(() => ({
    result: document.querySelectorAll('.result figure, .result table, .result .answer').length,
    appendix: document.querySelector('.appendix').getBoundingClientRect().top + scrollY,
    high: [...document.querySelectorAll('figure, .whole')].map((one) => one.getBoundingClientRect().height),
    broken: [...document.querySelectorAll('figure, .whole, tr, li')].filter(
      (one) => getComputedStyle(one).breakInside !== 'avoid',
    ).length,
    tables: document.querySelectorAll('.scrolls.whole').length,
  }))
  hold(parts.result === 3, `the result has ${parts.result} of answer, figure and table`)
  hold(parts.appendix < 2 * 1009, `the result takes ${parts.appendix} px`)
  hold(Math.max(...parts.high) < 1009, `a part is ${Math.max(...parts.high)} px high: no page holds it`)
  hold(
    parts.broken === 0 && parts.tables > 0,
    `${parts.broken} parts may be broken; ${parts.tables} short tables`,
  )
  await report.close()
}
