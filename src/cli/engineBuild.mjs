/** Compiles the engine (src/engine) with AssemblyScript. Plain Node: the build, the tests and the command line use it. */
import { createHash } from 'node:crypto'
import { existsSync, readdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { ROOT } from './install.mjs'

const ENGINE = join(ROOT, 'src', 'engine')
/** Written by this script, not kept in git: the binary as text, so that every bundler and worker can take it along. */
const TARGET = join(ENGINE, 'binary.generated.ts')
const OPTIONS = ['-O3', '--runtime', 'stub', '--noAssert', '--enable', 'simd', '--initialMemory', '1']

const sources = (folder) =>
  readdirSync(folder)
    .filter((name) => name.endsWith('.ts') && !/\.(d|generated)\.ts$/.test(name))
    .sort()

/** Name of a source within the engine's folder → text. */
function readSources() {
  const texts = new Map()
  for (const name of sources(ENGINE)) texts.set(name, readFileSync(join(ENGINE, name), 'utf8'))
  for (const name of sources(join(ENGINE, 'assembly')))
    texts.set(`assembly/${name}`, readFileSync(join(ENGINE, 'assembly', name), 'utf8'))
  return texts
}

/** Names the sources, the options and this script, by which a binary on the disk is known to be fresh. */
function nameOf(texts) {
  const hash = createHash('sha256')
    .update(JSON.stringify([...texts]))
    .update(OPTIONS.join(' '))
  for (const path of [fileURLToPath(import.meta.url), join(ROOT, 'package-lock.json')])
    hash.update(readFileSync(path))
  return hash.digest('hex').slice(0, 16)
}

/** TypeScript as AssemblyScript reads it: types are imported like values. */
const portable = (text) => text.replace(/^import type /gm, 'import ').replace(/([{,]\s*)type /g, '$1')

/** Sources of which the compiled engine has its own form. */
const TWICE = ['memory.ts', 'blocks.ts', 'triangles.ts', 'sizes.ts']

/** What AssemblyScript reads for a path. */
function textFor(texts, path) {
  const name = path.replaceAll('\\', '/').replace(/^\.\//, '')
  if (TWICE.includes(name)) return texts.get(`assembly/${name}`)
  return texts.has(name) ? portable(texts.get(name)) : null
}

async function compile(texts) {
  const { default: asc } = await import('assemblyscript/asc')
  let binary = null
  const { error, stderr } = await asc.main(['assembly/entry.ts', '--outFile', 'engine.wasm', ...OPTIONS], {
    readFile: (path) => textFor(texts, path),
    writeFile: (_, contents) => {
      binary = contents
    },
    listFiles: () => [],
  })
  if (error || !binary)
    throw new Error(`The engine could not be compiled. ${error?.message ?? ''}\n${stderr}`)
  return binary
}

/** Folders whose code makes a life's numbers. */
const CALCULATING = ['engine', 'numerics', 'liquids', 'model', 'life'].map((name) => join(ROOT, 'src', name))
const CALCULATION = join(ROOT, 'src', 'life', 'calculation.generated.ts')

/** All sources in a folder, at any depth. */
const sourcesIn = (folder) =>
  readdirSync(folder, { recursive: true })
    .map((name) => name.replaceAll('\\', '/'))
    .filter((name) => name.endsWith('.ts') && !name.endsWith('.generated.ts'))
    .sort()
    .map((name) => [name, readFileSync(join(folder, name), 'utf8')])

/** Names the code by which lives are calculated, so that what is kept of them is known to be of that code. */
function nameCalculation() {
  const hash = createHash('sha256').update(JSON.stringify(CALCULATING.map(sourcesIn)))
  const name = hash.digest('hex').slice(0, 12)
  write(
    CALCULATION,
    `/** Made by src/cli/engineBuild.mjs: names the code by which lives are calculated. */\nexport const CALCULATION = '${name}'\n`,
  )
}

/** Writes a file that is to hold another text than it does: whole or not at all, also where several begin at once. */
function write(path, text) {
  if (existsSync(path) && readFileSync(path, 'utf8') === text) return
  const part = `${path}.${process.pid}`
  writeFileSync(part, text)
  renameSync(part, path)
}

/** Compiles the engine where its binary is missing or older than its sources, and names the calculation. */
export async function ensureEngine() {
  nameCalculation()
  const texts = readSources()
  const name = nameOf(texts)
  if (existsSync(TARGET) && readFileSync(TARGET, 'utf8').includes(`'${name}'`)) return
  const binary = Buffer.from(await compile(texts)).toString('base64')
  const text =
    '/** Made by src/cli/engineBuild.mjs from the sources of src/engine. */\n' +
    `export const SOURCES = '${name}'\nexport const BINARY = '${binary}'\n`
  write(TARGET, text)
}

if (process.argv[1] === fileURLToPath(import.meta.url)) await ensureEngine()
