/** Tables on their way in: seen before they are taken, corrected and edited by keyboard alone, read in a worker. */
import { asFile, chooseFiles, hold, messageLike, nextLife, violationsIn } from './page.mjs'

const names = (page) => page.locator('#measured li[data-curve] .name').allTextContents()

/** Presses Tab until the focus is on what bears this name. */
async function tabTo(page, pattern, most = 60) {
  const seen = []
  for (let i = 0; i < most; i++) {
    const name = await page.evaluate(() => {
      const at = document.activeElement
      return (
        at?.getAttribute('aria-label') ?? [...(at?.labels ?? [])][0]?.textContent ?? at?.textContent ?? ''
      )
    })
    if (pattern.test(name.trim())) return
    seen.push(name.trim().slice(0, 40))
    await page.keyboard.press('Tab')
  }
  throw new Error(`${pattern} is not reached by Tab; on the way: ${seen.join(' | ')}`)
}

async function accessible(page, part) {
  const violations = await violationsIn(page, part)
  hold(violations.length === 0, violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`).join('\n'))
}

/** What a spreadsheet puts on the clipboard; invented. */
const cells = 't_min\tR\tremark\n0\t2,5\tlamp on\n0,5\t12,4\t\n1\tabout 14\t\n1,5\t15\t\n2\t14,1\t\n'

export const aPastedTableIsCorrectedAndEditedByKeyboardAlone = async ({ page }) => {
  await page.evaluate((text) => navigator.clipboard.writeText(text), cells)
  await page.keyboard.press('Control+v')
  await page.locator('.look .says').getByText('line 4, column 2 (R): "about 14"').waitFor()
  await accessible(page, '.look')
  await tabTo(page, /^Leave out rows/)
  await page.keyboard.press('Space')
  await page.locator('.look .caution').getByText('might also be meant').waitFor()
  await tabTo(page, /^Column 1 .*: unit/)
  await page.keyboard.press('Home')
  await page
    .locator('.look .says')
    .getByText('4 points: “pasted table” from 0 s to 2 s, up to 15 mm')
    .waitFor()
  await tabTo(page, /^Take over/)
  await page.keyboard.press('Enter')
  await messageLike(page, /pasted table: .*Left out: line 4 \("about 14": a number is wanted here\)/)
  await page.getByRole('button', { name: 'Edit pasted table' }).waitFor()
  await tabTo(page, /^Edit pasted table/)
  await page.keyboard.press('Enter')
  await accessible(page, '#measured')
  await tabTo(page, /^Alcohol fraction$/)
  await page.keyboard.type('60')
  await tabTo(page, /^Use the point at 0.5 s/)
  await page.keyboard.press('Space')
  await tabTo(page, /^Radius at 1.5 s, mm/)
  await page.keyboard.press('Control+a')
  await page.keyboard.type('14,5')
  await page.keyboard.press('Enter')
  const row = () => page.locator('#measured li[data-curve]').textContent()
  hold(/60 % by mass, 4 points, 1 set aside/.test(await row()), `the list says "${await row()}"`)
  const radius = page.getByLabel('Radius at 1.5 s, mm')
  hold((await radius.inputValue()) === '14.5', `the radius is ${await radius.inputValue()}`)
  await tabTo(page, /^Undo the last change$/)
  await page.keyboard.press('Enter')
  hold((await radius.inputValue()) === '15', `after undo the radius is ${await radius.inputValue()}`)
  await page.keyboard.press('Escape')
  hold(await page.locator('.curve-editor').isHidden(), 'the editor is still open')
}
aPastedTableIsCorrectedAndEditedByKeyboardAlone.options = {
  permissions: ['clipboard-read', 'clipboard-write'],
}

export async function aLargeTableIsReadInAWorkerAndCanBeStopped({ page }) {
  const rows = Array.from(
    { length: 30_000 },
    (_, i) => `${(i * 1e-4).toFixed(4)},${(5 + i * 1e-4).toFixed(4)}`,
  )
  const table = asFile('long.csv', ['t (s),R (mm)', ...rows].join('\n'))
  let release = () => {}
  const held = new Promise((resolve) => {
    release = resolve
  })
  await page.route(/\/table-[^/]*\.js$/, async (route) => {
    await held
    await route.continue()
  })
  await chooseFiles(page, [table])
  await page.locator('.message.reading').getByRole('button', { name: 'Stop' }).click()
  await messageLike(page, /The reading of long\.csv was stopped/)
  hold((await page.locator('.message.reading').count()) === 0, 'it is still being read')
  release()
  await chooseFiles(page, [table])
  await page.waitForSelector('#measured li[data-curve]')
  await page.getByRole('button', { name: 'Show invented demo data' }).click()
  await page.waitForFunction(() => document.querySelectorAll('#measured li[data-curve]').length === 4)
  const list = (await names(page)).join()
  await page.unrouteAll()
  hold(list === 'long,50 % bench 3,60 % bench 3,70 % bench 3', `the list holds ${list}`)
}
aLargeTableIsReadInAWorkerAndCanBeStopped.shares = true

export async function aMessageComesToWhereTheReaderIs({ page }) {
  await page.getByRole('button', { name: 'Show invented demo data' }).click()
  await page.getByRole('button', { name: 'Set their drop' }).waitFor()
  const message = page.locator('#messages .message', { hasText: 'Three invented curves' })
  const seen = () =>
    message.evaluate((card) => {
      const { top, bottom } = card.getBoundingClientRect()
      return top >= 0 && bottom <= innerHeight
    })
  hold((await page.evaluate(() => scrollY)) > 400, 'the page is still at its top')
  hold(await seen(), 'the message is out of sight')
  await nextLife(page, () => page.getByRole('button', { name: 'Set their drop' }).click())
  // The curve of this very drop, made with faster evaporation, lies a millimetre or two off.
  await page.waitForFunction(() =>
    /60 % bench 3.*?points\s*r\.m\.s\. [12]\./.test(document.querySelector('#measured').textContent),
  )
  hold(/kitchen oil/.test(await page.locator('#bar').textContent()), 'the drop of the curves is not set')
}
