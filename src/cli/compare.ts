/** The command `compare`: a drop and measured curves → how far they are apart, or the inputs that bring them together. */
import { runLifeSync } from '../life/run.ts'
import type { Preset } from '../life/types.ts'
import { notTaken } from '../measured/fit/curvePreset.ts'
import { fitLives } from '../measured/fit/fitLives.ts'
import type { LifeRunner } from '../measured/fit/types.ts'
import type { MeasuredCurve } from '../measured/types.ts'
import { answer, demand, mayWrite, type Output, TERMINAL, tell, Wrong, WrongInput, write } from './command.ts'
import { type CompareCommand, type Hypothesis, readCompare } from './compareArgs.ts'
import { besides, rowsOf } from './compareLives.ts'
import { compareCsv, compareObject, type Fitted } from './compareObject.ts'
import { compareText } from './compareText.ts'
import { loadPreset, loadTable } from './load.ts'

const presetOf = ({ preset, liquids }: CompareCommand, changes: CompareCommand['changes']): Preset =>
  demand(loadPreset(preset, changes, liquids)).preset

function curvesOf(command: CompareCommand, to: Output): MeasuredCurve[] {
  const curves = command.tables.flatMap((file) => {
    const made = demand(loadTable(file, command.choices))
    tell(to, made.warnings)
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
    throw new WrongInput(made.problems.map((p) => `--fit ${hypothesis.name}: ${p.message}`))
  return made.ok
    ? { name: hypothesis.name, fit: made.fit, cause: '' }
    : { name: hypothesis.name, fit: null, cause: made.problems.map((p) => p.message).join(' ') }
}

async function work(command: CompareCommand, to: Output, run: LifeRunner): Promise<number> {
  const preset = presetOf(command, command.changes)
  const curves = curvesOf(command, to)
  mayWrite(command.csv, [command.preset, ...command.liquids, ...command.tables])
  for (const path of Object.keys(command.limits)) {
    if (!command.hypotheses.some(({ unknowns }) => unknowns.includes(path)))
      throw new Wrong(`--limit ${path}: it is no unknown of a --fit`)
  }
  tell(
    to,
    curves.flatMap((curve) => notTaken(curve, preset) || []),
  )
  const compared = await besides(preset, curves, run)
  const fits: Fitted[] = []
  for (const hypothesis of command.hypotheses) fits.push(await fitOne(hypothesis, curves, command, run))
  write(command.csv, () => compareCsv(rowsOf(compared, fits)))
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
export function main(argv: string[], to: Output = TERMINAL, run: LifeRunner = runLifeSync): Promise<number> {
  return answer(
    to,
    () => readCompare(argv),
    (command) => work(command, to, run),
  )
}
