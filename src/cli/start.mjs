/** `npm start`: installs, builds when needed, serves the built page on this machine only. */
import { existsSync, readdirSync, statSync } from 'node:fs'
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

function isBuilt() {
  const page = join(ROOT, 'dist', 'index.html')
  if (!existsSync(page)) return false
  const built = statSync(page).mtimeMs
  return SOURCES.every((source) => newest(join(ROOT, source)) <= built)
}

async function serve(vite, port) {
  const preview = { host: '127.0.0.1', port: port ?? PREFERRED_PORT, strictPort: port !== undefined }
  try {
    return await vite.preview({ configFile: join(ROOT, 'vite.config.ts'), logLevel: 'warn', preview })
  } catch (error) {
    return stop(`Cannot serve on port ${preview.port}: ${error.message}`)
  }
}

const port = wantedPort()
ensureInstalled()
const vite = await import('vite')
if (!isBuilt()) {
  process.stdout.write('Building the page …\n')
  await vite
    .build({ configFile: join(ROOT, 'vite.config.ts'), logLevel: 'warn' })
    .catch((error) => stop(`The build failed: ${error.message}`))
}
const server = await serve(vite, port)
const address = server.httpServer.address()
process.stdout.write(`Rimtide is at http://127.0.0.1:${address.port}/\nStop with Ctrl-C.\n`)
for (const signal of ['SIGINT', 'SIGTERM']) {
  process.on(signal, () => void server.close().finally(() => process.exit(0)))
}
