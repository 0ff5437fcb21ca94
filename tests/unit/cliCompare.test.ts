/** The command that lays lives on measured curves. Lives are in closed form here, except where it is started as a process. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { csvParseRows } from 'd3-dsv'
import { afterAll, beforeEach, describe, expect, it } from 'vitest'
import { main } from '../../src/cli/compare.ts'
import { readCompare } from '../../src/cli/compareArgs.ts'
import { serialisePreset } from '../../src/life/preset.ts'
import type { LifeResult, Preset } from '../../src/life/types.ts'
import { pairText } from '../../src/measured/fit/words.ts'
import { captured } from '../fixtures/captured.ts'
import { closedLife, closedLifeOf, closedPreset, curveFrom, withKeys } from '../fixtures/fitCurves.ts'
import { expectClose } from '../matchers.ts'

const folder = mkdtempSync(join(tmpdir(), 'rimtide-compare-'))
afterAll(() => rmSync(folder, { recursive: true }))
const file = (name: string, text: string): string => {
  writeFileSync(join(folder, name), text)
  return join(folder, name)
}

const RATE = 'air.constantRate_umPerS'
const OIL = 'bath.viscosity_mPas'
const preset = file('drop.json', serialisePreset(withKeys(closedPreset, { title: 'A drop' })))
const curve = curveFrom(closedLifeOf(withKeys(closedPreset, { [RATE]: 0.52, [OIL]: 64 })), { to: 7.5 })
const tableOf = (rows: string[], header: string) => `${header}\n${rows.join('\n')}\n`
const rows = Array.from(curve.time, (t, i) =>
  [t, 1e3 * curve.radius[i]!, 1e3 * curve.uncertainty![i]!].map((x) => x.toFixed(6)).join(','),
)
const data = file('bench.csv', tableOf(rows, 't (s),R (mm),uncertainty (mm)'))

let out = ''
let err = ''
let ran: Preset[] = []
beforeEach(() => {
  ran = []
})

async function call(argv: string[], run: (preset: Preset) => LifeResult = closedLife): Promise<number> {
  const { to, told } = captured()
  const code = await main(argv, to, (given) => {
    ran.push(given)
    return run(given)
  })
  out = told.out
  err = told.err
  return code
}

describe('arguments', () => {
  it('reads them all', () => {
    const argv = ['a.json', 'b.csv', 'c.csv', '--fit', `${RATE}, ${OIL}`, '--fit', `bath.depth_mm=9,${OIL}`]
    const more = [
      '--limit',
      `${OIL}=40:90`,
      '--scan',
      'always',
      '--start',
      '0.4',
      '--start',
      'bench 3=1',
      '--accuracy',
      'fine',
      '--set',
      'drop.volume_uL=9',
      '--prior',
      'bath.depth_mm=9:0.5',
      '--profile',
      OIL,
      '--widen',
      '--workers',
      '3',
    ]
    const table = [
      '--time-unit',
      'ms',
      '--radius-unit',
      'um',
      '--decimal',
      'comma',
      '--columns',
      'time:s,ignore,diameter:mm,alcohol:volume%,depth',
      '--sort',
      '--skip-bad',
      '--fps',
      '50',
    ]
    expect(readCompare([...argv, ...more, ...table, '--csv', 'x.csv', '--json'])).toEqual({
      preset: 'a.json',
      tables: ['b.csv', 'c.csv'],
      liquids: [],
      changes: [
        { path: 'drop.volume_uL', text: '9', from: '--set drop.volume_uL=9' },
        { path: 'model.accuracy', text: 'fine', from: '--accuracy fine' },
      ],
      hypotheses: [
        { name: `${RATE}, ${OIL}`, unknowns: [RATE, OIL], changes: [] },
        {
          name: `bath.depth_mm=9, ${OIL}`,
          unknowns: [OIL],
          changes: [{ path: 'bath.depth_mm', text: '9', from: `--fit bath.depth_mm=9,${OIL}` }],
        },
      ],
      limits: { [OIL]: [40, 90] },
      priors: { 'bath.depth_mm': { value: 9, sigma: 0.5 } },
      profiles: [OIL],
      widen: true,
      scan: 'always',
      starts: new Map([
        ['', 0.4],
        ['bench 3', 1],
      ]),
      choices: {
        timeUnit: 'ms',
        radiusUnit: 'µm',
        framesPerSecond: 50,
        decimalMark: ',',
        columns: [
          { index: 0, role: 'time', unit: 's' },
          { index: 1, role: 'ignore' },
          { index: 2, role: 'diameter', unit: 'mm' },
          { index: 3, role: 'alcohol', unit: 'volume %' },
          { index: 4, role: 'depth' },
        ],
        sort: true,
        skipBad: true,
      },
      workers: 3,
      csv: 'x.csv',
      json: true,
    })
  })
  it('sizes that are no radii in mm have their units and their scale', () => {
    const command = readCompare([
      preset,
      data,
      ...['--columns', 'time:frame,area:px2,uncertainty:um2', '--radius-unit', 'px', '--sheet', 'run 2'],
      ...['--mm-per-px', '0.05', '--mm-per-px-error', '0.001'],
    ])
    expect(typeof command !== 'string' && command.choices).toEqual({
      columns: [
        { index: 0, role: 'time', unit: 'frame' },
        { index: 1, role: 'area', unit: 'px²' },
        { index: 2, role: 'uncertainty', unit: 'µm²' },
      ],
      radiusUnit: 'px',
      sheet: 'run 2',
      millimetresPerPixel: 0.05,
      millimetresPerPixelError: 0.001,
    })
  })
  it.each<[string[], RegExp]>([
    [[preset, data, '--mm-per-px', '0'], /--mm-per-px is "0"\. Permitted: above 0/],
    [[preset, data, '--columns', 'time:s,area:mm'], /Permitted: mm², cm², m², µm², px²/],
    [[], /Give a preset and at least one table/],
    [
      [preset, data, '--columns', 'time:s,radius:mm,depth:cm'],
      /"depth:cm"\. Permitted: depth, without a unit/,
    ],
    [['a.json'], /at least one table/],
    [[preset, data, '--fit', ''], /--fit "" names no unknown/],
    [[preset, data, '--fit', 'bath.depth_mm=3'], /names no unknown/],
    [
      [preset, data, '--fit', 'bath.viscosity'],
      /--fit bath\.viscosity: "bath\.viscosity" cannot be fitted\. Permitted: bath\.solubility, air\./,
    ],
    [
      [preset, data, '--fit', [RATE, OIL, 'bath.depth_mm', 'drop.volume_uL', 'startTime'].join()],
      /5 unknowns are chosen\. Permitted: 1 to 4/,
    ],
    [[preset, data, '--limit', `${OIL}=40`], /--limit KEY=LOW:HIGH/],
    [[preset, data, '--limit', `${OIL}=40:90`], /it is no unknown of a --fit/],
    [[preset, data, '--fit', OIL, '--limit', `${OIL}=0:90`], /limits 0 to 90 are not usable/],
    [[preset, data, '--scan', 'maybe'], /--scan is "maybe"\. Permitted: auto, always, never/],
    [[preset, data, '--start', 'soon'], /--start "soon": write the contact in seconds/],
    [[preset, data, '--start', 'other=1'], /there is no curve "other"\. There are: bench/],
    [[preset, data, '--set', 'bath.depth_mm'], /KEY=VALUE/],
    [
      [preset, data, '--set', 'bath.depth=9'],
      /drop\.json with --set bath\.depth=9: .*Did you mean bath\.depth_mm\?\n$/,
    ],
    [[preset, data, '--accuracy', 'best'], /--accuracy best: .*quick, normal, fine/],
    [
      [preset, data, '--fit', `bath.depth_mm=99,${OIL}`],
      /with --fit bath\.depth_mm=99,.*Permitted: 0\.5 to 60 mm/,
    ],
    [[preset, join(folder, 'none.csv')], /none\.csv: there is no such file/],
    [[join(folder, 'none.json'), data], /none\.json: there is no such file/],
    [[preset, data, '--csv', data], /one of the inputs/],
    [[preset, data, '--csv', preset], /one of the inputs/],
    [[preset, data, '--time-unit', 'h'], /--time-unit is "h"\. Permitted: s, ms, min, frame/],
    [[preset, data, '--columns', 'time:s,width:mm'], /--columns is "width"\. Permitted: time, radius/],
    [[preset, data, '--fps', '0'], /--fps is "0"\. Permitted: above 0/],
    [[preset, data, '--decimal', ';'], /--decimal is ";"\. Permitted: point, comma/],
    [[preset, data, '--colour'], /--colour/],
  ])('case %# is refused with code 2', async (argv, pattern) => {
    expect(await call(argv)).toBe(2)
    expect(err).toMatch(pattern)
    expect(out).toBe('')
  })
  it('prints its help', async () => {
    expect(await call(['--help'])).toBe(0)
    for (const word of ['--fit', '--limit', '--scan', '--start', '--columns', RATE, 'startTime'])
      expect(out).toContain(word)
  })
})

describe('what a table leaves open', () => {
  const bare = file('bare.csv', tableOf(rows, 't,R,u'))
  it('is told with the options that answer it', async () => {
    expect(await call([preset, bare])).toBe(2)
    expect(err).toMatch(/bare\.csv, column 1 \(t\): The unit of the time is missing/)
    expect(err).toMatch(/Answer with .*--time-unit.*--radius-unit/)
  })
  it('is answered by them', async () => {
    expect(await call([preset, bare, '--columns', 'time:s,radius:mm,uncertainty:mm', '--json'])).toBe(0)
    expect(JSON.parse(out).curves[0]).toMatchObject({ used: 40, weighted: 40 })
  })
})

describe('without --fit', () => {
  it('tells r.m.s. and bias of each curve', async () => {
    expect(await call([preset, data, '--json'])).toBe(0)
    const [one] = JSON.parse(out).curves
    expect(one).toMatchObject({ name: 'bench', points: 40, used: 40, outcome: 'recedes', contact_s: 0 })
    const squares = one.residual_mm.reduce((sum: number, r: number) => sum + r * r, 0)
    expectClose(one.rms_mm, Math.sqrt(squares / 40), { rtol: 1e-9 })
    expectClose(one.bias_mm, one.residual_mm.reduce((a: number, b: number) => a + b, 0) / 40, { rtol: 1e-9 })
    expectClose(one.life_mm[5] + one.residual_mm[5], 1e3 * curve.radius[5]!, { rtol: 1e-5 })
    expect(ran).toHaveLength(1)
  })
  it('as a table', async () => {
    expect(await call([preset, data])).toBe(0)
    expect(out).toMatch(/^A drop\n\nAs it stands \(measured minus life\)\n +curve +points +r\.m\.s\. mm/)
    expect(out).toMatch(/bench +40 of 40/)
    expect(out).not.toMatch(/NaN|undefined|null/)
  })
  it('a contact shifts the points', async () => {
    expect(await call([preset, data, '--start', '1', '--json'])).toBe(0)
    expect(JSON.parse(out).curves[0]).toMatchObject({ contact_s: 1, before: 5 })
  })
  it('each curve is of its own drop, and equal drops are run once', async () => {
    const own = file(
      'own.csv',
      tableOf(
        rows.map((row) => `${row},5`),
        't (s),R (mm),uncertainty (mm),volume (uL)',
      ),
    )
    expect(await call([preset, data, data, own, '--json'])).toBe(0)
    expect(ran.map(({ drop }) => drop.volume_uL)).toEqual([10, 5])
  })
  it('a life that fails gives code 1', async () => {
    const broken = (given: Preset): LifeResult => {
      const result = closedLife(given)
      if (result.ok) result.life.summary = { ...result.life.summary, outcome: 'failed', cause: 'stuck' }
      return result
    }
    expect(await call([preset, data], broken)).toBe(1)
    expect(out).toMatch(/bench: the life failed: stuck/)
  })
})

describe('with --fit', () => {
  it('gives values, errors and residuals', async () => {
    expect(await call([preset, data, '--fit', `${RATE},${OIL}`, '--json'])).toBe(0)
    const [one] = JSON.parse(out).fits
    expect(one).toMatchObject({
      outcome: 'done',
      points: 40,
      degreesOfFreedom: 38,
      weights: 'given',
      accuracy: 'normal',
    })
    const [rate, oil] = one.unknowns
    expect(rate).toMatchObject({
      key: RATE,
      unit: 'µm/s',
      verdict: 'determined',
      start: 0.4,
      limits: [2e-4, 20],
    })
    expect(Math.abs(rate.value - 0.52)).toBeLessThan(3 * rate.error)
    expect(Math.abs(oil.value - 64)).toBeLessThan(3 * oil.error)
    expect(one.correlation[0][0]).toBe(1)
    expect(one.correlation[0][1]).toBe(one.correlation[1][0])
    expectClose(one.reducedChiSquared, one.chiSquared / 38, { rtol: 1e-12 })
    expect(one.curves[0].residual_mm).toHaveLength(40)
    expect(one.preset.bath.viscosity_mPas).toBe(oil.value)
    expect(err).toBe('')
  })
  it('as text, with the error to two digits', async () => {
    expect(await call([preset, data, '--fit', `${RATE},${OIL}`])).toBe(0)
    expect(out).toMatch(/Constant rate +0\.\d{4} ± 0\.\d{4} µm\/s/)
    expect(out).toMatch(/Oil viscosity +6\d\.\d+ ± [01]\.\d+ mPa·s/)
    expect(out).toMatch(/χ² per degree of freedom/)
    expect(out).not.toMatch(/NaN|undefined|null/)
  })
  it('priors, conditions, a profile and wider errors are taken, told and weighed', async () => {
    const fit = ['--fit', `${RATE},${OIL}`, '--prior', 'drop.volume_uL=10:0.4', '--prior', `${OIL}=64:5`]
    const argv = [preset, data, ...fit, '--profile', OIL, '--widen']
    expect(await call([...argv, '--json'])).toBe(0)
    const [one] = JSON.parse(out).fits
    const [rate, oil] = one.unknowns
    // Volume and rate act as a product: 4 % of one is 4 % of the other.
    expectClose(rate.systematic / rate.value, 0.04, { rtol: 0.05 })
    expectClose(rate.error, Math.hypot(rate.statistical, rate.systematic), { rtol: 1e-9 })
    expect(oil.prior).toMatchObject({ value: 64, sigma: 5 })
    expect(one.causes).toMatchObject([{ path: 'drop.volume_uL', prior: { value: 10, sigma: 0.4 } }])
    expect(one.profiles[0].lower.value).toBeLessThan(oil.value)
    expect(one.profiles[0].upper.value).toBeGreaterThan(oil.value)
    expect(one.notes.join()).toMatch(/no error of the scale/)
    expect(await call(argv)).toBe(0)
    expect(out).toMatch(/± [\d.]+ µm\/s statistical, ± [\d.]+ µm\/s systematic/)
    expect(out).toMatch(/known beforehand as 64\.0 ± 5\.0 mPa·s/)
    expect(out).toMatch(/Volume +10\.00 ± 0\.40 µL/)
    expect(out).toMatch(/profile: Oil viscosity: 6\d\.\d+ mPa·s, −[\d.]+ \+[\d.]+/)
    expect(out).not.toMatch(/NaN|undefined|null/)
  })
  it.each([
    [['--prior', 'drop.volume_uL=10'], /write it as --prior KEY=VALUE:SIGMA/],
    [['--prior', 'drop.volume_uL=10:-1'], /SIGMA above 0/],
    [['--prior', 'drop.volume_uL=1000:1'], /Volume: 1000 ± 1 cannot be\. Permitted: 0\.5 to 100 µL/],
    [['--profile', RATE], /--profile air\.constantRate_umPerS: it is no unknown/],
  ])('refuses %o', async (options, message) => {
    expect(await call([preset, data, '--fit', OIL, ...options])).toBe(2)
    expect(err).toMatch(message)
  })
  it('a prior without a fit says nothing, and that is told', async () => {
    expect(await call([preset, data, '--prior', 'drop.volume_uL=10:1'])).toBe(2)
    expect(err).toMatch(/--prior: .* there is none/)
  })
  it('what is not determined has no value', async () => {
    expect(await call([preset, data, '--fit', `drop.volume_uL,${RATE}`, '--json'])).toBe(0)
    for (const one of JSON.parse(out).fits[0].unknowns) {
      expect(one).toMatchObject({
        verdict: 'not-determined',
        value: null,
        error: null,
        why: expect.stringMatching(/together with (Constant rate|Volume)/),
      })
    }
    out = ''
    await call([preset, data, '--fit', `drop.volume_uL,${RATE}`])
    expect(out).toMatch(
      /Volume +not determined\n +the data fix it only together with Constant rate.*the fit ended at/,
    )
  })
  it('limits and settings of one fit hold for it alone', async () => {
    const argv = [
      preset,
      data,
      '--fit',
      OIL,
      '--fit',
      `${RATE}=0.52,${OIL}`,
      '--limit',
      `${OIL}=30:60`,
      '--json',
    ]
    expect(await call(argv)).toBe(0)
    const { fits, hypotheses } = JSON.parse(out)
    expect(fits[1].unknowns[0]).toMatchObject({ value: 60, verdict: 'at-limit', error: null })
    expect(fits[1].preset.air.constantRate_umPerS).toBe(0.52)
    expect(fits[0].preset.air.constantRate_umPerS).toBe(0.4)
    expect(hypotheses.ranked[0].name).toBe(`${RATE}=0.52, ${OIL}`)
  })
  it('several are compared in words', async () => {
    await call([preset, data, '--fit', OIL, '--fit', `${RATE},${OIL}`])
    expect(out).toMatch(/Which is better\?\n +fit +AICc +difference +weight %\n/)
    expect(out).toMatch(/does much better/)
  })
  it('a fit that cannot begin gives code 1 and its cause', async () => {
    const broken = (given: Preset): LifeResult => {
      const result = closedLife(given)
      if (result.ok) result.life.summary = { ...result.life.summary, outcome: 'failed', cause: 'stuck' }
      return result
    }
    const late = file('late.csv', tableOf(['0.5,10', '1,12', '400,13'], 't (s),R (mm)'))
    expect(await call([preset, late, '--fit', OIL, '--json'], broken)).toBe(1)
    expect(JSON.parse(out).fits[0]).toMatchObject({
      outcome: 'failed',
      cause: expect.stringContaining('stuck'),
    })
  })
  it('writes every point', async () => {
    const target = join(folder, 'points.csv')
    expect(await call([preset, data, '--fit', OIL, '--csv', target])).toBe(0)
    const [header, ...body] = csvParseRows(readFileSync(target, 'utf8').trimEnd())
    expect(header).toEqual(['fit', 'curve', 't_s', 'R_mm', 'uncertainty_mm', 'life_mm', 'residual_mm'])
    expect(body).toHaveLength(80)
    expect(body.filter(([name]) => name === OIL)).toHaveLength(40)
    for (const row of body) expectClose(Number(row[3]) - Number(row[5]), Number(row[6]), { atol: 1e-6 })
  })
})

describe('a value with its error', () => {
  // JCGM 100:2008, 7.2.6: at most two significant digits of the uncertainty, the value to the same place.
  it.each([
    [0.49631, 0.003089, '0.4963', '0.0031'],
    [59.302, 0.4988, '59.30', '0.50'],
    [59.302, 0.0996, '59.30', '0.10'],
    [1234.6, 567, '1230', '570'],
    [-0.0064, 0.0077, '−0.0064', '0.0077'],
    [12, 9.96, '12', '10'],
    [3, Number.NaN, '3.000', '–'],
  ])('%d ± %d', (value, error, a, b) => expect(pairText(value, error)).toEqual({ value: a, error: b }))
})
