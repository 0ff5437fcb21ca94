/** Lives and measured curves side by side: one series each, with what their scales are made of. Pure. */
import type { PresetResult } from '../life/preset.ts'
import { problemOf } from '../life/problemOf.ts'
import type { Life, LiquidFacts, Preset } from '../life/types.ts'
import { massFractionOfPercent, percentByVolume } from '../liquids/composition.ts'
import { mixtureNamed } from '../liquids/own/resolve.ts'
import { statedPreset } from '../measured/fit/curvePreset.ts'
import { dropName } from '../measured/fit/ownDrop.ts'
import { peakOf } from '../measured/landmarks.ts'
import type { Series } from '../measured/scaling.ts'
import type { CurveMeta, MeasuredCurve } from '../measured/types.ts'
import { usedPoints } from '../measured/usable.ts'
import type { ScaleInputs } from '../model/scales.ts'
import { percentOf } from './threshold.ts'

/** One series to be scaled and compared. Lengths in m, times in s after contact. */
export interface ScalingItem {
  id: string
  name: string
  kind: 'measured' | 'simulated'
  /** True for a life out of a row of strengths: these are joined by a line. */
  inRow: boolean
  series: Series
  /** Largest radius, m. */
  maxRadius: number
  /** Its standard uncertainty (measured) or numerical error (simulated), m; NaN if not known. */
  maxRadiusError: number
  /** Alcohol in % by mass and in % by volume at 20 °C, NaN where not known. */
  strength: { mass: number; volume: number }
  /** What R* and t* are made of; null where it is not known. */
  inputs: ScaleInputs | null
  /** Why something of this series is not known or not used: '' if all is. */
  note: string
  /** Names the drop of a life: two of one name are one life. Missing for measured curves. */
  drop?: string
  /** A life that never spread: its largest radius is that of a lens. */
  lens: boolean
}

/** Inputs of both groupings, SI; `thickness` (m) is the largest of the film. */
const scaleInputsOf = (preset: Preset, facts: LiquidFacts, thickness: number): ScaleInputs => ({
  phi0: facts.phi0,
  volume: preset.drop.volume_uL * 1e-9,
  spreading: facts.S0,
  depth: preset.bath.depth_mm * 1e-3,
  oilViscosity: facts.oilViscosity,
  startFlux: facts.startFlux,
  viscosity: facts.viscosity,
  thickness,
})

const largest = (values: ArrayLike<number>): number => {
  let most = Number.NEGATIVE_INFINITY
  for (let i = 0; i < values.length; i++) if (values[i]! > most) most = values[i]!
  return most
}

interface Naming {
  id: string
  name: string
  inRow?: boolean
}

/** A life as a series. @param error numerical error of its largest radius, m, where the life does not carry it */
export function itemOfLife(
  {
    preset,
    series,
    frames,
    summary,
    facts,
  }: Pick<Life, 'preset' | 'series' | 'frames' | 'summary' | 'facts'>,
  { id, name, inRow = false }: Naming,
  error = summary.maxRadiusError,
): ScalingItem {
  const w = preset.drop.alcoholMassFraction
  return {
    id,
    name,
    kind: 'simulated',
    inRow,
    series: { name, time: series.t, radius: series.R, maxRadius: summary.maxRadius },
    maxRadius: summary.maxRadius,
    maxRadiusError: error,
    strength: { mass: 100 * w, volume: percentOf(preset, w) },
    inputs: scaleInputsOf(preset, facts, largest(frames.h)),
    note: '',
    drop: dropName(preset),
    lens: summary.outcome === 'lens',
  }
}

/** Which alcohol a curve is of: its own, or else that of the drop it is compared with; undefined for other words. */
const alcoholOf = ({ alcohol }: CurveMeta, base: Preset | null): string | undefined => {
  const id = alcohol ?? base?.drop.alcohol
  return id !== undefined && (id === 'reference' || mixtureNamed(id, base?.liquids)) ? id : undefined
}

/** Alcohol of a curve in % by mass and by volume at 20 °C; NaN where it cannot be told. */
export function strengthOfCurve(
  { meta }: Pick<MeasuredCurve, 'meta'>,
  base: Preset | null,
): { mass: number; volume: number } {
  const { alcoholFraction = Number.NaN, fractionBasis = 'mass' } = meta
  const percent = 100 * alcoholFraction
  if (!(percent >= 0 && percent <= 100)) return { mass: Number.NaN, volume: Number.NaN }
  const alcohol = alcoholOf(meta, base)
  if (alcohol === 'reference') return { mass: percent, volume: percent }
  if (alcohol === undefined) {
    const own = { mass: Number.NaN, volume: Number.NaN }
    return { ...own, [fractionBasis]: percent }
  }
  const mixture = mixtureNamed(alcohol, base?.liquids)!
  return fractionBasis === 'mass'
    ? { mass: percent, volume: percentByVolume(mixture, alcoholFraction) }
    : { mass: 100 * massFractionOfPercent(mixture, percent), volume: percent }
}

/** The drop that a curve was measured on, as far as it is told; everything else as in `base`. */
export function presetOfCurve(curve: Pick<MeasuredCurve, 'name' | 'meta'>, base: Preset): PresetResult {
  const { meta } = curve
  const refuse = (message: string): PresetResult => ({
    ok: false,
    problems: [{ where: curve.name, message }],
  })
  if (meta.alcoholFraction === undefined) return refuse('its alcohol fraction is not known')
  const alcohol = alcoholOf(meta, base)
  if (alcohol === undefined) return refuse(`its alcohol (${meta.alcohol}) is not one that the model knows`)
  if ((alcohol === 'reference') !== (base.drop.alcohol === 'reference'))
    return refuse(`its alcohol (${alcohol}) does not go with a drop of ${base.drop.alcohol}`)
  return statedPreset({ ...base, title: curve.name.slice(0, 100) }, meta)
}

/** Height of the parabolic cap that a drop starts as, m: 2 Ω/(π R0²). */
const capHeight = ({ drop }: Preset): number =>
  (2e-9 * drop.volume_uL) / (Math.PI * (drop.startRadius_mm * 1e-3) ** 2)

/** A measured curve as a series; `base` is the drop that stands for what the curve does not tell (null: none). */
export function itemOfCurve(curve: MeasuredCurve, base: Preset | null): ScalingItem {
  const { time, radius } = usedPoints(curve)
  const peak = peakOf(curve)
  const preset = base ? presetOfCurve(curve, base) : null
  const note = preset?.ok
    ? ''
    : preset
      ? preset.problems.map(({ message }) => message).join(' ')
      : 'no preset to take the other inputs from'
  return {
    id: curve.id,
    name: curve.name,
    kind: 'measured',
    inRow: false,
    series: { name: curve.name, time, radius, curve },
    maxRadius: peak?.radius ?? (time.length > 0 ? largest(radius) : Number.NaN),
    maxRadiusError: peak?.radiusError ?? Number.NaN,
    strength: strengthOfCurve(curve, base),
    inputs: preset?.ok
      ? scaleInputsOf(preset.preset, problemOf(preset.preset).facts, capHeight(preset.preset))
      : null,
    note,
    lens: false,
  }
}
