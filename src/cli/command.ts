/** What all commands have in common: where text goes, exit codes, what is wrong with the input, files written. */
import { firstOf, shortened } from '../life/problemWords.ts'
import { argumentWords } from './argumentWords.ts'
import { userPath } from './files.ts'
import { printText, unprinted, whyNotWrite, whyUnwritten, writeWhole } from './writing.ts'

/** Where text goes; replaced in tests. */
export interface Output {
  out(text: string): void
  err(text: string): void
}

export const TERMINAL: Output = {
  out: (text) => {
    try {
      printText(text)
    } catch (error) {
      throw new WrongInput([unprinted(error)])
    }
  },
  err: (text) => void process.stderr.write(text),
}

/** Something is wrong with an argument; the message is followed by where to look up what is right. */
export class Wrong extends Error {}

/** Something is wrong with what the user named or put into it; each message stands by itself. */
export class WrongInput extends Error {
  readonly messages: readonly string[]
  constructor(messages: readonly string[]) {
    super(messages.join('\n'))
    this.messages = messages
  }
}

/** Most messages told at once. */
const MOST = 20

/** Tells what is wrong or doubtful, a line each: the first of many, and none at any length. */
export function tell(to: Output, messages: readonly string[]): void {
  for (const message of firstOf(messages, MOST)) to.err(`${message}\n`)
}

/** The words for what `Wrong`, `WrongInput` or parseArgs refused; other errors are passed on. */
function refusal(error: unknown): readonly string[] {
  if (error instanceof WrongInput) return error.messages
  const words = error instanceof Wrong ? error.message : argumentWords(error)
  if (words === undefined) throw error
  return [`${words.replace(/(?<![.?])$/, '.')} --help shows what there is.`]
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
    tell(to, refusal(error))
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
  return { path: text.slice(0, cut).trim(), text: text.slice(cut + 1), from: shortened(`--set ${text}`, 120) }
}

/** The only preset of a command. @throws Wrong */
export function onePreset([file, ...more]: readonly string[], example: string): string {
  if (file === undefined) throw new Wrong(`Which drop? Give a preset file, e.g. ${example}`)
  if (more.length > 0)
    throw new Wrong(`One preset file at a time; ${JSON.stringify(more[0])} is one too many`)
  return file
}

/** Refuses a `--csv` (or `option`) that must not be written; `inputs` are all files that the command reads. @throws Wrong where it has no name, WrongInput */
export function mayWrite(csv: string | undefined, inputs: readonly string[], option = '--csv'): void {
  if (csv === '') throw new Wrong(`${option} is empty: give the name of the file to write`)
  if (csv === undefined) return
  const why = whyNotWrite(
    userPath(csv),
    inputs.map((input) => userPath(input)),
  )
  if (why) throw new WrongInput([`${option} ${csv}: ${why}.`])
}

/** Writes what `--csv` (or `option`) asks for, whole or not at all; an existing file is replaced. @throws WrongInput */
export function write(csv: string | undefined, text: () => string | Uint8Array, option = '--csv'): void {
  if (csv === undefined) return
  const all = text()
  try {
    writeWhole(userPath(csv), all)
  } catch (error) {
    throw new WrongInput([`${option} ${csv} could not be written: ${whyUnwritten(error)}.`])
  }
}
