/**
 * Within everybody's reach: in every state, by system colours, in low and magnified windows, by finger, by keyboard.
 * Sizes and terms are those of the Web Content Accessibility Guidelines 2.2 (W3C Recommendation, 2023).
 */
import { drawn, settled } from './browser.mjs'
import {
  asFile,
  becomes,
  chooseFiles,
  hold,
  messageLike,
  more,
  neighbours,
  openInputs,
  openMenu,
  places,
  violationsIn,
  visit,
} from './page.mjs'
import { csvOf } from './samples.mjs'

const spots = Object.entries(places).flatMap(([place, parts]) => (parts.length > 0 ? parts : [place]))

/** The page in light, in dark and in the system's own colours. */
const grounds = [
  { colorScheme: 'light', forcedColors: 'none' },
  { colorScheme: 'dark', forcedColors: 'none' },
  { colorScheme: 'dark', forcedColors: 'active' },
]
const asDrawn = { colorScheme: 'light', forcedColors: 'none' }

/** What axe finds of any weight in the states named, each made by its own act; on all grounds. */
async function axeFindsNothing(page, states) {
  const wrong = []
  for (const [name, act] of states) {
    await act()
    for (const ground of grounds) {
      await page.emulateMedia(ground)
      await drawn(page)
      for (const { id, nodes } of await violationsIn(page)) {
        const where = nodes.slice(0, 3).map((node) => node.target.join(' '))
        wrong.push(`${name}, ${Object.values(ground)}: ${id}: ${where}`)
      }
    }
    await page.emulateMedia(asDrawn)
  }
  hold(wrong.length === 0, wrong.join('\n'))
}

const press = (page, name, role = 'button') => page.getByRole(role, { name, exact: true }).click()
const unfoldGroups = (page) =>
  page.evaluate(() => {
    for (const title of document.querySelectorAll('#controls .lil-closed > .lil-title'))
      if (title.checkVisibility()) title.click()
  })
const stageMenu = (page, name) => page.locator('#stage .plot-menu > summary', { hasText: name }).click()

export async function axeFindsNothingInWhatOpensInWatch({ page }) {
  await neighbours(page)
  await axeFindsNothing(page, [
    ['Presets', () => openMenu(page, 'Presets')],
    ['More', () => openMenu(page, 'More')],
    [
      'the View menu and a message',
      async () => {
        await page.keyboard.press('Escape')
        await chooseFiles(page, [asFile('sonnet.txt', 'Shall I compare thee')])
        await messageLike(page, /sonnet/)
        await stageMenu(page, 'View')
      },
    ],
    [
      'the physics, all groups and helps of the inputs',
      async () => {
        await page.keyboard.press('Escape')
        await press(page, 'The physics')
        await openInputs(page)
        await unfoldGroups(page)
        for (const help of await page.locator('#controls .help-button:visible').all()) await help.click()
      },
    ],
    [
      'one wavelength and the save menu of the stage',
      async () => {
        await page.getByLabel('Colour the drop by').selectOption('mono')
        await stageMenu(page, 'Save')
      },
    ],
  ])
}

export async function axeFindsNothingInEveryStep({ page }) {
  await visit(page, 'rim')
  await page.waitForSelector('.explain-question')
  const steps = await page.locator('.explain-dots button').count()
  const next = async () => {
    await press(page, 'Next')
    await press(page, 'Show me')
  }
  await axeFindsNothing(page, [
    [
      'a step answered and a word open',
      async () => {
        await page.locator('.explain-option').first().click()
        await page.locator('.explain .term').first().click()
      },
    ],
    ...Array.from({ length: steps - 1 }, (_, i) => [`step ${i + 2}`, next]),
  ])
}

export async function axeFindsNothingInTheRestOfExplain({ page }) {
  await axeFindsNothing(page, [
    [
      'with and without',
      async () => {
        await visit(page, 'without')
        await page.locator('.without-switches input').first().check()
        await page.waitForFunction(() => /spreads/.test(document.querySelector('.without-says').textContent))
      },
    ],
    [
      'an exercise under way',
      async () => {
        await visit(page, 'exercises')
        await page.locator('.exercise-list button').first().click()
        await press(page, 'Begin')
        await press(page, 'Check my drop')
        await page.waitForFunction(() => document.querySelector('.exercise-says').textContent !== '')
      },
    ],
    ['the classroom with a question', () => more(page, 'For a classroom')],
    ['the classroom with its answer', () => page.keyboard.press('PageDown')],
  ])
}

export async function axeFindsNothingInBenchAtWork({ page }) {
  await axeFindsNothing(page, [
    [
      'a recipe with a wish that cannot be',
      async () => {
        await visit(page, 'recipe')
        await page.locator('#recipe-volume').fill('-4')
        await page.keyboard.press('Tab')
      },
    ],
    [
      'the map with a range that cannot be',
      async () => {
        await visit(page, 'map')
        await page.locator('#map input[type=text]').first().fill('900')
        await page.keyboard.press('Tab')
      },
    ],
  ])
}

export async function axeFindsNothingInDataAtWork({ page }) {
  await axeFindsNothing(page, [
    [
      'a table before it is taken',
      async () => {
        await visit(page, 'measured')
        await page.locator('#measured summary', { hasText: 'Paste a table' }).click()
        await page
          .getByRole('textbox', { name: 'Table to be read' })
          .fill('t_min\tR\tremark\n0\t2,5\tlamp on\n0,5\t12,4\t\n')
        await press(page, 'Look at it')
        await page.locator('.look').waitFor()
      },
    ],
    [
      'a curve in its editor',
      async () => {
        await chooseFiles(page, [asFile('bench-3.csv', csvOf(0.024), 'text/csv')])
        await press(page, 'Edit bench-3')
        await page.locator('.curve-editor').waitFor()
      },
    ],
    [
      'a recording measured',
      async () => {
        await visit(page, 'video')
        await page.locator('#video details').evaluateAll((all) => {
          for (const fold of all) fold.open = true
        })
        await page
          .getByRole('button', { name: /invented demo/ })
          .locator('visible=true')
          .first()
          .click()
        await page.locator('#video canvas').first().waitFor()
      },
    ],
    [
      'a fit',
      async () => {
        await visit(page, 'fit')
        await page.locator('#fit-begin:not([disabled])').click()
        await page.waitForFunction(() => document.querySelector('#fit').dataset.fit === 'done', undefined, {
          timeout: 120_000,
        })
      },
    ],
  ])
}

export async function everySliderHasAValueBeforeItIsDrawn({ page }) {
  const bare = () =>
    [...document.querySelectorAll('[role=slider]:not([aria-valuenow])')].map((one) => one.className)
  const found = await page.evaluate(bare)
  hold(found.length === 0, `without a value: ${found}`)
}

/** Whether the ground of what matches differs from the ground of what does not. */
const paintOf = (page, selector) =>
  page
    .locator(selector)
    .first()
    .evaluate((it) => {
      const { backgroundColor, backgroundImage } = getComputedStyle(it)
      return `${backgroundColor} ${backgroundImage}`
    })

export async function theSystemsOwnColoursTellApartWhatIsChosen({ page }) {
  const differ = async (one, other) => {
    const [a, b] = [await paintOf(page, one), await paintOf(page, other)]
    hold(a !== b, `${one} looks like ${other}: ${a}`)
  }
  await neighbours(page)
  await differ('#places a[aria-current]', '#places a:not([aria-current])')
  await differ('#strength ~ .track .lens, .track .lens', '.track .sheds')
  await press(page, 'The physics')
  await drawn(page)
  await differ('.bar [aria-pressed="true"]', '.bar [aria-expanded="false"]')
  await openInputs(page)
  await differ('.bar [aria-expanded="true"]', '.bar button:disabled')
  hold(/gradient/.test(await paintOf(page, '.stage-legend-bar')), 'the scale of the colours is empty')
  await differ('.plot-hair', '.plot-figure')
  await visit(page, 'rim')
  await differ('#tabs a[aria-current]', '#tabs a:not([aria-current])')
  await page.waitForSelector('.explain-question')
  await differ('.explain-dots [aria-current]', '.explain-dots button:not([aria-current])')
  await visit(page, 'map')
  await page.getByLabel('Fineness').selectOption('0')
  await press(page, 'Work out the map')
  await page.locator('.map-legend .letter').nth(1).waitFor({ timeout: 60_000 })
  // While it fills, the legend is made anew again and again.
  await page.waitForFunction(() => document.querySelector('#map progress').hidden, undefined, {
    timeout: 120_000,
  })
  await drawn(page)
  const letters = await page
    .locator('.map-legend .letter')
    .evaluateAll((all) => all.map((one) => getComputedStyle(one).backgroundColor))
  hold(new Set(letters).size === letters.length, `the map's colours are ${letters}`)
  await page.locator('#places a').nth(1).focus()
  await page.keyboard.press('Tab')
  const outline = await page.evaluate(() => getComputedStyle(document.activeElement).outlineStyle)
  hold(outline === 'solid', `the focus has an outline "${outline}"`)
}
theSystemsOwnColoursTellApartWhatIsChosen.options = { forcedColors: 'active' }

export async function drawingsSuitTheSystemsGroundWhateverWasChosen({ page }) {
  const theme = () => page.evaluate(() => document.documentElement.dataset.theme)
  await openMenu(page, 'More')
  await page.locator('.theme-choice select').selectOption('light')
  await drawn(page)
  hold((await theme()) === 'light', 'light was chosen')
  await page.emulateMedia({ colorScheme: 'dark', forcedColors: 'active' })
  await page.waitForFunction(() => document.documentElement.dataset.theme === 'dark')
  await page.emulateMedia({ colorScheme: 'dark', forcedColors: 'none' })
  await page.waitForFunction(() => document.documentElement.dataset.theme === 'light')
}

/** Windows of 1440 × 900 at 200 % and 400 %, and of 1280 × 1024 at 400 % (success criterion 1.4.10). */
const magnified = [
  [720, 450],
  [360, 225],
  [320, 256],
]

/** In the page: what hinders reading in a low window, in words; what lies under a card that is open is its own affair. */
const hindrances = (card) => {
  const wrong = []
  const drawn = [...document.querySelectorAll('body *')].filter((it) => it.checkVisibility())
  const name = (it) => `${it.tagName.toLowerCase()}#${it.id}.${it.getAttribute('class')}`
  const across = document.scrollingElement.scrollWidth - innerWidth
  if (across > 0) wrong.push(`the page scrolls sideways by ${across} px`)
  for (const it of drawn) {
    const { position, overflowY } = getComputedStyle(it)
    const { width, height } = it.getBoundingClientRect()
    if (/sticky|fixed/.test(position) && width * height > 0.25 * innerWidth * innerHeight)
      wrong.push(`${name(it)} stays over a quarter of the window`)
    const scrolls = /auto|scroll/.test(overflowY) && it.scrollHeight > it.clientHeight + 2
    if (scrolls && !it.matches('textarea, .stage-view-list, .scrolling'))
      wrong.push(`${name(it)} scrolls inside the page`)
  }
  const focusable = 'a[href], button:not(:disabled), input:not(:disabled), select, summary, [tabindex="0"]'
  for (const it of drawn.filter((one) => one.matches(focusable) && one.closest(card))) {
    // What only those who listen have, and the link that shows itself with the focus.
    if (it.closest('.visually-hidden, .skip') || it.getBoundingClientRect().width < 2) continue
    it.scrollIntoView({ block: 'center', inline: 'center' })
    const { left, top, right, bottom } = it.getBoundingClientRect()
    const [x, y] = [(left + right) / 2, (Math.max(top, 0) + Math.min(bottom, innerHeight)) / 2]
    const hit = document.elementFromPoint(x, y)
    const label = it.closest('label')
    if (!hit || !(it.contains(hit) || hit.contains(it) || label?.contains(hit)))
      wrong.push(`${name(it)} "${it.textContent.slice(0, 20)}" is under ${hit && name(hit)}`)
    else if (hit !== it && hit.contains(it) && hit !== label && !it.closest('.plot-area, .stage-box'))
      wrong.push(`${name(it)} "${it.textContent.slice(0, 20)}" is cut off by ${name(hit)}`)
  }
  scrollTo(0, 0)
  return wrong
}

export async function magnifiedFourTimesEverythingIsReached({ page }) {
  await neighbours(page)
  const wrong = []
  const look = async (where, card = 'body') => {
    for (const [width, height] of magnified) {
      await page.setViewportSize({ width, height })
      await drawn(page)
      for (const one of await page.evaluate(hindrances, card))
        wrong.push(`${where}, ${width} × ${height}: ${one}`)
    }
    await page.setViewportSize({ width: 1440, height: 900 })
  }
  for (const name of spots) {
    await visit(page, name)
    await look(name)
  }
  await visit(page, 'watch')
  await page.locator('#sentence .uncertain').click()
  await look('why ±', '.sentence')
  await press(page, 'The physics')
  await look('the physics')
  await openInputs(page)
  await look('all inputs')
  await openMenu(page, 'Presets')
  await look('Presets', '.bar')
  hold(wrong.length === 0, wrong.join('\n'))
}

export async function inALowWindowAPartComesIntoSightWhenItIsAskedFor({ page }) {
  for (const name of ['map', 'sheet', 'cautions']) {
    await visit(page, name)
    const top = await page.locator(`#${name}`).evaluate((part) => part.getBoundingClientRect().top)
    hold(top < 110, `#${name} begins at ${top} px of 225`)
  }
}
inALowWindowAPartComesIntoSightWhenItIsAskedFor.options = { viewport: { width: 360, height: 225 } }

/** Text twice as large (success criterion 1.4.4), in the places that the first page does not show. */
export async function nothingIsCutAtDoubleTextSizeInAnyPlace({ page, context }) {
  const wrong = []
  const cut = () => {
    const found = []
    const { scrollWidth } = document.scrollingElement
    if (scrollWidth > innerWidth) found.push(`the page is ${scrollWidth} px wide`)
    for (const it of document.querySelectorAll('button, select, input, summary, h2, p')) {
      if (!it.checkVisibility() || it.closest('.visually-hidden, .scrolling, .tabs, svg')) continue
      const { left, right, width } = it.getBoundingClientRect()
      if (width > 1 && (left < -1 || right > innerWidth + 1))
        found.push(`${it.tagName} "${it.textContent.slice(0, 20)}" reaches to ${Math.round(right)}`)
    }
    const part = [...document.querySelectorAll('.part')].find((it) => it.checkVisibility())
    const room = part ? part.clientHeight : innerHeight
    if (room < 60) found.push(`the part has ${room} px`)
    return found
  }
  const session = await context.newCDPSession(page)
  await session.send('Page.setFontSizes', { fontSizes: { standard: 32 } })
  await page.reload()
  await settled(page)
  for (const name of spots) {
    await page.setViewportSize({ width: 1440, height: 900 })
    await visit(page, name)
    for (const [width, height] of [
      [1440, 900],
      [820, 1180],
      [390, 844],
    ]) {
      await page.setViewportSize({ width, height })
      await drawn(page)
      for (const one of await page.evaluate(cut)) wrong.push(`${name}, ${width} px: ${one}`)
    }
  }
  hold(wrong.length === 0, wrong.join('\n'))
}

/** In the page: what is pressed and smaller than a size, px, in words; a link in a line of text may be (2.5.8). */
const smallerThan = (least) => {
  const drawn = 'a[href], button, input, select, textarea, summary, [role=slider], [role=button]'
  const inText = (it) => {
    const line = it.closest('p, li, dd, .says')
    return it.matches('a, button') && line && line.textContent.trim() !== it.textContent.trim()
  }
  return [...document.querySelectorAll(drawn)]
    .filter((it) => it.checkVisibility({ visibilityProperty: true, opacityProperty: true }))
    .filter((it) => !it.closest('.visually-hidden, .skip, svg'))
    .filter((it) => !it.matches('.uncertain, .term, .inline-link') || !inText(it))
    .map((it) => ({
      it,
      box: (it.closest('label:has(input[type=checkbox], input[type=radio])') ?? it).getBoundingClientRect(),
    }))
    .filter(({ box }) => box.width > 1 && (box.width < least - 0.01 || box.height < least - 0.01))
    .map(({ it, box }) => {
      const name = it.getAttribute('aria-label') ?? it.textContent.trim().slice(0, 24)
      return `${it.tagName}.${it.className} "${name}" ${box.width.toFixed(1)} × ${box.height.toFixed(1)}`
    })
}

/** Every place and part, and what opens in it, one after the other, once it is drawn. */
async function walk(page, see) {
  const look = async (where) => {
    await drawn(page)
    await see(where)
  }
  await chooseFiles(page, [asFile('bench-3.csv', csvOf(0.024), 'text/csv')])
  for (const name of spots) {
    await visit(page, name)
    await page.evaluate(() => {
      for (const fold of document.querySelectorAll('.part details'))
        if (fold.checkVisibility()) fold.open = true
    })
    await look(name)
  }
  await visit(page, 'measured')
  await page.getByRole('button', { name: 'Pin this life' }).first().click()
  await press(page, 'Edit bench-3')
  await look('the editor and a pinned life')
  await visit(page, 'watch')
  await press(page, 'The physics')
  await look('the physics')
  for (const menu of ['View', 'Save']) {
    await stageMenu(page, menu)
    await look(menu)
    await page.keyboard.press('Escape')
  }
  for (const menu of ['Presets', 'More']) {
    await openMenu(page, menu)
    await look(menu)
    await page.keyboard.press('Escape')
  }
  await openInputs(page)
  await unfoldGroups(page)
  await page.locator('#controls .help-button:visible').first().click()
  await look('all inputs')
}

export async function everythingPressableIs24PixelsLarge({ page }) {
  await neighbours(page)
  const wrong = new Set()
  await walk(page, async (where) => {
    for (const one of await page.evaluate(smallerThan, 24)) wrong.add(`${where}: ${one}`)
  })
  hold(wrong.size === 0, [...wrong].join('\n'))
}

export async function everythingPressableIs24PixelsLargeOnAPhone(opened) {
  await everythingPressableIs24PixelsLarge(opened)
}
const phone = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true }
everythingPressableIs24PixelsLargeOnAPhone.options = phone

/** In the page, after the browser has let go of what is hidden: the name of what has the focus; '' if nothing. */
const focused = async (page) => {
  await drawn(page)
  return page.evaluate(() => {
    const at = document.activeElement
    return at === document.body || at === null || !at.checkVisibility() ? '' : at.textContent.trim() || at.id
  })
}

/** Presses Tab until the focus is on what is named, and Enter; how many presses that took. */
async function tabAndEnter(page, pattern, key = 'Enter') {
  for (let presses = 1; presses < 60; presses++) {
    await page.keyboard.press('Tab')
    if (!pattern.test(await focused(page))) continue
    await page.keyboard.press(key)
    return presses + 1
  }
  throw new Error(`${pattern} is not reached by Tab`)
}

export async function fromTheFirstLifeToWhyItIsThinnestByTabAndEnter({ page }) {
  let presses = await tabAndEnter(page, /^Explain$/)
  await page.waitForSelector('.explain-question')
  const title = () => page.locator('.explain-title').textContent()
  // By the numbers of the steps: the last but few of them is the one.
  const wanted = async () => (await title()) === 'Why thinnest there'
  for (let step = 9; step > 5 && !(await wanted()); step--) {
    presses += await tabAndEnter(page, new RegExp(`^${step}$`))
    await drawn(page)
  }
  hold(await wanted(), `the step is "${await title()}"`)
  presses += await tabAndEnter(page, /^Show me$/)
  await drawn(page)
  const body = await page.locator('.explain-body').textContent()
  hold(/The film is thinnest just inside the rim because/.test(body), `it says "${body}"`)
  // Room for one more link or button in each of the rows on the way.
  hold(presses <= 90, `it takes ${presses} presses`)
}

export async function whatOpensIsClosedByEscapeAndTheFocusStays({ page }) {
  await neighbours(page)
  const closes = async (name, open, card, back) => {
    await open()
    await page.locator(card).first().waitFor()
    await page.keyboard.press('Escape')
    await page.locator(card).first().waitFor({ state: 'hidden' })
    const at = await focused(page)
    hold(back.test(at), `${name}: after Escape the focus is on "${at}"`)
  }
  const byKey = (locator) => async () => {
    await locator.focus()
    await page.keyboard.press('Enter')
  }
  const summary = (name) => page.locator('.bar .menu > summary', { hasText: name })
  await closes('Presets', byKey(summary('Presets')), '.menu[open] .menu-panel', /^Presets/)
  await closes('More', byKey(summary('More')), '.menu[open] .menu-panel', /^More/)
  const view = page.locator('#stage .stage-view > summary')
  await closes('View', byKey(view), '.stage-view[open] .stage-view-list', /^View/)
  await closes('why ±', byKey(page.locator('.uncertain')), '#reason', /±/)
  await closes('help', byKey(page.locator('#large .help-button').first()), '#large .help', /^\?$/)
  const inputs = page.getByRole('button', { name: 'All inputs', exact: true })
  const drawer = async () => {
    await byKey(inputs)()
    await page.locator('#controls select').first().focus()
  }
  await closes('all inputs', drawer, '#controls', /^All inputs$/)
  const room = async () => {
    await byKey(summary('More'))()
    await page.getByRole('button', { name: 'For a classroom' }).focus()
    await page.keyboard.press('Enter')
  }
  await closes('the classroom', room, '.leave-room', /^More/)
}

export async function theFocusStaysWhereSomethingGoesThatWasPressed({ page }) {
  await page.locator('.bar .menu > summary', { hasText: 'Presets' }).focus()
  await page.keyboard.press('Enter')
  await page.locator('.menu-panel .preset').first().focus()
  await page.keyboard.press('Enter')
  hold((await focused(page)) !== '', 'the focus is lost with the menu of presets')
  await chooseFiles(page, [asFile('sonnet.txt', 'Shall I compare thee')])
  await messageLike(page, /sonnet/)
  await page.locator('#messages .close').first().focus()
  await page.keyboard.press('Enter')
  await page.locator('#messages .message').first().waitFor({ state: 'detached' })
  const at = await page.evaluate(() => document.activeElement?.tagName)
  hold(at === 'MAIN' || at === 'BUTTON', `the focus is on ${at} after the message is dismissed`)
}

export async function tabLeavesEveryPlaceAndTheFirstLinkLeadsToTheStrength({ page }) {
  await page.keyboard.press('Tab')
  await page.keyboard.press('Enter')
  hold(
    (await page.evaluate(() => document.activeElement?.id)) === 'strength',
    'it does not lead to the strength',
  )
  for (const name of spots) {
    await visit(page, name)
    await page.locator('#places a').first().focus()
    const seen = []
    let at = ''
    for (let i = 0; i < 150 && at !== 'out'; i++) {
      await page.keyboard.press('Tab')
      at = await page.evaluate(() => {
        const one = document.activeElement
        if (!one || one === document.body || one.matches('.skip')) return 'out'
        const { width, height } = one.getBoundingClientRect()
        const section = one.closest('header, main > .frame > *, .side > *, #controls')
        const shown = one.checkVisibility() && width > 0 && height > 0
        return `${shown ? '' : 'unseen '}${section?.id || section?.className}`
      })
      if (at !== seen.at(-1)) seen.push(at)
    }
    hold(at === 'out', `${name}: Tab goes round in ${seen.slice(-4)}`)
    const sections = seen.filter((one) => one !== 'out')
    hold(!sections.some((one) => one.startsWith('unseen')), `${name}: Tab leads to ${sections}`)
    hold(new Set(sections).size === sections.length, `${name}: Tab goes back and forth: ${sections}`)
  }
}

export async function everySightSaysItsLanguageAndItsTitle({ page }) {
  hold((await page.locator('html').getAttribute('lang')) === 'en', 'the page has no language')
  for (const name of spots) {
    await visit(page, name)
    const tab = name === 'watch' ? 'Rimtide' : await page.locator(`#tabs a[href="#${name}"]`).textContent()
    hold((await page.title()).startsWith(tab), `${name} is titled "${await page.title()}"`)
  }
}

/** Fingers on the glass. */
async function fingers(context, page) {
  const client = await context.newCDPSession(page)
  const touch = (type, points) =>
    client.send('Input.dispatchTouchEvent', { type, touchPoints: points.map(([x, y], id) => ({ x, y, id })) })
  /** One finger from one point to another. */
  const drag = async ([x, y], [toX, toY], steps = 8) => {
    await touch('touchStart', [[x, y]])
    for (let k = 1; k <= steps; k++)
      await touch('touchMove', [[x + ((toX - x) * k) / steps, y + ((toY - y) * k) / steps]])
    await touch('touchEnd', [])
    await drawn(page)
    // A tap while the browser still takes the finger's last move for a throw only ends that.
    await drawn(page, 500)
  }
  return drag
}

async function fingersReachWhatTheMouseReaches({ page, context }) {
  const drag = await fingers(context, page)
  const middle = async (locator) => {
    await locator.scrollIntoViewIfNeeded()
    const { x, y, width, height } = await locator.boundingBox()
    return { x, y: y + height / 2, width, top: y, height }
  }
  const value = (selector) => page.locator(selector).getAttribute('aria-valuenow')
  // The strength by a finger on its thumb.
  const strength = page.locator('#strength')
  const before = await strength.inputValue()
  const at = await middle(strength)
  const [low, high, now] = await strength.evaluate(({ min, max, valueAsNumber }) => [
    +min,
    +max,
    valueAsNumber,
  ])
  const thumb = at.x + 8 + ((now - low) / (high - low)) * (at.width - 16)
  await drag([thumb, at.y], [thumb - 30, at.y])
  await page.waitForFunction((was) => document.getElementById('strength').value !== was, before)
  await settled(page)
  const undo = page.getByRole('button', { name: 'Undo', exact: true })
  for (let i = 0; i < 9 && (await undo.isEnabled()); i++) await undo.tap()
  await page.waitForFunction((was) => document.getElementById('strength').value === was, before)
  await settled(page)
  // The clock by a finger along its curve, the radius by a tap.
  const clock = await middle(page.locator('.bar-of-time'))
  await drag([clock.x + 0.3 * clock.width, clock.y], [clock.x + 0.6 * clock.width, clock.y])
  const follows = (read, text) => becomes(read, Boolean, () => text)
  await follows(
    async () => Number(await value('#clock [role=slider]')) > 0,
    'the clock did not follow the finger',
  )
  const stage = await middle(page.locator('#stage .stage-box'))
  await page.touchscreen.tap(stage.x + 0.8 * stage.width, stage.top + 0.7 * stage.height)
  await follows(async () => Number(await value('#stage .stage-box')) > 0, 'a tap marks no radius')
  // The drawer.
  await page.getByRole('button', { name: 'All inputs', exact: true }).tap()
  await page.locator('#controls').waitFor()
  await page.getByRole('button', { name: 'Close all inputs' }).tap()
  await page.locator('#controls').waitFor({ state: 'hidden' })
  // Parts by their links, which a finger moves sideways where they have no room.
  await page.locator('#places a[href="#data"]').tap()
  const tabs = await middle(page.locator('#tabs'))
  const hidden = await page.locator('#tabs').evaluate((it) => it.scrollWidth - it.clientWidth)
  await drag([tabs.x + 200, tabs.y], [tabs.x + 40, tabs.y])
  if (hidden > 0)
    await page.waitForFunction(() => document.getElementById('tabs').scrollLeft > 0, undefined, {
      timeout: 5000,
    })
  await page.locator('#tabs a[href="#report"]').tap()
  await page.locator('#report').waitFor()
  // The steps, and a guess drawn with a finger.
  await page.locator('#places a[href="#explain"]').tap()
  await page.getByRole('button', { name: 'Next', exact: true }).tap()
  await page.getByText(/^Step 2 of/).waitFor()
  await page.getByRole('button', { name: 'Previous', exact: true }).tap()
  await page.getByText(/^Step 1 of/).waitFor()
  const drawing = page.locator('.explain-plot.drawing')
  for (let i = 0; i < 9 && (await drawing.count()) === 0; i++)
    await page.getByRole('button', { name: 'Next', exact: true }).tap()
  const plot = await middle(drawing)
  const heights = () =>
    page
      .locator('.drawing [role=slider]')
      .evaluateAll((all) => all.map((it) => it.getAttribute('aria-valuenow')))
  const flat = JSON.stringify(await heights())
  await drag([plot.x + 0.3 * plot.width, plot.y], [plot.x + 0.7 * plot.width, plot.y - 20], 14)
  await follows(async () => JSON.stringify(await heights()) !== flat, 'a finger draws no guess')
  // A point of the map.
  // A browser that is slow to draw may take a tap for a long press: then a hand taps once more.
  const inBench = page.locator('html[data-place="bench"]')
  for (let i = 0; i < 3 && (await inBench.count()) === 0; i++) {
    await page.locator('#places a[href="#bench"]').tap()
    await drawn(page, 1000)
  }
  await inBench.waitFor({ timeout: 5000 })
  await page.locator('#tabs a[href="#map"]').tap()
  await page.getByLabel('Fineness').selectOption('0')
  await page.getByRole('button', { name: 'Work out the map' }).tap()
  await page.waitForFunction(() => document.querySelector('#map progress').hidden, undefined, {
    timeout: 120_000,
  })
  const told = await page.locator('#map').textContent()
  const map = await middle(page.locator('.map-area'))
  await page.touchscreen.tap(map.x + 0.4 * map.width, Math.min(map.y, map.top + 60))
  await follows(
    async () => (await page.locator('#map').textContent()) !== told,
    'a tap on the map tells nothing',
  )
}
export const fingersReachEverythingOnAPhone = (opened) => fingersReachWhatTheMouseReaches(opened)
fingersReachEverythingOnAPhone.options = phone
export const fingersReachEverythingOnATablet = (opened) => fingersReachWhatTheMouseReaches(opened)
fingersReachEverythingOnATablet.options = { ...phone, viewport: { width: 820, height: 1180 } }
