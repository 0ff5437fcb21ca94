/** The main job: a drop, its controls, its clock, a measured curve beside it. */
import { readFileSync } from 'node:fs'
import { drawn, shownLife } from './browser.mjs'
import {
  asFile,
  becomes,
  chooseFiles,
  hold,
  messageLike,
  nextLife,
  openInputs,
  pinLife,
  visit,
} from './page.mjs'
import { csvOf } from './samples.mjs'

const outcomes = ['lens', 'spreads', 'recedes', 'sheds', 'dries', 'reaches-wall']
const bar = (page) => page.locator('#clock [role=slider]')

export async function theDefaultDropRunsToItsEnd({ page }) {
  const life = await shownLife(page)
  hold(outcomes.includes(life.outcome), `the outcome is ${life.outcome}`)
  hold(/^[A-Z].+\.$/.test(life.sentence), `the sentence is "${life.sentence}"`)
  await bar(page).focus()
  await page.keyboard.press('End')
  await page.waitForFunction(() => {
    const clock = document.querySelector('#clock [role=slider]')
    const end = Number(clock.getAttribute('aria-valuemax'))
    return end > 1 && Number(clock.getAttribute('aria-valuenow')) === end
  })
}

export async function theFirstLifePlaysByItself({ page }) {
  const time = async () => Number(await bar(page).getAttribute('aria-valuenow'))
  // It may have played to its end while the rest of the page was loaded.
  await page.reload()
  await page.waitForFunction(() => document.documentElement.dataset.state === 'done')
  const first = await time()
  const moved = () =>
    page.waitForFunction(
      (before) =>
        Number(document.querySelector('#clock [role=slider]').getAttribute('aria-valuenow')) > before,
      first,
      { timeout: 8000 },
    )
  hold(await moved().catch(() => false), 'the clock does not move')
  await page.keyboard.press('Space')
  await page.getByRole('button', { name: 'Play', exact: true }).waitFor()
  // The hand follows with the next frame, which a loaded machine may be slow with.
  await drawn(page)
  const stopped = await time()
  await drawn(page, 400)
  hold((await time()) === stopped, 'Space does not stop the clock')
}
theFirstLifePlaysByItself.options = { reducedMotion: 'no-preference' }

export async function theStrengthSliderWorksByMouse({ page }) {
  const before = await shownLife(page)
  const box = await page.locator('#strength').boundingBox()
  const after = await nextLife(page, async () => {
    await page.mouse.move(box.x + box.width * 0.5, box.y + box.height / 2)
    await page.mouse.down()
    await page.mouse.move(box.x + box.width * 0.8, box.y + box.height / 2, { steps: 6 })
    await page.mouse.up()
  })
  hold(Math.abs(after.maxRadius / before.maxRadius - 1) > 0.01, `R_max stays at ${after.maxRadius} m`)
}

export async function theStrengthSliderWorksByKeyboard({ page }) {
  const before = await shownLife(page)
  await page.locator('#strength').focus()
  const after = await nextLife(page, async () => {
    for (let i = 0; i < 12; i++) await page.keyboard.press('ArrowRight')
  })
  hold(after.maxRadius !== before.maxRadius, `R_max stays at ${after.maxRadius} m`)
  const speaks = await page.locator('#strength').getAttribute('aria-valuetext')
  hold(speaks === '71 %', `after twelve steps of half a per cent the slider says ${speaks}`)
}

export async function aSliderOfTheGroupsWorksByKeyboard({ page }) {
  const before = await shownLife(page)
  await openInputs(page)
  const slider = page.getByRole('slider', { name: 'Oil depth' })
  await slider.focus()
  const after = await nextLife(page, () => page.keyboard.press('PageUp'))
  hold(after.maxRadius !== before.maxRadius, `R_max stays at ${after.maxRadius} m`)
}

export async function undoBringsTheLastDropBack({ page }) {
  const before = await shownLife(page)
  await nextLife(page, () => page.locator('#volume').fill('100'))
  const after = await nextLife(page, () => page.getByRole('button', { name: 'Undo', exact: true }).click())
  hold(after.maxRadius === before.maxRadius, `${after.maxRadius} m instead of ${before.maxRadius} m`)
}

export async function aValueOutOfRangeIsRefusedBesideItsField({ page }) {
  const before = await page.locator('#strength').getAttribute('aria-valuetext')
  await page.getByRole('textbox', { name: /Strength/ }).fill('140')
  await becomes(
    () => page.locator('#large .problem').first().textContent(),
    (problem) => /0 % to 100 %/.test(problem),
    (problem) => `it says "${problem}"`,
  )
  hold(
    (await page.locator('#strength').getAttribute('aria-valuetext')) === before,
    'the strength has changed',
  )
}

export async function theClockIsDraggedAlongTheCurve({ page }) {
  const box = await bar(page).boundingBox()
  await page.mouse.move(box.x + box.width * 0.6, box.y + box.height / 2)
  await page.mouse.down()
  await page.mouse.move(box.x + box.width * 0.2, box.y + box.height / 2, { steps: 4 })
  await page.mouse.up()
  await drawn(page)
  const part =
    Number(await bar(page).getAttribute('aria-valuenow')) /
    Number(await bar(page).getAttribute('aria-valuemax'))
  hold(part > 0.05 && part < 0.4, `the clock stands at ${part} of the life`)
}

export async function aPinnedLifeStaysAsAGhost({ page }) {
  await pinLife(page)
  await nextLife(page, () => page.locator('#strength').fill('140'))
  hold((await page.locator('#clock path.ghost').count()) === 1, 'there is no ghost in the clock strip')
  hold((await page.locator('#pins li').count()) === 1, 'the pin is not listed')
}

export async function aMeasuredCurveAppearsWithItsResidual({ page }) {
  await chooseFiles(page, [asFile('bench-3.csv', csvOf(0.024), 'text/csv')])
  await page.waitForSelector('#clock .measured path.points')
  await becomes(
    () => page.locator('#measured li[data-curve]').textContent(),
    (row) => /25 points/.test(row) && /r\.m\.s\. [0-9.]+ mm/.test(row),
    (row) => `the list says "${row}"`,
  )
  await page
    .locator('#measured li[data-curve]')
    .getByRole('button', { name: /Remove/ })
    .click()
  await page.waitForSelector('#clock .measured', { state: 'detached' })
  await page.getByRole('button', { name: 'Undo removal' }).click()
  await page.waitForSelector('#clock .measured path.points')
}

aMeasuredCurveAppearsWithItsResidual.at = 'measured'

export async function aTableIsAskedAboutWhereItsUnitsAreMissingOrUnknown({ page }) {
  await chooseFiles(page, [asFile('plain.csv', 't;R\n0;2,5\n1;12,5\n2;18,1\n3;20,4\n', 'text/csv')])
  const card = page.locator('#questions form')
  await card.getByText('“R” states no unit: mm is a guess').waitFor()
  await page.getByLabel('Column 1 (t): unit').selectOption('min')
  await page.getByLabel('Column 2 (R): unit').selectOption('cm')
  await card.getByText('up to 204 mm').waitFor()
  await page.getByRole('button', { name: 'Take over' }).click()
  await page.waitForSelector('#clock .measured path.points')
  await drawn(page)
  hold((await card.count()) === 0, 'the question is still there')
  await chooseFiles(page, [asFile('unit.csv', 't (s),R (furlong)\n0,2.5\n1,7\n', 'text/csv')])
  await card.waitFor()
  const asked = await card.textContent()
  hold(/furlong/.test(asked), `it asks "${asked}"`)
  await page.getByRole('button', { name: 'Leave it out' }).click()
  await messageLike(page, /unit\.csv was not taken over/)
  await chooseFiles(page, [asFile('film.csv', '# 25 fps\nframe,R (mm)\n0,5\n50,6\n', 'text/csv')])
  await card.getByText('25 frames per second are from a remark').waitFor()
  await card.getByText('from 0 s to 2 s').waitFor()
  await page.getByLabel('Frames per second').fill('50')
  await page.keyboard.press('Tab')
  await card.getByText('from 0 s to 1 s').waitFor()
  await page.getByRole('button', { name: 'Leave it out' }).click()
  await drawn(page)
  hold((await page.locator('#measured li[data-curve]').count()) === 1, 'the curve is there all the same')
}

export async function whatIsDroppedFindsItsPartOfThePage({ page }) {
  const data = await page.evaluateHandle(async (text) => {
    const canvas = new OffscreenCanvas(64, 48)
    canvas.getContext('2d').fillRect(0, 0, 64, 48)
    const picture = await canvas.convertToBlob({ type: 'image/png' })
    const transfer = new DataTransfer()
    transfer.items.add(new File([text], 'dropped.csv', { type: 'text/csv' }))
    for (const n of [1, 2]) transfer.items.add(new File([picture], `still-${n}.png`, { type: 'image/png' }))
    return transfer
  }, csvOf(0.02))
  await page.dispatchEvent('body', 'drop', { dataTransfer: data })
  await page.waitForFunction(() => /still-1/.test(document.querySelector('.video-name')?.textContent ?? ''))
  await page.locator('.video-name').waitFor()
  await visit(page, 'measured')
  await page.waitForSelector('#clock .measured path.points')
}

const presetFile = (name) =>
  asFile(name, readFileSync(new URL(`../../presets/${name}`, import.meta.url), 'utf8'), 'application/json')

async function clockAt(page, part) {
  const box = await bar(page).boundingBox()
  await page.mouse.click(box.x + box.width * part, box.y + box.height / 2)
  await page.mouse.move(5, 5)
  await sharp(page)
}

/** A drop that moved may be drawn with fewer pixels for a moment: waits until it rests and has all of them. */
async function sharp(page) {
  await drawn(page)
  await page.waitForFunction(() => {
    const canvas = document.querySelector('#stage .stage-canvas')
    return Math.abs(canvas.width - canvas.clientWidth * devicePixelRatio) < 2
  })
  await drawn(page)
}

/** Bulges of the drop's upper outline in the middle third of its half circle, counted in the pixels of the screen. */
async function bulgesDrawn(page) {
  const only = '.stage-overlay, .stage-legend, .stage-notes, .stage-caption { visibility: hidden }'
  const style = await page.addStyleTag({ content: only })
  const shot = await page.locator('.stage-box').screenshot()
  await style.evaluate((element) => element.remove())
  return page.evaluate(async (base64) => {
    const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0))
    const picture = await createImageBitmap(new Blob([bytes], { type: 'image/png' }))
    const { width, height } = picture
    const context = new OffscreenCanvas(width, height).getContext('2d')
    context.drawImage(picture, 0, 0)
    const { data } = context.getImageData(0, 0, width, height)
    const top = Array.from({ length: width }, (_, x) => {
      for (let y = 0; y < height; y++) {
        const at = 4 * (y * width + x)
        if (data[at + 2] > data[at] + 20) return y
      }
      return Number.NaN
    })
    const inside = top.map((y, x) => (Number.isFinite(y) ? x : -1)).filter((x) => x >= 0)
    const [left, right] = [inside[0], inside.at(-1)]
    const [middle, radius] = [(left + right) / 2, (right - left) / 2]
    // Directions from 60° to 120°: cos = ±1/2. The curve of the rim itself is taken off with the mean of 41 columns.
    const wave = []
    for (let x = Math.ceil(middle - radius / 2); x <= middle + radius / 2; x++) {
      const about = top.slice(x - 20, x + 21)
      wave.push(about.reduce((sum, y) => sum + y, 0) / about.length - top[x])
    }
    let count = 0
    let low = true
    for (const height of wave) {
      if (low && height > 1.5) count++
      if (height > 1.5) low = false
      if (height < -1.5) low = true
    }
    return count
  }, shot.toString('base64'))
}

export async function theRingBulgesInTheNumberThatIsToldUnderTheStage({ page }) {
  await nextLife(page, () => chooseFiles(page, [presetFile('reference.json')]))
  await clockAt(page, 0.55)
  const caption = await page.locator('.stage-caption:not(.stage-look)').textContent()
  const told = /^Estimate: about (\d+) beads, ([\d.]+) mm apart$/.exec(caption)
  hold(told, `it says "${caption}"`)
  const drawn = await bulgesDrawn(page)
  const wanted = Number(told[1]) / 6
  hold(Math.abs(drawn / wanted - 1) < 0.15, `${drawn} bulges on a sixth of the rim, ${wanted} are told`)
  await bar(page).focus()
  await page.keyboard.press('Home')
  await page.waitForFunction(() => document.querySelector('.stage-caption').textContent === '')
}

export async function childDropsAreToldWithHowManyAreDrawn({ page }) {
  await nextLife(page, () => chooseFiles(page, [presetFile('harbour-lane-bursts.json')]))
  await bar(page).focus()
  await page.keyboard.press('End')
  const says =
    /^Estimate: .*about [\d ]+ child drops, 1 of every (2|5|10|20|50|100) drawn, .*enlarged to 2 px$/
  await page.waitForFunction(
    (source) => new RegExp(source).test(document.querySelector('.stage-caption').textContent),
    says.source,
  )
  // The saved picture has the line too: it is by one line (24 px at two pixels each) higher than the stage.
  const stage = await page.locator('.stage-box').boundingBox()
  await page.locator('.stage-notes').getByText('Save', { exact: true }).click()
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.locator('.stage-notes').getByRole('button', { name: 'PNG' }).click(),
  ])
  // Width and height stand at bytes 16 and 20 of a PNG (ISO/IEC 15948, 11.2.2).
  const png = readFileSync(await download.path())
  hold(png.readUInt32BE(16) === Math.round(2 * stage.width), `the picture is ${png.readUInt32BE(16)} wide`)
  const more = png.readUInt32BE(20) - 2 * stage.height
  hold(Math.abs(more - 48) < 2, `the picture is ${more} pixels higher than the stage`)
}

for (const check of [
  theDefaultDropRunsToItsEnd,
  theStrengthSliderWorksByMouse,
  theStrengthSliderWorksByKeyboard,
  aSliderOfTheGroupsWorksByKeyboard,
  undoBringsTheLastDropBack,
  aValueOutOfRangeIsRefusedBesideItsField,
  theClockIsDraggedAlongTheCurve,
  aPinnedLifeStaysAsAGhost,
  aMeasuredCurveAppearsWithItsResidual,
  aTableIsAskedAboutWhereItsUnitsAreMissingOrUnknown,
]) {
  check.shares = true
}
