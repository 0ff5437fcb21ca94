/**
 * What a sweep keeps whatever happens: killed processes, torn and damaged files, full disks, two at once. That nothing
 * finished is lost and nothing doubled: common practice, no source.
 */
import { type ChildProcess, spawn, spawnSync } from 'node:child_process'
import { once } from 'node:events'
import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs'
import { hostname } from 'node:os'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { crc32 } from 'node:zlib'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { Lock } from '../../src/cli/sweep/lock.ts'
import { runHere } from '../../src/life/hands.ts'
import { randomStream } from '../../src/numerics/sampling/random.ts'
import { ROOT, shell } from '../fixtures/spawned.ts'
import { SweepPlace, smallPlan, sweep } from '../fixtures/sweeps.ts'

const COUNT = 60
const alone = { run: runHere }

let place: SweepPlace
let whole: Record<string, string>
beforeAll(async () => {
  place = new SweepPlace(smallPlan(COUNT))
  expect((await run('whole')).code).toBe(0)
  whole = place.results('whole')
})
afterAll(() => place.end())

const run = (folder: string) => sweep([place.at('plan.json'), '--out', place.at(folder)], alone)

/** The command in a process of its own. */
function begin(folder: string, ...more: string[]): ChildProcess {
  const args = [
    join(ROOT, 'src/cli/launch.mjs'),
    'sweep',
    place.at('plan.json'),
    '--out',
    place.at(folder),
    ...more,
  ]
  return spawn(process.execPath, args, { cwd: ROOT, stdio: ['ignore', 'ignore', 'pipe'] })
}
async function until(condition: () => boolean): Promise<void> {
  while (!condition()) await wait(5)
}
const journal = (folder: string) => place.at(folder, 'lives', 'all.journal')
const size = (path: string): number => statSync(path, { throwIfNoEntry: false })?.size ?? 0

describe('a process that is killed', () => {
  it('at five moments loses nothing that was written, doubles nothing, and ends with the bytes of one run', async () => {
    const random = randomStream(20261129)
    let before: number[] = []
    for (let k = 0; k < 5; k++) {
      const child = begin('killed', '--workers', k % 2 === 0 ? '2' : '1')
      const ended = once(child, 'exit')
      // Once at any moment of its start, else while lives are written.
      if (k > 0) {
        const from = size(journal('killed'))
        await Promise.race([until(() => size(journal('killed')) > from), ended])
      }
      await wait(200 * random())
      child.kill('SIGKILL')
      await ended
      const now = existsSync(journal('killed')) ? place.rows('killed') : []
      expect(now.slice(0, before.length)).toEqual(before)
      expect(new Set(now).size).toBe(now.length)
      before = now
    }
    expect(before.length).toBeGreaterThan(0)
    const told = await run('killed')
    expect(told.code).toBe(0)
    const rows = place.rows('killed')
    expect(rows.slice(0, before.length)).toEqual(before)
    expect([...rows].sort((a, b) => a - b)).toEqual(Array.from({ length: COUNT }, (_, i) => i))
    expect(place.results('killed')).toEqual(whole)
  })
  it('by Ctrl-C ends by itself with what is done', async () => {
    const child = begin('ctrl-c', '--workers', '2')
    let err = ''
    child.stderr!.setEncoding('utf8').on('data', (text: string) => {
      err += text
    })
    await until(() => size(journal('ctrl-c')) > 300)
    child.kill('SIGINT')
    child.kill('SIGINT')
    const [code] = await once(child, 'close')
    // Where the last life was quicker than the signal, it has simply ended.
    if (code !== 0)
      expect({ code, err }).toMatchObject({ code: 130, err: /Stopped\. \d+ of 60 lives are kept/ })
    expect(readdirSync(place.at('ctrl-c', 'lives'))).not.toContain('all.lock')
    expect((await run('ctrl-c')).code).toBe(0)
    expect(place.results('ctrl-c')).toEqual(whole)
  })
})

/** A folder whose journal holds these bytes. */
function withJournal(folder: string, bytes: Buffer): void {
  mkdirSync(place.at(folder, 'lives'), { recursive: true })
  for (const name of ['plan.json', 'program.json'])
    writeFileSync(place.at(folder, name), place.bytes('whole', name))
  writeFileSync(journal(folder), bytes)
}

describe('a journal', () => {
  it('has a line a life, each with the CRC-32 of its JSON', () => {
    const lines = readFileSync(journal('whole'), 'utf8').trimEnd().split('\n')
    expect(lines).toHaveLength(1 + COUNT)
    for (const line of lines) expect(Number.parseInt(line.slice(0, 8), 16)).toBe(crc32(line.slice(9)))
  })
  it.each([1, 40, 170])(
    'that was torn %i bytes before its end goes on after its last whole line',
    async (cut) => {
      const all = readFileSync(journal('whole'))
      const folder = `torn-${cut}`
      withJournal(folder, all.subarray(0, all.length - cut))
      expect(await run(folder)).toMatchObject({ code: 0, err: '59 of 60 lives are there already.\n' })
      expect(readFileSync(journal(folder))).toEqual(all)
      expect(place.results(folder)).toEqual(whole)
    },
  )
  it.each([0, 60])('that was torn after %i bytes begins anew', async (length) => {
    withJournal(`short-${length}`, readFileSync(journal('whole')).subarray(0, length))
    expect(await run(`short-${length}`)).toMatchObject({ code: 0, err: '' })
    expect(place.results(`short-${length}`)).toEqual(whole)
  })
  it('in which a digit has changed has that life computed again, and tells', async () => {
    const bytes = Buffer.from(readFileSync(journal('whole')))
    const at = bytes.indexOf('\n', 3000) + 40
    bytes[at] = bytes[at]! ^ 1
    withJournal('rotten', bytes)
    expect(await sweep(['--collect', place.at('rotten')])).toMatchObject({
      code: 2,
      err: /1 of 60 rows are missing/,
    })
    expect(await run('rotten')).toMatchObject({
      code: 0,
      err: /1 damaged lines; these lives are computed again\.\n59 of 60 lives are there already/,
    })
    expect(place.results('rotten')).toEqual(whole)
  })
  it('whose first line is damaged is not thrown away', async () => {
    const bytes = Buffer.from(readFileSync(journal('whole')))
    bytes[20] = bytes[20]! ^ 1
    withJournal('headless', bytes)
    expect(await run('headless')).toMatchObject({ code: 2, err: /its first line is damaged/ })
    expect(readFileSync(journal('headless'))).toEqual(bytes)
  })
  it('in which rows stand twice, in any order, gives the same results', async () => {
    const [head, ...lines] = readFileSync(journal('whole'), 'utf8').trimEnd().split('\n')
    withJournal('mixed', Buffer.from(`${[head, ...lines.reverse(), ...lines.slice(20, 30)].join('\n')}\n`))
    expect((await sweep(['--collect', place.at('mixed')])).code).toBe(0)
    expect(place.results('mixed')).toEqual(whole)
  })
})

describe('a journal with a row twice and another missing', () => {
  it('is not taken for whole', async () => {
    const [head, first, ...lines] = readFileSync(journal('whole'), 'utf8').trimEnd().split('\n')
    withJournal('twice', Buffer.from(`${[head, ...lines, lines[3]].join('\n')}\n`))
    const row = JSON.parse(first!.slice(9))[0] + 1
    expect(await sweep(['--collect', place.at('twice')])).toMatchObject({
      code: 2,
      err: expect.stringContaining(`1 of 60 rows are missing. Rows ${row}.`),
    })
  })
})

describe('two at once', () => {
  const SPACE = '/proc/self/ns/pid'
  const space = existsSync(SPACE) ? readlinkSync(SPACE) : ''
  const holder = { pid: process.pid, host: hostname(), born: '', space, token: 'other' }
  /** A folder in which all is done, with a lock. */
  const lockIn = (folder: string, name: string, what: object) => {
    withJournal(folder, readFileSync(journal('whole')))
    writeFileSync(place.at(folder, 'lives', `${name}.lock`), JSON.stringify(what))
  }
  const refused = (name: string) => ({
    code: 2,
    err: expect.stringContaining(`${name} is being worked on by process ${process.pid} on ${hostname()}`),
  })
  it('in one folder are refused, with who is at work', async () => {
    lockIn('busy', 'all', holder)
    expect(await run('busy')).toMatchObject(refused(place.at('busy')))
    lockIn('shards', '2-of-3', holder)
    expect(await run('shards')).toMatchObject(refused('(shard 2-of-3)'))
    const shard = (text: string) =>
      sweep([place.at('plan.json'), '--out', place.at('shards'), '--shard', text], alone)
    expect(await shard('1/4')).toMatchObject(refused('(shard 2-of-3)'))
    expect(await shard('2/3')).toMatchObject(refused('(shard 2/3)'))
    expect(await shard('1/3')).toMatchObject({ code: 0 })
  })
  it('begun at the same moment: one goes on, the other is refused', async () => {
    const both = [begin('race', '--workers', '1'), begin('race', '--workers', '1')]
    const codes = await Promise.all(both.map(async (child) => (await once(child, 'close'))[0]))
    // Where the first had ended before the second looked, both find all rows done.
    expect(codes.sort().join()).toMatch(/^(0,2|0,0)$/)
    expect(new Set(place.rows('race')).size).toBe(place.rows('race').length)
    expect(place.results('race')).toEqual(whole)
  })
  it('where the first has died is told, and its work goes on', async () => {
    const gone = spawnSync('true').pid
    lockIn('dead', 'all', { ...holder, pid: gone })
    expect(await run('dead')).toMatchObject({
      code: 0,
      err: expect.stringContaining(`process ${gone}, which was at work here, has ended; its work goes on.`),
    })
    expect(readdirSync(place.at('dead', 'lives'))).not.toContain('all.lock')
  })
  it.skipIf(!existsSync('/proc/self/stat'))(
    'where another process got the number of the dead one',
    async () => {
      lockIn('reborn', 'all', { ...holder, born: '1' })
      expect(await run('reborn')).toMatchObject({ code: 0, err: /has ended; its work goes on/ })
    },
  )
  describe('on another machine', () => {
    const times = { beat: 20, dead: 300 }
    const far = JSON.stringify({ ...holder, host: 'bench-3' })
    const take = (path: string, told: string[]) => Lock.take(path, 'X', (text) => told.push(text), times)
    it('is taken over where that gives no sign of life', async () => {
      const path = place.at('far.lock')
      writeFileSync(path, far)
      const told: string[] = []
      const lock = await take(path, told)
      expect(told).toEqual([
        `X: process ${process.pid} on bench-3 was at work here. Waiting up to 0 s for a sign of life.`,
        'X: there was none; its work goes on.',
      ])
      expect(lock.lost).toBe(false)
      lock.release()
      expect(existsSync(path)).toBe(false)
    })
    it('of the same name, a container, its process numbers are not looked up here', async () => {
      const path = place.at('container.lock')
      writeFileSync(path, JSON.stringify({ ...holder, space: 'pid:[1]' }))
      const told: string[] = []
      ;(await take(path, told)).release()
      expect(told.at(-1)).toBe('X: there was none; its work goes on.')
    })
    it('is left to it where it does', async () => {
      const path = place.at('alive.lock')
      writeFileSync(path, far)
      const timer = setInterval(() => utimesSync(path, new Date(), new Date()), 10)
      await expect(take(path, [])).rejects.toThrow('X is being worked on')
      clearInterval(timer)
      expect(readFileSync(path, 'utf8')).toBe(far)
    })
    it('and one that was taken over meanwhile notices', async () => {
      const path = place.at('taken.lock')
      const lock = await take(path, [])
      writeFileSync(path, far)
      await until(() => lock.lost)
      lock.release()
      expect(readFileSync(path, 'utf8')).toBe(far)
    })
  })
})

describe('a full disk', () => {
  it('that takes no more is told, what is there stays, and the same call goes on', async () => {
    // 8 blocks of 1024 bytes a file: some 25 lives.
    const told = await shell('ulimit -f 8; rimtide sweep plan.json --out full --workers 1', place.root)
    expect(told.code).toBe(2)
    expect(told.err).toMatch(
      /^full: lives could not be written: the file would be larger than is permitted here\. \d+ of 60 lives are kept; the same call goes on/m,
    )
    const kept = place.rows('full')
    expect(told.err).toContain(`${kept.length} of 60 lives`)
    expect(await run('full')).toMatchObject({
      code: 0,
      err: `${kept.length} of 60 lives are there already.\n`,
    })
    expect(place.results('full')).toEqual(whole)
  })
  it('at the writing of the results leaves those that were there, and no parts', async () => {
    withJournal('tables', readFileSync(journal('whole')))
    await run('tables')
    const told = await shell('ulimit -f 8; rimtide sweep --collect tables', place.root)
    expect(told).toMatchObject({
      code: 2,
      err: /^The results could not be written in tables: .* No life is lost/m,
    })
    expect(place.results('tables')).toEqual(whole)
    expect(readdirSync(place.at('tables')).filter((name) => /part|tmp/.test(name))).toEqual([])
  })
  const mounts = () => {
    mkdirSync(place.at('small'))
    return spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=16k', 'tmpfs', place.at('small')]).status === 0
  }
  it.skipIf(process.getuid?.() !== 0)(
    'of four pages is told, and goes on where there is room',
    async ({ skip }) => {
      if (!mounts()) return skip()
      try {
        const told = await run('small')
        expect(told).toMatchObject({ code: 2, err: /could not be written: the disk is full\./ })
        spawnSync('mount', ['-o', 'remount,size=10m', place.at('small')])
        expect((await run('small')).code).toBe(0)
        expect(place.results('small')).toEqual(whole)
      } finally {
        spawnSync('umount', [place.at('small')])
      }
    },
  )
  it('whose lock cannot be written is told', async () => {
    withJournal('lockless', Buffer.alloc(0))
    mkdirSync(place.at('lockless', 'lives', `all.lock.${process.pid}.tmp`))
    expect(await run('lockless')).toMatchObject({
      code: 2,
      err: /lives\/all\.lock could not be written: this is a folder/,
    })
  })
})
