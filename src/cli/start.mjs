/** `npm start`: installs, builds when needed, serves the built page on this machine only. */
import { accessSync, constants, existsSync, readdirSync, statSync } from 'node:fs'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import { ensureInstalled, ROOT } from './install.mjs'

const PREFERRED_PORT = 4173
const SOURCES = ['src', 'workers', 'presets', 'package-lock.json', 'vite.config.ts']

function stop(message) {
  process.stderr.write(`${message}\n`)
  process.exit(2)
}

/** The port asked for, or undefined if none was. */
function wantedPort() {
  let text = process.env.PORT || undefined
  try {
    text = parseArgs({ options: { port: { type: 'string' } } }).values.port ?? text
  } catch {
    stop('npm start knows one option: npm start -- --port 4173')
  }
  if (text === undefined) return undefined
  const port = Number(text)
  if (/^\d+$/.test(text) && port >= 1 && port <= 65535) return port
  return stop(`The port is ${JSON.stringify(text)}. Permitted: whole numbers from 1 to 65535.`)
}

/** Time of the newest file at or below a path, ms. */
function newest(path) {
  const stat = statSync(path)
  if (!stat.isDirectory()) return stat.mtimeMs
  return Math.max(stat.mtimeMs, ...readdirSync(path).map((name) => newest(join(path, name))))
}

const DIST = join(ROOT, 'dist')
const isBuilt = () => existsSync(join(DIST, 'index.html'))

/** True if no source is newer than the built page. */
function isFresh() {
  const built = statSync(join(DIST, 'index.html')).mtimeMs
  return SOURCES.every((source) => newest(join(ROOT, source)) <= built)
}

function canWrite(folder) {
  try {
    accessSync(folder, constants.W_OK)
    return true
  } catch {
    return false
  }
}

/** Builds the page where it is missing or old, and can be built. */
async function provide() {
  if (isBuilt() && isFresh()) return
  const folder = existsSync(DIST) ? DIST : ROOT
  if (canWrite(folder)) return build()
  if (!isBuilt())
    stop(
      `The page is not built yet, and ${folder} cannot be written to. Run "npm run build" where it can be.`,
    )
  process.stderr.write(
    `The built page is older than its sources, and ${folder} cannot be written to: the old page is shown.\n`,
  )
}

/** The runner reads vite.config.ts without writing a file for it. */
async function build() {
  process.stdout.write('Building the page …\n')
  const options = { configFile: join(ROOT, 'vite.config.ts'), configLoader: 'runner', logLevel: 'warn' }
  const vite = await import('vite')
  await vite.build(options).catch((error) => stop(`The build failed: ${error.message}`))
}

async function serve(wanted) {
  const { servePage } = await import('./serving.mjs')
  const port = wanted ?? PREFERRED_PORT
  try {
    return await servePage({ outDir: DIST, port, strictPort: wanted !== undefined })
  } catch (error) {
    return stop(`Cannot serve on port ${port}: ${error.message}`)
  }
}

// The page is served also where nobody reads what is printed here.
for (const stream of [process.stdout, process.stderr]) stream.on('error', () => {})
const port = wantedPort()
ensureInstalled()
await provide()
const server = await serve(port)
process.stdout.write(`Rimtide is at ${server.address}\nStop with Ctrl-C.\n`)
for (const signal of ['SIGINT', 'SIGTERM']) {
  process.on(signal, () => void server.close().finally(() => process.exit(0)))
}
