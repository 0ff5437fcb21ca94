/** The command `sweep`: from a plan to the tables, in parts and with stops. */
import { spawnSync } from 'node:child_process'
import { EventEmitter } from 'node:events'
import { chmodSync, readdirSync, writeFileSync } from 'node:fs'
import { csvParseRows } from 'd3-dsv'
import { asyncBufferFromFile, parquetMetadataAsync, parquetReadObjects } from 'hyparquet'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { runHere } from '../../src/life/hands.ts'
import type { LifeRunner } from '../../src/life/lives.ts'
import { runLife } from '../../src/life/run.ts'
import { OUTPUTS } from '../../src/plan/outputs.ts'
import { shell } from '../fixtures/spawned.ts'
import { SweepPlace, smallPlan, stopping, sweep } from '../fixtures/sweeps.ts'

const COUNT = 24
const alone = { run: runHere }

let place: SweepPlace
/** The results of one run in one thread, to which all others are compared. */
let whole: Record<string, string>
beforeAll(async () => {
  place = new SweepPlace(smallPlan(COUNT))
  expect((await sweep([place.at('plan.json'), '--out', place.at('whole')], alone)).code).toBe(0)
  whole = place.results('whole')
})
afterAll(() => place.end())

const run = (folder: string, ...more: string[]) =>
  sweep([place.at('plan.json'), '--out', place.at(folder), ...more])

describe('the results', () => {
  it('have a row a life, in the order of the plan, with what simulate would tell', async () => {
    const [head, ...rows] = csvParseRows(place.text('whole', 'results.csv').trimEnd())
    expect(head).toEqual([
      'row',
      'drop.alcoholMassFraction',
      'drop.volume_uL',
      'ring.breakUp',
      ...OUTPUTS.map(({ id }) => id),
      'outcome',
      'cause',
    ])
    expect(rows.map(([row]) => Number(row))).toEqual(Array.from({ length: COUNT }, (_, i) => i + 1))
    const outcomes = new Set(rows.map((row) => row.at(-2)))
    expect([...outcomes].sort()).toEqual(['lens', 'recedes', 'sheds'])
  })
  it('are the same numbers in the Parquet file, with types, nothing for what is not there, and the plan', async () => {
    const file = await asyncBufferFromFile(place.at('whole', 'results.parquet'))
    const rows = await parquetReadObjects({ file })
    const [head, ...texts] = csvParseRows(place.text('whole', 'results.csv').trimEnd())
    expect(rows).toHaveLength(COUNT)
    rows.forEach((row, i) => {
      expect(Object.keys(row)).toEqual(head)
      expect(
        Object.values(row).map((cell) => (cell === null || cell === undefined ? '' : String(cell))),
      ).toEqual(texts[i])
    })
    expect(rows[0]).toMatchObject({ row: 1, 'drop.volume_uL': 2, 'ring.breakUp': true, outcome: 'lens' })
    const { key_value_metadata: notes } = await parquetMetadataAsync(file)
    expect(notes).toEqual([{ key: 'rimtide.plan', value: place.text('whole', 'plan.json') }])
  })
  it.each([1, 2])('do not hang on the number of threads (%i)', async (workers) => {
    expect((await run(`threads-${workers}`, '--workers', String(workers))).code).toBe(0)
    expect(place.results(`threads-${workers}`)).toEqual(whole)
  })
  it('hold no time; machine and times are beside them', () => {
    expect(JSON.parse(place.text('whole', 'runs.json'))).toEqual([
      expect.objectContaining({
        shard: 'all',
        lives: COUNT,
        node: process.version,
        began: expect.any(String),
      }),
    ])
    expect(JSON.parse(place.text('whole', 'program.json'))).toEqual({
      program: 'rimtide',
      version: expect.stringMatching(/^0\.1\.0, calculation [0-9a-f]{12}$/),
    })
  })
  it('go to another file as well, and nothing but the sweep is left in the folder', async () => {
    expect((await run('whole', '--csv', place.at('copy.csv'))).code).toBe(0)
    expect(place.text('copy.csv')).toBe(place.text('whole', 'results.csv'))
    expect(place.results('whole')).toEqual(whole)
    expect(readdirSync(place.at('whole')).sort()).toEqual([
      'failures.csv',
      'lives',
      'plan.json',
      'program.json',
      'results.csv',
      'results.parquet',
      'runs.json',
    ])
    expect(readdirSync(place.at('whole', 'lives')).sort()).toEqual(['all.journal', 'all.runs.jsonl'])
  })
})

const python = process.env.RIMTIDE_PYTHON ?? 'python3'
const has = (library: string) => spawnSync(python, ['-c', `import ${library}`]).status === 0
const READERS = {
  pandas:
    "import pandas,sys; t=pandas.read_parquet(sys.argv[1]); print(len(t), repr(float(t['maxRadius_mm'].sum())))",
  pyarrow:
    "import pyarrow.parquet as p,sys; t=p.read_table(sys.argv[1]); print(t.num_rows, repr(sum(t['maxRadius_mm'].to_pylist())))",
  duckdb:
    'import duckdb,sys; print(*duckdb.sql(f"select count(*), sum(maxRadius_mm) from \'{sys.argv[1]}\'").fetchone())',
}

describe.each(Object.keys(READERS) as (keyof typeof READERS)[])('%s', (library) => {
  it.skipIf(!has(library))('reads the Parquet file', () => {
    const { stdout } = spawnSync(python, ['-c', READERS[library], place.at('whole', 'results.parquet')])
    const [rows, sum] = stdout.toString().trim().split(' ').map(Number)
    const [head, ...texts] = csvParseRows(place.text('whole', 'results.csv').trimEnd())
    const at = head!.indexOf('maxRadius_mm')
    expect(rows).toBe(COUNT)
    expect(sum).toBeCloseTo(
      texts.reduce((total, row) => total + Number(row[at]), 0),
      9,
    )
  })
})

describe('a stop', () => {
  it.each([
    ['SIGINT', 130],
    ['SIGTERM', 143],
  ])(
    'by %s keeps what is done; the same call goes on, and nothing is computed twice',
    async (signal, code) => {
      const folder = `stopped-${signal}`
      const argv = [place.at('plan.json'), '--out', place.at(folder)]
      const first = stopping(10, signal)
      const told = await sweep(argv, first)
      expect(told).toMatchObject({
        code,
        out: '',
        err: /^Stopped\. 10 of 24 lives are kept; the same call goes on/,
      })
      expect(first.computed()).toBeLessThan(COUNT)
      expect(place.rows(folder)).toHaveLength(10)
      expect(first.signals.listenerCount(signal)).toBe(0)
      const second = stopping(Number.NaN, signal)
      expect(await sweep(argv, second)).toMatchObject({
        code: 0,
        err: /^10 of 24 lives are there already\.$/m,
      })
      expect(second.computed()).toBe(COUNT - 10)
      expect(place.results(folder)).toEqual(whole)
    },
  )
})

describe('a life that is under way when it is stopped', () => {
  it('is no row: a part of a life is none', async () => {
    const signals = new EventEmitter()
    let lives = 0
    const run: LifeRunner = (preset, hooks = {}, level = preset.model.accuracy) => {
      const last = ++lives === 3
      const pause = async () => void (last && signals.emit('SIGINT'))
      return runLife(preset, { ...hooks, pause }, level)
    }
    const slow = place.plan(smallPlan(6, { accuracy: 'normal' }), 'slow.json')
    const argv = [slow, '--out', place.at('midst')]
    expect(await sweep(argv, { run, signals })).toMatchObject({ code: 130 })
    expect(lives).toBeGreaterThan(2)
    expect(place.rows('midst')).not.toContain(2)
    expect((await sweep(argv, alone)).code).toBe(0)
    expect((await sweep([slow, '--out', place.at('at-once')], alone)).code).toBe(0)
    expect(place.results('midst')).toEqual(place.results('at-once'))
  })
})

describe('another plan', () => {
  it('is refused in the same folder with what has changed, and nothing is touched', async () => {
    const other = place.plan(
      smallPlan(COUNT + 1, { accuracy: 'normal', inputs: { 'drop.volume_uL': { from: 2, to: 9 } } }),
      'other.json',
    )
    const { code, err } = await sweep([other, '--out', place.at('whole')])
    expect(code).toBe(2)
    expect(err).toContain('holds lives of another plan')
    expect(err.split('\n').slice(1)).toEqual([
      '  inputs.drop.alcoholMassFraction was {"from":0.2,"to":0.8,"logarithmic":false}, now is not there',
      '  inputs.drop.volume_uL.to was 20, now is 9',
      '  inputs.drop.volume_uL.logarithmic was true, now is false',
      '  inputs.ring.breakUp was {"values":[true,false]}, now is not there',
      '  count was 24, now is 25',
      '  accuracy was "quick", now is "normal"',
      '',
    ])
    expect(place.results('whole')).toEqual(whole)
  })
  it('so is another version of the program, and a journal of another plan', async () => {
    await run('version', '--shard', '1/8')
    writeFileSync(place.at('version', 'program.json'), '{ "program": "rimtide", "version": "0.0.9" }')
    expect(await run('version')).toMatchObject({
      code: 2,
      err: /begun by version 0\.0\.9 of the program; this is 0\.1\.0/,
    })
    place.plan(smallPlan(COUNT - 1), 'fewer.json')
    await sweep([place.at('fewer.json'), '--out', place.at('fewer'), '--shard', '1/8'], alone)
    writeFileSync(
      place.at('fewer', 'lives', '2-of-8.journal'),
      place.bytes('version', 'lives', '1-of-8.journal'),
    )
    expect(await sweep(['--collect', place.at('fewer')])).toMatchObject({
      code: 2,
      err: /lives\/2-of-8\.journal holds lives of another plan/,
    })
  })
})

describe('points that are not permitted, and lives that fail,', () => {
  it('are rows with their cause, and in failures.csv', async () => {
    const plan = place.plan(
      smallPlan(0, {
        design: 'grid',
        count: undefined,
        inputs: { 'drop.startRadius_mm': { values: [2, 12] }, 'bath.dishRadius_mm': { values: [10, 70] } },
      }),
      'edge.json',
    )
    let lives = 0
    const failing: LifeRunner = (...asked) => {
      if (++lives === 2) throw new Error('a planted error, "with quotes"')
      return runHere(...asked)
    }
    const told = await sweep([plan, '--out', place.at('edge')], { run: failing })
    expect(told).toMatchObject({
      code: 0,
      out: /failed 1, not-permitted 1, .*With their causes: .*failures\.csv/s,
    })
    const [, ...bad] = csvParseRows(place.text('edge', 'failures.csv').trimEnd())
    expect(bad).toEqual([
      ['2', 'failed', 'a planted error, "with quotes"'],
      ['3', 'not-permitted', 'drop.startRadius_mm is 12. Permitted: less than bath.dishRadius_mm, 10 mm.'],
    ])
    const rows = csvParseRows(place.text('edge', 'results.csv').trimEnd()).slice(1)
    expect(rows.map((row) => row.at(-2))).toEqual([
      expect.any(String),
      'failed',
      'not-permitted',
      expect.any(String),
    ])
    expect(rows[2]!.slice(0, 3)).toEqual(['3', '12', '10'])
    expect(rows[2]!.slice(3, -2).join('')).toBe('')
  })
})

describe('--dry', () => {
  it('tells number, time, size and machine, and writes nothing', async () => {
    const { code, out } = await run('dry', '--dry', '--workers', '3')
    expect(code).toBe(0)
    expect(out).toMatch(
      /^24 lives \(sobol over drop\.alcoholMassFraction, drop\.volume_uL, ring\.breakUp\), 13 outputs each\.\nAbout .* with 3 workers, .*\nAbout \d+ kB on the disk: .*\nOn .* cores\.\n$/,
    )
    expect(readdirSync(place.root)).not.toContain('dry')
    await run('dried', '--shard', '1/8')
    expect((await run('dried', '--dry')).out).toContain('24 lives (sobol')
    expect((await run('dried', '--dry')).out).toContain('of which 21 are still to be computed.')
  })
})

describe('a call', () => {
  let folder: SweepPlace
  beforeEach(() => {
    folder = new SweepPlace(smallPlan(4))
  })
  afterEach(() => folder.end())
  it.each<[string, string[], RegExp]>([
    ['without a plan', [], /^Which lives\? Give the file of a plan/],
    ['with two plans', ['a.json', 'b.json', '--out', 'x'], /"b\.json" is one too many/],
    ['without a folder', ['plan.json'], /^Where to\? Give the folder of the results: --out DIR/],
    ['with an empty folder', ['plan.json', '--out', ''], /^--out is empty/],
    ['with a plan that is not there', ['no.json', '--out', 'x'], /^no\.json: there is no such file\.$/m],
    [
      'that collects and computes',
      ['--collect', 'x', '--out', 'y'],
      /^--collect and --out exclude each other/,
    ],
    ['that collects a plan', ['plan.json', '--collect', 'x'], /^--collect takes no plan/],
    [
      'that collects nothing',
      ['--collect', '/nowhere'],
      /^--collect \/nowhere: this is no folder of a sweep/,
    ],
    [
      'with a table of a shard',
      ['p.json', '--out', 'x', '--shard', '1/2', '--csv', 'y'],
      /^--shard makes no table/,
    ],
    [
      'with too many workers',
      ['p.json', '--out', 'x', '--workers', '999'],
      /^--workers is "999"\. Permitted/,
    ],
  ])('%s is refused', async (_, argv, message) => {
    expect(await sweep(argv)).toMatchObject({ code: 2, out: '', err: message })
  })
  it('that would write its table over a file that it reads is refused', async () => {
    const { preset } = smallPlan(4) as { preset: object }
    folder.plan(preset, 'drop.json')
    folder.plan(smallPlan(4, { preset: 'drop.json' }), 'named.json')
    for (const csv of ['drop.json', 'named.json']) {
      const argv = [folder.at('named.json'), '--out', folder.at('x'), '--csv', folder.at(csv)]
      expect(await sweep(argv)).toMatchObject({
        code: 2,
        err: /this is one of the inputs; it is not overwritten/,
      })
    }
  })
  it('may write its table to where its output goes', async () => {
    const { code } = await shell('rimtide sweep plan.json --out x --csv /dev/stdout > told.txt', folder.root)
    expect(code).toBe(0)
    const told = folder.text('told.txt')
    const table = folder.text('x', 'results.csv')
    expect(told.slice(0, table.length)).toBe(table)
    expect(told.slice(table.length)).toMatch(
      /^4 lives in x: results\.parquet, results\.csv\.\nOutcomes: .*\n$/,
    )
  })
  it('into a file, or below one, is refused', async () => {
    for (const out of ['plan.json', 'plan.json/sub'])
      expect(await sweep([folder.at('plan.json'), '--out', folder.at(out)])).toMatchObject({
        code: 2,
        err: /^--out .* cannot be used: something in this path is a file, not a folder\.$/m,
      })
  })
  it.skipIf(process.getuid?.() === 0)('into a folder that may not be written is refused', async () => {
    chmodSync(folder.root, 0o500)
    const told = await sweep([folder.at('plan.json'), '--out', folder.at('x')])
    chmodSync(folder.root, 0o700)
    expect(told).toMatchObject({ code: 2, err: /cannot be used: writing there is not permitted/ })
  })
  it('--help tells what there is', async () => {
    expect(await sweep(['--help'])).toMatchObject({ code: 0, out: /--shard I\/N/, err: '' })
  })
})
