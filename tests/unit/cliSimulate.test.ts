import { mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { csvParseRows } from 'd3-dsv'
import { afterAll, beforeEach, describe, expect, it } from 'vitest'
import { userPath } from '../../src/cli/files.ts'
import { main, median } from '../../src/cli/simulate.ts'
import { readSimulate } from '../../src/cli/simulateArgs.ts'
import { KEYS } from '../../src/life/keys.ts'
import { defaultPreset, serialisePreset, setKey } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life, LifeResult, Preset } from '../../src/life/types.ts'
import { captured } from '../fixtures/captured.ts'
import { syntheticLife } from '../fixtures/syntheticLife.ts'

const folder = mkdtempSync(join(tmpdir(), 'rimtide-'))
afterAll(() => rmSync(folder, { recursive: true }))
const file = (name: string, text: string | Uint8Array): string => {
  writeFileSync(join(folder, name), text)
  return join(folder, name)
}
const preset = file('drop.json', serialisePreset(defaultPreset()))

/** A made-up life that carries its preset; outcome and times can be set. */
function lifeOf(of: Preset, change: (life: Life) => void = () => {}): LifeResult {
  const life = { ...syntheticLife(), preset: of }
  change(life)
  return { ok: true, life }
}

let out = ''
let err = ''
let ran: Preset[] = []
beforeEach(() => {
  out = ''
  err = ''
  ran = []
})

async function call(argv: string[], run: (preset: Preset) => LifeResult = lifeOf): Promise<number> {
  const { to, told } = captured()
  const code = await main(argv, {
    ...to,
    run: (given) => {
      ran.push(given)
      return run(given)
    },
  })
  out += told.out
  err += told.err
  return code
}

describe('arguments', () => {
  it('reads them all', () => {
    const argv = 'a.json --set drop.volume_uL=20 --set title=a=b --json --repeat 20 --every 0.5 --until 12'
    expect(
      readSimulate([...argv.split(' '), '--accuracy', 'fine', '--csv', 'x.csv', '--liquid', 'l.json']),
    ).toEqual({
      preset: 'a.json',
      json: true,
      repeat: 20,
      every: 0.5,
      csv: 'x.csv',
      liquids: ['l.json'],
      fingers: false,
      changes: [
        { path: 'drop.volume_uL', text: '20', from: '--set drop.volume_uL=20' },
        { path: 'title', text: 'a=b', from: '--set title=a=b' },
        { path: 'model.accuracy', text: 'fine', from: '--accuracy fine' },
        { path: 'model.horizon_s', text: '12', from: '--until 12' },
      ],
    })
  })
  it.each([
    [[], /Which drop/],
    [['a', 'b'], /"b" is one too many/],
    [['a', '--every', '0'], /--every is "0"\. Permitted: 0\.001 to 3600/],
    [['a', '--every', 'x'], /--every is "x"/],
    [['a', '--every', ''], /--every is ""/],
    [['a', '--repeat', '2.5'], /--repeat is "2\.5".*whole/],
    [['a', '--repeat', '0'], /--repeat is "0"\. Permitted: 1 to 1000/],
    [['a', '--set', 'drop.volume_uL'], /KEY=VALUE/],
    [['a', '--set', '=5'], /KEY=VALUE/],
    [['a', '--colour'], /--colour/],
    [['a', '--every'], /--every/],
  ])('%j is refused', async (argv, pattern) => {
    expect(await call(argv)).toBe(2)
    expect(err).toMatch(pattern)
    expect(out).toBe('')
  })
  it('prints help and the list of keys', async () => {
    expect(await call(['--help'])).toBe(0)
    for (const option of ['--set', '--json', '--every', '--until', '--accuracy', '--csv', '--repeat']) {
      expect(out).toContain(option)
    }
    expect(await call(['--keys'])).toBe(0)
    for (const key of KEYS) expect(out).toContain(`\n${key.path}\n`.trimStart())
  })
  it('takes paths from where the user stands', () => {
    const root = join(import.meta.dirname, '../..')
    const env = { INIT_CWD: '/home/someone', npm_lifecycle_event: 'simulate' }
    expect(userPath('x.json', env, root)).toBe('/home/someone/x.json')
    expect(userPath('x.json', env, '/elsewhere')).toBe('/elsewhere/x.json')
    expect(userPath('x.json', {}, root)).toBe(join(root, 'x.json'))
    expect(userPath('/abs/x.json', env, root)).toBe('/abs/x.json')
  })
})

describe('input that is wrong gives a message and code 2', () => {
  it.each([
    [[join(folder, 'none.json')], /none\.json: there is no such file/],
    [[folder], /this is a folder/],
    [[file('binary.json', Uint8Array.of(0xff, 0xfe, 0, 1))], /binary\.json: this is not a text in UTF-8/],
    [[file('big.json', new Uint8Array(500_000))], /500000 bytes; at most 400000/],
    [[file('cut.json', '{"format":')], /cut\.json: Malformed JSON at line 1/],
    [
      [file('far.json', '{"format":"rimtide-preset","version":1,"bath":{"depth_mm":99}}')],
      /far\.json: bath\.depth_mm is 99\. Permitted: 0\.5 to 60 mm/,
    ],
    [
      [preset, '--set', 'drop.volume_uL=200'],
      /drop\.json with --set drop\.volume_uL=200: .*is 200\. Permitted: 0\.5 to 100 µL/,
    ],
    [[preset, '--set', 'drop.volume=2'], /drop\.volume is not a key.*drop\.volume_uL/],
    [[preset, '--until', '0.1'], /--until 0\.1: model\.horizon_s is 0\.1\. Permitted: 0\.5 to 3600 s/],
    [[preset, '--accuracy', 'best'], /--accuracy best: .*quick, normal, fine/],
    [[preset, '--csv', preset], /one of the inputs/],
    [[preset, '--csv', folder], /a folder/],
    [[preset, '--csv', join(folder, 'no', 'x.csv')], /folder does not exist/],
  ])('case %#', async (argv, pattern) => {
    expect(await call(argv)).toBe(2)
    expect(err).toMatch(pattern)
    expect(out).toBe('')
    expect(ran).toEqual([])
  })
  it('knows the preset behind a link in the file system', async () => {
    symlinkSync(preset, join(folder, 'alias.csv'))
    expect(await call([preset, '--csv', join(folder, 'alias.csv')])).toBe(2)
    expect(readFileSync(preset, 'utf8')).toBe(serialisePreset(defaultPreset()))
  })
})

describe('what is run', () => {
  it('carries every change', async () => {
    const argv = [
      '--set',
      'drop.volume_uL=20',
      '--set',
      'drop.volume_uL=25',
      '--until',
      '12',
      '--accuracy',
      'fine',
    ]
    expect(await call([preset, ...argv])).toBe(0)
    expect(ran).toHaveLength(1)
    expect(ran[0]).toMatchObject({ drop: { volume_uL: 25 }, model: { horizon_s: 12, accuracy: 'fine' } })
  })
  it('reaches every key with a value of its range', async () => {
    const wide = file('wide.json', serialisePreset(defaultPreset()))
    for (const key of KEYS) {
      const value =
        key.kind === 'number'
          ? key.max
          : key.kind === 'switch'
            ? !key.fallback
            : key.options.filter((o) => o.value !== 'own').at(-2)!.value
      const dish = ['--set', 'bath.dishRadius_mm=300']
      expect(await call([wide, ...dish, '--set', `${key.path}=${value}`]), key.path).toBe(0)
      const [group, name] = key.path.split('.') as [keyof Preset, string]
      expect((ran.at(-1)![group] as unknown as Record<string, unknown>)[name]).toBe(value)
    }
  })
  it('switches to the reference liquids with several changes at once', async () => {
    const argv = ['drop.alcohol=reference', 'bath.liquid=reference', 'air.mode=constant']
    expect(await call([preset, ...argv.flatMap((text) => ['--set', text])])).toBe(0)
    expect(await call([preset, '--set', argv[0]!])).toBe(2)
    expect(err).toMatch(/both "reference"/)
  })
  it('repeats, and takes the median of the last 15', async () => {
    let n = 0
    const run = (given: Preset) =>
      lifeOf(given, (life) => {
        n += 1
        life.summary = { ...life.summary, wall_ms: n <= 5 ? 1000 : n }
      })
    expect(await call([preset, '--json', '--repeat', '20'], run)).toBe(0)
    expect(ran).toHaveLength(20)
    expect(JSON.parse(out).wall_ms).toBe(13)
    expect(median([3, 1])).toBe(2)
    expect(median([7])).toBe(7)
  })
})

describe('output', () => {
  it("has the beads of the rim as the life's own estimate, in the units of their names", async () => {
    const demo = join(import.meta.dirname, '../../presets/harbour-lane-bursts.json')
    expect(await call([demo, '--json'], runLifeSync)).toBe(0)
    const { beads, series, maxRadius_mm } = JSON.parse(out)
    expect(Object.keys(beads).slice(0, 4)).toEqual(['count', 'spacing_mm', 'from_s', 'dropRadius_um'])
    // As many as fit round a circle of the radius at that time and of the largest.
    const k = series.t_s.findLastIndex((t: number) => t <= beads.from_s)
    const round = (beads.count * beads.spacing_mm) / (2 * Math.PI)
    expect(round).toBeGreaterThan(series.R_mm[k])
    expect(round).toBeLessThan(series.R_mm[k + 1])
    expect((beads.countAtLargest * beads.spacingAtLargest_mm) / (2 * Math.PI)).toBeCloseTo(maxRadius_mm, 1)
    // A bead's drop is wider than its ring is high and narrower than the beads are apart.
    expect(beads.dropRadius_um).toBeGreaterThan(1)
    expect(beads.dropRadius_um).toBeLessThan(1e3 * beads.spacing_mm)
    out = ''
    expect(await call([demo], runLifeSync)).toBe(0)
    expect(out).toMatch(
      /^beads +\d+ from 0\.\d+ s on, 0\.\d+ mm apart; \d+ at the largest radius \(quick estimate\)$/m,
    )
    out = ''
    expect(await call([demo, '--json', '--set', 'drop.alcoholMassFraction=0.3'], runLifeSync)).toBe(0)
    expect(JSON.parse(out).beads).toBeNull()
  })
  it('is one JSON object with the units of its names', async () => {
    expect(await call([preset, '--json', '--every', '0.5'])).toBe(0)
    const object = JSON.parse(out)
    const { life } = lifeOf(defaultPreset()) as { life: Life }
    expect(out.trimEnd()).not.toContain('\n')
    expect(object.outcome).toBe(life.summary.outcome)
    expect(object.maxRadius_mm).toBeCloseTo(life.summary.maxRadius * 1e3, 9)
    expect(object.childDrops.volume_uL).toBeCloseTo(life.summary.childDrops.volume * 1e9, 9)
    expect(Object.keys(object.scale)).toEqual(['radius_mm', 'time_s', 'ratio'])
    const { series } = object
    expect(Object.keys(series)).toEqual([
      't_s',
      'R_mm',
      'centre_um',
      'thin_um',
      'thinRadius_mm',
      'ring_um',
      'volume_uL',
      'alcohol_uL',
      'inOil_uL',
    ])
    expect(series.inOil_uL.at(-1)).toBeCloseTo(life.series.inOil.at(-1)! * 1e9, 3)
    expect(series.t_s.slice(0, 3)).toEqual([0, 0.5, 1])
    for (const list of Object.values(series)) expect(list).toHaveLength(series.t_s.length)
    expect(series.R_mm[0]).toBeCloseTo(life.series.R[0]! * 1e3, 9)
    expect(series.volume_uL[0]).toBeCloseTo(life.series.volume[0]! * 1e9, 9)
    expect(series.centre_um[0]).toBeCloseTo(life.series.centre[0]! * 1e6, 9)
  })
  it('writes null where there is no number', async () => {
    const run = (given: Preset) =>
      lifeOf(given, (life) => {
        life.series = { ...life.series, thin: life.series.thin.map(() => Number.NaN) }
        life.summary = { ...life.summary, collapseTime: Number.NaN, maxRadiusError: Number.NaN }
      })
    await call([preset, '--json'], run)
    const object = JSON.parse(out)
    expect(object.collapseTime_s).toBeNull()
    expect(object.maxRadiusError_mm).toBeNull()
    expect(new Set(object.series.thin_um)).toEqual(new Set([null]))
  })
  it('writes the same series as CSV and replaces an existing file', async () => {
    const target = file('series.csv', 'old')
    await call([preset, '--json', '--csv', target])
    const [header, ...rows] = csvParseRows(readFileSync(target, 'utf8').trimEnd())
    const { series } = JSON.parse(out)
    expect(header).toEqual(Object.keys(series))
    rows.forEach((row, i) => {
      expect(row).toEqual(header!.map((name) => String(series[name][i] ?? '')))
    })
    expect(rows).toHaveLength(series.t_s.length)
  })
  it('is a readable table without --json', async () => {
    const named = setKey(defaultPreset(), 'title', 'Tuesday')
    if (named.ok) await call([file('named.json', serialisePreset(named.preset)), '--every', '1'])
    const { life } = lifeOf(defaultPreset()) as { life: Life }
    expect(out).toMatch(/^Tuesday\n/)
    expect(out).toContain(`largest radius    ${(life.summary.maxRadius * 1e3).toPrecision(4)} mm`)
    expect(out).toMatch(/t_s +R_mm +centre_um/)
    expect(out).not.toMatch(/NaN|undefined|null/)
  })
})

describe('a run that fails', () => {
  it('tells outcome and cause with code 1', async () => {
    const run = (given: Preset) =>
      lifeOf(given, (life) => {
        life.summary = { ...life.summary, outcome: 'failed', cause: 'no step small enough' }
      })
    expect(await call([preset, '--json'], run)).toBe(1)
    expect(JSON.parse(out)).toMatchObject({ outcome: 'failed', cause: 'no step small enough' })
  })
  it('survives a crash of the engine', async () => {
    const crash = () => {
      throw new Error('out of memory')
    }
    expect(await call([preset, '--json'], crash)).toBe(1)
    expect(JSON.parse(out)).toEqual({ outcome: 'failed', cause: expect.stringContaining('out of memory') })
    expect(await call([preset], crash)).toBe(1)
    expect(err).toContain('out of memory')
  })
  it('passes on what the engine refuses, with code 2', async () => {
    const refuse = (): LifeResult => ({
      ok: false,
      reason: 'invalid',
      problems: [{ where: 'drop.volume_uL', message: 'too much for this dish' }],
    })
    expect(await call([preset], refuse)).toBe(2)
    expect(err).toContain('too much for this dish')
  })
})
