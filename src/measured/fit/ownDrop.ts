/** Measured curves beside lives: each against the life of the drop that it states. Page and command line share it. */
import { type ChoiceKey, keyOf } from '../../life/keys.ts'
import { getKey, type Leaf, type PresetResult } from '../../life/preset.ts'
import type { Life, LifeResult, Preset } from '../../life/types.ts'
import { type Comparison, residuals } from '../compare.ts'
import type { MeasuredCurve } from '../types.ts'
import { usedPoints } from '../usable.ts'
import { courseOf } from './course.ts'
import { STATED, statedPreset, untaken } from './curvePreset.ts'
import type { Course, LifeRunner } from './types.ts'

/** Names a drop without its words: two drops of one name have one life. */
export function dropName({ title: _, note: __, ...drop }: Preset): string {
  return JSON.stringify(drop)
}

/** The life of a drop, as far as curves are laid on it; a life that crashes gives its cause, nothing is thrown. */
export async function courseOfDrop(
  preset: Preset,
  run: LifeRunner,
  cancelled: () => boolean = () => false,
): Promise<Course> {
  return courseOf(await attempt(preset, run, cancelled))
}

async function attempt(preset: Preset, run: LifeRunner, cancelled: () => boolean): Promise<LifeResult> {
  try {
    return await run(preset, { cancelled, bare: true })
  } catch (error) {
    return { ok: false, reason: 'crashed', problems: [{ where: 'engine', message: String(error) }] }
  }
}

/** The used points of a curve against a course. */
export const laidOn = (curve: MeasuredCurve, { t, R }: Pick<Course, 't' | 'R'>): Comparison =>
  residuals(usedPoints(curve), t, R)

/** Apart by more than the rounding of a strength by volume. */
const differ = (a: unknown, b: unknown): boolean =>
  typeof a === 'number' && typeof b === 'number'
    ? Math.abs(a - b) > 1e-9 * Math.max(Math.abs(a), Math.abs(b))
    : a !== b

const told = (value: unknown): string => String(Number(Number(value).toPrecision(3)))

/** Stated values in words, by key; the strength of closed forms is by volume. */
const WORDS: Record<(typeof STATED)[number], (value: Leaf, own: Preset) => string> = {
  'drop.alcohol': String,
  'drop.alcoholMassFraction': (value, own) =>
    `${told(100 * Number(value))} % by ${own.drop.alcohol === 'reference' ? 'volume' : 'mass'}`,
  'drop.volume_uL': (value) => `${told(value)} µL`,
  'bath.liquid': (value) => optionLabel('bath.liquid', String(value)),
  'bath.depth_mm': (value) => `bath ${told(value)} mm deep`,
  'air.temperature_C': (value) => `${told(value).replace('-', '−')} °C`,
  'air.relativeHumidity': (value) => `humidity ${told(100 * Number(value))} %`,
}

function optionLabel(path: string, value: string): string {
  const key = keyOf(path) as ChoiceKey
  return key.options.find((option) => option.value === value)?.label ?? value
}

/** In what a curve's own drop differs from the base, in words: "50 % by mass, 12 µL"; '' if in nothing. */
function ownDropWords(base: Preset, own: Preset): string {
  return STATED.flatMap((path) => {
    const value = getKey(own, path)
    return value === undefined || !differ(getKey(base, path), value) ? [] : [WORDS[path](value, own)]
  }).join(', ')
}

/** A curve and the life that it is compared with. */
export interface Beside {
  /** The curve states another drop than that of the shown life; `drop` tells which. */
  own: boolean
  /** "50 % by mass, 12 µL"; '' for the shown life. */
  drop: string
  state: 'there' | 'computing' | 'none'
  /** null unless the life is there. */
  compared: Comparison | null
  /** Why there is no life, why it broke off, or what of the curve's statements is not taken; '' if nothing. */
  remark: string
}

/** Lives of own drops by `dropName`. */
export type OwnLives = ReadonlyMap<string, Course>

/** Own drops and comparisons are asked for with every drawing; they go with the curve, the drop and the life. */
const drops = new WeakMap<Preset, WeakMap<MeasuredCurve, { made: PresetResult; words: string }>>()
const comparisons = new WeakMap<Float64Array, WeakMap<MeasuredCurve, Comparison>>()

function ownOf(base: Preset, curve: MeasuredCurve): { made: PresetResult; words: string } {
  const ofBase = drops.get(base) ?? new WeakMap()
  drops.set(base, ofBase)
  const known = ofBase.get(curve)
  if (known) return known
  const made = statedPreset(base, curve.meta)
  const own = { made, words: made.ok ? ownDropWords(base, made.preset) : '' }
  ofBase.set(curve, own)
  return own
}

function compared(curve: MeasuredCurve, course: Pick<Course, 't' | 'R'>): Comparison {
  const ofCourse = comparisons.get(course.R) ?? new WeakMap()
  comparisons.set(course.R, ofCourse)
  const result = ofCourse.get(curve) ?? laidOn(curve, course)
  ofCourse.set(curve, result)
  return result
}

/**
 * A curve beside the life of the drop that it states: the given life where it states that very drop or nothing, else
 * the life of its own drop out of `lives`. Null while there is no whole life.
 */
export function besideOf(curve: MeasuredCurve, life: Life | null, lives: OwnLives): Beside | null {
  if (!life || life.status === 'growing' || life.series.t.length < 2) return null
  const { made, words } = ownOf(life.preset, curve)
  const aside = untaken(curve.meta, life.preset)
  if (made.ok && words === '')
    return { own: false, drop: '', state: 'there', compared: compared(curve, life.series), remark: aside }
  if (!made.ok) {
    const remark = made.problems.map(({ message }) => message).join(' ')
    return { own: true, drop: '', state: 'none', compared: null, remark }
  }
  const course = lives.get(dropName(made.preset))
  const own = { own: true, drop: words }
  if (!course) return { ...own, state: 'computing', compared: null, remark: aside }
  const remark = [course.failed, aside].filter(Boolean).join(' ')
  if (course.t.length < 2) return { ...own, state: 'none', compared: null, remark }
  return { ...own, state: 'there', compared: compared(curve, course), remark }
}

/** Own drops of curves whose lives are not known yet, each once. */
export function lackingDrops(curves: readonly MeasuredCurve[], base: Preset, lives: OwnLives): Preset[] {
  const lacking = new Map<string, Preset>()
  for (const curve of curves) {
    const { made, words } = ownOf(base, curve)
    if (!made.ok || words === '') continue
    const name = dropName(made.preset)
    if (!lives.has(name)) lacking.set(name, made.preset)
  }
  return [...lacking.values()]
}

/** What a curve is compared with, in words for a cell or a caption. */
export function againstWords(beside: Beside | null): string {
  if (!beside) return ''
  if (!beside.own) return 'the life shown'
  if (beside.state === 'computing') return `its own drop (${beside.drop}) is being computed`
  if (beside.state === 'none') return `its own drop${beside.drop && ` (${beside.drop})`} has no life`
  return `its own drop: ${beside.drop}`
}
