/** The command `scaling`: drops and measured curves → do they fall on one curve, how R_max grows, by which scale. */
import { estimateErrors } from '../life/errors.ts'
import type { LifeRunner } from '../life/lives.ts'
import type { Preset } from '../life/types.ts'
import type { MeasuredCurve } from '../measured/types.ts'
import { atStrengths, type Estimate, familyOf, type Wanted } from '../plan/family.ts'
import { itemOfCurve, presetOfCurve, type ScalingItem } from '../plan/scalingItem.ts'
import { scalingObject } from '../plan/scalingObject.ts'
import { scalingReport } from '../plan/scalingReport.ts'
import { ratiosTable } from '../plan/scalingTables.ts'
import { tableCsv } from '../plan/table.ts'
import { answer, demand, mayWrite, type Output, TERMINAL, tell, Wrong, WrongInput, write } from './command.ts'
import { loadCurves, loadPreset } from './load.ts'
import { readScaling, type ScalingCommand } from './scalingArgs.ts'
import { scalingText } from './scalingText.ts'
import { withThreads } from './threads.ts'

async function curvesOf({ tables, choices }: ScalingCommand, to: Output): Promise<MeasuredCurve[]> {
  const curves: MeasuredCurve[] = []
  for (const file of tables) {
    const made = demand(await loadCurves(file, choices))
    tell(to, made.warnings)
    curves.push(...made.curves)
  }
  return curves
}

/** The drops whose lives are run: each preset, at each strength if there are some, and one for each measured curve. */
function wantedOf(
  presets: readonly Preset[],
  curves: readonly MeasuredCurve[],
  command: ScalingCommand,
): Wanted[] {
  const own = presets.flatMap((preset, k): Wanted[] => {
    const name = preset.title || command.presets[k]!
    if (!command.strengths) return [{ id: `life ${k}`, name, preset, inRow: true }]
    const label = presets.length > 1 ? `${name}, ` : ''
    const made = atStrengths(preset, command.strengths, label)
    if (made.ok) return made.wanted
    throw new WrongInput(made.problems.map(({ message }) => `--strengths: ${message}`))
  })
  if (!command.lives) return own
  const [base] = presets
  if (!base) throw new Wrong('--lives needs a preset for everything that the curves do not tell')
  const beside = curves.flatMap((curve): Wanted[] => {
    const made = presetOfCurve(curve, base)
    const { id, name } = curve
    return made.ok ? [{ id: `life of ${id}`, name: `${name}, life`, preset: made.preset, inRow: false }] : []
  })
  return [...own, ...beside]
}

const errorsOf: Estimate = (life, by) => estimateErrors(life, {}, by)

async function work(command: ScalingCommand, to: Output, run: LifeRunner): Promise<number> {
  const { changes, liquids, csv } = command
  const presets = command.presets.map((file) => demand(loadPreset(file, changes, liquids)).preset)
  const curves = await curvesOf(command, to)
  mayWrite(csv, [...command.presets, ...liquids, ...command.tables])
  const { items: lives, failures } = await familyOf(wantedOf(presets, curves, command), run, errorsOf)
  tell(
    to,
    failures.map(({ name, reason }) => `${name}: the run failed: ${reason}`),
  )
  const measured = curves.map((curve) => itemOfCurve(curve, presets[0] ?? null))
  const items: ScalingItem[] = [...measured, ...lives]
  const report = scalingReport(items, { rule: command.rule, by: command.by })
  write(csv, () => tableCsv(ratiosTable(report)))
  to.out(command.json ? `${JSON.stringify(scalingObject(items, report))}\n` : scalingText(report))
  return failures.length > 0 ? 1 : 0
}

/** Runs the command; gives the exit code (0 done, 1 a run failed, 2 wrong input). */
export function main(argv: string[], to: Output = TERMINAL, run?: LifeRunner): Promise<number> {
  return answer(
    to,
    () => readScaling(argv),
    (command) => withThreads(command.workers, run, (lives) => work(command, to, lives)),
  )
}
