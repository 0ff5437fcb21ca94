/** What is known with an error beside the points: shared errors of curves, and conditions of their drops. */
import { keyOf, type NumberKey } from '../../life/keys.ts'
import { getKey, type PresetResult, setKeys } from '../../life/preset.ts'
import type { Preset, Problem } from '../../life/types.ts'
import { errorParts } from '../independent.ts'
import type { ConditionErrors, MeasuredCurve, SharedCause } from '../types.ts'
import { startOf, usedPoints } from '../usable.ts'
import { curvePreset } from './curvePreset.ts'
import { type FitWish, type Prior, START_TIME } from './types.ts'

/** Why the model and the points may differ by more than the points' own noise; 1 σ of it is one unit. */
export interface Cause {
  kind: 'shared' | 'contact' | 'condition'
  /** Preset key of a condition, `startTime` of a contact, name of a shared cause. */
  path: string
  label: string
  unit: string
  /** Stated value and its standard uncertainty, in `unit`; 0 ± 1 σ of a threshold or of child drops. */
  value: number
  sigma: number
  /** Indices of the curves that it touches. */
  curves: number[]
  /** Of a shared error: by how much the measured radii are too large, m, for each of `curves`. */
  shifts?: Float64Array[]
  /** Of a scale: the same as a share of the true radius, for each of `curves`; the noise of the points is not in it. */
  shares?: number[]
  /** Of a condition: the value of its key for each of `curves` when it is `b` σ above what is stated. */
  keyValue?(n: number, b: number): number
}

const SHARED_WORDS: Record<SharedCause, string> = {
  scale: 'Scale of the radius',
  threshold: 'Threshold of the outline',
  children: 'Child drops still attached',
}

/** Conditions that a curve can state an error of, with the key that they set. */
const CONDITIONS: readonly (readonly [keyof ConditionErrors & keyof MeasuredCurve['meta'], string])[] = [
  ['alcoholFraction', 'drop.alcoholMassFraction'],
  ['volume_uL', 'drop.volume_uL'],
  ['depth_mm', 'bath.depth_mm'],
  ['temperature_C', 'air.temperature_C'],
  ['relativeHumidity', 'air.relativeHumidity'],
]

/** All causes of a wish. `presets` are the drops of the curves, made from the wish's. */
export function causesOf(wish: FitWish, presets: readonly Preset[]): Cause[] {
  return [
    ...sharedCauses(wish.curves),
    ...contacts(wish),
    ...ownConditions(wish, presets),
    ...commonConditions(wish, presets),
  ]
}

/** Lives that the derivatives by the conditions cost, beside those of the fit: two for each condition of each curve. */
export function livesForConditions(wish: FitWish, presets: readonly Preset[]): number {
  return causesOf(wish, presets).reduce(
    (sum, cause) => sum + (cause.keyValue ? 2 * cause.curves.length : 0),
    0,
  )
}

/** Curves whose recordings have one and the same scale err by it together. */
function scaleName({ id, provenance }: MeasuredCurve): string {
  const { metresPerPixel, scaleUncertainty } = provenance ?? {}
  return metresPerPixel === undefined ? id : `${metresPerPixel} ${scaleUncertainty ?? ''}`
}

function sharedCauses(curves: readonly MeasuredCurve[]): Cause[] {
  const causes: Cause[] = []
  const scales = new Map<string, Cause>()
  curves.forEach((curve, i) => {
    for (const { cause, shift } of errorParts(curve).shared) {
      if (!shift.some((one) => one !== 0)) continue
      const known = cause === 'scale' ? scales.get(scaleName(curve)) : undefined
      if (known) {
        known.curves.push(i)
        known.shares!.push(shareOf(curve, shift))
        known.label = `${SHARED_WORDS.scale}, ${known.curves.length} curves of one scale`
        continue
      }
      const made: Cause = {
        kind: 'shared',
        path: cause,
        label: `${SHARED_WORDS[cause]}, ${curve.name}`,
        value: 0,
        ...(cause === 'scale' ? scaleOf(shareOf(curve, shift)) : { unit: 'σ', sigma: 1, shifts: [shift] }),
        curves: [i],
      }
      causes.push(made)
      if (cause === 'scale') scales.set(scaleName(curve), made)
    }
  })
  return causes
}

/** A scale's shift as a share of the radius. */
function shareOf(curve: MeasuredCurve, shift: Float64Array): number {
  const { radius } = usedPoints(curve)
  const along = radius.reduce((sum, R, i) => sum + R * shift[i]!, 0)
  return along / radius.reduce((sum, R) => sum + R * R, 0)
}

const scaleOf = (share: number) => ({ unit: '%', sigma: 100 * Math.abs(share), shares: [share] })

/** Contacts that are known with an error and are not unknowns themselves (as such they have a prior instead). */
function contacts({ curves, unknowns }: FitWish): Cause[] {
  if (unknowns.includes(START_TIME)) return []
  return curves.flatMap((curve, i): Cause[] => {
    const sigma = curve.meta.sigma?.startTime_s
    if (!(sigma! > 0)) return []
    return [
      {
        kind: 'contact',
        path: START_TIME,
        label: `Contact, ${curve.name}`,
        unit: 's',
        value: startOf(curve),
        sigma: sigma!,
        curves: [i],
      },
    ]
  })
}

/** Conditions that a curve states with an error: each curve's own. */
function ownConditions({ curves, unknowns, preset }: FitWish, presets: readonly Preset[]): Cause[] {
  return curves.flatMap((curve, i) =>
    CONDITIONS.flatMap(([name, path]): Cause[] => {
      const sigma = curve.meta.sigma?.[name]
      if (!(sigma! > 0) || unknowns.includes(path)) return []
      const stated = curve.meta[name]
      const value = (stated ?? getKey(presets[i]!, path)) as number
      const key = keyOf(path) as NumberKey
      // A strength by volume is converted as the curve's drop is.
      const keyValue = (_: number, by: number): number => {
        const moved = value + sigma! * by
        if (stated === undefined || name !== 'alcoholFraction') return moved
        const made = curvePreset(preset, { ...curve, meta: { ...curve.meta, [name]: moved } })
        return made.ok ? made.preset.drop.alcoholMassFraction : Number.NaN
      }
      const basis = name === 'alcoholFraction' && curve.meta.fractionBasis === 'volume' ? ' (by volume)' : ''
      return [
        {
          kind: 'condition',
          path,
          label: `${basis ? 'Strength' : key.label}${basis}, ${curve.name}`,
          unit: key.unit,
          value,
          sigma: sigma!,
          curves: [i],
          keyValue,
        },
      ]
    }),
  )
}

/** Conditions of the wish: one and the same error for all curves that do not state their own. */
function commonConditions({ priors = {}, unknowns, curves }: FitWish, presets: readonly Preset[]): Cause[] {
  return Object.entries(priors).flatMap(([path, { value, sigma }]): Cause[] => {
    if (unknowns.includes(path)) return []
    const own = CONDITIONS.find(([, of]) => of === path)?.[0]
    const touched = curves.flatMap(({ meta }, i) => (own && meta.sigma?.[own] ? [] : [i]))
    if (touched.length === 0) return []
    const key = keyOf(path) as NumberKey
    const keyValue = (n: number, by: number) => (getKey(presets[touched[n]!]!, path) as number) + by * sigma
    return [
      { kind: 'condition', path, label: key.label, unit: key.unit, value, sigma, curves: touched, keyValue },
    ]
  })
}

/** The drop of a wish with the stated values of its conditions, which hold for curves that do not state their own. */
export function withConditions(preset: Preset, { priors = {}, unknowns }: FitWish): PresetResult {
  const stated = Object.entries(priors).filter(([path]) => !unknowns.includes(path))
  return setKeys(
    preset,
    stated.map(([path, { value }]) => [path, value] as const),
  )
}

/** What curves state of an unknown ± σ, in the unit of its key: the widest one; undefined if none does. */
export function statedPrior(path: string, { curves, preset }: FitWish): Prior | undefined {
  const name = CONDITIONS.find(([, of]) => of === path)?.[0]
  if (!name) return undefined
  const stated = curves.flatMap((curve): Prior[] => {
    const [value, sigma] = [curve.meta[name] as number | undefined, curve.meta.sigma?.[name]]
    if (value === undefined || !(sigma! > 0)) return []
    const at = (by: number) => {
      const made = curvePreset(preset, { ...curve, meta: { ...curve.meta, [name]: value + by } })
      return made.ok ? (getKey(made.preset, path) as number) : Number.NaN
    }
    const [low, middle, high] = [at(-sigma!), at(0), at(sigma!)]
    const width = Math.max(high - middle || 0, middle - low || 0)
    return width > 0 ? [{ value: middle, sigma: width }] : []
  })
  return stated.toSorted((a, b) => b.sigma - a.sigma)[0]
}

/** Conditions of a wish that cannot be. */
export function conditionProblems({ priors = {}, unknowns }: FitWish): Problem[] {
  return Object.entries(priors).flatMap(([path, { value, sigma }]): Problem[] => {
    const key = path === START_TIME ? undefined : keyOf(path)
    const wrong = (message: string): Problem[] => [{ where: path, message }]
    if (path === START_TIME)
      return wrong('The error of a moment of contact is stated by each curve (its σ of the contact).')
    if (key?.kind !== 'number' || path.startsWith('model.'))
      return wrong(`${JSON.stringify(path.slice(0, 60))} is no input with a value that could be known ± σ.`)
    const unit = key.unit ? ` ${key.unit}` : ''
    if (!(value >= key.min && value <= key.max))
      return wrong(`${key.label}: ${value} ± ${sigma} cannot be. Permitted: ${key.min} to ${key.max}${unit}.`)
    if (!(sigma > 0 && Number.isFinite(sigma)))
      return wrong(`${key.label}: the standard uncertainty is ${sigma}. Permitted: above 0.`)
    if (!unknowns.includes(path) && sigma > (key.max - key.min) / 2)
      return wrong(`${key.label}: ± ${sigma}${unit} is as wide as its whole range.`)
    return []
  })
}
