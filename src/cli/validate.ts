/** The command `validate`: how right the program is, fact by fact. */
import { parseArgs } from 'node:util'
import { runLifeSync } from '../life/run.ts'
import type { Fact } from '../plan/validation/types.ts'
import { validate } from '../plan/validation/validate.ts'
import { validationText } from '../plan/validation/verdictWords.ts'
import type { RunLike } from '../plan/work.ts'
import { answer, type Output, TERMINAL, tell, Wrong } from './command.ts'

const HELP = `How right is it? Known facts about the experiment and its liquids, compared with the program as it is now.

  npm run -s validate
  npm run -s validate -- --json

  --json   one JSON array: objects with "fact", "source", "program", "verdict" and "tolerance" (how it was judged, and why so)
  --help   this text

What disagrees stands first, then what cannot be told, then what agrees. All numbers of the program are computed afresh, which takes some ten seconds.
Exit code 0: done, whatever the verdicts. 1: a life failed, with its cause. 2: something is wrong with the input, or the output cannot be written.
`

const OPTIONS = {
  json: { type: 'boolean', default: false },
  help: { type: 'boolean', short: 'h', default: false },
} as const

function read(argv: string[]): { json: boolean } | string {
  const { values, positionals } = parseArgs({ args: argv, options: OPTIONS, allowPositionals: true })
  if (values.help) return HELP
  if (positionals.length > 0)
    throw new Wrong(`${JSON.stringify(positionals[0]!.slice(0, 60))} is one too many: validate takes no file`)
  return { json: values.json }
}

async function work(
  { json }: { json: boolean },
  to: Output,
  run: RunLike,
  facts: readonly Fact[] | undefined,
): Promise<number> {
  const made = await validate(run, facts && { facts })
  to.out(json ? `${JSON.stringify(made.findings)}\n` : validationText(made))
  tell(
    to,
    made.failures.map((failure) => `a life failed: ${failure}`),
  )
  return made.failures.length > 0 ? 1 : 0
}

/** Runs the command; gives the exit code (0 done, 1 a life failed, 2 wrong input). `facts`: all, unless given. */
export function main(
  argv: string[],
  to: Output = TERMINAL,
  run: RunLike = runLifeSync,
  facts?: readonly Fact[],
): Promise<number> {
  return answer(
    to,
    () => read(argv),
    (asked) => work(asked, to, run, facts),
  )
}
