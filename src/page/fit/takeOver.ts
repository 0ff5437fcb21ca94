/** Fitted values become the drop's own, fitted contacts those of the curves: one step of undo. */
import { getKey, setKeys } from '../../life/preset.ts'
import type { Preset, Problem } from '../../life/types.ts'
import { curvePreset, STATED } from '../../measured/fit/curvePreset.ts'
import { type LifeFit, START_TIME } from '../../measured/fit/types.ts'
import type { MeasuredCurve } from '../../measured/types.ts'
import { applyStep } from '../actions.ts'
import { noNeighbours, type Store } from '../store.ts'

/** Digits that are kept: far more than any error leaves, few enough to be read. */
const DIGITS = 5

const rounded = (value: number): number => Number(value.toPrecision(DIGITS))

type Taken = { ok: true; preset: Preset; measured: MeasuredCurve[] } | { ok: false; problems: Problem[] }

/** A drop and curves with the values of a fit. Pure. */
export function withFit(
  preset: Preset,
  measured: readonly MeasuredCurve[],
  fit: Pick<LifeFit, 'unknowns'>,
): Taken {
  const shared = fit.unknowns.filter(({ path }) => path !== START_TIME)
  const made = setKeys(
    preset,
    shared.map(({ path, value }) => [path, rounded(value)] as const),
  )
  if (!made.ok) return made
  const contacts = new Map(
    fit.unknowns.filter(({ path }) => path === START_TIME).map(({ curve, value }) => [curve, value]),
  )
  const moved = measured.map((curve) => {
    const contact = contacts.get(curve.id)
    return contact === undefined
      ? curve
      : { ...curve, meta: { ...curve.meta, startTime_s: rounded(contact) } }
  })
  return { ok: true, preset: made.preset, measured: moved }
}

/** Takes over the values of a fit. What is wrong with them in this drop comes back, in words; '' if nothing. */
export function takeOver(store: Store, fit: Pick<LifeFit, 'unknowns'>): string {
  const { preset, measured } = store.getState()
  const made = withFit(preset, measured, fit)
  if (!made.ok) return made.problems.map(({ message }) => message).join(' ')
  const other = fit.unknowns.some(({ path }) => path !== START_TIME)
  applyStep(store, '', {
    preset: made.preset,
    measured: made.measured,
    ...(other ? { stale: true, neighbours: noNeighbours } : {}),
  })
  return ''
}

/**
 * Fitted curves that state a fitted input themselves, in words: what they state goes on holding for their own drops,
 * so that they are not compared with the fitted life. '' if there is none.
 */
export function stillStated(
  preset: Preset,
  curves: readonly MeasuredCurve[],
  { unknowns }: Pick<LifeFit, 'unknowns'>,
): string {
  const fitted = unknowns.filter(({ path }) => STATED.some((one) => one === path))
  return curves
    .flatMap((curve) => {
      const own = curvePreset(preset, curve)
      if (!own.ok) return []
      const other = fitted.filter(({ path }) => getKey(own.preset, path) !== getKey(preset, path))
      if (other.length === 0) return []
      const labels = other.map(({ label }) => `“${label}”`).join(', ')
      return [
        ` “${curve.name}” states its own ${labels}: it is compared with that, not with the fitted value.`,
      ]
    })
    .join('')
}
