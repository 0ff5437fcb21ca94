/** Pictures of the page in its main states, to be looked at. Written to pictures/. */
import { mkdir } from 'node:fs/promises'
import { fileURLToPath } from 'node:url'
import { findBrowser, launch, missingBrowser, serve, settled } from './browser.mjs'
import { csvOf } from './samples.mjs'

const out = process.env.RIMTIDE_PICTURES ?? fileURLToPath(new URL('../../pictures/', import.meta.url))

const views = [
  { name: 'wide', width: 1440, height: 900 },
  { name: 'narrow', width: 390, height: 844 },
]

/** Moves the clock strip to a part (0–1) of the life with the keys and waits for the drawing. */
async function goTo(page, part) {
  const bar = page.locator('#clock [role=slider]')
  await bar.focus()
  await page.keyboard.press('Home')
  const end = Number(await bar.getAttribute('aria-valuemax'))
  for (let i = 0; i < 400; i++) {
    if (Number(await bar.getAttribute('aria-valuenow')) >= part * end - 1e-6) break
    await page.keyboard.press('ArrowRight')
  }
  await page.waitForTimeout(250)
}

const states = [
  { name: 'start', act: (page) => page.waitForTimeout(300) },
  { name: 'early', act: (page) => goTo(page, 0.12) },
  { name: 'largest', act: (page) => goTo(page, 0.5) },
  { name: 'late', act: (page) => goTo(page, 0.9) },
  {
    name: 'weak',
    async act(page) {
      await page.locator('#strength').fill('40')
      await page.waitForTimeout(100)
      await settled(page)
      await page.waitForTimeout(300)
    },
  },
  {
    name: 'compared',
    async act(page) {
      await page.locator('#strength').fill('130')
      await settled(page)
      await page.getByRole('button', { name: 'Pin this life' }).first().click()
      await page.locator('#strength').fill('110')
      await page.waitForTimeout(100)
      await settled(page)
      await page.getByRole('button', { name: 'Pin this life' }).first().click()
      await page.locator('#strength').fill('100')
      await page.waitForTimeout(100)
      await settled(page)
      const [chooser] = await Promise.all([
        page.waitForEvent('filechooser'),
        page.getByRole('button', { name: 'Open file' }).click(),
      ])
      await chooser.setFiles({ name: 'bench-3.csv', mimeType: 'text/csv', buffer: Buffer.from(csvOf(0.024)) })
      await page.waitForTimeout(600)
    },
  },
  { name: 'compared-full', full: true, act: (page) => page.waitForTimeout(100) },
  {
    name: 'messages',
    async act(page) {
      const [chooser] = await Promise.all([
        page.waitForEvent('filechooser'),
        page.getByRole('button', { name: 'Open file' }).click(),
      ])
      await chooser.setFiles([
        {
          name: 'wrong.json',
          mimeType: 'application/json',
          buffer: Buffer.from('{"format": "rimtide-preset", '),
        },
        { name: 'no-unit.csv', mimeType: 'text/csv', buffer: Buffer.from('t;R\n0;2,5\n1;12,5\n2;18,1\n') },
      ])
      await page.waitForTimeout(500)
    },
  },
  {
    name: 'menu',
    async act(page) {
      await page.evaluate(() => scrollTo(0, 0))
      await page.locator('.bar .menu summary').click()
      await page.waitForTimeout(200)
    },
  },
  {
    name: 'help',
    async act(page) {
      await page.keyboard.press('Escape')
      await page.locator('.controls .help-button').nth(1).click()
      await page.waitForTimeout(200)
    },
  },
]

async function photograph(browser, address, view, colorScheme) {
  const context = await browser.newContext({
    viewport: { width: view.width, height: view.height },
    colorScheme,
    reducedMotion: 'reduce',
    hasTouch: view.name === 'narrow',
  })
  const page = await context.newPage()
  page.on('console', (message) => {
    if (message.type() !== 'log') console.log(`  console ${message.type()}: ${message.text()}`)
  })
  page.on('pageerror', (error) => console.log(`  page error: ${error.message}`))
  await page.goto(address)
  await settled(page)
  for (const state of states) {
    try {
      await state.act(page)
    } catch (error) {
      console.log(`  ${state.name}: ${error.message.split('\n')[0]}`)
    }
    await page.screenshot({
      path: `${out}/${view.name}-${colorScheme}-${state.name}.png`,
      fullPage: state.full ?? false,
    })
  }
  await context.close()
}

const path = findBrowser()
if (!path) {
  console.error(missingBrowser)
  process.exit(1)
}
await mkdir(out, { recursive: true })
const server = await serve()
const browser = await launch(path)
try {
  for (const view of views) {
    for (const scheme of ['light', 'dark']) {
      console.log(`${view.name}, ${scheme}`)
      await photograph(browser, server.address, view, scheme)
    }
  }
  console.log(`Pictures are in ${out}`)
} finally {
  await browser.close()
  await server.close()
}
