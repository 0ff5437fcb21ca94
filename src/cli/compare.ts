/** The command `compare`: a drop and measured curves → how far they are apart, or the inputs that bring them together. */
import type { LifeRunner } from '../life/lives.ts'
import type { Preset } from '../life/types.ts'
import { notTaken } from '../measured/fit/curvePreset.ts'
import { fitLives } from '../measured/fit/fitLives.ts'
import { profileOf } from '../measured/fit/profile.ts'
import type { FitWish, LifeFit } from '../measured/fit/types.ts'
import { widened } from '../measured/fit/widened.ts'
import type { MeasuredCurve } from '../measured/types.ts'
import { answer, demand, mayWrite, type Output, TERMINAL, tell, Wrong, WrongInput, write } from './command.ts'
import { type CompareCommand, type Hypothesis, readCompare } from './compareArgs.ts'
import { besides, rowsOf } from './compareLives.ts'
import { compareCsv, compareObject, type Fitted } from './compareObject.ts'
import { compareText } from './compareText.ts'
import { loadCurves, loadPreset } from './load.ts'
import { withThreads } from './threads.ts'

const presetOf = ({ preset, liquids }: CompareCommand, changes: CompareCommand['changes']): Preset =>
  demand(loadPreset(preset, changes, liquids)).preset

async function curvesOf(command: CompareCommand, to: Output): Promise<MeasuredCurve[]> {
  const curves: MeasuredCurve[] = []
  for (const file of command.tables) {
    const made = demand(await loadCurves(file, command.choices))
    tell(to, made.warnings)
    curves.push(...made.curves)
  }
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
  const wish: FitWish = {
    preset,
    curves,
    unknowns: hypothesis.unknowns,
    limits,
    priors: command.priors,
    scan: command.scan,
  }
  const made = await fitLives(wish, run)
  if (!made.ok && made.reason === 'invalid')
    throw new WrongInput(made.problems.map((p) => `--fit ${hypothesis.name}: ${p.message}`))
  if (!made.ok)
    return { name: hypothesis.name, fit: null, cause: made.problems.map((p) => p.message).join(' ') }
  const { fit } = made
  const profiles = await profilesOf(wish, fit, command.profiles, run)
  return {
    name: hypothesis.name,
    fit: command.widen ? widened(fit) : fit,
    cause: '',
    wide: command.widen,
    profiles,
  }
}

/** The profiles that are wanted of the unknowns of a fit, each with its cause where there is none. */
async function profilesOf(
  wish: FitWish,
  fit: LifeFit,
  paths: readonly string[],
  run: LifeRunner,
): Promise<NonNullable<Fitted['profiles']>> {
  const made: NonNullable<Fitted['profiles']> = []
  for (const [unknown, { path, label }] of fit.unknowns.entries()) {
    if (!paths.includes(path)) continue
    const outcome = await profileOf({ wish, fit, unknown }, run)
    made.push(
      outcome.ok
        ? { label, profile: outcome.profile, cause: '' }
        : { label, profile: null, cause: outcome.problems.map((p) => p.message).join(' ') },
    )
  }
  return made
}

async function work(command: CompareCommand, to: Output, run: LifeRunner): Promise<number> {
  const preset = presetOf(command, command.changes)
  const curves = await curvesOf(command, to)
  mayWrite(command.csv, [command.preset, ...command.liquids, ...command.tables])
  for (const path of Object.keys(command.limits)) {
    if (!command.hypotheses.some(({ unknowns }) => unknowns.includes(path)))
      throw new Wrong(`--limit ${path}: it is no unknown of a --fit`)
  }
  for (const path of command.profiles) {
    if (!command.hypotheses.some(({ unknowns }) => unknowns.includes(path)))
      throw new Wrong(`--profile ${path}: it is no unknown of a --fit`)
  }
  if (command.hypotheses.length === 0 && Object.keys(command.priors).length > 0)
    throw new Wrong('--prior: it says something to a --fit only, and there is none')
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
export function main(argv: string[], to: Output = TERMINAL, run?: LifeRunner): Promise<number> {
  return answer(
    to,
    () => readCompare(argv),
    (command) => withThreads(command.workers, run, (lives) => work(command, to, lives)),
  )
}
