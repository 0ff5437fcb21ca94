/**
 * The inputs of a drop that are not known exactly, with their widths: the one table for neighbours, bands, chances and
 * sensitivities. Each is normally distributed in its value or in its logarithm; the stated half-width is one standard
 * deviation. The inputs are taken as independent of one another. Where `basis` names nothing else a width is common
 * practice, no source: what a school laboratory knows.
 */
import { interfaceLawOf, oilNumbersOf, solubilityNow } from '../life/leastKnown.ts'
import { problemOf } from '../life/problemOf.ts'
import type { Preset } from '../life/types.ts'
import { given } from './figures.ts'

export type UncertainId =
  | 'temperature'
  | 'humidity'
  | 'strength'
  | 'volume'
  | 'depth'
  | 'oilViscosity'
  | 'oilTension'
  | 'waterTension'
  | 'decay'
  | 'evaporation'
  | 'uptake'
  | 'coverage'

/** Half-widths are one standard deviation: absolute, in parts of the value, or the factor of a log-normal one. */
export interface Uncertain {
  id: UncertainId
  /** Lower case, without article. */
  label: string
  distribution: 'normal' | 'log-normal'
  /** Half-width of the table, as a number: see `amount`. It may be replaced (plans with widths of their own). */
  width(preset: Preset): number
  /** A width in words: "± 2 mN/m", "× and ÷ 1.5". */
  amount(width: number): string
  /** Where the width comes from. */
  basis(preset: Preset): string
  /** Why it does not act on this drop; '' where it does. */
  lacks(preset: Preset): string
  /** The drop with this input `z` standard deviations up; values stay physical, not within the range of their key. */
  moved(preset: Preset, z: number, width: number): Preset
}

const PRACTICE = 'common practice, no source'

/** A width without digits that say nothing: "2", "0.5", "1.15". */
const short = (width: number): string => given(Number(width.toPrecision(width > 1 && width < 2 ? 3 : 2)))
const percents = (width: number): string => `± ${short(100 * width)} %`
const byFactor = (factor: number): string => `× and ÷ ${short(factor)}`
const absolute = (unit: string) => (width: number) => `± ${short(width)} ${unit}`

/** Least share of a positive value that is left however far it is moved. */
const LEAST = 0.05
const inParts = (z: number, width: number): number => Math.max(LEAST, 1 + width * z)
const within = (value: number, low: number, high: number): number => Math.min(high, Math.max(low, value))

const isReference = ({ drop }: Preset): boolean => drop.alcohol === 'reference'
const isSilicone = ({ bath }: Preset): boolean => bath.liquid.startsWith('silicone')

const RATES = {
  constant: 'constantRate_umPerS',
  moving: 'filmCoefficient_mmPerS',
  still: 'enhancement',
  layer: 'layer_mm',
} as const

/** What makes the drop evaporate, as the key that says so has it. An air speed stands for its film coefficient: that is moved. */
function rateOf(preset: Preset): number {
  const { air } = preset
  const film = air.speed_mPerS === undefined ? undefined : problemOf(preset).facts.air?.filmCoefficient
  return film === undefined ? air[RATES[air.mode]] : 1e3 * film
}

function evaporating(preset: Preset, factor: number): Preset {
  const { speed_mPerS: _, ...air } = preset.air
  // The flux through a layer goes as 1/δ.
  const by = air.mode === 'layer' ? 1 / factor : factor
  return { ...preset, air: { ...air, [RATES[air.mode]]: rateOf(preset) * by } }
}

/** Why the oil takes up no alcohol; '' where it does. */
function takesUp(preset: Preset): string {
  if (!preset.mechanisms.uptake) return 'it is off'
  const { solubility, diffusivity } = problemOf(preset).facts.uptake
  return solubility > 0 && diffusivity > 0 ? '' : 'the oil takes up none'
}

const dragLess = ({ mechanisms }: Preset): string => (mechanisms.bathDrag ? '' : 'the drag of the oil is off')

/** Spread of an oil's viscosity, as a factor: what its note in the library says. */
function viscosityFactor({ bath }: Preset): [number, string] {
  if (bath.viscosity_mPas !== undefined) return [1.05, `a viscosity of your own; ${PRACTICE}`]
  if (isSilicone({ bath } as Preset)) return [1.05, 'grade of the oil, from its note']
  // 25 to 80 mPa·s occur: half of that range in the logarithm, over √3 as of an even spread.
  if (bath.liquid === 'paraffin-oil-light') return [1.4, 'what is sold, from the note of the oil']
  if (bath.liquid === 'own' || bath.liquid === 'reference') return [1.1, PRACTICE]
  return [1.15, 'note of the oil']
}

/** Half-width of an oil's tension against air, mN/m. */
function tensionWidth({ bath }: Preset): [number, string] {
  if (bath.tension_mNperM !== undefined) return [0.5, `a tension of your own; ${PRACTICE}`]
  if (isSilicone({ bath } as Preset)) return [0.5, 'note of the oil']
  return [1, bath.liquid === 'own' || bath.liquid === 'reference' ? PRACTICE : 'note of the oil']
}

/** Factor within which the uptake by the oil is known: that of the liquids, or less where the user gave a value (fitted, say). */
const OWN_UPTAKE = 1.3

const ROOM: readonly Uncertain[] = [
  {
    id: 'temperature',
    label: 'temperature',
    distribution: 'normal',
    width: () => 1,
    amount: absolute('°C'),
    basis: () => PRACTICE,
    lacks: (p) => (isReference(p) ? 'the closed-form liquids know none' : ''),
    moved: (p, z, width) => ({
      ...p,
      air: { ...p.air, temperature_C: within(p.air.temperature_C + width * z, 1, 60) },
    }),
  },
  {
    id: 'humidity',
    label: 'humidity',
    distribution: 'normal',
    width: () => 0.05,
    amount: (width) => `${percents(width)} relative humidity`,
    basis: () => PRACTICE,
    lacks: (p) => {
      if (!p.mechanisms.evaporation) return 'evaporation is off'
      if (isReference(p) || p.air.mode === 'constant') return 'no water evaporates or condenses'
      return rateOf(p) > 0 ? '' : 'nothing evaporates'
    },
    moved: (p, z, width) => ({
      ...p,
      air: { ...p.air, relativeHumidity: within(p.air.relativeHumidity + width * z, 0, 1) },
    }),
  },
]

const DROP: readonly Uncertain[] = [
  {
    id: 'strength',
    label: 'strength of the mixture',
    distribution: 'normal',
    width: () => 0.005,
    amount: (width) => `${percents(width)} alcohol`,
    basis: () => PRACTICE,
    lacks: () => '',
    moved: (p, z, width) => ({
      ...p,
      drop: { ...p.drop, alcoholMassFraction: within(p.drop.alcoholMassFraction + width * z, 0, 1) },
    }),
  },
  {
    id: 'volume',
    label: 'volume of the drop',
    distribution: 'normal',
    width: () => 0.05,
    amount: percents,
    basis: () => PRACTICE,
    lacks: () => '',
    moved: (p, z, width) => ({ ...p, drop: { ...p.drop, volume_uL: p.drop.volume_uL * inParts(z, width) } }),
  },
]

const OIL: readonly Uncertain[] = [
  {
    id: 'depth',
    label: 'depth of the oil',
    distribution: 'normal',
    width: () => 0.5,
    amount: absolute('mm'),
    basis: () => PRACTICE,
    lacks: dragLess,
    moved: (p, z, width) => {
      const depth = Math.max(0.1 * p.bath.depth_mm, p.bath.depth_mm + width * z)
      return { ...p, bath: { ...p.bath, depth_mm: depth } }
    },
  },
  {
    id: 'oilViscosity',
    label: 'viscosity of the oil',
    distribution: 'log-normal',
    width: (p) => viscosityFactor(p)[0],
    amount: byFactor,
    basis: (p) => viscosityFactor(p)[1],
    // How fast alcohol moves into the oil hangs on it too.
    lacks: (p) => (takesUp(p) === '' ? '' : dragLess(p)),
    moved: (p, z, width) => {
      const viscosity = 1e3 * oilNumbersOf(p).viscosity * width ** z
      return { ...p, bath: { ...p.bath, viscosity_mPas: viscosity } }
    },
  },
  {
    id: 'oilTension',
    label: 'tension of the oil against air',
    distribution: 'normal',
    width: (p) => tensionWidth(p)[0],
    amount: absolute('mN/m'),
    basis: (p) => tensionWidth(p)[1],
    lacks: () => '',
    moved: (p, z, width) => {
      const tension = Math.max(1, 1e3 * oilNumbersOf(p).tension + width * z)
      return { ...p, bath: { ...p.bath, tension_mNperM: tension } }
    },
  },
  {
    id: 'uptake',
    label: 'uptake by the oil',
    distribution: 'log-normal',
    width: (p) => (p.bath.solubility === undefined ? solubilityNow(p).factor : OWN_UPTAKE),
    amount: byFactor,
    basis: (p) =>
      p.bath.solubility === undefined ? 'notes of the liquids' : `a value of your own; ${PRACTICE}`,
    lacks: takesUp,
    moved: (p, z, width) => ({
      ...p,
      bath: { ...p.bath, solubility: solubilityNow(p).solubility * width ** z },
    }),
  },
]

/** Half-widths of the assumed drop/oil curve: mN/m at no alcohol, and parts of its fall. */
const WATER_TENSION = 2
const DECAY = 0.1

/** How far that curve is known, in words. */
export const TENSION_WIDTHS = `of water ${absolute('mN/m')(WATER_TENSION)}, fall ${percents(DECAY)}`

const FILM: readonly Uncertain[] = [
  {
    id: 'waterTension',
    label: 'drop/oil tension of water',
    distribution: 'normal',
    width: () => WATER_TENSION,
    amount: absolute('mN/m'),
    basis: () => PRACTICE,
    lacks: () => '',
    moved: (p, z, width) => {
      const { water, end } = interfaceLawOf(p)
      // The curve falls: it begins no lower than it ends.
      const value = Math.max(1e3 * Math.min(water, end), 1e3 * water + width * z)
      return { ...p, interface: { ...p.interface, water_mNperM: value } }
    },
  },
  {
    id: 'decay',
    label: 'fall of the drop/oil tension',
    distribution: 'normal',
    width: () => DECAY,
    amount: percents,
    basis: () => PRACTICE,
    lacks: (p) => {
      const { water, end } = interfaceLawOf(p)
      return water === end ? 'the tension is the same at every strength' : ''
    },
    moved: (p, z, width) => ({
      ...p,
      interface: { ...p.interface, decay: interfaceLawOf(p).decay * inParts(z, width) },
    }),
  },
  {
    id: 'evaporation',
    label: 'evaporation',
    distribution: 'normal',
    width: () => 0.3,
    amount: percents,
    basis: () => PRACTICE,
    lacks: (p) => {
      if (!p.mechanisms.evaporation) return 'it is off'
      return rateOf(p) > 0 ? '' : 'nothing evaporates'
    },
    moved: (p, z, width) => evaporating(p, inParts(z, width)),
  },
  {
    id: 'coverage',
    label: 'coverage cut-off',
    distribution: 'log-normal',
    width: () => 2,
    amount: byFactor,
    basis: () => PRACTICE,
    lacks: () => '',
    moved: (p, z, width) => ({
      ...p,
      model: { ...p.model, filmCutoff_nm: p.model.filmCutoff_nm * width ** z },
    }),
  },
]

/** In the order in which they are moved: what others rest on comes first. */
export const UNCERTAIN: readonly Uncertain[] = [...ROOM, ...DROP, ...OIL, ...FILM]

export const uncertainOf = (id: string): Uncertain | undefined => UNCERTAIN.find((one) => one.id === id)

/** An input of one drop with the width that it has there. */
export interface Spread {
  input: Uncertain
  width: number
}

export interface Spreads {
  acting: Spread[]
  /** What does not act on this drop, by its label, with the reason. */
  left: { id: UncertainId; label: string; reason: string }[]
}

/**
 * The uncertain inputs of a drop. @param widths half-widths in the place of those of the table, in its own measure (see
 * `Uncertain.amount`); 0, or a factor of 1, holds an input fixed. @param only the inputs that are asked for; else all
 */
export function spreadsOf(
  preset: Preset,
  {
    widths = {},
    only,
  }: { widths?: Partial<Record<UncertainId, number>>; only?: readonly UncertainId[] } = {},
): Spreads {
  const so: Spreads = { acting: [], left: [] }
  for (const input of UNCERTAIN) {
    const { id, label } = input
    const width = widths[id] ?? input.width(preset)
    const fixed = width === (input.distribution === 'normal' ? 0 : 1)
    const reason =
      only && !only.includes(id) ? 'not asked for' : input.lacks(preset) || (fixed ? 'it is held fixed' : '')
    if (reason) so.left.push({ id, label, reason })
    else so.acting.push({ input, width })
  }
  return so
}

/** The drop with each input so many standard deviations from its stated value. @param z one for each of `acting` */
export const movedAll = (preset: Preset, acting: readonly Spread[], z: ArrayLike<number>): Preset =>
  acting.reduce((so, { input, width }, k) => input.moved(so, z[k]!, width), preset)
