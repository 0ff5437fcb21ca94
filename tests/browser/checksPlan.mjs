/** What neighbouring lives add, and the panels below the frame. */
import { execFile } from 'node:child_process'
import { promisify } from 'node:util'
import { drawn, settled, shownLife } from './browser.mjs'
import { becomes, hold, inLightAndDark, neighbours, nextLife, violationsIn, visit } from './page.mjs'

const says = (page) => page.locator('#sentence .says').textContent()

export async function theSentenceGetsItsUncertaintyWithTheReason({ page }) {
  await neighbours(page)
  hold(
    /^This drop spreads to a radius of [\d.]+ ± [\d.]+ mm in/.test(await says(page)),
    `the sentence is "${await says(page)}"`,
  )
  const button = page.locator('#sentence .uncertain')
  await button.click()
  await drawn(page)
  const reason = await page.locator('#reason').textContent()
  hold(/what changes it most is the .+ \((±|× and ÷) /.test(reason), `the reason is "${reason}"`)
  hold((await page.locator('#reason tbody tr').count()) === 5, 'not every input is listed')
  await page.keyboard.press('Escape')
  hold(await page.locator('#reason').isHidden(), 'Escape does not close the reason')
  hold((await page.locator('#clock path.reach').count()) === 1, 'the clock strip has no band')
}

/** The command line on the preset that the page begins with, given the words after it. */
async function simulated(...more) {
  const { stdout } = await promisify(execFile)(
    process.execPath,
    ['src/cli/launch.mjs', 'simulate', 'presets/harbour-lane-bursts.json', ...more],
    { cwd: new URL('../..', import.meta.url), maxBuffer: 1e8 },
  )
  return JSON.parse(stdout)
}

export async function theSentenceGetsItsBeadsAndAgreesWithTheCommandLine({ page }) {
  await neighbours(page)
  const sentence = await says(page)
  const { fingers } = await simulated('--json', '--fingers')
  const told =
    /Its rim beads from ([\d.]+) s on: about ([\d ]+) beads, later about ([\d ]+), ([\d.]+) mm apart; it sheds/.exec(
      sentence,
    )
  hold(told, `the sentence is "${sentence}"`)
  const numbers = told.slice(1).map((text) => Number(text.replaceAll(' ', '')))
  const expected = [
    fingers.appear_s.value,
    fingers.count,
    fingers.countAtLargest,
    fingers.table.wavelength_mm.at(-1),
  ]
  expected.forEach((value, i) => {
    hold(Math.abs(numbers[i] - value) <= 0.05 * value, `"${told[0]}", but the command line has ${value}`)
  })
  await page.locator('#sentence .uncertain').click()
  const reason = await page.locator('#reason').textContent()
  await page.keyboard.press('Escape')
  const [, low, high] = /between ([\d.]+) and ([\d.]+) s for ten times more or less noise/.exec(reason) ?? []
  hold(Math.abs(low - fingers.appear_s.low) <= 0.05 * low, `the reason is "${reason}"`)
  hold(Math.abs(high - fingers.appear_s.high) <= 0.05 * high, `the reason is "${reason}"`)
  await visit(page, 'rim')
  await page.locator('#rim').getByRole('button', { name: 'The rim breaks up' }).click()
  await page.locator('#rim').getByRole('button', { name: 'Show me' }).click()
  await page.waitForFunction(
    (from) =>
      document
        .querySelector('#rim .explain-body')
        ?.textContent?.includes(`as high as the rim from ${from} s on`),
    told[1],
  )
  // What was told of the old drop is gone with the first change, and the new one gets its own.
  await nextLife(page, () => page.locator('#strength').fill('140'))
  hold(!(await says(page)).includes(`from ${told[1]} s on`), 'the beads of the old drop are still told')
  await neighbours(page)
  hold(/beads from [\d.]+ s on/.test(await says(page)), `the sentence is "${await says(page)}"`)
}

export async function aWeakDropIsToldWhatWouldMakeItSpread({ page }) {
  await nextLife(page, () => page.locator('#strength').fill('80'))
  await neighbours(page)
  const sentence = await says(page)
  const found =
    /^Too weak: below [\d.]+ ± [\d.]+ % by mass.*At ([\d.]+) % it would spread to ([\d.]+) mm: add ([\d.]+) mL of the stock \(96 %vol\) to your 50 mL\.$/.exec(
      sentence,
    )
  hold(found, `the sentence is "${sentence}"`)
  const after = await nextLife(page, () => page.locator('#strength').fill(String(2 * Number(found[1]))))
  hold(after.outcome !== 'lens', `at ${found[1]} % it is a ${after.outcome}`)
  hold(
    Math.abs(1e3 * after.maxRadius - Number(found[2])) < 0.1 * Number(found[2]),
    `${found[2]} mm were promised, ${1e3 * after.maxRadius} mm came`,
  )
}

export async function theTracksTellTheOutcomeInWords({ page }) {
  await neighbours(page)
  const id = await page.locator('#strength').getAttribute('aria-describedby')
  const along = await page.locator(`[id="${id}"]`).textContent()
  hold(/0 % to [\d.]+ %: lens; .*[\d.]+ % to 100 %: /.test(along), `it says "${along}"`)
  const border = Number(/0 % to ([\d.]+) %: lens/.exec(along)[1])
  const below = await nextLife(page, () => page.locator('#strength').fill(String(Math.round(2 * border - 8))))
  hold(below.outcome === 'lens', `4 % below the border it ${below.outcome}`)
  const above = await nextLife(page, () => page.locator('#strength').fill(String(Math.round(2 * border + 8))))
  hold(above.outcome !== 'lens', 'above the border it is still a lens')
  // Moving along a track does not make its outcomes wrong: they stay.
  hold((await page.locator('.track').first().getAttribute('class')) === 'track', 'the track is greyed')
}

export async function aChangeEndsTheIdleWork({ page }) {
  await page.locator('#volume').fill('60')
  await drawn(page, 650)
  await page.locator('#volume').fill('90')
  await settled(page)
  await neighbours(page)
  const sentence = await says(page)
  const { maxRadius } = await shownLife(page)
  const told = Number(/spreads to a radius of ([\d.]+)/.exec(sentence)[1])
  hold(Math.abs(told - 1e3 * maxRadius) < 0.6, `"${sentence}" of a drop of ${1e3 * maxRadius} mm`)
}

export async function theRecipeFollowsTheBottle({ page }) {
  await page.locator('#recipe-stock').fill('90')
  const table = page.locator('#recipe table').first()
  const before = await table.textContent()
  await page.locator('#recipe-volume').fill('100')
  await becomes(
    () => table.textContent(),
    (text) => text !== before,
    () => 'the amounts do not follow the volume',
  )
  await page.reload()
  await settled(page)
  hold((await page.locator('#recipe-stock').inputValue()) === '90', 'the bottle is not kept')
  hold((await page.locator('#recipe-volume').inputValue()) === '100', 'the amount is not kept')
}

export async function impossibleWishesAreAnsweredAtTheField({ page }) {
  const problemOf = (id) => page.locator(`.field:has(> .field-row #${id}) > .problem`)
  await page.locator('#recipe-stock').fill('30')
  await page.locator('#recipe-want').fill('60')
  const says = (id, pattern) =>
    becomes(
      () => problemOf(id).textContent(),
      (text) => pattern.test(text),
      (text) => `it says "${text}", not ${pattern}`,
    )
  await says('recipe-want', /Water only makes it weaker/)
  await page.locator('#recipe-stock').fill('140')
  await says('recipe-stock', /Permitted: 0 to 100/)
  await page.locator('#recipe-stock').fill('much')
  await says('recipe-stock', /is not a number/)
  await page.locator('#recipe-stock').fill('0')
  await says('recipe-stock', /no alcohol/)
  await page.locator('#recipe-stock').fill('96')
  await says('recipe-stock', /^$/)
}

export async function theRecipeGivesItsStrengthToTheDrop({ page }) {
  await page.locator('#recipe-want').fill('55')
  const life = await nextLife(page, () =>
    page.getByRole('button', { name: 'Give the drop this strength' }).first().click(),
  )
  hold(life.maxRadius > 0, 'there is no life')
  const strength = await page.locator('#strength').getAttribute('aria-valuetext')
  hold(strength === '55 %', `the drop has ${strength}`)
}

/** Pages of a PDF, counted by their objects. */
const pagesOf = (pdf) => (pdf.toString('latin1').match(/\/Type\s*\/Page[^s]/g) ?? []).length

async function sheetIsOnePage(page) {
  await page.getByRole('button', { name: /^Make (the lab sheet|it)/ }).click()
  await page.waitForSelector('#sheet .paper-shown:not([hidden]) h2')
  await page.waitForFunction(() => document.querySelector('#sheet progress').hidden)
  const sheet = page.locator('#sheet .paper-shown')
  const text = await sheet.textContent()
  const order = [
    'Local rules and the person responsible',
    'Cautions',
    'Measure stock',
    'Largest radius',
    'A frame every',
  ]
  const places = order.map((part) => text.indexOf(part))
  hold(
    places.every((place, i) => place > (places[i - 1] ?? -1)),
    `the order is wrong: ${places}`,
  )
  const pdf = await page.pdf({ preferCSSPageSize: true, printBackground: true })
  hold(pagesOf(pdf) === 1, `the sheet has ${pagesOf(pdf)} pages`)
  await page.emulateMedia({ media: 'print' })
  const paper = page.locator('#paper')
  hold(await paper.isVisible(), 'the sheet is not printed')
  hold(await page.locator('main').isHidden(), 'the page is printed along with it')
  const { inside, ink, root } = await paper.evaluate((element) => ({
    inside: element.scrollHeight <= element.clientHeight + 1,
    ink: getComputedStyle(element).color,
    root: [
      getComputedStyle(document.documentElement).colorScheme,
      getComputedStyle(document.documentElement).backgroundColor,
    ],
  }))
  hold(inside, 'something is cut off at the foot of the sheet')
  hold(root.join(' ') === 'light rgb(255, 255, 255)', `the margins are ${root}`)
  hold(ink === 'rgb(27, 26, 23)', `the ink is ${ink}`)
  await page.emulateMedia({ media: 'screen' })
}

export async function theLabSheetIsOnePageOnItsOwn({ page }) {
  await sheetIsOnePage(page)
  await nextLife(page, () => page.locator('#strength').fill('150'))
  hold(
    await page.getByRole('button', { name: 'Print the lab sheet' }).isDisabled(),
    'an old sheet can be printed',
  )
}
theLabSheetIsOnePageOnItsOwn.options = { colorScheme: 'dark' }

export async function theLongestLabSheetIsOnePageToo({ page }) {
  const long = 'A long title of a drop, as long as somebody patient might write it on a Friday evening '
  await visit(page, 'recipe')
  await page.locator('#recipe-volume').fill('1.5')
  await visit(page, 'sheet')
  // A liquid of the user's says more than any of the library: all its texts are as long as they may be.
  const source = 'A source as long as a source may be, '.repeat(9).slice(0, 300)
  const liquid = {
    name: 'A liquid with a name as long as it may be, from the shelf 12',
    like: 'methanol',
    safetyNote: 'What the safety data sheet of this bottle says about it, '.repeat(9).slice(0, 500),
    flashPoint: { percentByVolume: [10, 100], values_C: [40, 12], source, quality: 'assumed' },
  }
  await page.evaluate(
    ([title, mixture]) => {
      location.hash = `#rimtide=1&title=${encodeURIComponent(title.repeat(2))}&drop.alcohol=own&liquids.mixture=${encodeURIComponent(JSON.stringify(mixture))}&drop.alcoholMassFraction=0.3&bath.liquid=rapeseed-oil-kitchen&bath.dishRadius_mm=15`
    },
    [long, liquid],
  )
  await page.waitForFunction(
    () => document.querySelector('#strength').getAttribute('aria-valuetext') === '30 %',
  )
  await settled(page)
  await sheetIsOnePage(page)
}

export async function theLabSheetCanBeStopped({ page }) {
  // Both clicks in one go: the work itself may take less time than a click of the driver.
  await page.evaluate(() => {
    const named = (name) =>
      [...document.querySelectorAll('#sheet button')].find((b) => b.textContent === name)
    named('Make the lab sheet').click()
    named('Stop').click()
  })
  await page.waitForFunction(
    () => document.querySelector('#sheet [role=status]:not(.problem)').textContent === 'Stopped.',
  )
  hold(await page.locator('#sheet .paper-shown').isHidden(), 'a sheet is there all the same')
}

export async function theThresholdLeadsToItsControls({ page }) {
  const words = await page.locator('#threshold .lead:not(:empty)').textContent()
  hold(/spread on .+ from [\d.]+ % by mass \([\d.]+ % by volume\) on/.test(words), `it says "${words}"`)
  const curves = page.getByRole('slider', { name: 'Strength along the curves' })
  await curves.focus()
  await page.keyboard.press('Home')
  await becomes(
    () => curves.getAttribute('aria-valuetext'),
    (text) => /at 0 %: S −/.test(text),
    (text) => `water is said to spread: "${text}"`,
  )
  await page
    .locator('#threshold')
    .getByRole('button', { name: /^water/ })
    .click()
  await becomes(
    () => page.evaluate(() => document.activeElement.closest('[data-key]')?.dataset.key),
    (key) => key === 'interface.water_mNperM',
    (key) => `the focus is at ${key}`,
  )
}

export async function whatMattersIsWorkedOutByTheKeyboard({ page }) {
  await visit(page, 'matters')
  const part = page.locator('#matters')
  await part.getByLabel('Lives', { exact: true }).selectOption('32')
  await part.getByRole('button', { name: 'Work it out' }).focus()
  await page.keyboard.press('Enter')
  await part.getByRole('button', { name: 'Stop' }).waitFor()
  await page.waitForFunction(() => document.querySelector('#matters progress').hidden, undefined, {
    timeout: 120_000,
  })
  await drawn(page)
  const said = await part.locator('.lead').textContent()
  hold(/^What matters most for the largest radius is the .+ away\.$/.test(said), `it says "${said}"`)
  const bars = await part.locator('.shares-area rect').count()
  const widths = await part.locator('summary', { hasText: 'How far each input is known' }).textContent()
  const acting = Number(/\((\d+)\)/.exec(widths)[1])
  // Two bars an input and two of the legend.
  hold(bars === 2 * acting + 2, `${bars} bars for ${acting} inputs`)
  await part.getByLabel('Of', { exact: true }).selectOption('life_s')
  await drawn(page)
  const other = await part.locator('.lead').textContent()
  hold(/for the life is/.test(other), `of the life it says "${other}"`)
  hold((await violationsIn(page, '#matters')).length === 0, 'the part has faults of access')
  await visit(page, 'report')
  const choice = page.locator('#report').getByLabel('What matters most')
  hold(await choice.isEnabled(), 'the report does not offer it')
}

export async function whatMattersCanBeStopped({ page }) {
  await visit(page, 'matters')
  const part = page.locator('#matters')
  await part.getByLabel('Lives', { exact: true }).selectOption('256')
  await part.getByRole('button', { name: 'Work it out' }).click()
  await page.waitForFunction(() => document.querySelector('#matters progress').value > 0, undefined, {
    timeout: 60_000,
  })
  await part.getByRole('button', { name: 'Stop' }).click()
  await becomes(
    () => part.textContent(),
    (text) => /Stopped after \d+ of \d+ lives/.test(text),
    (text) => `it does not say where it was stopped: ${text.slice(0, 600)}`,
  )
}

export async function theStepsOfTheRimMoveTheClock({ page }) {
  await page.waitForSelector('.explain-question')
  const steps = await page.locator('.explain-dots button').count()
  hold(steps >= 6 && steps <= 10, `there are ${steps} steps`)
  const time = async () => Number(await page.locator('#clock [role=slider]').getAttribute('aria-valuenow'))
  const moments = []
  for (const step of [1, 5, steps - 1]) {
    const before = await time()
    await page.locator('.explain-dots button').nth(step).click()
    const moved = await becomes(
      time,
      (now) => now !== before,
      () => `step ${step + 1} leaves the clock at ${before} s`,
    )
    moments.push(moved)
  }
  hold(moments[0] < moments[1] && moments[1] < moments[2], `the moments are ${moments}`)
}

export async function theExplanationIsReadByTheKeyboardAlone({ page }) {
  await page.waitForSelector('.explain-question')
  const title = () => page.locator('.explain-title').textContent()
  const time = async () => Number(await page.locator('#clock [role=slider]').getAttribute('aria-valuenow'))
  await page.locator('.explain-title').focus()
  // The first question is answered with Tab and Enter, wrongly, and the focus goes on to what is said.
  const option = () => page.evaluate(() => document.activeElement.className)
  for (let i = 0; i < 12 && (await option()) !== 'explain-option'; i++) await page.keyboard.press('Tab')
  await page.keyboard.press('Tab')
  await page.keyboard.press('Enter')
  await drawn(page)
  hold((await option()) === 'explain-answer', `the focus is at "${await option()}"`)
  const told = await page.locator('.explain-answer').textContent()
  hold(/^Compare the pulls: .* The oil wins/.test(told), `it says "${told}"`)
  hold(/your answer/.test(await page.locator('.is-wrong').textContent()), 'the wrong answer is not marked')
  // Every step without an answer, by the arrow key, until the edge rests.
  for (let i = 0; i < 9 && (await title()) !== 'The edge comes to rest'; i++)
    await page.keyboard.press('ArrowRight')
  hold((await title()) === 'The edge comes to rest', `the step is "${await title()}"`)
  await drawn(page)
  const widest = await time()
  // A curve is guessed with the arrow keys on its points: they move no step.
  const points = page.locator('.drawing [role=slider]')
  await points.first().focus()
  for (let i = 0; i < 6; i++) await page.keyboard.press('ArrowRight')
  for (let i = 0; i < 9; i++) await page.keyboard.press('ArrowUp')
  hold(Number(await points.nth(6).getAttribute('aria-valuenow')) > 0, 'the point did not move')
  await page.keyboard.press('Tab')
  await page.keyboard.press('Tab')
  await page.keyboard.press('Enter')
  hold(
    /^Right\. Fastest at/.test(await page.locator('.explain-answer').textContent()),
    'the drawn guess is not judged',
  )
  hold((await page.locator('.explain-plot polyline.guess').count()) === 1, 'the guess is not drawn')
  for (let i = 0; i < 3 && (await title()) !== 'Why thinnest there'; i++)
    await page.keyboard.press('PageDown')
  const show = page.getByRole('button', { name: 'Show me' })
  await show.focus()
  await page.keyboard.press('Enter')
  const body = await page.locator('.explain-body').textContent()
  hold(/The film is thinnest just inside the rim because/.test(body), `it says "${body}"`)
  await drawn(page)
  hold(Math.abs((await time()) - widest) < 0.1, `the moment is ${await time()}, not ${widest}`)
  // A word is explained, and Escape closes it.
  await page.locator('.explain .term').first().focus()
  await page.keyboard.press('Enter')
  await drawn(page)
  hold((await page.locator('.term-note').textContent()).length > 20, 'the word is not explained')
  await page.keyboard.press('Escape')
  await drawn(page)
  hold((await page.locator('.term-note').textContent()) === '', 'Escape does not close the word')
  // Who sets another moment and comes back finds it.
  await page.locator('#clock [role=slider]').focus()
  await page.keyboard.press('Home')
  await visit(page, 'recipe')
  await visit(page, 'rim')
  await drawn(page)
  hold((await time()) === 0, 'coming back moved the clock')
}

export async function aPartHasItsOwnLinkBesideTheDrop({ page, openElsewhere }) {
  await nextLife(page, () => page.locator('#strength').fill('131'))
  await visit(page, 'recipe')
  await page.waitForFunction(() => location.hash.includes('0.655'))
  const path = new URL(page.url()).hash
  for (const hash of [path, '#recipe']) {
    await openElsewhere(hash)
    const { top, active } = await page.evaluate(() => ({
      top: document.getElementById('recipe').getBoundingClientRect().top,
      active: document.activeElement.id,
    }))
    const strength = await page.locator('#strength').getAttribute('aria-valuetext')
    const said = await page.locator('#messages').textContent()
    hold(top < 450 && active === 'recipe-title', `${hash}: the part is at ${top}, the focus at ${active}`)
    hold(said === '', `${hash} gives the message ${said}`)
    if (hash === path) hold(strength === '65.5 %', `the drop has ${strength}`)
  }
}

export async function aDeadPlanWorkerIsReplaced({ page, errors }) {
  await neighbours(page)
  const worker = page.workers().find((one) => one.url().includes('plan'))
  hold(worker, 'there is no worker for neighbours')
  // The page puts a worker that failed away.
  const gone = worker.waitForEvent('close')
  await worker.evaluate(() => {
    setTimeout(() => {
      throw new Error('made to fail by the check')
    })
  })
  await gone
  await nextLife(page, () => page.locator('#strength').fill('150'))
  await neighbours(page)
  hold(/ ± /.test(await says(page)), `the sentence is "${await says(page)}"`)
  for (let i = errors.length - 1; i >= 0; i--) if (/made to fail/.test(errors[i])) errors.splice(i, 1)
}

for (const check of [
  theSentenceGetsItsUncertaintyWithTheReason,
  theSentenceGetsItsBeadsAndAgreesWithTheCommandLine,
  aWeakDropIsToldWhatWouldMakeItSpread,
  theTracksTellTheOutcomeInWords,
  aChangeEndsTheIdleWork,
  theRecipeGivesItsStrengthToTheDrop,
  theThresholdLeadsToItsControls,
  theStepsOfTheRimMoveTheClock,
  aPartHasItsOwnLinkBesideTheDrop,
  impossibleWishesAreAnsweredAtTheField,
  theLabSheetCanBeStopped,
]) {
  check.shares = true
}

/** What `npm run -s validate` says. */
async function validated() {
  const { stdout } = await promisify(execFile)(
    process.execPath,
    ['src/cli/launch.mjs', 'validate', '--json'],
    { cwd: new URL('../..', import.meta.url), maxBuffer: 1e8 },
  )
  return JSON.parse(stdout)
}

/** The findings on the page, as the command writes them. */
const findingsOn = (page) =>
  page.locator('#about .verdict').evaluateAll((groups) =>
    groups.flatMap((group) =>
      [...group.querySelectorAll('li')].map((item) => {
        const [program, tolerance, source] = [...item.querySelectorAll('dd')].map((dd) => dd.textContent)
        const fact = item.querySelector('.fact').textContent
        return { fact, source, tolerance, program, verdict: group.dataset.verdict }
      }),
    ),
  )

export async function howRightItIsIsToldAsByTheCommandLine({ page }) {
  await neighbours(page)
  const section = page.locator('#about .validation')
  hold(
    await section.evaluate((it) =>
      it.previousElementSibling.textContent.startsWith('What the model leaves out'),
    ),
    'it does not stand right after the limits',
  )
  hold((await findingsOn(page)).length === 0, 'something is worked out before it is opened')
  const summary = section.locator('> summary')
  await summary.focus()
  await page.keyboard.press('Enter')
  const stop = section.getByRole('button', { name: 'Stop' })
  await page.waitForFunction(() => document.querySelector('#about .validation progress').value > 0)
  await stop.focus()
  await page.keyboard.press('Enter')
  const again = section.getByRole('button', { name: 'Work it out' })
  await again.waitFor()
  hold(await again.evaluate((it) => it === document.activeElement), 'the focus is lost when it is stopped')
  const told = () => section.locator('[role=status]').textContent()
  hold(/^Stopped: of \d+ facts out of \d+ /.test(await told()), `after a stop it says "${await told()}"`)
  // Folding and unfolding does not begin anew what was stopped.
  await summary.click()
  await summary.click()
  hold(await stop.isHidden(), 'it begins again by itself')
  await again.click()
  await page.waitForFunction(
    () => /^Of \d+ facts/.test(document.querySelector('#about .validation [role=status]').textContent),
    undefined,
    { timeout: 240_000 },
  )
  const shown = await findingsOn(page)
  const expected = await validated()
  hold(
    shown.length === expected.length,
    `${shown.length} facts on the page, ${expected.length} of the command`,
  )
  expected.forEach((finding, i) => {
    for (const key of ['fact', 'source', 'tolerance', 'program', 'verdict']) {
      hold(shown[i][key] === finding[key], `${key} is "${shown[i][key]}", the command says "${finding[key]}"`)
    }
  })
  hold((await stop.isHidden()) && (await again.isHidden()), 'a button is left that does nothing')
  for (const folded of await section.locator('.verdict:not([open]) > summary').all()) await folded.click()
  await page.setViewportSize({ width: 390, height: 844 })
  hold(
    await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth),
    'the page is wider than a phone',
  )
  await inLightAndDark(page, async (scheme) => {
    const wrong = await violationsIn(page, '#about')
    hold(wrong.length === 0, `${scheme}: ${wrong.map(({ id }) => id).join(', ')}`)
  })
}

for (const [part, checks] of Object.entries({
  recipe: [
    theRecipeFollowsTheBottle,
    theRecipeGivesItsStrengthToTheDrop,
    impossibleWishesAreAnsweredAtTheField,
  ],
  sheet: [theLabSheetIsOnePageOnItsOwn, theLabSheetCanBeStopped],
  threshold: [theThresholdLeadsToItsControls],
  rim: [theStepsOfTheRimMoveTheClock, theExplanationIsReadByTheKeyboardAlone],
  about: [howRightItIsIsToldAsByTheCommandLine],
})) {
  for (const check of checks) check.at = part
}
