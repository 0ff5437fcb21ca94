/** The command `compare`: a drop and measured curves → how far they are apart, or the inputs that bring them together. */
import { writeFileSync } from 'node:fs'
import { runLifeSync } from '../life/run.ts'
import type { Preset } from '../life/types.ts'
import { notTaken } from '../measured/fit/curvePreset.ts'
import { fitLives } from '../measured/fit/fitLives.ts'
import type { LifeRunner } from '../measured/fit/types.ts'
import type { MeasuredCurve } from '../measured/types.ts'
import { COMPARE_HELP, type CompareCommand, type Hypothesis, readCompare } from './compareArgs.ts'
import { besides, rowsOf } from './compareLives.ts'
import { compareCsv, compareObject, type Fitted } from './compareObject.ts'
import { compareText } from './compareText.ts'
import { userPath, whyNotWrite } from './files.ts'
import { loadPreset, loadTable, WrongInput } from './load.ts'
import { type Output, Wrong, wrongArgument } from './recipe.ts'

const real: Output = {
  out: (text) => void process.stdout.write(text),
  err: (text) => void process.stderr.write(text),
}

const fail = (messages: readonly string[]): never => {
  throw new WrongInput(messages.join('\n'))
}

function presetOf({ preset, liquids }: CompareCommand, changes: CompareCommand['changes']): Preset {
  const made = loadPreset(preset, changes, liquids)
  return made.ok ? made.preset : fail(made.messages)
}

function curvesOf(command: CompareCommand, to: Output): MeasuredCurve[] {
  const curves = command.tables.flatMap((file) => {
    const made = loadTable(file, command.choices)
    if (!made.ok) return fail(made.messages)
    for (const warning of made.warnings) to.err(`${warning}\n`)
    return made.curves
  })
  return withStarts(curves, command.starts)
}

function withStarts(curves: readonly MeasuredCurve[], starts: ReadonlyMap<string, number>): MeasuredCurve[] {
  const names = curves.map(({ name }) => name)
  const stranger = [...starts.keys()].find((name) => name !== '' && !names.includes(name))
  if (stranger !== undefined)
    throw new Wrong(`--start: there is no curve ${JSON.stringify(stranger)}. There are: ${names.join(', ')}`)
  return curves.map((curve) => {
    const startTime_s = starts.get(curve.name) ?? starts.get('')
    return startTime_s === undefined ? curve : { ...curve, meta: { ...curve.meta, startTime_s } }
  })
}

async function fitOne(
  hypothesis: Hypothesis,
  curves: readonly MeasuredCurve[],
  command: CompareCommand,
  run: LifeRunner,
): Promise<Fitted> {
  const preset = presetOf(command, [...command.changes, ...hypothesis.changes])
  const limits = Object.fromEntries(
    Object.entries(command.limits).filter(([path]) => hypothesis.unknowns.includes(path)),
  )
  const made = await fitLives(
    { preset, curves, unknowns: hypothesis.unknowns, limits, scan: command.scan },
    run,
  )
  if (!made.ok && made.reason === 'invalid')
    return fail(made.problems.map((p) => `--fit ${hypothesis.name}: ${p.message}`))
  return made.ok
    ? { name: hypothesis.name, fit: made.fit, cause: '' }
    : { name: hypothesis.name, fit: null, cause: made.problems.map((p) => p.message).join(' ') }
}

function mayWrite({ csv, preset, tables }: CompareCommand): void {
  if (csv === undefined) return
  for (const input of [preset, ...tables]) {
    const why = whyNotWrite(userPath(csv), userPath(input))
    if (why) fail([`--csv ${csv}: ${why.replace('the preset itself', 'one of the inputs')}.`])
  }
}

function write({ csv }: CompareCommand, text: string): void {
  if (csv === undefined) return
  try {
    writeFileSync(userPath(csv), text)
  } catch (error) {
    fail([`--csv ${csv}: ${(error as Error).message}`])
  }
}

async function work(command: CompareCommand, to: Output, run: LifeRunner): Promise<number> {
  const preset = presetOf(command, command.changes)
  const curves = curvesOf(command, to)
  mayWrite(command)
  for (const path of Object.keys(command.limits)) {
    if (!command.hypotheses.some(({ unknowns }) => unknowns.includes(path)))
      throw new Wrong(`--limit ${path}: it is no unknown of a --fit`)
  }
  for (const curve of curves) {
    const untaken = notTaken(curve, preset)
    if (untaken) to.err(`${untaken}\n`)
  }
  const compared = await besides(preset, curves, run)
  const fits: Fitted[] = []
  for (const hypothesis of command.hypotheses) fits.push(await fitOne(hypothesis, curves, command, run))
  write(command, compareCsv(rowsOf(compared, fits)))
  to.out(
    command.json
      ? `${JSON.stringify(compareObject(preset, compared, fits))}\n`
      : compareText(preset, compared, fits),
  )
  const broken =
    fits.some(({ fit: one }) => !one?.converged) ||
    (fits.length === 0 && compared.some(({ failed }) => failed !== ''))
  return broken ? 1 : 0
}

/** Runs the command; gives the exit code (0 done, 1 a life or fit failed, 2 wrong input). */
export async function main(
  argv: string[],
  to: Output = real,
  run: LifeRunner = runLifeSync,
): Promise<number> {
  try {
    const command = readCompare(argv)
    if (command !== 'help') return await work(command, to, run)
    to.out(COMPARE_HELP)
    return 0
  } catch (error) {
    to.err(error instanceof WrongInput ? `${error.message}\n` : wrongArgument(error))
    return 2
  }
}
