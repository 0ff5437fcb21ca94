/** What all commands have in common: where text goes, exit codes, what is wrong with the input, files written. */
import { writeFileSync } from 'node:fs'
import { argumentWords } from './argumentWords.ts'
import { userPath, whyNotWrite } from './files.ts'

/** Where text goes; replaced in tests. */
export interface Output {
  out(text: string): void
  err(text: string): void
}

export const TERMINAL: Output = {
  out: (text) => void process.stdout.write(text),
  err: (text) => void process.stderr.write(text),
}

/** Something is wrong with an argument; the message is followed by where to look up what is right. */
export class Wrong extends Error {}

/** Something is wrong with what the user named or put into it; each message stands by itself. */
export class WrongInput extends Error {
  constructor(messages: readonly string[]) {
    super(messages.join('\n'))
  }
}

/** The words for what `Wrong`, `WrongInput` or parseArgs refused; other errors are passed on. */
function refusal(error: unknown): string {
  if (error instanceof WrongInput) return `${error.message}\n`
  const words = error instanceof Wrong ? error.message : argumentWords(error)
  if (words === undefined) throw error
  return `${words.replace(/(?<![.?])$/, '.')} --help shows what there is.\n`
}

/**
 * Runs a command: `read` gives what is to be done, or a text that was asked for; `work` does it and gives the exit code.
 * Exit code 2 and a message for wrong input.
 */
export async function answer<Command extends object>(
  to: Output,
  read: () => Command | string,
  work: (command: Command) => number | Promise<number>,
): Promise<number> {
  try {
    const asked = read()
    if (typeof asked !== 'string') return await work(asked)
    to.out(asked)
    return 0
  } catch (error) {
    to.err(refusal(error))
    return 2
  }
}

/** What a reading gives. @throws WrongInput with its messages. */
export function demand<T>(made: ({ ok: true } & T) | { ok: false; messages: readonly string[] }): T {
  if (made.ok) return made
  throw new WrongInput(made.messages)
}

/** One change of a preset, and the argument that it came from. */
export interface Change {
  path: string
  text: string
  from: string
}

/** The change that `--set` asks for. @throws Wrong */
export function changeOf(text: string): Change {
  const cut = text.indexOf('=')
  if (cut < 1) throw new Wrong(`--set ${text}: write it as --set KEY=VALUE, e.g. --set drop.volume_uL=20`)
  return { path: text.slice(0, cut).trim(), text: text.slice(cut + 1), from: `--set ${text}` }
}

/** The only preset of a command. @throws Wrong */
export function onePreset([file, ...more]: readonly string[], example: string): string {
  if (file === undefined) throw new Wrong(`Which drop? Give a preset file, e.g. ${example}`)
  if (more.length > 0)
    throw new Wrong(`One preset file at a time; ${JSON.stringify(more[0])} is one too many`)
  return file
}

/** Refuses a `--csv` that must not be written. @throws Wrong where it has no name, WrongInput */
export function mayWrite(csv: string | undefined, inputs: readonly string[]): void {
  if (csv === '') throw new Wrong('--csv is empty: give the name of the file to write')
  if (csv === undefined) return
  for (const input of inputs) {
    const why = whyNotWrite(userPath(csv), userPath(input))
    if (why) throw new WrongInput([`--csv ${csv}: ${why}.`])
  }
}

/** Writes what `--csv` asks for; an existing file is replaced. @throws WrongInput */
export function write(csv: string | undefined, text: () => string): void {
  if (csv === undefined) return
  try {
    writeFileSync(userPath(csv), text())
  } catch (error) {
    throw new WrongInput([`--csv ${csv}: ${(error as Error).message}`])
  }
}
