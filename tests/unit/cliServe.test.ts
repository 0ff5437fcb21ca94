/**
 * `npm start`, started for itself in a copy of the project: addresses, headers, a folder that can only be read.
 * Headers: the OWASP HTTP Headers Cheat Sheet (from memory); that X-Content-Type-Options, Referrer-Policy and
 * frame-ancestors mean what is used here: Fetch, Referrer Policy and CSP Level 3 of W3C and WHATWG. Media types: IANA's list.
 */
import { type ChildProcess, spawn, spawnSync } from 'node:child_process'
import {
  chmodSync,
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  rmSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from 'node:fs'
import { request } from 'node:http'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { ROOT } from '../fixtures/spawned.ts'

const HEADERS = {
  'content-security-policy': "frame-ancestors 'none'",
  'referrer-policy': 'no-referrer',
  'x-content-type-options': 'nosniff',
  'x-frame-options': 'DENY',
}
const PAGE = '<!doctype html><title>A page</title>\n'
const FILES: Record<string, [string, RegExp]> = {
  '/index.html': [PAGE, /^text\/html/],
  '/assets/a.js': ['export {}\n', /^text\/javascript/],
  '/assets/a.css': ['p {}\n', /^text\/css/],
  '/assets/a.svg': ['<svg/>\n', /^image\/svg\+xml/],
  '/assets/a.png': ['png', /^image\/png/],
  '/assets/a.json': ['{}\n', /^application\/json/],
  '/assets/a.wasm': ['wasm', /^application\/wasm/],
}

/** The project as it was cloned, with its packages beside it; node_modules is a folder of its own, to be locked as well. */
function copyProject(): string {
  const folder = mkdtempSync(join(tmpdir(), 'rimtide-serve-'))
  for (const name of [
    'src',
    'workers',
    'presets',
    'package.json',
    'package-lock.json',
    'vite.config.ts',
    'tsconfig.json',
  ])
    cpSync(join(ROOT, name), join(folder, name), { recursive: true })
  mkdirSync(join(folder, 'node_modules'))
  for (const name of readdirSync(join(ROOT, 'node_modules')).filter((one) => !one.startsWith('.vite')))
    symlinkSync(join(ROOT, 'node_modules', name), join(folder, 'node_modules', name))
  return folder
}

/** A built page, made by hand. */
function buildByHand(folder: string): void {
  mkdirSync(join(folder, 'dist/assets'), { recursive: true })
  for (const [name, [text]] of Object.entries(FILES)) writeFileSync(join(folder, 'dist', name), text)
}

/** Folders that can only be read; the superuser gives up the right to write all the same. */
const lock = (folder: string, mode: number) => {
  for (const name of ['dist/assets', 'dist', 'node_modules', 'src/page', 'src/cli', 'src', '.'])
    if (existsSync(join(folder, name))) chmodSync(join(folder, name), mode)
}
const superuser = process.getuid?.() === 0
const GIVE_UP = ['setpriv', '--bounding-set=-dac_override', '--inh-caps=-dac_override']
const canLock = !superuser || spawnSync(GIVE_UP[0]!, [...GIVE_UP.slice(1), 'true']).status === 0

let running: ChildProcess | undefined
afterEach(() => {
  running?.kill('SIGKILL')
  running = undefined
})

interface Started {
  address: string
  code: number | null
  told: string
}

/** Starts the server; done when it tells its address or ends. */
function start(folder: string, locked = false): Promise<Started> {
  const command = [
    ...(locked && superuser ? GIVE_UP : []),
    process.execPath,
    join(folder, 'src/cli/start.mjs'),
  ]
  const { PORT: _, ...env } = process.env
  const child = spawn(command[0]!, command.slice(1), { cwd: folder, env, stdio: ['ignore', 'pipe', 'pipe'] })
  running = child
  return new Promise((resolve) => {
    let told = ''
    const hear = (text: Buffer) => {
      told += text
      const address = /http:\/\/127\.0\.0\.1:\d+/.exec(told)?.[0]
      if (address && told.includes('Ctrl-C')) resolve({ address, code: null, told })
    }
    child.stdout.on('data', hear)
    child.stderr.on('data', hear)
    child.on('close', (code) => resolve({ address: '', code, told }))
  })
}

interface Answer {
  status: number
  headers: Record<string, unknown>
  body: string
}

/** Asks for a path exactly as it is written. */
function ask(address: string, path: string): Promise<Answer> {
  const { hostname, port } = new URL(address)
  return new Promise((resolve, reject) => {
    const asked = request({ hostname, port, path }, (response) => {
      let body = ''
      response.on('data', (text) => {
        body += text
      })
      response.on('end', () => resolve({ status: response.statusCode!, headers: response.headers, body }))
    })
    asked.on('error', reject).end()
  })
}

let folder: string
beforeAll(() => {
  folder = copyProject()
})
afterAll(() => {
  lock(folder, 0o755)
  rmSync(folder, { recursive: true, force: true })
})

describe('npm start', () => {
  it('gives the page at / and /index.html, its files with their kind, and the headers with all', async () => {
    buildByHand(folder)
    const { address } = await start(folder)
    for (const path of ['/', '/index.html', '/?a=1'])
      expect(await ask(address, path)).toMatchObject({ status: 200, body: PAGE, headers: HEADERS })
    for (const [path, [body, kind]] of Object.entries(FILES)) {
      const answer = await ask(address, path)
      expect({ path, ...answer }).toMatchObject({ path, status: 200, body, headers: HEADERS })
      expect(answer.headers['content-type']).toMatch(kind)
    }
  })
  it('answers 404 for everything else', async () => {
    buildByHand(folder)
    const { address } = await start(folder)
    const strangers = [
      '/nothing',
      '/index',
      '/assets',
      '/assets/',
      '/assets/b.js',
      '/index.html/',
      '/favicon.ico',
    ]
    const outside = [
      '/../package.json',
      '/%2e%2e/package.json',
      '//etc/passwd',
      '/%',
      '/%E0%A4%A',
      '/@fs/etc/passwd',
    ]
    for (const path of [...strangers, ...outside]) {
      const answer = await ask(address, path)
      expect({ path, ...answer }).toMatchObject({ path, status: 404, headers: HEADERS })
      expect(answer.headers['content-type']).toMatch(/^text\/plain/)
      expect(answer.body).toMatch(/^404: there is nothing at this address/)
    }
  })
  it('builds the page where there is none', async () => {
    rmSync(join(folder, 'dist'), { recursive: true, force: true })
    const { address, told } = await start(folder)
    expect(told).toContain('Building the page')
    expect((await ask(address, '/')).body).toMatch(/<title>.*Rimtide/)
    expect(existsSync(join(folder, 'node_modules/.vite-temp'))).toBe(false)
  })
})

describe.skipIf(!canLock)('npm start in a folder that can only be read', () => {
  afterEach(() => lock(folder, 0o755))
  it('serves the page that is there', async () => {
    buildByHand(folder)
    rmSync(join(folder, 'node_modules/.vite-temp'), { recursive: true, force: true })
    lock(folder, 0o555)
    const { address, told } = await start(folder, true)
    expect(told).toMatch(/^Rimtide is at /)
    expect(await ask(address, '/')).toMatchObject({ status: 200, body: PAGE })
  })
  it('serves an old page, and says that it is old', async () => {
    buildByHand(folder)
    utimesSync(join(folder, 'dist/index.html'), 1e9, 1e9)
    lock(folder, 0o555)
    const { address, told } = await start(folder, true)
    expect(told).toMatch(/older than its sources, and .*dist cannot be written to: the old page is shown/)
    expect(await ask(address, '/')).toMatchObject({ status: 200, body: PAGE })
  })
  it('says what is to be done where there is no page', async () => {
    rmSync(join(folder, 'dist'), { recursive: true, force: true })
    lock(folder, 0o555)
    const { code, told } = await start(folder, true)
    expect(code).toBe(2)
    expect(told).toMatch(
      /^The page is not built yet, and .* cannot be written to\. Run "npm run build" where it can be\.\n$/,
    )
  })
})
