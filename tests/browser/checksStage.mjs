/** The stage by hand: turned, tilted, zoomed, moved, its heights, its picture on paper, a second one beside it. */
import { drawn, settled } from './browser.mjs'
import { becomes, hold, inLightAndDark, violationsIn } from './page.mjs'

const box = (page) => page.locator('#stage .stage-box')
const told = (page) => page.locator('#stage .stage-canvas').getAttribute('aria-label')
const scaleBar = (page) =>
  page
    .locator('#stage .stage-bar')
    .evaluate((bar) => `${bar.querySelector('path').getAttribute('d')} ${bar.textContent}`)
const frames = (page, n = 3) =>
  page.evaluate(async (count) => {
    for (let i = 0; i < count; i++) await new Promise((done) => requestAnimationFrame(done))
  }, n)

/** A drop that moved may be drawn with fewer pixels for a moment: waits until it rests and has all of them. */
async function sharp(page) {
  await drawn(page)
  await page.waitForFunction(() => {
    const canvas = document.querySelector('#stage .stage-canvas')
    return Math.abs(canvas.width - canvas.clientWidth * devicePixelRatio) < 2
  })
}

/** Section, marks and ruler come with the physics. */
async function withPhysics(page) {
  await page.getByRole('button', { name: 'The physics' }).click()
  await page.locator('#section .plot-canvas').first().waitFor()
  await frames(page, 6)
}

/** The drop as it is on the screen, without the pointer, the focus and what lies over its corners. */
async function picture(page) {
  await page.evaluate(() => document.activeElement?.blur())
  await sharp(page)
  const style = await page.addStyleTag({ content: '.stage-notes, .stage-legend { visibility: hidden }' })
  await frames(page)
  const { x, y, width, height } = await box(page).boundingBox()
  // The rounded corners are not drawn alike each time.
  const clip = { x: x + 12, y: y + 12, width: width - 24, height: height - 24 }
  const shot = (await page.screenshot({ clip })).toString('base64')
  await style.evaluate((element) => element.remove())
  return shot
}

const menu = (page) => page.locator('#stage .stage-view')
async function openMenu(page) {
  if (!(await menu(page).evaluate((details) => details.open))) await menu(page).locator('summary').click()
}
async function press(page, name) {
  await openMenu(page)
  await menu(page).getByRole('button', { name, exact: true }).click()
  await menu(page).locator('summary').click()
  await frames(page)
}

/** Waits until what is told of the picture matches. */
async function isTold(page, pattern) {
  await becomes(
    () => told(page),
    (text) => pattern.test(text),
    (text) => `the picture is told as "${text}", not like ${pattern}`,
  )
  await drawn(page)
}

export async function theStageIsTurnedByMouseAndComesBackPixelForPixel({ page }) {
  const { x, y, width, height } = await box(page).boundingBox()
  const [middle, row] = [x + width / 2, y + height * 0.6]
  await page.mouse.move(middle, row)
  await drawn(page)
  const start = await picture(page)
  const marked = await box(page).getAttribute('aria-valuenow')
  await page.mouse.down()
  await page.mouse.move(middle - 60, row, { steps: 4 })
  await page.mouse.up()
  await isTold(page, /cut open, turned 24° to the right/)
  hold((await picture(page)) !== start, 'the picture is the same although it was turned')
  hold((await box(page).getAttribute('aria-valuenow')) === marked, 'turning moved the marked radius')
  hold(
    (await page.locator('#stage .stage-ruler path').count()) === 0,
    'a turned picture has a ruler of heights',
  )
  await press(page, 'Back to start')
  await isTold(page, /thicker\.$/)
  hold((await picture(page)) === start, 'back at the start the picture is another')
  // Shift moves it, and so does the right button.
  const before = await scaleBar(page)
  await page.mouse.move(middle, row)
  await page.keyboard.down('Shift')
  await page.mouse.down()
  await page.mouse.move(middle + 50, row, { steps: 4 })
  await page.mouse.up()
  await page.keyboard.up('Shift')
  const edge = () => page.locator('#stage .stage-cut').evaluate((path) => path.getBBox().x)
  await frames(page)
  const moved = await edge()
  await page.mouse.move(middle, row)
  await page.mouse.down({ button: 'right' })
  await page.mouse.move(middle - 50, row, { steps: 4 })
  await page.mouse.up({ button: 'right' })
  await frames(page)
  hold(Math.abs(moved - (await edge()) - 50) < 1.5, `moved by 50 px: ${moved} and ${await edge()}`)
  hold((await scaleBar(page)) === before, 'moving changed the scale')
}

export async function theStageIsTurnedByKeysWhichLeaveTheMarkedRadiusAlone({ page }) {
  await box(page).focus()
  const marked = () => box(page).getAttribute('aria-valuenow')
  const at = await marked()
  for (const key of ['d', 'd', 'w']) await page.keyboard.press(key)
  await isTold(page, /turned 20° to the right/)
  await page.keyboard.press('+')
  await page.keyboard.press('Shift+D')
  hold((await marked()) === at, 'the keys that turn move the marked radius')
  await page.keyboard.press('ArrowRight')
  await frames(page)
  hold((await marked()) !== at, 'the arrow keys no longer move the marked radius')
  await page.keyboard.press('0')
  await isTold(page, /thicker\.$/)
  const described = await box(page).evaluate(
    (element) => document.getElementById(element.getAttribute('aria-describedby'))?.textContent,
  )
  hold(/A and D turn/.test(described), `it is described as "${described}"`)
}

export async function theStageIsSeenWholeFromAboveAndFlatFromTheSide({ page }) {
  const start = await picture(page)
  await press(page, 'From above')
  await isTold(page, /Seen from above, whole\.$/)
  const above = await picture(page)
  hold((await page.locator('#stage .stage-cut').getAttribute('d')) === '', 'from above the cut is drawn')
  hold(
    (await page.locator('#stage .stage-ruler path').count()) === 0,
    'from above there is a ruler of heights',
  )
  await press(page, 'From the side')
  await isTold(page, /Seen 0° from above, cut open\.$/)
  const side = await picture(page)
  await press(page, 'Back to start')
  hold(new Set([start, above, side]).size === 3, 'two of three looks give the same picture')
  hold((await picture(page)) === start, 'back at the start the picture is another')
}

export async function theFilmIsThereBeforeAndBehindTheMiddleFromAbove({ page }) {
  await press(page, 'From above')
  await isTold(page, /whole/)
  const style = await page.addStyleTag({
    content: '.stage-overlay, .stage-legend, .stage-notes { opacity: 0 !important }',
  })
  await frames(page)
  const shot = (await box(page).screenshot()).toString('base64')
  await style.evaluate((element) => element.remove())
  const rows = await page.evaluate(async (base64) => {
    const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0))
    const bitmap = await createImageBitmap(new Blob([bytes], { type: 'image/png' }))
    const context = new OffscreenCanvas(bitmap.width, bitmap.height).getContext('2d')
    context.drawImage(bitmap, 0, 0)
    const { data, width, height } = context.getImageData(0, 0, bitmap.width, bitmap.height)
    const blue = (x, y) => data[4 * (y * width + x) + 2] > data[4 * (y * width + x)] + 20
    const count = (test) => {
      let n = 0
      for (let y = 0; y < height; y++) for (let x = 0; x < width; x++) if (blue(x, y) && test(x, y)) n++
      return n
    }
    return {
      front: count((_, y) => y > height / 2),
      back: count((_, y) => y < height / 2),
      all: width * height,
    }
  }, shot)
  hold(rows.back > 0.03 * rows.all, `behind the middle there are ${rows.back} px of film`)
  hold(
    Math.abs(rows.front / rows.back - 1) < 0.05,
    `film before and behind the middle: ${JSON.stringify(rows)}`,
  )
}

/** In a window so low that the page scrolls. */
export async function theWheelZoomsTheStageOnlyWithCtrlOrFocus({ page }) {
  await box(page).scrollIntoViewIfNeeded()
  const from = await page.evaluate(() => scrollY)
  const { x, y, width, height } = await box(page).boundingBox()
  await page.mouse.move(x + width / 2, y + height * 0.6)
  const before = await scaleBar(page)
  const scrolled = () => page.evaluate(() => scrollY)
  await page.mouse.wheel(0, 40)
  await page.waitForFunction((top) => scrollY > top, from)
  hold((await scaleBar(page)) === before, 'the wheel alone zoomed')
  const at = await scrolled()
  await page.keyboard.down('Control')
  await page.mouse.wheel(0, -200)
  await page.keyboard.up('Control')
  await frames(page, 6)
  hold((await scaleBar(page)) !== before, 'Ctrl and the wheel did not zoom')
  hold((await scrolled()) === at, 'Ctrl and the wheel scrolled the page')
  const larger = await scaleBar(page)
  await box(page).focus()
  await page.mouse.wheel(0, -200)
  await frames(page, 6)
  hold((await scaleBar(page)) !== larger, 'the wheel did not zoom although the stage has the focus')
  hold((await scrolled()) === at, 'the wheel scrolled the page although the stage has the focus')
}

theWheelZoomsTheStageOnlyWithCtrlOrFocus.options = { viewport: { width: 1280, height: 440 } }

export async function twoFingersZoomTheStageOneMarksOrScrolls({ page, context }) {
  await box(page).scrollIntoViewIfNeeded()
  const from = await page.evaluate(() => scrollY)
  const client = await context.newCDPSession(page)
  const touch = (type, ...points) =>
    client.send('Input.dispatchTouchEvent', { type, touchPoints: points.map(([x, y], id) => ({ x, y, id })) })
  const { x, y, width, height } = await box(page).boundingBox()
  const [middle, row] = [x + width / 2, y + height * 0.55]
  await page.touchscreen.tap(x + 0.75 * width, row)
  await frames(page)
  const marked = await box(page).getAttribute('aria-valuenow')
  // 54 px and 18 px are kept free at the sides of the radial axis, which runs from −span to span.
  const span = Number(await box(page).getAttribute('aria-valuemax'))
  const wanted = ((0.75 * width - 54) / (width - 72)) * 2 * span - span
  hold(Math.abs(Number(marked) - wanted) < 0.02 * span, `the tap marked ${marked}, wanted ${wanted}`)
  const before = await scaleBar(page)
  await touch('touchStart', [middle - 30, row], [middle + 30, row])
  for (let k = 1; k <= 5; k++)
    await touch('touchMove', [middle - 30 - 6 * k, row], [middle + 30 + 6 * k, row])
  await touch('touchEnd')
  await frames(page)
  hold((await scaleBar(page)) !== before, 'two fingers did not zoom')
  hold((await page.evaluate(() => visualViewport.scale)) === 1, 'two fingers zoomed the page')
  await isTold(page, /Seen .* cut open\.$/)
  await touch('touchStart', [middle - 40, row], [middle + 40, row])
  for (let k = 1; k <= 6; k++) {
    const [c, s] = [40 * Math.cos(0.1 * k), 40 * Math.sin(0.1 * k)]
    await touch('touchMove', [middle - c, row - s], [middle + c, row + s])
  }
  await touch('touchEnd')
  await isTold(page, /turned \d+° to the right/)
  await touch('touchStart', [middle, row])
  for (let k = 1; k <= 10; k++) await touch('touchMove', [middle, row - 15 * k])
  await touch('touchEnd')
  await page.waitForFunction((top) => scrollY > top + 20, from, { timeout: 5000 })
}
twoFingersZoomTheStageOneMarksOrScrolls.options = { viewport: { width: 390, height: 440 }, hasTouch: true }

export async function theHeightsAreSetByASliderAndToldInWords({ page }) {
  const says = () => page.locator('#stage .stage-notes-row > p').textContent()
  await withPhysics(page)
  const start = await picture(page)
  await openMenu(page)
  hold(/^Heights logarithmic: each [\d.]+ mm step is 10 times thicker$/.test(await says()), await says())
  const range = menu(page).getByRole('slider', { name: 'Heights: stretched by' })
  await range.fill('1')
  await frames(page)
  hold((await range.getAttribute('aria-valuetext')) === (await says()), 'the slider tells something else')
  hold((await picture(page)) !== start, 'the heights did not change')
  await menu(page).getByLabel('Logarithmic, here and in the section').uncheck()
  await frames(page)
  hold(/^Heights × [\d.]+/.test(await says()), await says())
  hold((await page.locator('#section').textContent()).includes('h: linear'), 'the section stayed logarithmic')
  await menu(page).getByLabel('Logarithmic, here and in the section').check()
  await range.fill(String(Math.log10(20)))
  await page.keyboard.press('Escape')
  hold(!(await menu(page).evaluate((details) => details.open)), 'Escape does not close the menu')
  hold((await picture(page)) === start, 'with the heights of before the picture is another')
}

export async function theViewMenuIsAccessibleAndLargeEnough({ page }) {
  await openMenu(page)
  await drawn(page)
  await inLightAndDark(page, async (scheme) => {
    const found = await violationsIn(page, '#stage')
    hold(
      found.length === 0,
      `${scheme}: ${found.map(({ id, nodes }) => `${id} ${nodes[0].target}`).join('; ')}`,
    )
  })
  const small = await menu(page)
    .locator('summary, button, input')
    .evaluateAll((elements) =>
      elements
        .map((element) => ({ box: element.getBoundingClientRect(), text: element.outerHTML.slice(0, 60) }))
        .filter((one) => one.box.width < 24 || one.box.height < 24)
        .map((one) => `${one.text} ${one.box.width} × ${one.box.height}`),
    )
  hold(small.length === 0, `too small: ${small.join('; ')}`)
}

export async function thePaperGetsALightPictureInTheCanvassPlace({ page }) {
  await page.emulateMedia({ colorScheme: 'dark' })
  await frames(page)
  const dark = await picture(page)
  const shown = () =>
    page.evaluate(() => ({
      image: getComputedStyle(document.querySelector('#stage .stage-print')).display,
      canvas: getComputedStyle(document.querySelector('#stage .stage-canvas')).display,
    }))
  hold((await shown()).image === 'none', 'the picture for paper is on the screen')
  // The sheet's own layout comes with the next one; the picture is made for the stage as it is on the screen.
  const onScreen = await box(page).boundingBox()
  await page.emulateMedia({ colorScheme: 'dark', media: 'print' })
  // What the paper gets is there when the event is over: nothing may come later.
  const source = await page.evaluate(() => {
    dispatchEvent(new Event('beforeprint'))
    return document.querySelector('#stage .stage-print').src
  })
  const now = await shown()
  hold(now.image === 'block' && now.canvas === 'none', JSON.stringify(now))
  const { ground, width } = await page.evaluate(async (url) => {
    const image = new Image()
    image.src = url
    await image.decode()
    const context = new OffscreenCanvas(image.width, image.height).getContext('2d')
    context.drawImage(image, 0, 0)
    // The bath, in the lower left corner.
    return { ground: [...context.getImageData(20, image.height - 40, 1, 1).data], width: image.width }
  }, source)
  hold(Math.min(...ground.slice(0, 2)) > 150 && ground[3] === 255, `the bath on paper is ${ground}`)
  hold(width >= 2 * onScreen.width - 2, `the picture is ${width} px wide`)
  await page.emulateMedia({ colorScheme: 'dark', media: 'screen' })
  await page.evaluate(() => dispatchEvent(new Event('afterprint')))
  await frames(page)
  hold((await shown()).image === 'none', 'the picture for paper stays on the screen')
  hold((await picture(page)) === dark, 'after printing the stage is another')
}

export async function aStageThatIsNotThereDrawsNothingAndOneThatComesBackDrawsOnce({ page }) {
  await page.evaluate(() => {
    window.drawn = []
    const { clear } = WebGL2RenderingContext.prototype
    WebGL2RenderingContext.prototype.clear = function (...given) {
      window.drawn.push(this.drawingBufferWidth)
      return clear.apply(this, given)
    }
  })
  const pictures = () => page.evaluate(() => window.drawn.length)
  // Where drawing is slow a picture is drawn coarsely, and once more with all pixels when the drop rests: each change
  // comes after a rest, and pictures that only sharpen the one before are told from those drawn twice.
  const rest = () => drawn(page, 500)
  await rest()
  const bar = page.locator('#clock [role=slider]')
  await bar.focus()
  await page.keyboard.press('ArrowLeft')
  await frames(page, 5)
  const before = await pictures()
  hold(before > 0, 'the clock moved and nothing was drawn')
  await page.evaluate(() => {
    document.getElementById('stage').style.display = 'none'
  })
  await frames(page, 5)
  await page.keyboard.press('ArrowLeft')
  await page.keyboard.press('ArrowLeft')
  await frames(page, 5)
  hold((await pictures()) === before, `hidden it drew ${(await pictures()) - before} times`)
  await rest()
  await page.evaluate(() => {
    document.getElementById('stage').style.display = ''
  })
  await frames(page, 8)
  const widths = (await page.evaluate(() => window.drawn)).slice(before)
  const anew = widths.filter((width, i) => i === 0 || width <= widths[i - 1])
  hold(anew.length === 1, `shown again it drew pictures ${widths.join(', ')} px wide`)
}

export async function theLettersOverTheStageGrowWithThePages({ page }) {
  await withPhysics(page)
  const usual = await page.evaluate(() => getComputedStyle(document.querySelector('.stage-overlay')).fontSize)
  await page.addStyleTag({ content: 'html { font-size: 190% !important }' })
  await frames(page, 6)
  const { size, wrong, words } = await page.evaluate(() => {
    const overlay = document.querySelector('#stage .stage-overlay')
    const frame = overlay.getBoundingClientRect()
    const seen = [...overlay.querySelectorAll('text')].filter(
      (text) => text.textContent && getComputedStyle(text).visibility === 'visible',
    )
    const boxes = seen.map((text) => ({ text: text.textContent, box: text.getBoundingClientRect() }))
    const outside = boxes.filter(({ box }) => box.left < frame.left - 1 || box.right > frame.right + 1)
    const marks = boxes.filter(({ text }) => /^(thin spot|rim|oil)/.test(text))
    const crossed = marks.filter((a, i) =>
      marks.some(
        (b, k) =>
          k > i &&
          a.box.left < b.box.right &&
          b.box.left < a.box.right &&
          a.box.top < b.box.bottom - 3 &&
          b.box.top < a.box.bottom - 3,
      ),
    )
    return {
      size: getComputedStyle(overlay).fontSize,
      words: marks.map(({ text }) => text),
      wrong: [...outside, ...crossed].map(({ text }) => text),
    }
  })
  hold(Number.parseFloat(size) > 1.9 * Number.parseFloat(usual), `letters of ${size} after ${usual}`)
  hold(words.length === 3, `marks: ${words}`)
  hold(wrong.length === 0, `beyond the edge or over one another: ${wrong.join('; ')}`)
}

export async function twoStagesStandOnOnePage({ page }) {
  const made = await page.evaluate(async () => {
    const chunk = performance
      .getEntriesByType('resource')
      .find(({ name }) => /\/stage-[^/]*\.js$/.test(name)).name
    const { createStage } = await import(chunk)
    const store = (dark) => {
      const state = {
        life: null,
        outgoing: null,
        stale: false,
        radialSpan: 0.03,
        timeSpan: 5,
        time: 0,
        dark,
        cursorRadius: 0.01,
        colourBy: 'thickness',
        logHeight: true,
        heightFactor: 20,
        preset: { bath: { depth_mm: 10, dishRadius_mm: 70 } },
        camera: { turn: 0, tilt: null, zoom: 1, panX: 0, panY: 0 },
      }
      return {
        getState: () => state,
        setState: (change) => Object.assign(state, change),
        subscribe: () => () => {},
      }
    }
    document.body.style.cssText = 'display: block'
    const views = ['with evaporation', 'without'].map((name) => {
      const root = document.createElement('div')
      root.className = 'pair'
      root.style.cssText = 'width: 300px; height: 220px'
      document.body.prepend(root)
      return createStage(root, store(false), { name, bare: true })
    })
    for (let i = 0; i < 6; i++) await new Promise((done) => requestAnimationFrame(done))
    const urls = views.map((view) => view.dataUrl())
    const ids = [...document.querySelectorAll('[id]')].map(({ id }) => id)
    const names = [...document.querySelectorAll('.stage-box')].map((one) => one.getAttribute('aria-label'))
    const extras = document.querySelectorAll('.pair details, .pair select').length
    for (const view of views) view.destroy()
    const left = document.querySelectorAll('.pair *').length
    return {
      urls: urls.map((url) => [url.slice(0, 22), url.length]),
      twice: ids.length - new Set(ids).size,
      names,
      extras,
      left,
    }
  })
  hold(new Set(made.names).size === 3, `names: ${made.names}`)
  hold(made.twice === 0, `${made.twice} ids stand twice`)
  hold(made.extras === 0 && made.left === 0, `menus: ${made.extras}; left behind: ${made.left}`)
  for (const [kind, size] of made.urls) {
    hold(kind === 'data:image/png;base64,' && size > 2000, `the picture is ${kind} of ${size} letters`)
  }
}

export async function withoutWebgl2TheOutlineIsTurnedAndSeenFromAboveToo({ page, context }) {
  await context.addInitScript(() => {
    const { getContext } = HTMLCanvasElement.prototype
    HTMLCanvasElement.prototype.getContext = function (kind, ...more) {
      return kind === 'webgl2' ? null : getContext.call(this, kind, ...more)
    }
  })
  await page.reload()
  await settled(page)
  await page.waitForFunction(() => document.querySelector('#stage .stage-edge')?.getAttribute('d'))
  hold(
    /drawn as an outline/.test(await page.locator('#stage .stage-failure').textContent()),
    'nothing is said',
  )
  const edge = () => page.locator('#stage .stage-edge').getAttribute('d')
  const start = await edge()
  await box(page).focus()
  for (const key of ['d', 'd', 'd']) await page.keyboard.press(key)
  await isTold(page, /turned 30° to the right/)
  hold(
    (await edge()) !== start && (await edge()).split('A').length === 2,
    `turned the edge is ${await edge()}`,
  )
  await press(page, 'From above')
  await isTold(page, /whole/)
  hold((await edge()).split('A').length === 3, `from above the edge is no circle: ${await edge()}`)
}
