/** Plain Node, no packages: used before they are there. */
import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

/** The project's folder. */
export const ROOT = dirname(dirname(dirname(fileURLToPath(import.meta.url))))

const readPackages = (path) => JSON.parse(readFileSync(join(ROOT, path), 'utf8')).packages ?? {}

/** True if node_modules holds every package of package-lock.json in its version (optional ones aside). */
function isInstalled() {
  const record = join('node_modules', '.package-lock.json')
  if (!existsSync(join(ROOT, record))) return false
  try {
    const present = readPackages(record)
    return Object.entries(readPackages('package-lock.json')).every(
      ([path, entry]) => path === '' || entry.optional || present[path]?.version === entry.version,
    )
  } catch {
    return false
  }
}

/** How npm is called on this machine: [program, ...arguments]. */
function npmCommand() {
  const script = process.env.npm_execpath
  return script && /\.[cm]?js$/.test(script) ? [process.execPath, script] : ['npm']
}

/** Runs npm in the project's folder; its output goes to stderr. True if it succeeded. */
function runNpm(...args) {
  const [program, ...before] = npmCommand()
  const shell = process.platform === 'win32' && program === 'npm'
  const result = spawnSync(program, [...before, ...args], { cwd: ROOT, stdio: ['ignore', 2, 2], shell })
  return result.status === 0
}

/** Why this Node cannot be used, or undefined. */
function nodeProblem() {
  const [major, minor] = process.versions.node.split('.').map(Number)
  if (major > 20 || (major === 20 && minor >= 19)) return undefined
  return `Rimtide needs Node 20.19 or newer; this is ${process.versions.node}.`
}

/** Installs the packages if they are missing or out of date. Gives what went wrong, or undefined. */
export function installProblem() {
  const old = nodeProblem()
  if (old || isInstalled()) return old
  process.stderr.write('Installing packages (npm ci), once …\n')
  if (runNpm('ci', '--include=dev', '--no-audit', '--no-fund', '--loglevel=error')) return undefined
  return 'npm ci failed. Is the network reachable? Run "npm ci" by hand to see more.'
}

/** As installProblem, but ends the process with the message and exit code 2. */
export function ensureInstalled() {
  const wrong = installProblem()
  if (wrong === undefined) return
  process.stderr.write(`${wrong}\n`)
  process.exit(2)
}
