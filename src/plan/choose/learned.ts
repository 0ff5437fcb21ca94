/** What one drop would tell of the unknowns, worked out as the fit does it: its lives, its derivatives, its errors. */
import { setKeys } from '../../life/preset.ts'
import type { LifeResult, OutcomeName, Preset } from '../../life/types.ts'
import { causesOf } from '../../measured/fit/causes.ts'
import { courseOf } from '../../measured/fit/course.ts'
import { setUp } from '../../measured/fit/parameters.ts'
import { FitProblem } from '../../measured/fit/problem.ts'
import { layErrors, lifeErrorsAt, shiftsAt } from '../../measured/fit/shifts.ts'
import { derivative, derivativePoints } from '../../measured/fit/stage.ts'
import type { FitWish, LifeRunner } from '../../measured/fit/types.ts'
import type { MeasuredCurve } from '../../measured/types.ts'
import { addInformation } from '../../numerics/design/information.ts'
import { curveOf } from './measuring.ts'
import type { Candidate, Measuring, Unknown } from './types.ts'

/** A drop with the unknowns at one place. */
export interface Asked {
  preset: Preset
  candidate: Candidate
  unknowns: readonly Unknown[]
  /** Values of the unknowns. */
  values: readonly number[]
  measuring: Measuring
}

export interface Learned {
  /** Information on relative changes of the unknowns (of their logarithms), k × k row-major; zeros where there is none. */
  information: Float64Array
  outcome: OutcomeName
  /** Why it tells nothing, '' if it does tell. */
  remark: string
}

/** A curve that stands in while times and radii are not known yet. */
const blankCurve = ({ candidate, measuring, preset }: Asked): MeasuredCurve => {
  const t = Float64Array.of(0, 1)
  const R = Float64Array.of(1e-3, 1e-3)
  return curveOf(candidate, { t, R, U: Float64Array.of(0, 0) }, measuring, preset.drop.volume_uL)
}

/** The fit that would find the unknowns from this drop. */
function fitOf(asked: Asked, curve: MeasuredCurve) {
  const { preset, unknowns, values } = asked
  const changes = unknowns.map(({ path }, j) => [path, values[j]!] as const)
  const placed = setKeys(preset, changes)
  if (!placed.ok) return placed
  const wish: FitWish = { preset: placed.preset, curves: [curve], unknowns: unknowns.map(({ path }) => path) }
  const setup = setUp(wish)
  return setup.ok ? { ...setup, wish } : setup
}

/** Lives that one drop at one place costs. */
export const livesEach = (unknowns: number, { volume }: Measuring): number =>
  1 + 2 * unknowns + (volume > 0 ? 2 : 0)

/** Computes each life once, however often it is asked for. */
function once(run: LifeRunner): LifeRunner {
  const known = new Map<string, LifeResult | Promise<LifeResult>>()
  return (preset, hooks, level) => {
    const name = `${level ?? ''} ${JSON.stringify(preset)}`
    const result = known.get(name) ?? run(preset, hooks, level)
    known.set(name, result)
    return result
  }
}

/** The first lives that a drop will ask for: its own, and those of its derivatives. */
export function firstLives(asked: Asked): Preset[] {
  const curve = blankCurve(asked)
  const fit = fitOf(asked, curve)
  if (!fit.ok) return []
  const none: LifeRunner = () => ({ ok: false, reason: 'cancelled', problems: [] })
  const problem = new FitProblem([curve], fit.presets, fit.parameters, none)
  const points = derivativePoints(problem, new Float64Array(fit.parameters.length))
  return points.flatMap((p) => problem.presetWith(fit.presets[0]!, problem.valuesAt(p), 'quick') ?? [])
}

/** What a drop tells; null when stopped. */
export async function learnedOf(
  asked: Asked,
  run: LifeRunner,
  cancelled: () => boolean,
): Promise<Learned | null> {
  const { candidate, unknowns, measuring } = asked
  const k = unknowns.length
  const nothing = (remark: string, outcome: OutcomeName = 'failed'): Learned => ({
    information: new Float64Array(k * k),
    outcome,
    remark,
  })
  const lives = once(run)
  const blank = blankCurve(asked)
  const start = fitOf(asked, blank)
  if (!start.ok) return nothing(start.problems.map(({ message }) => message).join(' '))
  const zero = new Float64Array(k)
  const first = new FitProblem([blank], start.presets, start.parameters, lives, cancelled)
  const own = first.presetWith(start.presets[0]!, first.valuesAt(zero), 'quick')
  if (!own) return nothing('The rules of presets forbid this drop.')
  const result = await lives(own, { cancelled })
  if (cancelled() || (!result.ok && result.reason === 'cancelled')) return null
  const course = courseOf(result)
  if (course.failed !== '' || course.t.length < 2) return nothing(`Its life fails: ${course.failed}`)
  const curve = curveOf(candidate, course, measuring, own.drop.volume_uL)
  const fit = fitOf(asked, curve)
  if (!fit.ok) return nothing(fit.problems.map(({ message }) => message).join(' '), course.outcome)
  const problem = new FitProblem([curve], fit.presets, fit.parameters, lives, cancelled)
  const shifts = await shiftsAt(
    problem,
    fit.presets,
    causesOf(fit.wish, fit.presets),
    new Map(),
    zero,
    'quick',
  )
  if (!shifts) return null
  layErrors(problem, shifts.known, 0, await lifeErrorsAt(problem, zero))
  const jacobian = await derivative(problem, zero, 'quick')
  if (problem.isStopped()) return null
  if (!jacobian) return nothing('Lives of drops beside it fail.', course.outcome)
  // From the fitter's own measure to relative changes.
  const relative = fit.parameters.map(({ slope, start: at }) => at / slope(at))
  const scaled = jacobian.map((one, i) => one * relative[i % k]!)
  const information = new Float64Array(k * k)
  addInformation(information, scaled, k)
  return { information, outcome: course.outcome, remark: '' }
}
