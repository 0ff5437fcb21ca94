/** Presets, links, bad input: nothing of the user's is lost. */
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { settled, shownLife } from './browser.mjs'
import {
  asFile,
  chooseFiles,
  hold,
  messageLike,
  neighbours,
  nextLife,
  openMenu,
  pinLife,
  stateOf,
} from './page.mjs'
import { presetWith } from './samples.mjs'

export async function aPresetSavedAndLoadedGivesTheSameLife({ page }) {
  await nextLife(page, () => page.locator('#strength').fill('123'))
  await neighbours(page)
  const saved = await shownLife(page)
  await openMenu(page, 'Presets')
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: 'Save as file' }).click(),
  ])
  const text = await readFile(await download.path(), 'utf8')
  await page.keyboard.press('Escape')
  await nextLife(page, () => page.locator('#strength').fill('150'))
  await nextLife(page, () => chooseFiles(page, [asFile('mine.json', text, 'application/json')]))
  await neighbours(page)
  const loaded = await shownLife(page)
  hold(loaded.maxRadius === saved.maxRadius, `${loaded.maxRadius} m instead of ${saved.maxRadius} m`)
  hold(loaded.sentence === saved.sentence, `"${loaded.sentence}" instead of "${saved.sentence}"`)
}

export async function aPresetIsKeptInTheBrowser({ page }) {
  const kept = await nextLife(page, () => page.locator('#strength').fill('140'))
  await openMenu(page, 'Presets')
  await page.locator('.menu-panel input').fill('Bench 3, second try')
  await page.getByRole('button', { name: 'Keep in this browser' }).click()
  await page.keyboard.press('Escape')
  await page.goto(page.url().split('#')[0])
  await page.reload()
  await settled(page)
  await openMenu(page, 'Presets')
  const again = await nextLife(page, () => page.getByRole('button', { name: /^Bench 3, second try/ }).click())
  hold(again.maxRadius === kept.maxRadius, `${again.maxRadius} m instead of ${kept.maxRadius} m`)
}

export async function aRefusedStorageOnlyGivesAMessage({ page }) {
  await page.evaluate(() => {
    Storage.prototype.setItem = () => {
      throw new DOMException('full', 'QuotaExceededError')
    }
  })
  await openMenu(page, 'Presets')
  await page.getByRole('button', { name: 'Keep in this browser' }).click()
  await messageLike(page, /did not keep the preset/)
}

export async function aLinkRestoresTheDrop({ page, openElsewhere }) {
  const before = await nextLife(page, () => page.locator('#strength').fill('131'))
  await page.waitForFunction(() => location.hash.includes('0.655'))
  const path = new URL(page.url()).hash
  await openElsewhere(path)
  const after = await shownLife(page)
  hold(after.maxRadius === before.maxRadius, `${after.maxRadius} m instead of ${before.maxRadius} m`)
}

export async function aReloadRightAfterAChangeKeepsTheDrop({ page }) {
  const strength = () => page.locator('#strength').getAttribute('aria-valuetext')
  for (const value of ['123', '151']) {
    await page.locator('#strength').fill(value)
    const set = await strength()
    // Nothing is waited for here: it is the reload right after that is meant.
    await page.reload()
    await settled(page)
    hold((await strength()) === set, `the strength is ${await strength()} instead of ${set}`)
  }
}

export async function rubbishInALinkGivesAMessage({ page }) {
  await messageLike(page, /link cannot be used[\s\S]*drop that the page starts with/i)
  hold((await shownLife(page)).maxRadius > 0, 'there is no life')
}
rubbishInALinkGivesAMessage.options = { path: '#rimtide=1&drop.volume_uL=lots&nonsense=%ff%00' }

export async function rubbishTypedIntoTheAddressKeepsTheDrop({ page }) {
  await nextLife(page, () => page.locator('#strength').fill('140'))
  const before = await stateOf(page)
  await page.evaluate(() => {
    location.hash = '#rimtide=1&drop.alcoholMassFraction=7'
  })
  await messageLike(page, /present drop is kept/)
  const after = await stateOf(page)
  hold(after.strength === before.strength && after.radius === before.radius, 'the drop has changed')
}

const bad = [
  ['broken.json', '{"format": "rimtide-preset", "version": 1, ', /line 1, column/],
  ['other.json', '{"hello": 1}', /format is missing/],
  ['version.json', presetWith({ version: 9 }), /version is 9/],
  ['range.json', presetWith({ drop: { volume_uL: 4000 } }), /drop\.volume_uL is 4000[\s\S]*0\.5 to 100/],
  ['unknown.json', presetWith({ drop: { volumeuL: 5 } }), /volumeuL is not a key[\s\S]*volume_uL/],
  ['empty.csv', '', /empty\.csv cannot be used/],
  ['text.csv', 't (s),R (mm)\n0,2.5\n1,wide\n2,12\n', /line 3/],
  ['one.csv', 't (s),R (mm)\n0,2.5\n', /one\.csv cannot be used/],
  [
    'binary.csv',
    Buffer.from(Array.from({ length: 4000 }, (_, i) => (i * 37) % 256)),
    /binary\.csv cannot be used/,
  ],
]

export async function badFilesAreRefusedAndNothingIsLost({ page }) {
  await neighbours(page)
  const before = await stateOf(page)
  for (const [name, content, pattern] of bad) {
    await chooseFiles(page, [asFile(name, content)])
    await messageLike(page, pattern)
  }
  const after = await stateOf(page)
  hold(
    JSON.stringify(after) === JSON.stringify(before),
    `${JSON.stringify(before)} became ${JSON.stringify(after)}`,
  )
}

export async function aFileOf50MegabytesIsRefused({ page }) {
  const folder = await mkdtemp(join(tmpdir(), 'rimtide-'))
  try {
    const path = join(folder, 'huge.csv')
    await writeFile(path, Buffer.alloc(50_000_000, 49))
    await neighbours(page)
    const before = await stateOf(page)
    await chooseFiles(page, path)
    await messageLike(page, /huge\.csv has 50\.0 MB/)
    const [was, is] = [before, await stateOf(page)].map((state) => JSON.stringify(state))
    hold(is === was, `the state has changed from ${was} to ${is}`)
  } finally {
    await rm(folder, { recursive: true })
  }
}

export async function aTitleWithHtmlIsShownAsText({ page }) {
  const title = '<img src=x onerror="document.body.dataset.hit=1"><b>bold</b>'
  await nextLife(page, () =>
    chooseFiles(page, [asFile('html.json', presetWith({ title }), 'application/json')]),
  )
  hold((await page.locator('.drop-name').textContent()) === title, 'the title is not shown as it is')
  await pinLife(page)
  await openMenu(page, 'Presets')
  const hit = await page.evaluate(
    () => document.body.dataset.hit ?? document.querySelectorAll('b, img:not(.stage-print)').length,
  )
  hold(hit === 0, 'the title became part of the page')
}

export async function aDeadWorkerIsReplaced({ page, errors }) {
  const [worker] = page.workers()
  await worker.evaluate(() => {
    setTimeout(() => {
      throw new Error('made to fail by the check')
    })
  })
  await messageLike(page, /started again/)
  const before = await shownLife(page)
  const after = await nextLife(page, () => page.locator('#strength').fill('150'))
  hold(after.maxRadius !== before.maxRadius, 'the new worker gives no new life')
  for (let i = errors.length - 1; i >= 0; i--) if (/made to fail/.test(errors[i])) errors.splice(i, 1)
}

for (const check of [
  aPresetSavedAndLoadedGivesTheSameLife,
  aLinkRestoresTheDrop,
  rubbishTypedIntoTheAddressKeepsTheDrop,
  badFilesAreRefusedAndNothingIsLost,
  aFileOf50MegabytesIsRefused,
]) {
  check.shares = true
}
