/** Videos frame by frame: what the page shows and measures is held against what the file was made of. */
import { BufferTarget, EncodedPacket, EncodedVideoPacketSource, Mp4OutputFormat, Output } from 'mediabunny'
import { drawn as isDrawn } from './browser.mjs'
import { giveBrush } from './brush.mjs'
import { hold, lens, visit } from './page.mjs'
import { Skipped } from './videoChecks.mjs'
import { encodeFrames, packFrames } from './videoFile.mjs'

const panel = (page) => page.locator('#video')
const size = { width: 320, height: 240 }

async function openFile(page, given) {
  await visit(page, 'video')
  await page.waitForSelector('#video .video-body button')
  const [chooser] = await Promise.all([
    page.waitForEvent('filechooser'),
    panel(page).getByRole('button', { name: 'Choose a video or pictures', exact: true }).click(),
  ])
  await chooser.setFiles([given])
  await page.waitForFunction(() =>
    /(radius|no drop)/.test(document.querySelector('.video-status')?.textContent ?? ''),
  )
}

async function encoded(page, wish) {
  await giveBrush(page)
  const made = await page.evaluate(encodeFrames, wish)
  if (made === null) throw new Skipped(`this browser cannot encode ${wish.codec}`)
  return made
}

/** Time, ms, and radius, px, of the frame that is shown, once it has been examined. */
async function shown(page) {
  await page.waitForFunction(() => /radius/.test(document.querySelector('.video-status').textContent))
  const text = await page.locator('.video-status').textContent()
  return { time: Math.round(1000 * Number.parseFloat(text)), radius: Number(/radius ([\d.]+)/.exec(text)[1]) }
}

/** Measures every `step`-th frame from the first on and gives times in ms and radii in px. */
async function measure(page, step) {
  await panel(page).getByRole('textbox', { name: 'Frames from one point to the next' }).fill(String(step))
  await panel(page).getByRole('button', { name: 'Measure from the start', exact: true }).click()
  await page.waitForFunction(
    () => /^(Done|No drop)/.test(document.querySelector('#video progress + p')?.textContent ?? ''),
    undefined,
    { timeout: 120_000 },
  )
  await page.waitForFunction(
    (said) => document.querySelector('.video-points p').textContent.startsWith(said),
    await page.evaluate(
      () => /\d+ frames/.exec(document.querySelector('#video progress + p').textContent)?.[0] ?? '',
    ),
  )
  await isDrawn(page)
  return page.locator('.video-table tbody tr').evaluateAll((rows) =>
    rows.map((row) => ({
      time: Math.round(
        1000 * Number(row.querySelector('button').textContent.replace('−', '-').replace(' s', '')),
      ),
      radius: Number(row.querySelector('input[type=text]').value || Number.NaN),
    })),
  )
}

/** Forty frames, unevenly in time, of which no two neighbours are alike. */
const many = Array.from({ length: 40 }, (_, i) => 20 + ((i * 17) % 61))
const moments = many.map((_, i) => 33 * i + (i > 12 ? 120 : 0) + (i > 25 ? 7 : 0))

/** Radii may be off by 1.2 %, or by `px`. */
function allAsMade(rows, indices, label, px = 0.6) {
  const said = rows.map(({ time, radius }) => `${time} ms ${radius} px`).join(', ')
  hold(
    rows.length === indices.length,
    `${label}: ${rows.length} frames instead of ${indices.length}: ${said}`,
  )
  indices.forEach((index, k) => {
    const { time, radius } = rows[k]
    hold(time === moments[index], `${label}: frame ${index} is at ${time} ms instead of ${moments[index]} ms`)
    const off = Math.abs(radius - many[index])
    hold(
      off <= Math.max(px, 0.012 * many[index]),
      `${label}: frame ${index} is ${radius} px instead of ${many[index]}`,
    )
  })
}

const every = (step) => moments.map((_, i) => i).filter((i) => i % step === 0)

/** The page's own thread at an eighth of its speed. */
async function slowDown(page) {
  const session = await page.context().newCDPSession(page)
  await session.send('Emulation.setCPUThrottlingRate', { rate: 8 })
}

/** Frames that build on others keep pieces of them (Chromium 156), px; neighbours differ by 17 px at least. */
const eased = 3

export async function everyFrameIsTheOneThatWasAskedFor({ page }) {
  const made = await encoded(page, {
    size,
    drawn: many,
    times: moments,
    codec: 'vp09.00.10.08',
    builds: true,
  })
  const buffer = packFrames(made, { size, webm: true, codecName: 'V_VP9', length: moments.at(-1) + 33 })
  await openFile(page, { name: 'many.webm', mimeType: 'video/webm', buffer })
  allAsMade(await measure(page, 1), every(1), 'each frame', eased)
  allAsMade(await measure(page, 7), every(7), 'every seventh', eased)
  await page.locator('.video-picture').focus()
  const visited = []
  for (const [key, index] of [
    ['End', 39],
    ['ArrowLeft', 38],
    ['Shift+ArrowLeft', 28],
    ['ArrowRight', 29],
    ['Home', 0],
    ['Shift+ArrowRight', 10],
  ]) {
    await page.keyboard.press(key)
    await page.waitForFunction(
      (t) => document.querySelector('.video-status').textContent.startsWith(`${t} s: radius`),
      (moments[index] / 1000).toFixed(3),
    )
    visited.push([index, await shown(page)])
  }
  allAsMade(
    visited.map(([, one]) => one),
    visited.map(([index]) => index),
    'by keys',
    eased,
  )
  await slowDown(page)
  allAsMade(await measure(page, 3), every(3), 'every third on a slow machine', eased)
}

/** Frames as an MP4 whose header says that they are to be turned by `rotation` degrees, clockwise. */
async function asMp4({ frames, known }, rotation) {
  const output = new Output({ format: new Mp4OutputFormat(), target: new BufferTarget() })
  const source = new EncodedVideoPacketSource('avc')
  output.addVideoTrack(source, { rotation })
  await output.start()
  const config = {
    codec: 'avc1.42001f',
    codedWidth: size.width,
    codedHeight: size.height,
    description: Buffer.from(known, 'base64'),
  }
  for (const { time, key, data } of frames) {
    const packet = new EncodedPacket(Buffer.from(data, 'base64'), key ? 'key' : 'delta', time / 1000, 0.04)
    await source.add(packet, { decoderConfig: config })
  }
  await output.finalize()
  return Buffer.from(output.target.buffer)
}

const drawn = [30, 45, 60]

/** The recording stands upright as the browser's own player shows it: that tells which way is up. */
export async function aRecordingFromATurnedPhoneStandsUpright({ page }) {
  const made = await encoded(page, { size, drawn, times: [0, 40, 80], codec: 'avc1.42001f' })
  const buffer = await asMp4(made, 90)
  await openFile(page, { name: 'turned.mp4', mimeType: 'video/mp4', buffer })
  const title = await page.locator('.video-name').textContent()
  hold(/240 × 320 px, every frame by its own time/.test(title), `the title says "${title}"`)
  const difference = await page.evaluate(async (base64) => {
    const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0))
    const player = document.createElement('video')
    player.muted = true
    player.src = URL.createObjectURL(new Blob([bytes], { type: 'video/mp4' }))
    await new Promise((resolve, reject) => {
      player.onloadeddata = resolve
      player.onerror = () => reject(new Error(player.error?.message))
    })
    if (player.videoWidth !== 240 || player.videoHeight !== 320) return `player: ${player.videoWidth}`
    await new Promise((resolve) => {
      player.requestVideoFrameCallback(resolve)
      player.currentTime = 0.001
    })
    const canvas = document.createElement('canvas')
    Object.assign(canvas, { width: 240, height: 320 })
    const context = canvas.getContext('2d')
    context.drawImage(player, 0, 0)
    const theirs = context.getImageData(0, 0, 240, 320).data
    const ours = document
      .querySelector('.video-picture canvas')
      .getContext('2d')
      .getImageData(0, 0, 240, 320).data
    let sum = 0
    for (let i = 0; i < theirs.length; i++) sum += Math.abs(theirs[i] - ours[i])
    if (!theirs.some((value) => value > 0)) return 'the player shows nothing'
    return sum / theirs.length
  }, buffer.toString('base64'))
  hold(difference < 3, `the picture differs from the player's by ${difference} of 255 on average`)
  const rows = await measure(page, 1)
  rows.forEach(({ radius }, i) => {
    hold(Math.abs(radius - drawn[i]) < 0.6, `frame ${i}: ${radius} px instead of ${drawn[i]} px`)
  })
}

/** Of a file that was cut short only the frames that are there count, and it is told which are not. */
export async function aVideoThatWasCutShortGivesWhatIsThere({ page }) {
  const made = await encoded(page, { size, drawn: many, times: moments, codec: 'vp09.00.10.08' })
  const whole = packFrames(made, { size, webm: true, codecName: 'V_VP9', length: moments.at(-1) + 33 })
  const buffer = whole.subarray(0, Math.round(0.6 * whole.length))
  await openFile(page, { name: 'cut.webm', mimeType: 'video/webm', buffer })
  const rows = await measure(page, 1)
  hold(rows.length > 15 && rows.length < 40, `${rows.length} frames`)
  const seen = rows.filter(({ radius }) => !Number.isNaN(radius))
  hold(seen.length >= rows.length - 1, `${seen.length} of ${rows.length} frames have a radius`)
  allAsMade(
    seen,
    seen.map((_, i) => i),
    'cut short',
  )
}

export async function framesOfAnotherSizeWithinAVideoAreFlagged({ page }) {
  const codec = 'vp09.00.10.08'
  const first = await encoded(page, { size, drawn, times: [0, 40, 80], codec })
  const other = { width: 400, height: 300 }
  const second = await encoded(page, { size: other, drawn: [50, 50], times: [120, 160], codec })
  const frames = [...first.frames, ...second.frames]
  const buffer = packFrames({ frames, known: null }, { size, webm: true, codecName: 'V_VP9', length: 200 })
  await openFile(page, { name: 'sizes.webm', mimeType: 'video/webm', buffer })
  const rows = await measure(page, 1)
  const said = await page.locator('.video-table tbody tr td:last-child').allTextContents()
  hold(rows.length === 5, `${rows.length} frames`)
  hold(
    said.slice(3).every((text) => text === 'frame of another size'),
    `the table says ${said}`,
  )
  for (const [i, r] of drawn.entries())
    hold(Math.abs(rows[i].radius - r) < 0.6, `frame ${i}: ${rows[i].radius} px`)
}

/** In the page: drops whose rim has fingers, `count` of them or none, as PNG pictures. */
function drawFingers({ size, radii, count, height }) {
  const canvas = document.createElement('canvas')
  Object.assign(canvas, size)
  const c = canvas.getContext('2d')
  return radii.map((r) => {
    c.fillStyle = '#e0c98c'
    c.fillRect(0, 0, size.width, size.height)
    c.fillStyle = '#8c2846'
    c.beginPath()
    for (let k = 0; k <= 1440; k++) {
      const angle = (Math.PI * k) / 720
      const away = r + height * Math.cos(count * angle)
      c.lineTo(size.width / 2 + 0.3 + away * Math.cos(angle), size.height / 2 + away * Math.sin(angle))
    }
    c.fill()
    return canvas.toDataURL('image/png').split(',')[1]
  })
}

export async function fingersAreCountedAndHeldAgainstTheComputedOnes({ page }) {
  const size = { width: 400, height: 300 }
  const open = async (name, radii, height) => {
    const pictures = await page.evaluate(drawFingers, { size, radii, count: 30, height })
    await visit(page, 'video')
    await page.waitForSelector('#video .video-body button')
    const [chooser] = await Promise.all([
      page.waitForEvent('filechooser'),
      panel(page).getByRole('button', { name: 'Choose a video or pictures', exact: true }).click(),
    ])
    await chooser.setFiles(
      pictures.map((data, i) => ({
        name: `${name} ${i}.png`,
        mimeType: 'image/png',
        buffer: Buffer.from(data, 'base64'),
      })),
    )
    await page.waitForFunction(
      (said) => document.querySelector('.video-name')?.textContent.startsWith(said),
      `${name} 0.png`,
    )
    await measure(page, 1)
  }
  const fingers = page.locator('.video-fingers')
  await open('smooth', [60, 80, 100], 0)
  hold(await fingers.isHidden(), 'fingers are told of a smooth drop')
  await open('fingered', [60, 80, 100, 120], 3)
  await fingers.waitFor()
  const said = await fingers.locator('p').textContent()
  // 2π·120/30 = 25 px.
  hold(/^Fingers counted in 4 of 4 frames\. /.test(said), `it says "${said}"`)
  hold(/Near the largest radius: 30\.0 ± 0\.[67] fingers, 25 px apart/.test(said), `it says "${said}"`)
  hold(/beads computed for the drop on this page/.test(said), `it says "${said}"`)
  const along = fingers.getByRole('slider')
  await along.focus()
  const values = []
  for (let i = 0; i < 4; i++) {
    values.push(/: (\d+)\.0 ± [\d.]+ fingers/.exec(await along.getAttribute('aria-valuetext'))?.[1])
    await page.keyboard.press('ArrowRight')
  }
  hold(values.join() === '30,30,30,30', `the slider says ${values}`)
}

for (const check of [
  everyFrameIsTheOneThatWasAskedFor,
  aRecordingFromATurnedPhoneStandsUpright,
  aVideoThatWasCutShortGivesWhatIsThere,
  framesOfAnotherSizeWithinAVideoAreFlagged,
]) {
  check.options = lens
}
