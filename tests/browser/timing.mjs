/** How long a slider step takes until the finished new life is painted, and how a drag feels. Reported, never asserted. */
import { openPage } from './page.mjs'

const steps = 21

/** In the page: moves the strength slider by one step and waits for the painted life. */
async function step(position) {
  const { dataset } = document.documentElement
  const range = document.querySelector('#strength')
  const before = dataset.lives
  const start = performance.now()
  range.value = String(position)
  range.dispatchEvent(new Event('input', { bubbles: true }))
  const frame = () => new Promise((resolve) => requestAnimationFrame(resolve))
  while (dataset.lives === before || dataset.state !== 'done') await frame()
  const channel = new MessageChannel()
  await new Promise((resolve) => {
    channel.port1.onmessage = resolve
    channel.port2.postMessage(0)
  })
  const marks = performance.getEntriesByName('life-shown')
  return { painted: performance.now() - start, ...marks.at(-1).detail }
}

const median = (values) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]

/** In the page: notes the gaps between display frames, ms, and the sentences that were shown. */
function watchFrames() {
  const seen = { gaps: [], sentences: new Set() }
  window.seen = seen
  let last = performance.now()
  const tick = () => {
    const now = performance.now()
    seen.gaps.push(now - last)
    seen.sentences.add(document.querySelector('#sentence .says').textContent)
    last = now
    requestAnimationFrame(tick)
  }
  requestAnimationFrame(tick)
}

/** Drags the strength for three seconds to and fro by mouse. */
async function drag(page) {
  const box = await page.locator('#strength').boundingBox()
  const y = box.y + box.height / 2
  const place = (part) => page.mouse.move(box.x + part * box.width, y)
  await page.evaluate(watchFrames)
  await place(0.65)
  await page.mouse.down()
  const start = Date.now()
  while (Date.now() - start < 3000) {
    await place(0.65 + 0.2 * Math.sin((Date.now() - start) / 400))
    await page.waitForTimeout(16)
  }
  const told = await page.evaluate(() => ({
    frames: window.seen.gaps.length,
    longest: Math.max(...window.seen.gaps),
    sentences: window.seen.sentences.size,
  }))
  await page.mouse.up()
  return told
}

export async function measureSliderStep(browser, address) {
  const { page, context } = await openPage(browser, address)
  const results = []
  for (let i = 0; i < steps; i++) results.push(await page.evaluate(step, 101 + i))
  await page.waitForTimeout(1000)
  const { frames, longest, sentences } = await drag(page)
  await context.close()
  const warm = results.slice(5)
  const of = (name) => median(warm.map((result) => result[name])).toFixed(0)
  return `measured: slider step to finished life painted ${of('painted')} ms (life at the page after ${of('took')} ms, engine ${of('wall')} ms; medians of ${warm.length}, drawn in software); drag of 3 s: ${frames} frames, ${sentences} sentences, longest stall ${longest.toFixed(0)} ms`
}
