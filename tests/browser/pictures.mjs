/** Pictures of the page in its main states, to be looked at. Written to pictures/. */
import { mkdir } from 'node:fs/promises'
import { fileURLToPath } from 'node:url'
import { findBrowser, launch, missingBrowser, serve, settled } from './browser.mjs'
import { asFile, chooseFiles, more, openInputs, pinLife, visit } from './page.mjs'
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

const select = (page, name) => page.locator('.stage-legend select').selectOption(name)

async function pinned(page) {
  await page.locator('#strength').fill('110')
  await page.waitForTimeout(100)
  await settled(page)
  await pinLife(page)
}

const states = [
  { name: 'watch', act: (page) => page.waitForTimeout(300) },
  { name: 'watch-early', act: (page) => goTo(page, 0.12) },
  { name: 'watch-late', act: (page) => goTo(page, 0.9) },
  {
    name: 'watch-weak',
    async act(page) {
      await page.locator('#strength').fill('40')
      await page.waitForTimeout(100)
      await settled(page)
      await page.waitForTimeout(300)
    },
  },
  {
    name: 'watch-white',
    async act(page) {
      await page.locator('#strength').fill('130')
      await settled(page)
      await goTo(page, 0.4)
      await select(page, 'white')
      await page.waitForTimeout(800)
    },
  },
  {
    name: 'watch-physics',
    async act(page) {
      await select(page, 'thickness')
      await page.getByRole('button', { name: 'The physics' }).click()
      await page.waitForTimeout(500)
    },
  },
  {
    name: 'watch-inputs',
    async act(page) {
      await openInputs(page)
      await page.locator('.controls .help-button').nth(1).click()
      await page.waitForTimeout(300)
    },
  },
  {
    name: 'explain-step',
    async act(page) {
      await page.getByRole('button', { name: 'All inputs' }).click()
      await page.getByRole('button', { name: 'The physics' }).click()
      await visit(page, 'rim')
      await page.locator('#rim').getByRole('button', { name: 'Show me' }).click()
      await page.waitForTimeout(300)
    },
  },
  {
    name: 'explain-without',
    async act(page) {
      await visit(page, 'without')
      await page.locator('.without-switches input').first().check()
      await page.waitForFunction(() => /instead of/.test(document.querySelector('.without-says').textContent))
      await page.waitForTimeout(600)
    },
  },
  ...[
    'exercises',
    'glossary',
    'about',
    'recipe',
    'threshold',
    'map',
    'matters',
    'sheet',
    'cautions',
    'video',
  ].map((name) => ({
    name,
    async act(page) {
      await visit(page, name)
      await page.waitForTimeout(400)
    },
  })),
  {
    name: 'measured',
    async act(page) {
      await visit(page, 'measured')
      await pinned(page)
      await chooseFiles(page, [asFile('bench-3.csv', csvOf(0.024), 'text/csv')])
      await page.waitForTimeout(600)
    },
  },
  ...['fit', 'scaling', 'report'].map((name) => ({
    name,
    async act(page) {
      await visit(page, name)
      await page.waitForTimeout(900)
    },
  })),
  {
    name: 'messages',
    async act(page) {
      await chooseFiles(page, [
        asFile('wrong.json', '{"format": "rimtide-preset", ', 'application/json'),
        asFile('no-unit.csv', 't;R\n0;2,5\n1;12,5\n2;18,1\n', 'text/csv'),
      ])
      await page.waitForTimeout(500)
    },
  },
  {
    name: 'classroom',
    async act(page) {
      await page.keyboard.press('Escape')
      await visit(page, 'rim')
      await more(page, 'For a classroom')
      await page.waitForTimeout(900)
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
