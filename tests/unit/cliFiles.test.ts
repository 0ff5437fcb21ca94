/**
 * What the commands read and write, in a process of their own. That an input is never lost, that output which falls
 * short is told, and that nothing waits for a pipe: common practice, no source.
 */
import {
  chmodSync,
  copyFileSync,
  existsSync,
  linkSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { callOf } from '../fixtures/captured.ts'
import { ROOT, shell } from '../fixtures/spawned.ts'

const presets = join(ROOT, 'presets')
let folder: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'rimtide-files-'))
  copyFileSync(join(presets, 'harbour-lane-lens.json'), join(folder, 'drop.json'))
  copyFileSync(join(presets, 'liquids/harbour-lane-spirit.json'), join(folder, 'spirit.json'))
  copyFileSync(join(presets, 'harbour-lane-measured-60.csv'), join(folder, 'data.csv'))
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

const text = (name: string) => readFileSync(join(folder, name), 'utf8')
const run = (line: string) => shell(line, folder)
const never = () => {
  throw new Error('no life should be run')
}
/** A call that goes well; what it prints counts elsewhere. */
const lensTo = (csv: string) => run(`rimtide simulate drop.json --csv ${csv} > told.txt`)

const COMMANDS = {
  simulate: 'simulate drop.json',
  threshold: 'threshold drop.json --brief',
  compare: 'compare drop.json data.csv',
  scaling: 'scaling drop.json data.csv',
}

describe('an input', () => {
  const others: [string, string][] = [
    ['the liquid', 'spirit.json'],
    ['a hard link to the preset', 'hard.csv'],
    ['a symbolic link to the preset', 'soft.csv'],
    ['a hard link to the liquid', 'hard-liquid.csv'],
    ['the preset by way of a linked folder', 'linked/drop.json'],
  ]
  const calls = Object.keys(COMMANDS) as (keyof typeof COMMANDS)[]
  it.each(calls)('is not overwritten by %s, under any name', async (name) => {
    linkSync(join(folder, 'drop.json'), join(folder, 'hard.csv'))
    linkSync(join(folder, 'spirit.json'), join(folder, 'hard-liquid.csv'))
    symlinkSync('drop.json', join(folder, 'soft.csv'))
    symlinkSync('.', join(folder, 'linked'))
    const before = [text('drop.json'), text('spirit.json'), text('data.csv')]
    const { main } = await import(`../../src/cli/${name}.ts`)
    for (const [what, file] of others) {
      const args = [...COMMANDS[name].split(' ').slice(1), '--liquid', 'spirit.json', '--csv', file]
      const argv = args.map((arg) => (existsSync(join(folder, arg)) ? join(folder, arg) : arg))
      const { code, out, err } = await callOf((to) =>
        main(argv, name === 'simulate' ? { ...to, run: never } : to, never),
      )
      expect({ what, code, out }).toEqual({ what, code: 2, out: '' })
      expect(err).toMatch(/this is one of the inputs; it is not overwritten/)
    }
    expect([text('drop.json'), text('spirit.json'), text('data.csv')]).toEqual(before)
  })
  it('is not overwritten by a command in its own process', async () => {
    linkSync(join(folder, 'spirit.json'), join(folder, 'table.csv'))
    const before = text('spirit.json')
    const { code, out, err } = await run(
      'rimtide threshold drop.json --brief --liquid spirit.json --csv table.csv',
    )
    expect({ code, out }).toEqual({ code: 2, out: '' })
    expect(err).toBe('--csv table.csv: this is one of the inputs; it is not overwritten.\n')
    expect(text('spirit.json')).toBe(before)
  })
})

describe('a table', () => {
  it('is written whole, alone, and as a new file of the usual rights', async () => {
    expect(await lensTo('table.csv')).toMatchObject({ code: 0, err: '' })
    expect(text('table.csv')).toMatch(/^t_s,R_mm,/)
    expect(readdirSync(folder).sort()).toEqual([
      'data.csv',
      'drop.json',
      'spirit.json',
      'table.csv',
      'told.txt',
    ])
    expect(statSync(join(folder, 'table.csv')).mode & 0o777).toBe(0o666 & ~process.umask())
  })
  it.each(['table.csv', 'link.csv'])(
    'leaves the old one as it was where the disk is full (%s)',
    async (name) => {
      writeFileSync(join(folder, 'table.csv'), 'what was there before\n')
      symlinkSync('table.csv', join(folder, 'link.csv'))
      const names = readdirSync(folder)
      // A file may have one kilobyte at most: the write falls short, as on a full disk. The table has four.
      const { code, err } = await run(
        `ulimit -f 1; rimtide simulate drop.json --csv ${name} | cat > /dev/null; exit \${PIPESTATUS[0]}`,
      )
      expect(code).toBe(2)
      expect(err).toBe(
        `--csv ${name} could not be written: the file would be larger than is permitted here.\n`,
      )
      expect(text('table.csv')).toBe('what was there before\n')
      expect(readdirSync(folder)).toEqual(names)
    },
  )
  it('leaves nothing where there was none', async () => {
    const names = readdirSync(folder)
    expect((await run('ulimit -f 1; rimtide threshold drop.json --brief --csv table.csv | cat')).err).toMatch(
      /could not be written/,
    )
    expect(readdirSync(folder)).toEqual(names)
  })
  it('takes the rights of the one it replaces, and follows links to it', async () => {
    writeFileSync(join(folder, 'table.csv'), 'old')
    chmodSync(join(folder, 'table.csv'), 0o640)
    symlinkSync('table.csv', join(folder, 'link.csv'))
    expect(await lensTo('link.csv')).toMatchObject({ code: 0, err: '' })
    expect(lstatSync(join(folder, 'link.csv')).isSymbolicLink()).toBe(true)
    expect(text('table.csv')).toMatch(/^t_s,R_mm,/)
    expect(statSync(join(folder, 'table.csv')).mode & 0o777).toBe(0o640)
  })
  it('is made where a link leads to a file that is not there yet', async () => {
    mkdirSync(join(folder, 'results'))
    symlinkSync('results/table.csv', join(folder, 'link.csv'))
    expect(await lensTo('link.csv')).toMatchObject({ code: 0, err: '' })
    expect(text('results/table.csv')).toMatch(/^t_s,R_mm,/)
  })
  it.each(['/dev/stdout', '>(cat > piped.csv; echo done)'])('goes into a pipe: %s', async (target) => {
    const { code, out, err } = await run(`rimtide simulate drop.json --json --csv ${target} | cat`)
    expect({ code, err }).toEqual({ code: 0, err: '' })
    const table = target === '/dev/stdout' ? out : text('piped.csv')
    expect(table).toMatch(/^t_s,R_mm,.*\n0,/m)
  })
  it('stands behind what is printed where both go to one file', async () => {
    expect(await run('rimtide simulate drop.json --json --csv /dev/stdout > both.txt')).toMatchObject({
      code: 0,
    })
    expect(text('both.txt')).toMatch(/^\{"title".*\}\nt_s,R_mm,.*\n0,/)
  })
  it.each([
    ['a missing folder', 'folder/table.csv', /its folder does not exist/],
    ['a file for a folder', 'drop.json/table.csv', /its folder does not exist/],
    ['a link in a circle', 'loop', /a link that leads back to itself/],
    ['a long name', 'x'.repeat(300), /the name is too long/],
  ])('that cannot be written is refused beforehand: %s', async (_, target, message) => {
    symlinkSync('loop', join(folder, 'loop'))
    const { main } = await import('../../src/cli/simulate.ts')
    const argv = [join(folder, 'drop.json'), '--csv', join(folder, target)]
    const { code, out, err } = await callOf((to) => main(argv, { ...to, run: never }))
    expect({ code, out }).toEqual({ code: 2, out: '' })
    expect(err).toMatch(message)
  })
})

describe('what cannot be read to its end', () => {
  const pipe = /this is a pipe, not a file\. Save what comes through it to a file first/
  const device = /this is a device, not a file/
  it.each([
    ['simulate fifo', pipe],
    ['recipe --stock 96%vol --want 50%w --liquid fifo', pipe],
    ['compare drop.json fifo', pipe],
    ['simulate <(cat drop.json)', pipe],
    ['compare drop.json /dev/zero', device],
    ['simulate drop.json --liquid /dev/zero', device],
  ])('%s', async (line, message) => {
    const { code, out, err } = await run(`mkfifo fifo; rimtide ${line}`)
    expect({ code, out }).toEqual({ code: 2, out: '' })
    expect(err).toMatch(message)
  })
  it('standard input is refused as a pipe, and taken as a file', async () => {
    const { code, err } = await run('cat drop.json | rimtide simulate /dev/stdin')
    expect(code).toBe(2)
    expect(err).toMatch(pipe)
    expect(await run('rimtide simulate /dev/stdin < drop.json')).toMatchObject({ code: 0, err: '' })
  })
  it('files above the limit are not read', async () => {
    const { code, err } = await run(
      'truncate -s 3G big.json big.csv; rimtide simulate big.json; rimtide scaling big.csv',
    )
    expect(code).toBe(2)
    expect(err).toBe(
      'big.json: the file has 3221225472 bytes; at most 400000 are read.\n' +
        'big.csv: the file has 3221225472 bytes; at most 40000000 are read.\n',
    )
  })
})

describe('standard output', () => {
  const full = /^The output cannot be written: the disk is full\.\n$/
  it
    .skipIf(!existsSync('/dev/full'))
    .each([
      'simulate drop.json',
      'simulate --help',
      'threshold drop.json --brief',
      'recipe --stock 96%vol --want 50%w',
    ])('that takes nothing is told: %s', async (line) => {
    const { code, err } = await run(`rimtide ${line} > /dev/full`)
    expect(code).toBe(2)
    expect(err).toMatch(full)
  })
  it('that takes a part only is told', async () => {
    const { code, err } = await run('ulimit -f 1; rimtide simulate drop.json > told.txt')
    expect(code).toBe(2)
    expect(err).toBe('The output cannot be written: the file would be larger than is permitted here.\n')
  })
  it('whose reader has enough ends quietly', async () => {
    const { err } = await run(
      'rimtide simulate drop.json --every 0.001 | head -1; rimtide simulate --help | true',
    )
    expect(err).toBe('')
  })
  it.skipIf(!existsSync('/dev/full'))('is served where messages cannot be written', async () => {
    expect(await run('rimtide simulate nofile.json 2> /dev/full')).toMatchObject({ code: 2, out: '' })
  })
})
