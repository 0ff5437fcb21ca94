/** The command line as it is started, in its own process; and the counting of `npm test`. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { launch, node, ROOT as root } from '../fixtures/spawned.ts'

const folder = mkdtempSync(join(tmpdir(), 'rimtide-launch-'))
afterAll(() => rmSync(folder, { recursive: true }))

interface Counts {
  passed: number
  failed: number
  skipped: number
}

describe('launch', () => {
  it('prints the help on stdout with code 0', async () => {
    const { code, out, err } = await launch(['simulate', '--help'])
    expect({ code, err }).toEqual({ code: 0, err: '' })
    expect(out).toContain('--set KEY=VALUE')
  })
  it('reports bad input on stderr with code 2, path relative to the caller', async () => {
    writeFileSync(
      join(folder, 'far.json'),
      '{"format":"rimtide-preset","version":1,"drop":{"volume_uL":500}}',
    )
    const { code, out, err } = await launch(['simulate', 'far.json', '--json'], {
      INIT_CWD: folder,
      npm_lifecycle_event: 'simulate',
    })
    expect({ code, out }).toEqual({ code: 2, out: '' })
    expect(err).toBe('far.json: drop.volume_uL is 500. Permitted: 0.5 to 100 µL.\n')
  })
  const scripts = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')).scripts
  const commands = ['compare', 'recipe', 'scaling', 'sheet', 'simulate', 'threshold', 'validate']
  it.each(['nothing', '../x', '', 'load', 'command', 'toString', '--help', 'simulate.ts'])(
    'knows no command %j, and tells which there are',
    async (name) => {
      const { code, out, err } = await launch([name])
      expect({ code, out }).toEqual({ code: 2, out: '' })
      expect(err).toMatch(/^There is no command ".*"\. There are: .*\. Each knows --help\.\n$/)
      for (const command of commands) expect(err).toContain(command)
    },
  )
  it('asks for a command where none is given', async () => {
    const { code, err } = await launch([])
    expect(code).toBe(2)
    expect(err).toMatch(/^Which command\? There are: simulate, /)
  })
  it('does not repeat a name at any length', async () => {
    expect((await launch(['x'.repeat(100_000)])).err.length).toBeLessThan(300)
  })
  it.each(commands)('knows %s, also as a script of the package', async (name) => {
    expect(scripts[name]).toBe(`node src/cli/launch.mjs ${name}`)
    expect(await launch([name, '--help'])).toMatchObject({ code: 0, err: '' })
  })
  it('runs a shipped preset to its end', async () => {
    const { code, out, err } = await launch(['simulate', 'presets/harbour-lane-lens.json', '--json'])
    expect({ code, err }).toEqual({ code: 0, err: '' })
    expect(JSON.parse(out).outcome).toBe('lens')
  })
})

describe('start', () => {
  it.each([
    [['--port', 'x'], {}],
    [['--port', '70000'], {}],
    [[], { PORT: '0x50' }],
    [['--colour'], {}],
  ])('refuses %j %j', async (args, env) => {
    const { code, err } = await node('src/cli/start.mjs', args, env)
    expect(code).toBe(2)
    expect(err).toMatch(/Permitted: whole numbers from 1 to 65535|--port/)
  })
})

describe('counting of the test phases', async () => {
  const path = join(root, 'tests/reporter.mjs')
  const { countsInReport, countsInText, honest, lineOf } = await import(/* @vite-ignore */ path)
  const counts = (passed: number, failed: number, skipped: number): Counts => ({ passed, failed, skipped })
  it('reads the last line of its kind', () => {
    expect(countsInText('1 passed, 0 failed, 0 skipped\nx\n12 passed, 3 failed, 1 skipped\n')).toEqual(
      counts(12, 3, 1),
    )
    expect(countsInText('crash')).toEqual(counts(0, 0, 0))
    expect(lineOf(counts(12, 3, 1))).toBe('12 passed, 3 failed, 1 skipped')
  })
  it('never calls a bad end good', () => {
    expect(honest(counts(5, 0, 0), false)).toEqual(counts(5, 1, 0))
    expect(honest(counts(0, 0, 3), true)).toEqual(counts(0, 1, 3))
    expect(honest(counts(5, 2, 0), false)).toEqual(counts(5, 2, 0))
    expect(honest(counts(5, 0, 1), true)).toEqual(counts(5, 0, 1))
  })
  it('counts a test file that cannot be loaded as a failure', () => {
    const report = join(folder, 'report.json')
    const totals = { numPassedTests: 4, numFailedTests: 1, numPendingTests: 2, numTodoTests: 1 }
    const testResults = [
      { status: 'failed', assertionResults: [] },
      { status: 'failed', assertionResults: [{}] },
    ]
    writeFileSync(report, JSON.stringify({ ...totals, testResults }))
    expect(countsInReport(report)).toEqual(counts(4, 2, 3))
    expect(countsInReport(join(folder, 'none.json'))).toEqual(counts(0, 0, 0))
  })
})
