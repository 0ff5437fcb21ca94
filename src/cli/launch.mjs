/** `node src/cli/launch.mjs COMMAND …`: runs src/cli/COMMAND.ts in this process. The commands are those of package.json. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { ensureEngine } from './engineBuild.mjs'
import { ensureInstalled, ROOT } from './install.mjs'

const { scripts } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8'))
const commands = Object.keys(scripts).filter((name) => scripts[name] === `node src/cli/launch.mjs ${name}`)

const [name, ...args] = process.argv.slice(2)
if (!commands.includes(name)) {
  const short = name?.length > 60 ? `${name.slice(0, 60)}…` : name
  const wrong = name === undefined ? 'Which command?' : `There is no command ${JSON.stringify(short)}.`
  process.stderr.write(`${wrong} There are: ${commands.join(', ')}. Each knows --help.\n`)
  process.exit(2)
}
ensureInstalled()
await ensureEngine().catch((error) => {
  process.stderr.write(`${error.message}\n`)
  process.exit(2)
})
const { register } = await import('tsx/esm/api')
register()
const { endWithOutput } = await import('./writing.ts')
process.stdout.on('error', endWithOutput)
// Where nobody hears, the exit code still tells.
process.stderr.on('error', () => {})
if (typeof WebAssembly !== 'object')
  process.stderr.write(
    'WebAssembly is switched off: the results are the same, lives take two to three times as long.\n',
  )
const { main } = await import(new URL(`./${name}.ts`, import.meta.url).href)
process.exitCode = await main(args)
