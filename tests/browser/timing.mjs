/** How long a slider step takes until the finished new life is painted. Reported, never asserted. */
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

export async function measureSliderStep(browser, address) {
  const { page, context } = await openPage(browser, address)
  const results = []
  for (let i = 0; i < steps; i++) results.push(await page.evaluate(step, 101 + i))
  await context.close()
  const warm = results.slice(5)
  const of = (name) => median(warm.map((result) => result[name])).toFixed(0)
  return `measured: slider step to finished life painted ${of('painted')} ms (life at the page after ${of('took')} ms, engine ${of('wall')} ms; medians of ${warm.length}, drawn in software)`
}
