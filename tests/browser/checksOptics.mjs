/** The drop as it looks: its colours on the stage, and the picture from above. */
import { readFileSync } from 'node:fs'
import { hold, violationsIn } from './page.mjs'

const select = (page) => page.locator('.stage-legend select')

/** Colours as the browser paints the saved picture: its size and a pixel of it. */
const pixelOf = (page, png, x, y) =>
  page.evaluate(
    async ([base64, x, y]) => {
      const image = new Image()
      image.src = `data:image/png;base64,${base64}`
      await image.decode()
      const canvas = document.createElement('canvas')
      canvas.width = image.width
      canvas.height = image.height
      const context = canvas.getContext('2d')
      context.drawImage(image, 0, 0)
      return [...context.getImageData(x, y, 1, 1).data.slice(0, 3)]
    },
    [png.toString('base64'), x, y],
  )

export async function theDropIsShownAsItLooksAndSavedFromAbove({ page }) {
  await select(page).selectOption('white')
  await page.locator('.stage-look', { hasText: 'white light (D65)' }).waitFor()
  await page.locator('.stage-notes').getByText('Save', { exact: true }).click()
  const [download] = await Promise.all([
    page.waitForEvent('download', { timeout: 90_000 }),
    page.locator('.stage-notes').getByRole('button', { name: 'Picture from above' }).click(),
  ])
  hold(/from-above\.png$/.test(download.suggestedFilename()), `it is called ${download.suggestedFilename()}`)
  const png = readFileSync(await download.path())
  // Width stands at byte 16 of a PNG (ISO/IEC 15948, 11.2.2).
  hold(png.readUInt32BE(16) === 1400, `it is ${png.readUInt32BE(16)} wide`)
  // Outside the drop: bare oil, 3.6–3.8 % reflected (Fresnel, n 1.47–1.48), shown 25 times as bright: 243–250 of 255.
  const oil = await pixelOf(page, png, 20, 20)
  hold(
    oil.every((c) => c > 235 && c < 255),
    `the bare oil is ${oil}`,
  )
  await page.keyboard.press('Escape')
}

export async function aWavelengthOutOfRangeIsRefusedAndTheLastGoodOneStays({ page }) {
  await select(page).selectOption('mono')
  const note = page.locator('.stage-look')
  await page.locator('.stage-look', { hasText: 'Light of 589 nm' }).waitFor()
  const field = page.getByLabel('Wavelength')
  await field.fill('4500')
  await field.press('Tab')
  const says = await field.evaluate((input) => input.validationMessage)
  hold(says.includes('400') && says.includes('700'), `it says "${says}"`)
  hold((await note.textContent()).includes('589 nm'), 'the refused wavelength is in force')
  await field.fill('450')
  await field.press('Tab')
  await page.locator('.stage-look', { hasText: 'Light of 450 nm' }).waitFor()
  hold((await field.evaluate((input) => input.validationMessage)) === '', 'it still complains')
  const found = await violationsIn(page, '#stage')
  hold(found.length === 0, `axe: ${found.map((one) => one.id)}`)
}
