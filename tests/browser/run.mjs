/** Checks of the built page in a real browser. The last line is `N passed, N failed, N skipped`. */
import { findBrowser, launch, missingBrowser, serve } from './browser.mjs'
import * as curves from './checksCurves.mjs'
import * as drop from './checksDrop.mjs'
import * as fit from './checksFit.mjs'
import * as liquids from './checksLiquids.mjs'
import * as look from './checksPage.mjs'
import * as plan from './checksPlan.mjs'
import * as report from './checksReport.mjs'
import * as scaling from './checksScaling.mjs'
import * as state from './checksState.mjs'
import { Failed, openPage } from './page.mjs'
import { measureSliderStep } from './timing.mjs'
import * as video from './videoChecks.mjs'

const wanted = process.argv[2] ?? ''
const checks = [drop, state, curves, plan, fit, scaling, report, look, liquids, video]
  .flatMap((module) => Object.values(module))
  .filter((check) => check !== video.Skipped && check.name.toLowerCase().includes(wanted.toLowerCase()))

/** "theClockIsDragged" → "the clock is dragged". */
const inWords = (name) => name.replace(/([A-Z]|\d+)/g, (part) => ` ${part.toLowerCase()}`).trim()

/** Runs one check on a fresh page; an error in the console or a request to another host fails it too. */
async function run(check, browser, address) {
  const opened = await openPage(browser, address, check.options)
  try {
    await check({ ...opened, browser, address })
    if (opened.errors.length > 0) throw new Failed(`the console says: ${opened.errors.join(' | ')}`)
    if (opened.foreign.length > 0 && !check.mayAskForeign) {
      throw new Failed(`asked other hosts: ${opened.foreign.join(' ')}`)
    }
  } finally {
    await opened.context.close()
  }
}

function skip(reason) {
  for (const check of checks) console.log(`skipped  ${inWords(check.name)}`)
  console.log(reason)
  console.log(`0 passed, 0 failed, ${checks.length} skipped`)
  process.exit(1)
}

const path = findBrowser()
if (!path) skip(missingBrowser)
const server = await serve()
const browser = await launch(path)
let passed = 0
let failed = 0
let skipped = 0
try {
  for (const check of checks) {
    try {
      await run(check, browser, server.address)
      passed++
      console.log(`passed   ${inWords(check.name)}`)
    } catch (error) {
      if (error instanceof video.Skipped) {
        skipped++
        console.log(`skipped  ${inWords(check.name)}: ${error.message}`)
        continue
      }
      failed++
      console.log(`FAILED   ${inWords(check.name)}: ${error instanceof Failed ? error.message : error.stack}`)
    }
  }
  if (wanted === '') console.log(await measureSliderStep(browser, server.address))
} finally {
  await browser.close()
  await server.close()
}
console.log(`${passed} passed, ${failed} failed, ${skipped} skipped`)
process.exit(failed > 0 ? 1 : 0)
