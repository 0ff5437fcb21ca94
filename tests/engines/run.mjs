/**
 * `npm run engines`: the same lives in Node and in every other JavaScript engine that is at hand; all digits must agree
 * (see src/numerics/elementary.ts). On Debian, gjs brings SpiderMonkey and libjavascriptcoregtk-4.0-bin JavaScriptCore.
 */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'vite'

const ENGINES = { Node: process.execPath, JavaScriptCore: 'jsc', SpiderMonkey: 'gjs' }

/** What bare shells lack of what browsers and Node have. */
const PRELUDE = `globalThis.performance ??= { now: () => Date.now() };
globalThis.TextEncoder ??= class { encode(text) { return Uint8Array.from(text, (sign) => sign.charCodeAt(0)) } };
`

const outDir = mkdtempSync(join(tmpdir(), 'rimtide-engines-'))
const entry = fileURLToPath(new URL('lives.ts', import.meta.url))
await build({
  configFile: false,
  logLevel: 'warn',
  build: {
    outDir,
    emptyOutDir: false,
    minify: false,
    target: 'es2021',
    lib: { entry, formats: ['iife'], name: 'lives', fileName: () => 'lives.js' },
  },
})
const script = join(outDir, 'lives.js')
writeFileSync(script, PRELUDE + readFileSync(script, 'utf8'))

let wanted = ''
let differ = false
for (const [name, program] of Object.entries(ENGINES)) {
  const start = performance.now()
  const { status, stdout, stderr, error } = spawnSync(program, [script], { encoding: 'utf8' })
  const took = `${((performance.now() - start) / 1000).toFixed(1)} s`
  wanted ||= stdout
  const same = status === 0 && stdout === wanted
  if (error) console.log(`${name}: not at hand`)
  else console.log(`${name}: ${same ? 'the same digits' : `DIFFERS\n${stdout}${stderr}`} (${took})`)
  differ ||= !error && !same
}
console.log(wanted.trimEnd())
rmSync(outDir, { recursive: true })
process.exit(differ ? 1 : 0)
