/** Checks of the built page in a real browser. The last line is `N passed, N failed, N skipped`. */
import { findBrowser, launch, missingBrowser, serve } from './browser.mjs'
import * as choose from './checksChoose.mjs'
import * as curves from './checksCurves.mjs'
import * as drop from './checksDrop.mjs'
import * as explain from './checksExplain.mjs'
import * as fit from './checksFit.mjs'
import * as frames from './checksFrames.mjs'
import * as fringes from './checksFringes.mjs'
import * as liquids from './checksLiquids.mjs'
import * as map from './checksMap.mjs'
import * as mechanisms from './checksMechanisms.mjs'
import * as optics from './checksOptics.mjs'
import * as look from './checksPage.mjs'
import * as places from './checksPlaces.mjs'
import * as plan from './checksPlan.mjs'
import * as pool from './checksPool.mjs'
import * as reach from './checksReach.mjs'
import * as report from './checksReport.mjs'
import * as rest from './checksRest.mjs'
import * as scaling from './checksScaling.mjs'
import * as shelf from './checksShelf.mjs'
import * as sight from './checksSight.mjs'
import * as stage from './checksStage.mjs'
import * as state from './checksState.mjs'
import * as tables from './checksTables.mjs'
import * as timeline from './checksTimeline.mjs'
import * as trouble from './checksTrouble.mjs'
import { createLane } from './lane.mjs'
import { Failed, visit } from './page.mjs'
import { runPool, within } from './pool.mjs'
import { slowness } from './slow.mjs'
import { measureSliderStep } from './timing.mjs'
import * as video from './videoChecks.mjs'

/** Pages open at once; one where they are slowed down. */
const atOnce = slowness > 1 ? 1 : 2
/** A check that takes longer hangs, s: fifteen times the longest on two slow cores. */
const limit = 300 * slowness

/** Words of which one must stand in a check's name; all checks without any. */
const wanted = process.argv.slice(2).map((word) => word.toLowerCase())
const orderOf = ({ options = {}, shares = false }) => `${JSON.stringify(options)} ${!shares}`
const isWanted = (name) => wanted.length === 0 || wanted.some((word) => name.includes(word))
const checks = [
  drop,
  stage,
  places,
  reach,
  state,
  mechanisms,
  explain,
  curves,
  tables,
  fit,
  plan,
  map,
  choose,
  pool,
  scaling,
  report,
  shelf,
  look,
  sight,
  optics,
  liquids,
  trouble,
  video,
  frames,
  timeline,
  fringes,
  rest,
]
  .flatMap((module) => Object.values(module))
  // Those that are opened alike follow one another, and of these those that share the page.
  .sort((a, b) => orderOf(a).localeCompare(orderOf(b)))
  .filter((check) => check !== video.Skipped && isWanted(check.name.toLowerCase()))

/** "theClockIsDragged" → "the clock is dragged". */
const inWords = (name) => name.replace(/([A-Z]|\d+)/g, (part) => ` ${part.toLowerCase()}`).trim()

/** Runs one check on a page of its lane; an error in the console or a request to another host fails it too. */
async function check(one, browser, address, lane) {
  const opened = await lane.take(one)
  if (one.at) await visit(opened.page, one.at)
  await one({ ...opened, browser, address })
  const said = [...new Set(opened.errors)]
  if (said.length > 0) throw new Failed(`the console says: ${said.join(' | ')}`)
  if (opened.foreign.length > 0 && !one.mayAskForeign) {
    throw new Failed(`asked other hosts: ${opened.foreign.join(' ')}`)
  }
}

function skip(reason) {
  for (const one of checks) console.log(`skipped  ${inWords(one.name)}`)
  console.log(reason)
  console.log(`0 passed, 0 failed, ${checks.length} skipped`)
  process.exit(1)
}

/** When each check that is under way began, by its words. */
const underWay = new Map()
const secondsSince = (start) => `${((performance.now() - start) / 1000).toFixed(1).padStart(5)} s`

/** Whoever ends this run early learns what was under way. */
function tellAndEnd() {
  for (const [words, start] of underWay) console.log(`BROKEN OFF ${secondsSince(start)}  ${words}`)
  process.exit(1)
}
process.on('SIGTERM', tellAndEnd)
process.on('SIGINT', tellAndEnd)

const path = findBrowser()
if (!path) skip(missingBrowser)
const server = await serve()
const browser = await launch(path)
const count = { passed: 0, failed: 0, skipped: 0 }
/** Those that failed, with what they said. */
const failed = []

/** Runs one check, tells how it went and counts it. */
async function tell(one, lane) {
  const words = inWords(one.name)
  const start = performance.now()
  underWay.set(words, start)
  try {
    await within(limit, check(one, browser, server.address, lane))
    count.passed++
    console.log(`passed   ${secondsSince(start)}  ${words}`)
    return true
  } catch (error) {
    const skipped = error instanceof video.Skipped
    const text = skipped || error instanceof Failed ? error.message : error.stack
    console.log(`${skipped ? 'skipped ' : 'FAILED  '} ${secondsSince(start)}  ${words}: ${text}`)
    if (skipped) count.skipped++
    else failed.push({ one, words, text })
    await lane.drop(one)
    return false
  } finally {
    underWay.delete(words)
  }
}

/** So many failures at most are looked at a second time: more are no matter of a busy machine. */
const SECOND_LOOKS = 3

/**
 * Looks once more, alone and on a new page, at the few that failed beside another one: a failure that repeats counts, one
 * that does not is told as unsteady, so that its race can be sought.
 */
async function lookAgain() {
  const again = failed.splice(0)
  if (again.length > SECOND_LOOKS || atOnce === 1) {
    failed.push(...again)
    return []
  }
  const unsteady = []
  for (const each of again) {
    const lane = createLane(browser, server.address)
    if (await tell(each.one, lane)) unsteady.push(each)
    await lane.close()
  }
  return unsteady
}

try {
  const lanes = Array.from({ length: atOnce }, () => createLane(browser, server.address))
  await runPool(checks, lanes, tell)
  for (const lane of lanes) await lane.close()
  for (const { words, text } of await lookAgain())
    console.log(`UNSTEADY           ${words}: at first ${text}`)
  if (wanted.length === 0) console.log(await measureSliderStep(browser, server.address))
} finally {
  await browser.close()
  await server.close()
}
for (const { words } of failed) console.log(`failed twice or among many: ${words}`)
count.failed = failed.length
console.log(`${count.passed} passed, ${count.failed} failed, ${count.skipped} skipped`)
process.exit(count.failed > 0 ? 1 : 0)
