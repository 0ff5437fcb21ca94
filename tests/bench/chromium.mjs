/**
 * `npm run bench -- --browser` (after npm run build): the reference life in the page's own worker, in Chromium, on a page that
 * does nothing else. The worker is spoken to in comlink's messages.
 */
import { readdirSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { findBrowser, launch, missingBrowser, serve } from '../browser/browser.mjs'

const LIVES = 30
const WARM = 10

/** In the page: a fresh worker computes `count` lives one after the other. Returns the waits and the engine's own times, ms. */
async function livesInWorker([script, preset, count]) {
  const born = performance.now()
  const worker = new Worker(script, { type: 'module' })
  const waits = []
  const engine = []
  for (let token = 1; token <= count; token++) {
    const progress = new MessageChannel()
    progress.port1.onmessage = ({ data }) => progress.port1.postMessage({ id: data.id, type: 'RAW' })
    const raw = (value) => ({ type: 'RAW', value })
    const asked = token === 1 ? born : performance.now()
    const answer = await new Promise((resolve, reject) => {
      worker.onerror = reject
      worker.onmessage = ({ data }) => data.id === String(token) && resolve(data)
      const argumentList = [
        raw(preset),
        { type: 'HANDLER', name: 'proxy', value: progress.port2 },
        raw(token),
      ]
      worker.postMessage({ id: String(token), type: 'APPLY', path: ['run'], argumentList }, [progress.port2])
    })
    if (!answer.value?.ok) throw new Error(`no life: ${JSON.stringify(answer).slice(0, 300)}`)
    waits.push(performance.now() - asked)
    engine.push(answer.value.life.summary.wall_ms)
  }
  worker.terminate()
  return { waits, engine }
}

const median = (values) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]

/**
 * @param presets by name
 * @returns by name: `first_ms` from the worker's birth to its first life (median of `repeats` workers) and `median_ms` of the engine once warm
 */
export async function measureInBrowser(presets, repeats = 5) {
  const path = findBrowser()
  if (!path) throw new Error(missingBrowser)
  const assets = fileURLToPath(new URL('../../dist/assets', import.meta.url))
  const script = `/assets/${readdirSync(assets).find((name) => /^life-.*\.js$/.test(name))}`
  const server = await serve()
  const browser = await launch(path)
  const rows = []
  try {
    for (const [name, preset] of Object.entries(presets)) {
      const runs = []
      for (let k = 0; k < repeats; k++) {
        const page = await browser.newPage()
        // The script's own text as a page: same origin, nothing runs.
        await page.goto(new URL(script, server.address).href)
        runs.push(await page.evaluate(livesInWorker, [script, preset, LIVES]))
        await page.close()
      }
      rows.push({
        life: name,
        first_ms: Math.round(median(runs.map(({ waits }) => waits[0]))),
        median_ms: Number(median(runs.flatMap(({ engine }) => engine.slice(WARM))).toFixed(1)),
      })
    }
  } finally {
    await browser.close()
    await server.close()
  }
  return rows
}
