/** The timeline of a recording: the whole of it at a glance, by pointer and by keys. */
import { drawn } from './browser.mjs'
import { hold, lens, visit } from './page.mjs'

const panel = (page) => page.locator('#video')
const slider = (page, name) => panel(page).getByRole('slider', { name, exact: true })
const value = async (page, name) => Number(await slider(page, name).getAttribute('aria-valuenow'))
const text = (page, name) => slider(page, name).getAttribute('aria-valuetext')

async function openDemo(page) {
  await visit(page, 'video')
  await page.waitForSelector('#video .video-body button')
  await panel(page).getByRole('button', { name: 'Try with the invented demo' }).click()
  await page.waitForFunction(() => /radius/.test(document.querySelector('.video-status')?.textContent ?? ''))
}

const stands = (page, name, now) =>
  page.waitForFunction(
    ([label, wanted]) =>
      Math.abs(Number(document.querySelector(`[role=slider][aria-label="${label}"]`).ariaValueNow) - wanted) <
      0.002,
    [name, now],
  )

const counting = (page) =>
  page.evaluate(() => Number(/(\d+) count/.exec(document.querySelector('.video-points p').textContent)[1]))

/** The demo: 73 pictures, eight a second, touch-down at 0.5 s, collapse eight seconds later. */
export async function theTimelineShowsTheRecordingAndMovesItsMarks({ page }) {
  await openDemo(page)
  await slider(page, 'Frame').focus()
  await page.keyboard.press('Home')
  await stands(page, 'Frame', 0)
  await page.keyboard.press('ArrowRight')
  await page.keyboard.press('ArrowRight')
  await stands(page, 'Frame', 0.25)
  await page.keyboard.press('End')
  await stands(page, 'Frame', 9)
  await page.keyboard.press('Shift+ArrowLeft')
  await stands(page, 'Frame', 7.75)
  hold(
    /^7\.750 s, 7\.250 s after touch-down: not measured$/.test(await text(page, 'Frame')),
    await text(page, 'Frame'),
  )
  await panel(page).getByRole('button', { name: 'Measure from the start', exact: true }).click()
  await page.waitForFunction(
    () => /^Done/.test(document.querySelector('#video progress + p')?.textContent ?? ''),
    undefined,
    { timeout: 120_000 },
  )
  await page.waitForFunction(() => document.querySelectorAll('.timeline-curve .not-counted').length > 0)
  await drawn(page)
  const before = await counting(page)
  await slider(page, 'Frame').focus()
  await page.keyboard.press('Home')
  for (let i = 0; i < 2; i++) await page.keyboard.press('Shift+ArrowRight')
  await stands(page, 'Frame', 2.5)
  hold(
    /: radius [\d.]+ ± [\d.]+ mm$/.test(await text(page, 'Frame')),
    `frame at 2.5 s: ${await text(page, 'Frame')}`,
  )
  // Touch-down one frame later, by keys; the frame goes with it.
  await slider(page, 'Touch-down').focus()
  await page.keyboard.press('ArrowRight')
  await stands(page, 'Touch-down', 0.625)
  await stands(page, 'Frame', 0.625)
  await page.keyboard.press('ArrowLeft')
  await stands(page, 'Touch-down', 0.5)
  // The collapse is dragged from the end to the middle.
  hold((await text(page, 'Collapse')) === 'not set', `collapse: ${await text(page, 'Collapse')}`)
  const track = await page.locator('.timeline-track').boundingBox()
  const from = await slider(page, 'Collapse').boundingBox()
  await page.mouse.move(from.x + from.width / 2, from.y + from.height / 2)
  await page.mouse.down()
  await page.mouse.move(track.x + track.width / 2, from.y + from.height / 2, { steps: 4 })
  await page.mouse.up()
  await stands(page, 'Collapse', 4.5)
  await page.waitForFunction(
    (were) => Number(/(\d+) count/.exec(document.querySelector('.video-points p').textContent)[1]) < were,
    before,
  )
  // From 0.5 s to 4.5 s: 33 frames at most.
  hold((await counting(page)) <= 33, `${await counting(page)} of ${before} count with a collapse at 4.5 s`)
  await slider(page, 'Frame').focus()
  await page.keyboard.press('End')
  await page.keyboard.press('Shift+ArrowLeft')
  await stands(page, 'Frame', 7.75)
  hold(
    /not counted: after the collapse$/.test(await text(page, 'Frame')),
    `at 7.75 s: ${await text(page, 'Frame')}`,
  )
  // A collapse before touch-down is refused, and no collapse can be had again.
  await slider(page, 'Collapse').focus()
  await page.keyboard.press('Home')
  await stands(page, 'Frame', 0)
  hold((await value(page, 'Collapse')) === 4.5, `the collapse is at ${await value(page, 'Collapse')} s`)
  await page.keyboard.press('Delete')
  await page.waitForFunction(
    (were) => Number(/(\d+) count/.exec(document.querySelector('.video-points p').textContent)[1]) === were,
    before,
  )
  // A press on the track shows the frame there.
  await page.mouse.click(track.x + track.width / 2, track.y + track.height / 2)
  await stands(page, 'Frame', 4.5)
}
theTimelineShowsTheRecordingAndMovesItsMarks.options = lens
