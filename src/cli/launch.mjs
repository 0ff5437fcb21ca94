/** `node src/cli/launch.mjs COMMAND …`: runs src/cli/COMMAND.ts in this process. */
import { existsSync } from 'node:fs'
import { ensureInstalled } from './install.mjs'

const [name = '', ...args] = process.argv.slice(2)
const entry = new URL(`./${name}.ts`, import.meta.url)
if (!/^[a-z]+$/.test(name) || !existsSync(entry)) {
  process.stderr.write(`There is no command ${JSON.stringify(name)}.\n`)
  process.exit(2)
}
ensureInstalled()
const { register } = await import('tsx/esm/api')
register()
const { main } = await import(entry.href)
process.stdout.on('error', (error) => {
  if (error.code === 'EPIPE') process.exit(0)
  throw error
})
process.exitCode = await main(args)
