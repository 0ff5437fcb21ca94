/** The command `simulate`: preset → life → JSON, table, CSV. */
import { withErrorsSync } from '../life/errors.ts'
import { runLifeSync } from '../life/run.ts'
import type { Life, LifeResult, Preset } from '../life/types.ts'
import { tensionNeighbours } from '../plan/neighbours.ts'
import { type Fingers, fingersOf } from '../rim/fingers.ts'
import { answer, demand, mayWrite, type Output, TERMINAL, tell, write } from './command.ts'
import { fingersColumns, fingersLines, fingersObject } from './fingersText.ts'
import { loadPreset } from './load.ts'
import { csvText, jsonObject, tableText } from './output.ts'
import { readSimulate, type SimulateCommand } from './simulateArgs.ts'

/** Where text goes and how a drop is run; replaced in tests. */
export interface Surroundings extends Output {
  run(preset: Preset): LifeResult
  /** Fills in the estimated errors of the life that is printed. */
  estimate?(life: Life): Life
  /** The fingers of a life's rim. */
  fingers?(life: Life): Promise<Fingers | null>
}

export const real: Surroundings = {
  ...TERMINAL,
  run: runLifeSync,
  estimate: withErrorsSync,
  fingers: (life) => fingersOf(life, { neighbours: tensionNeighbours(life.preset) }),
}

/** Median; the mean of the middle two for an even number. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  const middle = sorted.length / 2
  return (sorted[Math.ceil(middle) - 1]! + sorted[Math.floor(middle)]!) / 2
}

function runOnce(run: Surroundings['run'], preset: Preset): LifeResult {
  try {
    return run(preset)
  } catch (error) {
    return { ok: false, reason: 'crashed', problems: [{ where: '', message: String(error) }] }
  }
}

/** The last life of `repeat` and the median computing time (ms) of the last 15. */
function runRepeated(run: Surroundings['run'], preset: Preset, repeat: number) {
  const times: number[] = []
  let result: LifeResult
  do {
    result = runOnce(run, preset)
    if (!result.ok) return { result, wall: Number.NaN }
    times.push(result.life.summary.wall_ms)
  } while (times.length < repeat)
  return { result, wall: median(times.slice(-15)) }
}

function reportFailure(
  result: LifeResult & { ok: false },
  command: SimulateCommand,
  to: Surroundings,
): number {
  const causes = result.problems.map((p) => p.message)
  if (result.reason === 'invalid') {
    tell(
      to,
      causes.map((cause) => `${command.preset}: ${cause}`),
    )
    return 2
  }
  const cause = causes.join(' ')
  if (command.json) to.out(`${JSON.stringify({ outcome: 'failed', cause })}\n`)
  else tell(to, [`${command.preset}: the run failed: ${cause}`])
  return 1
}

async function work(command: SimulateCommand, to: Surroundings): Promise<number> {
  const { preset } = demand(loadPreset(command.preset, command.changes, command.liquids))
  mayWrite(command.csv, [command.preset, ...command.liquids])
  const { result, wall } = runRepeated(to.run, preset, command.repeat)
  if (!result.ok) return reportFailure(result, command, to)
  const failed = result.life.summary.outcome === 'failed'
  const life = failed ? result.life : (to.estimate?.(result.life) ?? result.life)
  const fingers = command.fingers && !failed ? ((await to.fingers?.(life)) ?? null) : null
  to.out(command.json ? jsonText(life, fingers, command, wall) : readableText(life, fingers, command, wall))
  write(command.csv, () =>
    csvText(life, command.every, fingers ? (times) => fingersColumns(fingers, times) : undefined),
  )
  return failed ? 1 : 0
}

function jsonText(life: Life, fingers: Fingers | null, { every }: SimulateCommand, wall: number): string {
  const object = jsonObject(life, every, wall)
  return `${JSON.stringify(fingers ? { ...object, fingers: fingersObject(fingers) } : object)}\n`
}

function readableText(life: Life, fingers: Fingers | null, { every }: SimulateCommand, wall: number): string {
  const text = tableText(life, every, wall)
  return fingers ? `${text}\n${fingersLines(fingers, every).join('\n')}\n` : text
}

/** Runs the command; gives the exit code (0 done, 1 the run failed, 2 wrong input). */
export function main(argv: string[], to: Surroundings = real): Promise<number> {
  return answer(
    to,
    () => readSimulate(argv),
    (command) => work(command, to),
  )
}
