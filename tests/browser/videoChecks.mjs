/** Radius from a recording: the demo, stills, videos encoded by the browser itself, and files that are of no use. */

import { drawn as isDrawn } from './browser.mjs'
import { giveBrush } from './brush.mjs'
import { asFile, Failed, hold, lens, messageLike, visit } from './page.mjs'
import { encodeFrames, packFrames } from './videoFile.mjs'

/** A check throws this when the machine cannot do what it needs; the run counts it as skipped. */
export class Skipped extends Error {}

const panel = (page) => page.locator('#video')
const inside = (page, name) => panel(page).getByRole('button', { name, exact: true })

async function openBench(page) {
  await visit(page, 'video')
  await page.waitForSelector('#video .video-body button')
}

/** Waits until a curve is in the list of measured ones, where it is looked for. */
async function listed(page) {
  await visit(page, 'measured')
  await page.waitForSelector('#measured li[data-curve]')
}

async function takeFiles(page, files) {
  const [chooser] = await Promise.all([
    page.waitForEvent('filechooser'),
    inside(page, 'Choose a video or pictures').click(),
  ])
  await chooser.setFiles(files)
}

/** Waits until the shown frame has been examined. */
const examined = (page) =>
  page.waitForFunction(() =>
    /(radius|no drop)/.test(document.querySelector('.video-status')?.textContent ?? ''),
  )

/** Measures all frames and gives the rows of the table. */
async function measure(page) {
  await inside(page, 'Measure from the start').click()
  await page.waitForFunction(
    () => /^(Done|No drop)/.test(document.querySelector('#video progress + p')?.textContent ?? ''),
    undefined,
    { timeout: 120_000 },
  )
  await isDrawn(page)
  return page.locator('.video-table tbody tr').evaluateAll((rows) =>
    rows.map((row) => ({
      time: Number(
        row
          .querySelector('button')
          .textContent.replace('−', '-')
          .replace(/ s$|^picture /, ''),
      ),
      radius: Number(row.querySelector('input[type=text]').value || Number.NaN),
      said: row.lastElementChild.textContent,
      counts: !row.classList.contains('out'),
    })),
  )
}

/** Scale by two points 200 px apart on `millimetres`, set by keyboard alone. */
async function setScale(page, millimetres) {
  await inside(page, 'Two points').focus()
  await page.keyboard.press('Enter')
  await page.keyboard.press('Enter')
  for (let i = 0; i < 10; i++) await page.keyboard.press('Shift+ArrowRight')
  await page.keyboard.press('Enter')
  await panel(page).getByRole('textbox', { name: 'Distance of the points' }).fill(String(millimetres))
}

const size = { width: 320, height: 240 }
const drawn = [14, 30, 47, 62, 70, 64, 50, 28]

/** In the page, which has its brush: draws the frames as PNG pictures. */
async function drawPictures({ size, drawn }) {
  const canvas = document.createElement('canvas')
  Object.assign(canvas, size)
  const c = canvas.getContext('2d')
  const list = []
  for (const r of drawn) {
    globalThis.drawDrop(c, size, r)
    list.push(canvas.toDataURL('image/png').split(',')[1])
  }
  return list
}

/** The frames as PNG pictures, base64. */
async function makePictures(page, wish) {
  await giveBrush(page)
  return page.evaluate(drawPictures, wish)
}

const file = (name, mimeType, base64) => ({ name, mimeType, buffer: Buffer.from(base64, 'base64') })

function allNear(radii, share) {
  drawn.forEach((r, i) => {
    const permitted = Math.max(share * r, 0.5)
    const measured = radii[i]
    hold(Math.abs(measured - r) <= permitted, `frame ${i}: ${measured} px instead of ${r} px (all: ${radii})`)
  })
}

export async function theInventedDemoBecomesACurve({ page }) {
  await openBench(page)
  await inside(page, 'Try with the invented demo').click()
  await examined(page)
  const name = await page.locator('.video-name').textContent()
  hold(/invented/.test(name), `the demo is called "${name}"`)
  const rows = await measure(page)
  // The demo's own law, written out again: 63 px at 140 mm/340 px, 8 s.
  let worst = 0
  for (const { time, radius, counts } of rows) {
    if (!counts || !(time > 0 && time < 8)) continue
    const px = 63 * Math.tanh((time / 1.1) ** 0.6) * (1 - (time / 8) ** 9) ** 0.5
    const permitted = Math.max(0.01 * px, 0.5)
    worst = Math.max(worst, Math.abs((radius * 340) / 140 - px) / permitted)
  }
  hold(worst <= 1, `a radius is off by ${worst} times what is permitted`)
  hold(rows.filter(({ counts }) => counts).length > 50, `${rows.length} rows`)
  await panel(page).getByRole('textbox', { name: 'Alcohol' }).fill('60')
  await panel(page).getByRole('textbox', { name: 'Drop volume' }).fill('10')
  await inside(page, 'Add to measured curves').click()
  await listed(page)
  const row = await page.locator('#measured li').textContent()
  hold(/Harbour Lane/.test(row), `the list says "${row}"`)
}

export async function stillsAreMeasuredByKeyboardAndCorrected({ page }) {
  const pictures = await makePictures(page, { size, drawn })
  await openBench(page)
  await takeFiles(
    page,
    pictures.map((data, i) => file(`frame ${i + 1}.png`, 'image/png', data)),
  )
  await examined(page)
  await setScale(page, 100)
  const rows = await measure(page)
  allNear(
    rows.map(({ radius }) => radius),
    0.01,
  )
  hold(rows[3].time === 4, `without a rate pictures are counted: the fourth is called ${rows[3].time}`)
  await panel(page).getByRole('textbox', { name: 'Recorded at' }).fill('25')
  await page.waitForFunction(
    () => document.querySelectorAll('.video-table tbody button')[3].textContent === '0.120 s',
  )
  const third = page.locator('.video-table tbody tr').nth(2)
  await third.getByRole('textbox').fill('50')
  await third.getByRole('textbox').press('Enter')
  await page.waitForSelector('.video-table tbody tr:nth-child(3) td:last-child button')
  await page.locator('.video-table tbody tr').nth(4).getByRole('checkbox').uncheck()
  await page.waitForSelector('.video-table tbody tr:nth-child(5).out')
  await inside(page, 'Undo correction').click()
  await inside(page, 'Undo correction').click()
  await page.waitForFunction(
    () => !document.querySelector('.video-table tr.out, .video-table td:last-child button'),
  )
}

export async function framesAreSteppedWithTheArrowKeys({ page }) {
  const pictures = await makePictures(page, { size, drawn })
  await openBench(page)
  await takeFiles(
    page,
    pictures.map((data, i) => file(`${i + 1}.png`, 'image/png', data)),
  )
  await examined(page)
  await page.locator('.video-picture').focus()
  const at = (text) =>
    page.waitForFunction((t) => document.querySelector('.video-status').textContent.startsWith(t), text)
  await page.keyboard.press('ArrowRight')
  await page.keyboard.press('ArrowRight')
  await at('picture 3:')
  await page.keyboard.press('ArrowLeft')
  await at('picture 2:')
  await page.keyboard.press('End')
  await at('picture 8:')
  await page.keyboard.press('Home')
  await at('picture 1:')
}

/** Uneven on purpose: times must come from the file. */
const moments = [0, 40, 80, 120, 200, 240, 400, 440]

async function video(
  { page },
  { codec, codecName, webm, name, mimeType },
  way = 'every frame by its own time',
) {
  await giveBrush(page)
  const made = await page.evaluate(encodeFrames, { size, drawn, times: moments, codec })
  if (made === null) throw new Skipped(`this browser cannot encode ${codec}`)
  const buffer = packFrames(made, { size, webm, codecName, length: 480 })
  await openBench(page)
  await takeFiles(page, [{ name, mimeType, buffer }])
  await examined(page)
  const title = await page.locator('.video-name').textContent()
  hold(title === `${name}, read at 320 × 240 px, ${way}`, `the title says "${title}"`)
  await setScale(page, 100)
  const rows = await measure(page)
  allNear(
    rows.map(({ radius }) => radius),
    0.01,
  )
  const times = rows.map(({ time }) => Math.round(1000 * time))
  hold(
    JSON.stringify(times) === JSON.stringify(moments),
    `the times are ${times} ms instead of ${moments} ms`,
  )
}
export const aVp9VideoIsMeasured = (opened) =>
  video(opened, {
    codec: 'vp09.00.10.08',
    codecName: 'V_VP9',
    webm: true,
    name: 'drop.webm',
    mimeType: 'video/webm',
  })
export const anH264VideoIsMeasured = (opened) =>
  video(opened, {
    codec: 'avc1.42001f',
    codecName: 'V_MPEG4/ISO/AVC',
    webm: false,
    name: 'drop.mkv',
    mimeType: 'video/x-matroska',
  })

/** What every browser can do: the decoder is taken away before the page is loaded again. */
export async function aVideoIsMeasuredBySeekingWhereNothingDecodesIt(opened) {
  await opened.page.addInitScript(() => delete globalThis.VideoDecoder)
  await opened.page.reload()
  const kind = {
    codec: 'vp09.00.10.08',
    codecName: 'V_VP9',
    webm: true,
    name: 'drop.webm',
    mimeType: 'video/webm',
  }
  await video(opened, kind, 'by seeking')
  await everyThirdFrame(opened.page)
}

/** Every third of the eight frames: the first, the fourth, the seventh. */
async function everyThirdFrame(page) {
  await panel(page).getByRole('textbox', { name: 'Frames from one point to the next' }).fill('3')
  const rows = await measure(page)
  const told = rows
    .map(({ time, radius }) => `${Math.round(1000 * time)} ms ${Math.round(radius)}`)
    .join(', ')
  const made = [0, 3, 6].map((i) => `${moments[i]} ms ${drawn[i]}`).join(', ')
  hold(told === made, `every third frame gives ${told} instead of ${made}`)
}

export async function measuringStopsAndGoesOn({ page }) {
  await openBench(page)
  await inside(page, 'Try with the invented demo').click()
  await examined(page)
  // Every second of the 69 frames from the touch-down on.
  await panel(page).getByRole('textbox', { name: 'Frames from one point to the next' }).fill('2')
  const focused = () => page.evaluate(() => document.activeElement.textContent)
  await inside(page, 'Measure from the start').press('Enter')
  await inside(page, 'Stop').waitFor()
  hold((await focused()) === 'Stop', `the focus is on "${await focused()}"`)
  await page.keyboard.press('Enter')
  await page.waitForFunction(() =>
    document.querySelector('#video progress + p').textContent.startsWith('Stopped'),
  )
  await isDrawn(page)
  const before = await page.locator('.video-table tbody tr').count()
  hold((await focused()) === 'Go on', `the focus is on "${await focused()}" after the stop`)
  hold(before < 35, `${before} frames were measured before the stop`)
  await inside(page, 'Go on').click()
  await page.waitForFunction(
    () => document.querySelector('#video progress + p').textContent.startsWith('Done'),
    undefined,
    { timeout: 120_000 },
  )
  await isDrawn(page)
  const after = await page.locator('.video-table tbody tr').count()
  hold(after === 35, `${after} frames instead of 35`)
}

export async function uselessFilesGetTheirOwnWords({ page }) {
  await openBench(page)
  const box = (text) => Buffer.concat([Buffer.from([0, 0, 0, 24]), Buffer.from(text)])
  const webm = Buffer.concat([Buffer.from([0x1a, 0x45, 0xdf, 0xa3]), Buffer.from('....webm....V_VP9....')])
  const cases = [
    [asFile('table.csv', 't (s),R (mm)\n0,1\n'), /table\.csv is not a video or a picture/],
    [asFile('empty.mp4', ''), /empty\.mp4 is empty/],
    [{ name: 'cut.webm', mimeType: 'video/webm', buffer: webm }, /cut\.webm is damaged or cut short/],
    [
      { name: 'new.mp4', mimeType: 'video/mp4', buffer: box('ftypisom....moov....hvc1....') },
      /new\.mp4 holds H\.265 video, which this browser cannot decode/,
    ],
    [
      { name: 'bad.png', mimeType: 'image/png', buffer: Buffer.from([0x89, 0x50, 0x4e, 0x47, 1, 2, 3]) },
      /bad\.png is damaged/,
    ],
  ]
  for (const [given, words] of cases) {
    await takeFiles(page, [given])
    await messageLike(page, words)
  }
  hold(await page.locator('.video-work').isHidden(), 'the workbench is shown without a recording')
}

export async function aVideoOfSoundAloneHasNoFrames({ page }) {
  const data = await page.evaluate(async () => {
    const type = 'audio/webm;codecs=opus'
    if (!MediaRecorder.isTypeSupported(type)) return null
    const context = new AudioContext()
    const out = context.createMediaStreamDestination()
    const tone = context.createOscillator()
    tone.connect(out)
    tone.start()
    const recorder = new MediaRecorder(out.stream, { mimeType: type })
    const chunks = []
    recorder.ondataavailable = (event) => chunks.push(event.data)
    recorder.start()
    await new Promise((resolve) => setTimeout(resolve, 400))
    await new Promise((resolve) => {
      recorder.onstop = resolve
      recorder.stop()
    })
    await context.close()
    let text = ''
    for (const byte of new Uint8Array(await new Blob(chunks).arrayBuffer())) text += String.fromCharCode(byte)
    return btoa(text)
  })
  if (!data) throw new Skipped('this browser cannot encode sound')
  await openBench(page)
  await takeFiles(page, [file('sound.webm', 'video/webm', data)])
  await messageLike(page, /sound\.webm holds no picture: 0 frames/)
}

export async function framesOfChangingSizeAndWithoutADropAreFlagged({ page }) {
  const pictures = await makePictures(page, { size, drawn: [40, 45] })
  const [small] = await makePictures(page, { size: { width: 200, height: 200 }, drawn: [30] })
  const [bare] = await makePictures(page, { size, drawn: [0] })
  const data = [pictures[0], small, bare, pictures[1]]
  await openBench(page)
  await takeFiles(
    page,
    data.map((one, i) => file(`${i + 1}.png`, 'image/png', one)),
  )
  await examined(page)
  await setScale(page, 100)
  const rows = await measure(page)
  const said = rows.map((row) => row.said)
  hold(said[1] === 'frame of another size' && said[2] === 'no drop found', `the table says ${said}`)
  hold(rows.map(({ counts }) => Number(counts)).join('') === '1001', 'the wrong frames count')
}

export async function aRecordingWithoutADropSaysSo({ page }) {
  const pictures = await makePictures(page, { size, drawn: [0, 0, 0] })
  await openBench(page)
  await takeFiles(
    page,
    pictures.map((data, i) => file(`${i + 1}.png`, 'image/png', data)),
  )
  await examined(page)
  await setScale(page, 100)
  await measure(page)
  const said = await page.locator('#video progress + p').textContent()
  hold(/No drop was found in any frame/.test(said), `it says "${said}"`)
  await inside(page, 'Add to measured curves').click()
  const problem = await page.locator('.video-adding .problem', { hasText: /./ }).textContent()
  hold(/No drop was found in any frame/.test(problem), `it says "${problem}"`)
  if ((await page.locator('#measured li').count()) > 0) throw new Failed('a curve was added')
}

/** In the page: a bath with a bright round spot that stays as it is, as PNG pictures. */
function drawGlare({ size, count }) {
  const canvas = document.createElement('canvas')
  Object.assign(canvas, size)
  const c = canvas.getContext('2d')
  return Array.from({ length: count }, () => {
    c.fillStyle = 'rgb(200 180 120)'
    c.fillRect(0, 0, size.width, size.height)
    c.fillStyle = 'rgb(244 234 210)'
    c.beginPath()
    c.arc(150, 110, 16, 0, 7)
    c.fill()
    return canvas.toDataURL('image/png').split(',')[1]
  })
}

export async function lampGlareAloneIsNoDrop({ page }) {
  const pictures = await page.evaluate(drawGlare, { size, count: 6 })
  await openBench(page)
  await takeFiles(
    page,
    pictures.map((data, i) => file(`glare ${i}.png`, 'image/png', data)),
  )
  await examined(page)
  await setScale(page, 100)
  const rows = await measure(page)
  hold(rows.length === 6 && rows.every(({ counts }) => !counts), 'frames of glare count')
  hold(
    rows.every(({ said }) =>
      /^looks like lamp glare or the dish: .*neither moves nor grows in 6 frames/.test(said),
    ),
    `the table says ${rows.map(({ said }) => said)}`,
  )
  const said = await page.locator('#video progress + p').textContent()
  hold(/^No drop found: of 6 frames 6 look like lamp glare/.test(said), `it says "${said}"`)
  await inside(page, 'Add to measured curves').click()
  const problem = await page.locator('.video-adding .problem', { hasText: /./ }).textContent()
  hold(/6 look like lamp glare/.test(problem), `it says "${problem}"`)
  for (const i of [0, 1]) await page.locator('.video-table tbody tr').nth(i).getByRole('checkbox').check()
  await page.waitForFunction(() => document.querySelectorAll('.video-table tbody tr:not(.out)').length === 2)
  const taken = await page.locator('.video-table tbody tr').nth(0).locator('td').last().textContent()
  hold(/^taken in by hand, though looks like lamp glare/.test(taken), `the row says "${taken}"`)
  await inside(page, 'Add to measured curves').click()
  await page.waitForFunction(() =>
    /how many pictures per second/.test(document.querySelector('.video-adding .problem').textContent),
  )
  hold(
    (await page.locator('#measured li[data-curve]').count()) === 0,
    'pictures without a rate became a curve',
  )
  await panel(page).getByRole('textbox', { name: 'Recorded at' }).fill('2')
  await inside(page, 'Add to measured curves').click()
  await listed(page)
}

const row = (page, i) => page.locator('.video-table tbody tr').nth(i)

/** Measures stills whose names begin with `name`, and corrects the third radius to 50 mm. */
async function measureStills(page, name, pictures) {
  await takeFiles(
    page,
    pictures.map((data, i) => file(`${name} ${i + 1}.png`, 'image/png', data)),
  )
  await examined(page)
}

async function correctThird(page) {
  await enterThird(page)
  await page.waitForSelector('.video-table tbody tr:nth-child(3) td:last-child button')
}

/** Enters the correction and waits for nothing. */
async function enterThird(page) {
  await row(page, 2).getByRole('textbox').fill('50')
  await row(page, 2).getByRole('textbox').press('Enter')
}

const thirdIsCorrected = (page, n) =>
  page.waitForFunction(
    (rows) =>
      document.querySelectorAll('.video-table tbody tr').length === rows &&
      document.querySelector('.video-table tbody tr:nth-child(3) input[type=text]').value === '50.000',
    n,
  )

export async function aSecondRecordingDoesNotCostThePointsOfTheFirst({ page }) {
  const pictures = await makePictures(page, { size, drawn })
  await openBench(page)
  await measureStills(page, 'first', pictures)
  await setScale(page, 100)
  await measure(page)
  await correctThird(page)
  await measureStills(page, 'second', pictures.slice(0, 4))
  await messageLike(page, /The points of first 1\.png and 7 more are kept as unfinished/)
  const listed = await page.locator('.video-kept li span').allTextContents()
  hold(
    listed.length === 1 && /^first 1\.png and 7 more: 8 frames measured, 1 corrected by hand/.test(listed[0]),
    `the list says ${listed}`,
  )
  await inside(page, 'Get back first 1.png and 7 more').click()
  await thirdIsCorrected(page, 8)
  hold(await inside(page, 'Measure from the start').isDisabled(), 'frames without pictures can be measured')
  // The same pictures again: they join the points.
  await measureStills(page, 'first', pictures)
  await thirdIsCorrected(page, 8)
  hold(await inside(page, 'Measure from the start').isEnabled(), 'the pictures did not join the points')
}

export async function aReloadDoesNotCostMeasuredPoints({ page }) {
  const pictures = await makePictures(page, { size, drawn })
  await openBench(page)
  await measureStills(page, 'first', pictures)
  await setScale(page, 100)
  await measure(page)
  await enterThird(page)
  await page.reload()
  // The part is in sight again, with its workbench and the list: nothing has to be opened.
  await inside(page, 'Get back first 1.png and 7 more').click()
  await thirdIsCorrected(page, 8)
  await panel(page).getByRole('textbox', { name: 'Recorded at' }).fill('2')
  await inside(page, 'Add to measured curves').click()
  await listed(page)
  // Now they are a measured curve, and no longer unfinished.
  await page.waitForFunction(nothingUnfinished)
  await page.reload()
  await listed(page)
  await openBench(page)
  hold(await page.locator('.video-kept').isHidden(), 'points that were added are still called unfinished')
}

/** In the page: true once its database holds no unfinished work, and no note of any is left. */
const nothingUnfinished = () =>
  new Promise((tell) => {
    indexedDB.open('rimtide-recordings', 1).onsuccess = ({ target }) => {
      const count = target.result.transaction('work').objectStore('work').count()
      count.onsuccess = () => {
        target.result.close()
        tell(count.result === 0 && !Object.keys(localStorage).some((key) => /unwritten/.test(key)))
      }
    }
  })

export async function removedUnfinishedPointsCanBePutBack({ page }) {
  const pictures = await makePictures(page, { size, drawn })
  await openBench(page)
  await measureStills(page, 'first', pictures)
  await measure(page)
  await measureStills(page, 'second', pictures.slice(0, 4))
  await inside(page, 'Remove first 1.png and 7 more').click()
  await page.waitForSelector('.video-kept', { state: 'hidden' })
  await page.getByRole('button', { name: 'Put back' }).click()
  await inside(page, 'Get back first 1.png and 7 more').waitFor()
}

for (const check of [
  theInventedDemoBecomesACurve,
  stillsAreMeasuredByKeyboardAndCorrected,
  framesAreSteppedWithTheArrowKeys,
  aVp9VideoIsMeasured,
  anH264VideoIsMeasured,
  aVideoIsMeasuredBySeekingWhereNothingDecodesIt,
  measuringStopsAndGoesOn,
  uselessFilesGetTheirOwnWords,
  aVideoOfSoundAloneHasNoFrames,
  framesOfChangingSizeAndWithoutADropAreFlagged,
  aRecordingWithoutADropSaysSo,
  lampGlareAloneIsNoDrop,
  aSecondRecordingDoesNotCostThePointsOfTheFirst,
  aReloadDoesNotCostMeasuredPoints,
  removedUnfinishedPointsCanBePutBack,
]) {
  check.options = lens
}
