/** Thickness from fringes: the invented picture, and a picture file of known thickness. */
import { readFile } from 'node:fs/promises'
import { hold, lens, violationsIn, visit } from './page.mjs'

const fold = (page) => page.locator('#video details.fringes')
const button = (page, name) => page.locator('#video').getByRole('button', { name, exact: true })

async function openFold(page) {
  await visit(page, 'video')
  await page.waitForSelector('#video details.fringes')
  await fold(page).locator('summary').first().focus()
  await page.keyboard.press('Enter')
  await page.waitForSelector('#video .fringes-body button')
}

/** The sentence about the thickness, once there is one. */
async function resultOf(page) {
  const found = page.locator('.fringes-left .lead').filter({ hasText: /thick|differs|No thickness/ })
  await found.waitFor({ timeout: 60_000 })
  return found.textContent()
}

/** Columns of the saved table by their names. */
async function savedTable(page) {
  const menu = fold(page).locator('.plot-menu').first()
  await menu.locator('summary').click()
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    menu.getByRole('button', { name: 'CSV', exact: true }).click(),
  ])
  const [head, ...rows] = (await readFile(await download.path(), 'utf8')).trim().split('\n')
  const cells = rows.map((row) => row.split(',').map((cell) => (cell === '' ? Number.NaN : Number(cell))))
  return Object.fromEntries(head.split(',').map((name, k) => [name, cells.map((row) => row[k])]))
}

/** Largest distance over what is permitted, 3 % or 0.02 µm, and the number of thicknesses. */
function worstOf(table, truth) {
  const r = table.r_mm ?? Object.entries(table).find(([name]) => name.startsWith('r_mm'))[1]
  let [worst, count] = [0, 0]
  table.h_um.forEach((h, i) => {
    if (Number.isNaN(h) || h === undefined) return
    const expected = truth(r[i], i)
    worst = Math.max(worst, Math.abs(h - expected) / Math.max(0.02, 0.03 * expected))
    count++
  })
  return { worst, count }
}

export async function theInventedFringesBecomeAThickness({ page }) {
  await openFold(page)
  await button(page, 'Try an invented picture').focus()
  await page.keyboard.press('Enter')
  const words = await resultOf(page)
  hold(/^The film is [\d.]+ to [\d.]+ µm thick, ± [\d.]+ nm/.test(words), `it says "${words}"`)
  hold(
    /invented/.test(await page.locator('.fringes-left .video-name').textContent()),
    'not marked as invented',
  )
  const table = await savedTable(page)
  for (const name of ['sigma_own_um', 'sigma_shared_um', 'sigma_total_um', 'h_plus_2_sigma_um'])
    hold(name in table, `the table lacks ${name}: ${Object.keys(table)}`)
  // The picture was drawn from the simulated film itself.
  const { worst, count } = worstOf(table, (_, i) => table.simulated_h_um[i])
  hold(count > 150, `${count} thicknesses`)
  hold(worst < 1, `a thickness is off by ${worst} times what is permitted`)
  const found = await violationsIn(page, '#video')
  hold(found.length === 0, `axe: ${found.map(({ id, nodes }) => `${id} ${nodes[0].html}`).join('; ')}`)
  await fold(page).getByLabel('The thickness is known').selectOption('nowhere')
  await page.locator('.fringes-left .lead').filter({ hasText: 'differs by up to' }).waitFor()
  hold(
    /differences only/i.test(await page.locator('.fringes-left ul.note').textContent()),
    'no word of differences',
  )
}

/** In the page: a cap of 2 µm that thins to nothing at its rim (150 px), in yellow light; two-beam fringes. */
function drawCap() {
  const canvas = document.createElement('canvas')
  Object.assign(canvas, { width: 400, height: 360 })
  const context = canvas.getContext('2d')
  const image = context.createImageData(400, 360)
  const [r1, r2] = [(1 - 1.36) / 2.36, (1.36 - 1.472) / 2.832]
  for (let i = 0; i < 400 * 360; i++) {
    let light = 0
    for (let k = 0; k < 9; k++) {
      const s = Math.hypot(
        (i % 400) + (k % 3) / 3 + 1 / 6 - 203,
        Math.floor(i / 400) + Math.floor(k / 3) / 3 + 1 / 6 - 181,
      )
      const h = Math.max(0, 2e-6 * (1 - (s / 150) ** 2))
      light += (r1 ** 2 + r2 ** 2 + 2 * r1 * r2 * Math.cos((4 * Math.PI * 1.36 * h) / 589.3e-9)) / 9
    }
    const byte = 255 * (1.055 * (14 * light) ** (1 / 2.4) - 0.055) + 4 * (Math.random() - 0.5)
    image.data.set([byte, 0.9 * byte, 0.3 * byte, 255], 4 * i)
  }
  context.putImageData(image, 0, 0)
  return canvas.toDataURL('image/png').split(',')[1]
}

export async function fringesOfAPictureFileAreRead({ page }) {
  const data = await page.evaluate(drawCap)
  await openFold(page)
  hold(await button(page, 'Read the shown frame').isDisabled(), 'a frame can be read that is not there')
  const [chooser] = await Promise.all([
    page.waitForEvent('filechooser'),
    button(page, 'Choose a video or pictures').click(),
  ])
  await chooser.setFiles([{ name: 'rings.png', mimeType: 'image/png', buffer: Buffer.from(data, 'base64') }])
  await page.waitForFunction(() =>
    /(radius|no drop)/.test(document.querySelector('.video-status')?.textContent ?? ''),
  )
  await button(page, 'Read the shown frame').click()
  const type = (label, text) => fold(page).getByRole('textbox', { name: label, exact: true }).fill(text)
  await type('Centre, from the left px', '202')
  await type('Centre, from the top px', '180')
  await type('Radius px', '150')
  await type('Radius mm', '')
  await page
    .locator('.fringes-left ul.problem li')
    .filter({ hasText: 'Radius of the drop: wanted' })
    .waitFor()
  await type('Radius mm', '15')
  await type('Index of the film', '1.36')
  await fold(page).getByLabel('The thickness is known').selectOption('rim')
  const words = await resultOf(page)
  hold(/^The film is .* to (1\.9[89]|2|2\.0\d?) µm thick/.test(words), `it says "${words}"`)
  const { worst, count } = worstOf(await savedTable(page), (r) => 2 * (1 - (r / 15) ** 2))
  hold(count > 250, `${count} thicknesses`)
  hold(worst < 1, `a thickness is off by ${worst} times what is permitted`)
}
fringesOfAPictureFileAreRead.options = lens
