/** The command `scaling`: drops and measured curves → do they fall on one curve, how R_max grows, by which scale. */
import { writeFileSync } from 'node:fs'
import { estimateErrors } from '../life/errors.ts'
import { runLifeSync } from '../life/run.ts'
import type { Preset } from '../life/types.ts'
import type { MeasuredCurve } from '../measured/types.ts'
import { atStrengths, type Estimate, familyOf, type Wanted } from '../plan/family.ts'
import { itemOfCurve, presetOfCurve, type ScalingItem } from '../plan/scalingItem.ts'
import { scalingObject } from '../plan/scalingObject.ts'
import { scalingReport } from '../plan/scalingReport.ts'
import { ratiosTable } from '../plan/scalingTables.ts'
import { tableCsv } from '../plan/table.ts'
import type { RunLike } from '../plan/work.ts'
import { userPath, whyNotWrite } from './files.ts'
import { loadPreset, loadTable } from './load.ts'
import { type Output, Wrong, wrongArgument } from './recipe.ts'
import { readScaling, SCALING_HELP, type ScalingCommand } from './scalingArgs.ts'
import { scalingText } from './scalingText.ts'

const real: Output = {
  out: (text) => void process.stdout.write(text),
  err: (text) => void process.stderr.write(text),
}

const fail = (file: string, messages: readonly string[]): never => {
  throw new Wrong(messages.map((message) => `${file}: ${message.replace(/\.$/, '')}`).join('\n'))
}

function presetOf(file: string, { changes, liquids }: ScalingCommand): Preset {
  const made = loadPreset(file, changes, liquids)
  if (made.ok) return made.preset
  throw new Wrong(made.messages.join('\n'))
}

function curvesOf(file: string, { choices }: ScalingCommand, to: Output): MeasuredCurve[] {
  const made = loadTable(file, choices)
  if (!made.ok) throw new Wrong(made.messages.join('\n'))
  for (const warning of made.warnings) to.err(`${warning}\n`)
  return made.curves
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
    return made.ok
      ? made.wanted
      : fail(
          '--strengths',
          made.problems.map(({ message }) => message),
        )
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

function writeTable(file: string, text: string, command: ScalingCommand): void {
  const path = userPath(file)
  for (const input of [...command.presets, ...command.tables]) {
    const why = whyNotWrite(path, userPath(input))
    if (why) fail(`--csv ${file}`, [why.replace('the preset itself', 'one of the inputs')])
  }
  try {
    writeFileSync(path, text)
  } catch (error) {
    fail(`--csv ${file}`, [(error as Error).message])
  }
}

async function work(command: ScalingCommand, to: Output, run: RunLike, estimate: Estimate): Promise<number> {
  const presets = command.presets.map((file) => presetOf(file, command))
  const curves = command.tables.flatMap((file) => curvesOf(file, command, to))
  const { items: lives, failures } = await familyOf(wantedOf(presets, curves, command), run, estimate)
  for (const { name, reason } of failures) to.err(`${name}: the run failed: ${reason}\n`)
  const measured = curves.map((curve) => itemOfCurve(curve, presets[0] ?? null))
  const items: ScalingItem[] = [...measured, ...lives]
  const report = scalingReport(items, { rule: command.rule, by: command.by })
  if (command.csv !== undefined) writeTable(command.csv, tableCsv(ratiosTable(report)), command)
  to.out(command.json ? `${JSON.stringify(scalingObject(items, report))}\n` : scalingText(report))
  return failures.length > 0 ? 1 : 0
}

/** Runs the command; gives the exit code (0 done, 1 a run failed, 2 wrong input). */
export async function main(
  argv: string[],
  to: Output = real,
  run: RunLike = runLifeSync,
  estimate: Estimate = estimateErrors,
): Promise<number> {
  try {
    const command = readScaling(argv)
    if (command !== 'help') return await work(command, to, run, estimate)
    to.out(SCALING_HELP)
    return 0
  } catch (error) {
    to.err(wrongArgument(error))
    return 2
  }
}
