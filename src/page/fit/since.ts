/** What of the drop and of the curves has changed since a fit was made. Pure. */
import { KEYS } from '../../life/keys.ts'
import { getKey } from '../../life/preset.ts'
import { type FitWish, START_TIME } from '../../measured/fit/types.ts'
import { sameNumbers } from '../../measured/sameCurve.ts'
import type { CurveMeta, MeasuredCurve } from '../../measured/types.ts'
import type { State } from '../store.ts'

type Wish = Pick<FitWish, 'preset' | 'curves' | 'unknowns'>

/** What a curve states of itself and a fit rests on; its name and colour do not matter. */
const STATEMENTS: readonly (keyof CurveMeta)[] = [
  'alcohol',
  'alcoholFraction',
  'fractionBasis',
  'volume_uL',
  'depth_mm',
  'temperature_C',
  'relativeHumidity',
  'oil',
]

/** Labels of changed keys that are told one by one. */
const FEW = 3

/** Keys of the drop that have changed, the unknowns aside: a fit may start from anywhere. */
function ofDrop({ preset: then, unknowns }: Wish, now: State['preset']): string[] {
  const labels = KEYS.filter(
    ({ path }) => !unknowns.includes(path) && getKey(then, path) !== getKey(now, path),
  ).map(({ label }) => `“${label}”`)
  if (JSON.stringify(then.liquids) !== JSON.stringify(now.liquids)) labels.push('a liquid of your own')
  return labels.length > FEW ? [`${labels.length} values of the drop`] : labels
}

function ofCurve(then: MeasuredCurve, now: MeasuredCurve | undefined, contactFitted: boolean): string {
  if (now === then) return ''
  if (!now) return `the curve “${then.name}” (removed)`
  const same = (['time', 'radius', 'uncertainty'] as const).every((name) =>
    sameNumbers(then[name], now[name]),
  )
  if (!same) return `the points of “${then.name}”`
  if (!sameNumbers(then.excluded, now.excluded)) return `the points set aside of “${then.name}”`
  const shifts = ({ shared = [] }: MeasuredCurve) => shared.map(({ cause, shift }) => [cause, ...shift])
  if (JSON.stringify(shifts(then)) !== JSON.stringify(shifts(now)))
    return `what the points of “${then.name}” err by together`
  const errors = ({ meta }: MeasuredCurve) => JSON.stringify(Object.entries(meta.sigma ?? {}).sort())
  const stated = STATEMENTS.some((name) => then.meta[name] !== now.meta[name]) || errors(then) !== errors(now)
  if (stated) return `what “${then.name}” states of its drop`
  const moved = !contactFitted && then.meta.startTime_s !== now.meta.startTime_s
  return moved ? `the contact of “${then.name}”` : ''
}

/** In words, "“Oil”, the points of “bench 3”"; '' if the fit is still of the present drop and curves. */
export function changedSince(wish: Wish, { preset, measured }: Pick<State, 'preset' | 'measured'>): string {
  const contacts = wish.unknowns.includes(START_TIME)
  const curves = wish.curves.map((curve) =>
    ofCurve(
      curve,
      measured.find(({ id }) => id === curve.id),
      contacts,
    ),
  )
  return [...ofDrop(wish, preset), ...curves].filter(Boolean).join(', ')
}
