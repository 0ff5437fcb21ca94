/** Report: one file with what was chosen, no script, nothing fetched, the user's text as text; printing. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { drawn } from './browser.mjs'
import { asFile, chooseFiles, hold, inLightAndDark, nextLife, pinLife, violationsIn, visit } from './page.mjs'
import { csvOf } from './samples.mjs'

const goTo = async (page) => {
  await visit(page, 'report')
  await page.waitForFunction(() => document.querySelector('#report iframe')?.srcdoc.length > 1000)
}

const part = (page, id) => page.locator(`#report [data-part="${id}"] input`)

async function saved(page, act) {
  const [download] = await Promise.all([page.waitForEvent('download'), act()])
  return { name: download.suggestedFilename(), text: readFileSync(await download.path(), 'utf8') }
}

const save = (page) => saved(page, () => page.getByRole('button', { name: 'Save the report' }).click())

const title = '<script>document.title = "run"</script> & <img src=x onerror=alert(1)>'

async function fill(page) {
  await chooseFiles(page, [asFile('bench-3.csv', csvOf(0.024), 'text/csv')])
  await pinLife(page)
  await nextLife(page, () => page.locator('#strength').fill('124'))
  await goTo(page)
  await page.locator('#report').getByLabel('Title').fill(title)
  await page.locator('#report').getByLabel('Names').fill('A. Student')
  await page.locator('#report').getByLabel('Text').fill('First line.\n<b>Second</b> line.')
  await page.getByLabel('Moments of the section').fill('0.5; 3')
  await part(page, 'pulls').check()
  await part(page, 'trace-0').uncheck()
  // The preview, and what is saved figure by figure, follow a little later.
  await drawn(page, 500)
}

/** The saved file in a page of its own, with what it asks for. */
async function opened(context, text, act) {
  const folder = mkdtempSync(join(tmpdir(), 'rimtide-'))
  const path = join(folder, 'report.html')
  writeFileSync(path, text)
  const page = await context.newPage()
  const asked = []
  page.on('request', (request) => asked.push(request.url()))
  try {
    await page.goto(`file://${path}`)
    await act(page, asked)
  } finally {
    await page.close()
    rmSync(folder, { recursive: true })
  }
}

export async function theReportHoldsWhatWasChosenAndNothingRuns({ page, context, foreign }) {
  await fill(page)
  const { name, text } = await save(page)
  hold(/^rimtide-report-.*\.html$/.test(name), `the file is called ${name}`)
  hold(!/<script/i.test(text), 'there is a script in the file')
  hold(!/https?:\/\//.test(text), `there is an address in it: ${/.{30}https?:\/\/.{30}/.exec(text)?.[0]}`)
  await opened(context, text, async (report, asked) => {
    await drawn(report, 200)
    hold(asked.length === 1, `the file asks for ${asked.slice(1)}`)
    const seen = await report.evaluate(() => ({
      heading: document.querySelector('h1').textContent,
      title: document.title,
      images: document.images.length + document.scripts.length,
      figures: [...document.querySelectorAll('figcaption strong')].map((one) => one.textContent),
      sections: [...document.querySelectorAll('h2')].map((one) => one.textContent),
      text: document.body.textContent,
      wide: document.documentElement.scrollWidth > innerWidth,
    }))
    hold(seen.heading === title && seen.title === title, `the title has become ${seen.heading}`)
    hold(seen.images === 0, 'markup of the user has become elements')
    const wanted = [
      'Section at 0.500 s',
      'Section at 3.00 s',
      'Measured radii against the life',
      'Pulls on the oil',
    ]
    for (const figure of wanted)
      hold(
        seen.figures.some((one) => one.includes(figure)),
        `${figure} is missing: ${seen.figures}`,
      )
    hold(
      !seen.figures.some((one) => one.includes('Radius against time')),
      'a figure that was not chosen is there',
    )
    for (const heading of [
      'Result',
      'Appendix',
      'The drop',
      'Measured series',
      'Settings',
      'Numerical errors',
      'What the model leaves out',
      'Cautions',
    ])
      hold(seen.sections.includes(heading), `the part "${heading}" is missing`)
    for (const words of [
      'A. Student',
      '<b>Second</b> line.',
      'bench-3.csv',
      'drop.alcoholMassFraction',
      'Local rules and the person responsible',
    ])
      hold(seen.text.includes(words), `"${words}" is missing`)
    hold(
      !/NaN|undefined|\[object|Infinity/.test(seen.text),
      `a number is missing: ${/.{30}(NaN|undefined|\[object|Infinity)/.exec(seen.text)?.[0]}`,
    )
    hold(!seen.wide, 'the report is wider than the window')
  })
  foreign.length = 0
}
theReportHoldsWhatWasChosenAndNothingRuns.mayAskForeign = true

export async function theSavedReportIsAccessibleAndPrintsOnA4({ page, context }) {
  await fill(page)
  const { text } = await save(page)
  await opened(context, text, async (report) => {
    const violations = await violationsIn(report)
    hold(violations.length === 0, violations.map(({ id, nodes }) => `${id}: ${nodes[0].target}`).join('; '))
    const pdf = (await report.pdf({ preferCSSPageSize: true })).toString('latin1')
    const sizes = [...pdf.matchAll(/\/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]/g)]
    hold(sizes.length >= 3 && sizes.length <= 12, `it prints on ${sizes.length} pages`)
    // ISO 216: A4 is 210 × 297 mm, that is 595.3 × 841.9 points.
    hold(
      sizes.every(([, w, h]) => Math.abs(w - 595.3) < 1 && Math.abs(h - 841.9) < 1),
      `the pages are ${sizes[0]}`,
    )
    await report.emulateMedia({ media: 'print' })
    await report.setViewportSize({ width: 703, height: 1000 })
    // The result comes first, on two pages at most (A4 less its borders is about 1000 px high at this width).
    const result = await report.evaluate(() => ({
      first: document.querySelector('h2').textContent,
      parts: document.querySelectorAll('.result figure, .result table, .result .answer').length,
      appendix: document.querySelector('.appendix').getBoundingClientRect().top + scrollY,
      breaks: getComputedStyle(document.querySelector('.appendix')).breakBefore,
    }))
    hold(result.first === 'Result' && result.parts === 3, `the report begins with ${JSON.stringify(result)}`)
    hold(result.appendix < 2000, `the result takes ${result.appendix} px of 2000`)
    hold(result.breaks === 'page', 'the appendix begins on a page of its own')
    // With the machine's own type: no words of a picture lie on others.
    const crossed = await report.evaluate(() =>
      [...document.querySelectorAll('figure svg')].flatMap((svg) => {
        const words = [...svg.querySelectorAll('text')].map((text) => [
          text.textContent,
          text.getBoundingClientRect(),
        ])
        return words.flatMap(([one, a], i) =>
          words
            .slice(i + 1)
            .filter(
              ([, b]) =>
                a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 3 && b.top < a.bottom - 3,
            )
            .map(([other]) => `${one} / ${other}`),
        )
      }),
    )
    hold(crossed.length === 0, `words lie on words: ${crossed}`)
    const wide = await report.evaluate(() => document.documentElement.scrollWidth)
    hold(wide <= 703, `on paper it would be ${wide} px wide and shrunk to 703`)
    const clipped = await report.evaluate(() =>
      [...document.querySelectorAll('svg')].flatMap((svg) => {
        const box = svg.getBoundingClientRect()
        return [...svg.querySelectorAll('text')]
          .filter((text) => {
            const own = text.getBoundingClientRect()
            return (
              own.left < box.left - 1 ||
              own.right > box.right + 1 ||
              own.top < box.top - 1 ||
              own.bottom > box.bottom + 1
            )
          })
          .map((text) => text.textContent)
      }),
    )
    hold(clipped.length === 0, `words are cut off: ${clipped}`)
  })
}
theSavedReportIsAccessibleAndPrintsOnA4.mayAskForeign = true

export async function figuresAndTablesAreSavedOneByOne({ page }) {
  await fill(page)
  await page.waitForFunction(() => {
    const listed = document.querySelector('#report .report-figures').textContent
    return /Section at 3\.00 s.*Pulls on the oil/.test(listed) && !/Radius against time/.test(listed)
  })
  const menu = page.locator('#report .report-single', { hasText: 'Section at 3.00 s' })
  await menu.locator('summary').click()
  const svg = await saved(page, () => menu.getByRole('button', { name: 'SVG' }).click())
  hold(/^<svg .*Section at 3\.00 s/s.test(svg.text), `the picture begins ${svg.text.slice(0, 80)}`)
  const png = await saved(page, () => menu.getByRole('button', { name: 'PNG' }).click())
  hold(png.text.slice(1, 4) === 'PNG', 'the PNG is none')
  await page.keyboard.press('Escape')
  const table = page.locator('#report .report-single', { hasText: 'Table: Residuals' })
  await table.locator('summary').click()
  const csv = await saved(page, () => table.getByRole('button', { name: 'CSV' }).click())
  hold(/^series,points,outside,rms_mm,/.test(csv.text), `the table begins ${csv.text.slice(0, 60)}`)
}

export async function theReportRemembersItsChoice({ page }) {
  await fill(page)
  await page.reload()
  await goTo(page)
  hold((await page.locator('#report').getByLabel('Title').inputValue()) === title, 'the title is forgotten')
  hold(
    (await page.getByLabel('Moments of the section').inputValue()) === '0.5; 3',
    'the moments are forgotten',
  )
  hold(await part(page, 'pulls').isChecked(), 'the choice of figures is forgotten')
  hold(!(await part(page, 'trace-0').isChecked()), 'the choice of figures is forgotten')
  await page.getByLabel('Moments of the section').fill('900')
  await page.waitForFunction(() =>
    /Permitted: 0 to/.test(document.querySelector('#report .problem').textContent),
  )
}

export async function theReportHasItsOwnLink({ page }) {
  const focused = await page.evaluate(() => document.activeElement?.id)
  hold(focused === 'report-title', `the focus is on ${focused}`)
}
theReportHasItsOwnLink.options = { path: '#report' }

export async function theReportIsAccessibleInLightAndDark({ page }) {
  await goTo(page)
  await inLightAndDark(page, async (scheme) => {
    // The preview has a check of its own, as a file; axe cannot look into a frame without scripts.
    const violations = await violationsIn(page, '#report')
    const told = violations.map(({ id, nodes }) => `${id}: ${nodes[0].target}`)
    hold(told.length === 0, `${scheme}: ${told.join('; ')}`)
  })
}

for (const check of [
  theReportHoldsWhatWasChosenAndNothingRuns,
  theSavedReportIsAccessibleAndPrintsOnA4,
  figuresAndTablesAreSavedOneByOne,
]) {
  check.shares = true
}
