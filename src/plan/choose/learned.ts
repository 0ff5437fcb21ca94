/**
 * What one drop would tell of the unknowns: the slopes of its radii by them, against the errors that a fit of it would weigh
 * them by, and what the calculation itself may be wrong by.
 */
import { LEAST } from '../../life/errors.ts'
import { setKeys } from '../../life/preset.ts'
import type { LifeResult, OutcomeName, Preset } from '../../life/types.ts'
import { causesOf } from '../../measured/fit/causes.ts'
import { courseOf } from '../../measured/fit/course.ts'
import { setUp } from '../../measured/fit/parameters.ts'
import { FitProblem } from '../../measured/fit/problem.ts'
import { lifeErrorsAt, shiftsAt } from '../../measured/fit/shifts.ts'
import type { Course, FitWish, LifeRunner } from '../../measured/fit/types.ts'
import type { MeasuredCurve } from '../../measured/types.ts'
import { addInformation } from '../../numerics/design/information.ts'
import { Whitening } from '../../numerics/whitening.ts'
import { curveOf } from './measuring.ts'
import { stepsOf } from './priors.ts'
import { type Sampled, type Slope, sampled, slopeOf, smoothAt } from './slopes.ts'
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
  /** By how much a finer life differs from the quick one, m, at even moments; null where there is none. */
  finer: Sampled | null
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
  const placed = setKeys(
    preset,
    unknowns.map(({ path }, j) => [path, values[j]!] as const),
  )
  if (!placed.ok) return placed
  const wish: FitWish = { preset: placed.preset, curves: [curve], unknowns: unknowns.map(({ path }) => path) }
  const setup = setUp(wish)
  return setup.ok ? { ...setup, wish } : setup
}

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

/** Values of the unknowns of the drop's own life, then above and below for each unknown. */
function placesOf({ unknowns, values }: Asked): number[][] {
  const moved = unknowns.flatMap((unknown, j) =>
    stepsOf(unknown, values[j]!).map((value) => values.map((own, i) => (i === j ? value : own))),
  )
  return [[...values], ...moved]
}

type Fit = Exclude<ReturnType<typeof fitOf>, { ok: false }>

const presetsOf = (asked: Asked, curve: MeasuredCurve, { presets, parameters }: Fit): (Preset | null)[] => {
  const none: LifeRunner = () => ({ ok: false, reason: 'cancelled', problems: [] })
  const problem = new FitProblem([curve], presets, parameters, none)
  return placesOf(asked).map((values) => problem.presetWith(presets[0]!, values, 'quick'))
}

/** The first lives that a drop will ask for. */
export function firstLives(asked: Asked): Preset[] {
  const curve = blankCurve(asked)
  const fit = fitOf(asked, curve)
  return fit.ok ? presetsOf(asked, curve, fit).filter((one) => one !== null) : []
}

const words = (problems: readonly { message: string }[]): string =>
  problems.map(({ message }) => message).join(' ')

/** What a drop tells; null when stopped. `finer`: what is known of the calculation's own error; undefined = to be computed. */
export async function learnedOf(
  asked: Asked,
  run: LifeRunner,
  cancelled: () => boolean,
  finer?: Sampled | null,
): Promise<Learned | null> {
  const k = asked.unknowns.length
  const nothing = (remark: string, outcome: OutcomeName = 'failed'): Learned => ({
    information: new Float64Array(k * k),
    outcome,
    remark,
    finer: null,
  })
  const lives = once(run)
  const start = fitOf(asked, blankCurve(asked))
  if (!start.ok) return nothing(words(start.problems))
  const drops = presetsOf(asked, blankCurve(asked), start)
  const courses: Course[] = []
  for (const [i, drop] of drops.entries()) {
    const course = drop && courseOf(await lives(drop, { cancelled }))
    if (cancelled()) return null
    const why = course ? course.failed : 'the rules of presets forbid it.'
    const outcome = courses[0]?.outcome ?? 'failed'
    if (why !== '' || course!.t.length < 2)
      return nothing(`${i === 0 ? 'Its life' : 'A life beside it'} fails: ${why}`, outcome)
    courses.push(course!)
  }
  const [own, ...beside] = courses as [Course, ...Course[]]
  const curve = curveOf(asked.candidate, own, asked.measuring, start.presets[0]!.drop.volume_uL)
  const fit = fitOf(asked, curve)
  if (!fit.ok) return nothing(words(fit.problems), own.outcome)
  const end = curve.time.at(-1)!
  const off = finer === undefined ? await finerOff(drops[0]!, own, end, lives, cancelled) : finer
  if (cancelled()) return null
  if (off && isRough(off, own)) return { ...nothing(ROUGH_WORDS, own.outcome), finer: off }
  const rows = await rowsOf(asked, curve, fit, lives, cancelled, {
    off,
    slopes: slopesOf(asked, beside, end),
  })
  if (!rows) return null
  const information = new Float64Array(k * k)
  addInformation(information, rows, k)
  return { information, outcome: own.outcome, remark: '', finer: off }
}

/** A finer life may differ by so much of the largest radius (root mean square): six times the least error that quick lives state. */
const MOST_OFF = 6 * LEAST.quick.radius

const ROUGH_WORDS = `a finer calculation differs by more than ${100 * MOST_OFF} % of its radius, so that a fit of it could mislead.`

function isRough(off: Sampled, { R }: Course): boolean {
  const square = off.reduce((sum, one) => sum + one * one, 0) / off.length
  return Math.sqrt(square) > MOST_OFF * R.reduce((most, one) => Math.max(most, one), 0)
}

function slopesOf({ unknowns, values }: Asked, beside: readonly Course[], end: number): Slope[] {
  return unknowns.map((unknown, j) => {
    const [above, below] = stepsOf(unknown, values[j]!)
    return slopeOf(
      sampled(beside[2 * j]!, end),
      sampled(beside[2 * j + 1]!, end),
      (above - below) / values[j]!,
    )
  })
}

/** How far the next finer life lies off the quick one. */
async function finerOff(
  drop: Preset,
  own: Course,
  end: number,
  run: LifeRunner,
  cancelled: () => boolean,
): Promise<Sampled | null> {
  const course = courseOf(await run({ ...drop, model: { ...drop.model, accuracy: 'normal' } }, { cancelled }))
  if (course.failed !== '' || course.t.length < 2) return null
  const quick = sampled(own, end)
  return sampled(course, end).map((R, i) => R - quick[i]!)
}

/** The slopes by each unknown in units of the errors, m × k row-major; null when stopped. */
async function rowsOf(
  { preset }: Asked,
  curve: MeasuredCurve,
  { presets, parameters, wish }: Fit,
  run: LifeRunner,
  cancelled: () => boolean,
  { off, slopes }: { off: Sampled | null; slopes: readonly Slope[] },
): Promise<Float64Array | null> {
  const zero = new Float64Array(parameters.length)
  const problem = new FitProblem([curve], presets, parameters, run, cancelled)
  const shifts = await shiftsAt(problem, presets, causesOf(wish, presets), new Map(), zero, 'quick')
  if (!shifts) return null
  const lives = await lifeErrorsAt(problem, zero)
  const rough = Math.sqrt(slopes.reduce((sum, slope) => sum + slope.rough ** 2, 0) / slopes.length)
  const end = curve.time.at(-1)!
  const at = (values: Sampled) => curve.time.map((t) => smoothAt(values, t / end))
  // A finer drop is less wrong, in the proportion of the least errors that lives state.
  const part = LEAST[preset.model.accuracy].radius / LEAST.quick.radius
  const wrong = off ? [at(off).map((one) => part * one)] : []
  // What is wrong here may be wrong otherwise nearby: it counts for all points together, and for each alone.
  const own = curve.uncertainty!.map((sigma, i) => Math.hypot(sigma, lives[i]!, rough, wrong[0]?.[i] ?? 0))
  const whitening = new Whitening(own, [...shifts.known.map(({ shift }) => shift), ...wrong])
  const columns = slopes.map(({ slope }) => whitening.apply(at(slope)))
  const k = columns.length
  return Float64Array.from({ length: own.length * k }, (_, i) => columns[i % k]![Math.floor(i / k)]!)
}
