/** The lab sheet as data and as text, and the command that prints it. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it, test } from 'vitest'
import { main } from '../../src/cli/sheet.ts'
import { beadsOf } from '../../src/life/beads.ts'
import { defaultPreset, serialisePreset, setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life, LifeResult, Preset } from '../../src/life/types.ts'
import { hazards } from '../../src/liquids/safety.ts'
import type { CalculatedBeads } from '../../src/plan/beads.ts'
import { cameraPlan } from '../../src/plan/camera.ts'
import { cautionRows, flashPointRow } from '../../src/plan/sheet/cautions.ts'
import { labSheet } from '../../src/plan/sheet/labSheet.ts'
import { sheetOf } from '../../src/plan/sheet/sheetOf.ts'
import { labSheetText } from '../../src/plan/sheet/text.ts'
import type { LabSheet, SheetWish } from '../../src/plan/sheet/types.ts'
import { fingersOf } from '../../src/rim/fingers.ts'
import { callOf } from '../fixtures/captured.ts'
import { syntheticLife } from '../fixtures/syntheticLife.ts'
import { expectClose } from '../matchers.ts'

function preset(changes: Record<string, number | string | boolean> = {}): Preset {
  const made = setKeys(defaultPreset(), Object.entries({ 'model.accuracy': 'quick', ...changes }))
  if (!made.ok) throw new Error(made.problems[0]!.message)
  return made.preset
}
function lifeOf(p: Preset): Life {
  const made = runLifeSync(p)
  if (!made.ok) throw new Error(made.problems[0]!.message)
  return made.life
}
const strong = preset({ 'drop.alcoholMassFraction': 0.6 })
const life = lifeOf(strong)
const wish = (change: Partial<SheetWish> = {}): SheetWish => ({
  life,
  stock: { by: 'volume', value: 96 },
  mixture_mL: 50,
  frames: 201,
  pixels: 1000,
  ...change,
})
function sheet(change: Partial<SheetWish> = {}): LabSheet {
  const made = labSheet(wish(change))
  if (!made.ok) throw new Error(made.problems.map((p) => p.message).join(' '))
  return made.sheet
}
const rowsOf = (s: LabSheet, title: string) => s.sections.find((section) => section.title === title)!.rows
const rowOf = (s: LabSheet, label: string) =>
  s.sections.flatMap(({ rows }) => rows).find((r) => r.label === label)

describe('figures of the sheet', () => {
  it('drops and oil, by hand', () => {
    // π · (7 cm)² · 1 cm = 153.938 mL; rapeseed oil at 22 °C 917 − 0.66·2 = 915.68 kg/m³: 140.958 g.
    const { figures } = sheet()
    expect(figures.dropsPer_mL).toBe(100)
    expectClose(figures.oil_mL, 153.938, { atol: 1e-3 })
    expectClose(figures.oil_g, 140.958, { atol: 1e-3 })
  })
  it('recipe for the strength of the drop at the temperature of the room', () => {
    const { recipe } = sheet().figures
    expect(recipe.want.mass).toBe(0.6)
    expect(recipe.temperature_C).toBe(22)
    // OIML R 22 at 20 °C: 50 mL of w = 0.6 weigh 44.555 g, of which 0.6/0.93838 are stock; 2 K warmer 0.2 % lighter.
    expectClose(recipe.stock_g, (44.555 * 0.6) / 0.93838, { rtol: 3e-3 })
  })
  it('life as the engine gives it', () => {
    const { figures } = sheet()
    expect(figures.maxRadius_mm.central).toBe(1e3 * life.summary.maxRadius)
    expect(figures.collapseTime_s).toBe(life.summary.collapseTime)
    expect(rowOf(sheet(), 'Outcome')!.value).toBe('spreads, then draws back')
  })
  it('dish by the rule if none were compared: 0.7 of it (common practice, no source)', () => {
    expect(sheet().figures.smallestDish_mm).toBe(Math.ceil((1e3 * life.summary.maxRadius) / 0.7))
    const narrow = sheet({
      life: { ...life, preset: { ...strong, bath: { ...strong.bath, dishRadius_mm: 24 } } },
    })
    expect(rowOf(narrow, 'Smallest dish')!.note).toMatch(/^THIS DISH IS TOO NARROW/)
  })
  it('dish as compared, with room for the largest drop of the band', () => {
    const radius = life.summary.maxRadius
    const reach = { central: radius, low: 0.9 * radius, high: 1.1 * radius, most: 'evaporation' as const }
    const band = {
      status: 'done' as const,
      reach: { maxRadius: reach } as never,
      shifts: [],
      outcomes: [],
      failures: [],
      sure: { lives: 32, failed: 0, chances: [], ranges: {} as never },
    }
    const dish = {
      status: 'done' as const,
      radius: 0.03,
      maxRadius: radius,
      wideMaxRadius: radius,
      wideRadius: 0.2,
      criterion: 'the criterion',
    }
    const s = sheet({ band, dish })
    expect(s.figures.smallestDish_mm).toBe(33)
    expect(rowOf(s, 'Smallest dish')).toMatchObject({ value: '66', unit: 'mm wide' })
    expect(rowOf(s, 'Smallest dish')!.note).toContain('the criterion')
    expectClose(s.figures.maxRadius_mm.low, 900 * radius, { rtol: 1e-12 })
  })
})

describe('camera', () => {
  // A made-up life: R grows evenly from 0 to 10 mm in 1 s, then falls back in 4 s.
  const made = syntheticLife()
  const simple: Life = {
    ...made,
    series: { ...made.series, t: Float64Array.of(0, 1, 5), R: Float64Array.of(0, 0.01, 0) },
    summary: { ...made.summary, lifeEnd: 5 },
  }
  it('spreads the frames over the life and fits the drop in, by hand', () => {
    const plan = cameraPlan(simple, 0.01, 51, 1000)
    expectClose(plan.interval_s, 0.1, { rtol: 1e-12 })
    // 2 · 10 mm with 15 % to spare.
    expectClose(plan.field_mm, 23, { rtol: 1e-12 })
    expectClose(plan.mmPerPixel, 0.023, { rtol: 1e-12 })
    expectClose(plan.jump_mm, 1, { rtol: 1e-9 })
    expect(plan.jumpAt_s).toBeLessThan(1)
  })
  it('does not overlook the end', () => {
    expectClose(cameraPlan(simple, 0.01, 2, 1000).interval_s, 5, { rtol: 1e-12 })
    expectClose(cameraPlan(simple, 0.01, 6, 1000).jump_mm, 10, { rtol: 1e-9 })
  })
})

describe('beads of the rim', () => {
  const fingers = (change: Partial<CalculatedBeads> = {}): CalculatedBeads => ({
    verdict: 'beads',
    appear_s: { low: 0.8, value: 0.9, high: 1.1 },
    count: 180,
    wavelength_mm: 0.62,
    gainAtLargest: 20,
    countAtLargest: 120,
    dropRadius_um: 60,
    table: { wavelength_mm: [0.7, 1.3] },
    ...change,
  })
  it('are told with their number, distance and time, and with what they are worth', () => {
    expect(rowOf(sheet({ fingers: fingers() }), 'Beads on the rim')).toMatchObject({
      value: 'about 180',
      note: '0.62 mm apart from 0.90 s on; about 120, 1.3 mm apart, when largest; an estimate by linear stability; between 0.80 and 1.1 s for ten times more or less noise',
    })
    expect(rowOf(sheet({ fingers: fingers({ verdict: 'none' }) }), 'Beads on the rim')!.value).toBe(
      'none expected',
    )
    expect(rowOf(sheet({ fingers: fingers({ verdict: 'depends' }) }), 'Beads on the rim')).toMatchObject({
      value: 'not certain',
      note: expect.stringMatching(/depends on the drop\/oil tension/),
    })
  })
  it("come from the life's own estimate where nothing else is known, and say so", () => {
    const own = rowOf(sheet(), 'Beads on the rim')!
    const { count, spacing } = beadsOf(life)!.atLargest
    expect(own.value).toBe(`about ${Number(count.toPrecision(2))}`)
    expect(own.note).toContain(`${(1e3 * spacing).toFixed(1)} mm apart when largest`)
    expect(own.note).toMatch(/the life's own quick estimate$/)
  })
  it('get their pixels counted, by hand, with advice where they are too few', () => {
    const { field_mm } = sheet({ fingers: fingers() }).figures.camera
    // 0.62 mm of a field that 1000 pixels cover.
    const enough = rowOf(sheet({ fingers: fingers() }), 'Pixels per bead')!
    expectClose(Number(enough.value), (0.62 * 1000) / field_mm, { rtol: 0.05 })
    expect(enough.note).toBe('when they first show')
    const few = rowOf(sheet({ fingers: fingers(), pixels: 200 }), 'Pixels per bead')!
    expectClose(Number(few.value), (0.62 * 200) / field_mm, { rtol: 0.05 })
    const [, part, pixels] = /at most ([\d.]+) mm of it, or take (\d+) pixels/.exec(few.note)!
    // 200 pixels at 4 a bead show 50 beads of 0.62 mm: 31 mm. The whole field wants 4 pixels in every 0.62 mm.
    expect(part).toBe('31')
    expectClose(Number(pixels), (4 * field_mm) / 0.62, { atol: 10 })
    expect(rowOf(sheet({ fingers: fingers({ verdict: 'none' }) }), 'Pixels per bead')).toBeUndefined()
  })
})

describe('cautions', () => {
  it('come first, and local rules first of all', () => {
    const s = sheet()
    expect(s.sections[0]!.title).toBe('Cautions')
    expect(s.sections[0]!.rows[0]!.value).toMatch(/Local rules and the person responsible .* come first/)
  })
  test.each(Object.keys(hazards))('name every danger of %s', (alcohol) => {
    const text = cautionRows(alcohol, 50, 96, 22)
      .map((r) => `${r.label} ${r.value} ${r.note}`)
      .join('\n')
    for (const word of [
      /flame/i,
      /window|extractor/,
      /glasses/,
      /gloves/,
      /not down the drain/,
      /slippery/,
      /flash point/i,
    ]) {
      expect(text).toMatch(word)
    }
    expect(/TOXIC.*skin/s.test(text)).toBe(alcohol === 'methanol')
    const { limitPpm } = hazards[alcohol]!
    if (limitPpm) expect(text).toContain(`Limit in the air ${limitPpm} `)
  })
  // Flash points of ethanol–water by % by volume as they are handed on (from memory): 40 % 26 °C, 60 % 22 °C, 96 % 17 °C;
  // pure 12.8 °C (NIOSH Pocket Guide).
  test.each([
    [40, 22, 'about 26', /room temperature/],
    [50, 22, 'about 24', /room temperature/],
    [20, 22, 'about 36', /above it/],
    [5, 22, 'above 49', /weaker than 10 %/],
    [100, 22, 'about 13', /room temperature/],
  ])('flash point of ethanol at %d %% by volume', (percent, room, value, note) => {
    const row = flashPointRow('ethanol', 'Flash point', percent, room)
    expect(row).toMatchObject({ value, unit: '°C', note: expect.stringMatching(note) })
    expect(row.note).toMatch(/table attributed, from memory, to Martínez/)
  })
  it('flash points that are not known are not made up', () => {
    expect(flashPointRow('methanol', 'F', 50, 22)).toMatchObject({
      value: 'above 11.1',
      note: expect.stringMatching(/mixture's is not known here.*NIOSH.*from memory/),
    })
    expect(flashPointRow('own', 'F', 50, 22)).toMatchObject({ value: 'not known here', unit: '' })
    expect(flashPointRow('2-propanol', 'F', 50, 22).note).toMatch(/pure alcohol.*NIOSH/)
  })
})

describe('the sheet', () => {
  it('fits on one A4, in rows and in text', async () => {
    for (const p of [
      strong,
      preset({ 'drop.alcohol': 'methanol', 'drop.alcoholMassFraction': 0.3, 'ring.breakUp': true }),
    ]) {
      const made = await sheetOf(p, runLifeSync, { ...wish() })
      if (!made.ok) throw new Error('no sheet')
      const text = labSheetText(made.sheet)
      const lines = text.split('\n')
      // 60 lines of 110 characters: common practice for A4 at 9 points, no source.
      expect(lines.length).toBeLessThanOrEqual(60)
      expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(112)
      expect(text).not.toMatch(/NaN|undefined|null|Infinity/)
    }
  })
  it('carries the band, and for a lens what would make it spread', async () => {
    const spreads = await sheetOf(strong, runLifeSync, { ...wish() })
    expect(spreads.ok && rowOf(spreads.sheet, 'Largest radius')!.note).toMatch(
      /to .* mm in 68 of 100 drops with the uncertain inputs drawn from their widths, changed most by/,
    )
    const lens = await sheetOf(preset({ 'drop.alcoholMassFraction': 0.3 }), runLifeSync, { ...wish() })
    expect(lens.ok && rowOf(lens.sheet, 'To make it spread')!.value).toMatch(/add .* mL of the stock/)
    expect(lens.ok && rowsOf(lens.sheet, 'What to expect')[0]!.value).toBe('stays a lens')
  })
  it('can be stopped', async () => {
    let done = 0
    const made = await sheetOf(strong, runLifeSync, {
      ...wish(),
      progress: (n) => {
        done = n
      },
      cancelled: () => done >= 4,
    })
    expect(made).toEqual({ ok: false, stopped: true, problems: [] })
    expect(done).toBe(4)
  })
  test.each([
    ['stock too weak', { stock: { by: 'volume', value: 40 } }, 'want', /above that of the stock/],
    ['no pictures', { frames: 1 }, 'frames', /2 to 100000/],
    ['half a pixel', { pixels: 99.5 }, 'pixels', /whole numbers/],
    ['growing life', { life: { ...life, status: 'growing' } }, 'life', /not complete/],
    ['closed forms', { life: syntheticLife() }, 'drop.alcohol', /exist only as formulas/],
    ['no volume', { mixture_mL: -5 }, 'volume', /−5 mL/],
  ] as [string, Partial<SheetWish>, string, RegExp][])('refuses: %s', (_, change, where, message) => {
    const made = labSheet(wish(change))
    expect(made).toMatchObject({ ok: false, problems: [{ where, message: expect.stringMatching(message) }] })
  })
})

describe('command sheet', () => {
  const folder = mkdtempSync(join(tmpdir(), 'rimtide-sheet-'))
  afterAll(() => rmSync(folder, { recursive: true }))
  const file = join(folder, 'drop.json')
  writeFileSync(file, serialisePreset(strong))
  const call = (args: string[], run?: (p: Preset) => LifeResult) => callOf((to) => main(args, to, run))
  it('prints the sheet', async () => {
    const { code, out, err } = await call([file, '--stock', '96%vol', '--frames', '100'])
    expect({ code, err }).toEqual({ code: 0, err: '' })
    expect(out).toMatch(/Cautions\n +First of all +Local rules/)
    expect(out).toMatch(/100 frames to the end/)
    expect(out).toMatch(/ to [\d.]+ mm in 68 of 100 drops with the uncertain/)
  })
  it('takes the beads from the full calculation where it is asked to', async () => {
    const beadsIn = async (...more: string[]) =>
      JSON.parse((await call([file, '--stock', '96%vol', '--brief', '--json', ...more])).out).figures.beads
    const known = await fingersOf(strong)
    expect(await beadsIn('--fingers')).toMatchObject({
      by: 'calculation',
      count: known!.count,
      from: known!.appear_s.value,
    })
    expect(await beadsIn()).toMatchObject({ by: 'life', count: beadsOf(life)!.count })
  })
  it('gives JSON without numbers that JSON does not know', async () => {
    const args = [file, '--stock', '96%vol', '--brief', '--json', '--set', 'drop.alcoholMassFraction=0.3']
    const { code, out } = await call(args)
    expect(code).toBe(0)
    const made = JSON.parse(out)
    expect(made.figures.collapseTime_s).toBeNull()
    expect(made.figures.recipe.want.mass).toBe(0.3)
    expect(made.sections).toHaveLength(5)
  })
  it('helps', async () => {
    expect(await call(['--help'])).toMatchObject({
      code: 0,
      err: '',
      out: expect.stringContaining('--frames N'),
    })
  })
  test.each([
    [[], /preset file/],
    [[file], /Which --stock/],
    [[file, 'b.json', '--stock', '96%vol'], /b\.json.*one too many/],
    [[join(folder, 'no.json'), '--stock', '96%vol'], /no\.json.*no such file/],
    [
      [file, '--stock', '96%vol', '--set', 'bath.depth_mm=900'],
      /bath\.depth_mm is 900\. Permitted: 0\.5 to 60 mm/,
    ],
    [[file, '--stock', '96%vol', '--set', 'depth'], /KEY=VALUE/],
    [[file, '--stock', '40%vol'], /above that of the stock/],
    [[file, '--stock', '96%vol', '--frames', '0'], /frames is 0/],
    [[file, '--stock', '96%vol', '--pixels', 'many'], /not a number/],
  ] as [string[], RegExp][])('refuses %j', async (args, message) => {
    const { code, out, err } = await call(args)
    expect({ code, out }).toEqual({ code: 2, out: '' })
    expect(err).toMatch(message)
  })
  it('tells the cause of a run that fails, with code 1', async () => {
    const fail = (p: Preset): LifeResult => {
      const done = { ...life, preset: p }
      return {
        ok: true,
        life: { ...done, summary: { ...life.summary, outcome: 'failed', cause: 'no step small enough' } },
      }
    }
    const { code, err } = await call([file, '--stock', '96%vol'], fail)
    expect(code).toBe(1)
    expect(err).toContain('no step small enough')
  })
})
