/**
 * What may be said of a user's liquid: the one table of quantities, with unit, range and the axes they may be tabulated
 * over. Checking, building, copying and the documentation are made from it.
 */
import type { OwnKind } from './types.ts'

export type AxisName = 'massFraction' | 'temperature_C' | 'percentByVolume'

export interface AxisRule {
  min: number
  max: number
  unit: string
}

export const AXES: Record<AxisName, AxisRule> = {
  massFraction: { min: 0, max: 1, unit: '' },
  temperature_C: { min: 0, max: 60, unit: '°C' },
  percentByVolume: { min: 0, max: 100, unit: '% by volume' },
}

/** A named constant besides or instead of values. */
export interface ConstantRule {
  min: number
  max: number
  unit: string
}

export interface QuantityRule {
  name: string
  /** As it stands in source notes and messages. */
  words: string
  /** End of the keys value_… and values_…; '' for a number without unit. */
  keyUnit: string
  /** As it is shown. */
  unit: string
  /** Permitted values in the unit of the key. */
  min: number
  max: number
  /** SI value per value in the unit of the key. */
  si: number
  axes: readonly AxisName[]
  /** Axes along which the values must not rise (−1) or must rise (1). */
  slope?: Partial<Record<AxisName, -1 | 1>>
  /** Why, for the message. */
  because?: string
  /** Interpolated as its logarithm. */
  logarithmic?: boolean
  /** A table over the mass fraction must end at 1: the pure liquid's value is used by itself. */
  needsPure?: boolean
  /** A single value needs the temperature at which it holds. */
  needsTemperature?: boolean
  /** Sets of constants that may stand in the place of values. */
  constants?: Record<string, ConstantRule>
  /** The notes of a library liquid that fall away when the quantity is given. */
  replaces: RegExp
}

const rule = (
  name: string,
  words: string,
  [keyUnit, unit, si]: [string, string, number],
  [min, max]: [number, number],
  axes: readonly AxisName[],
  replaces: RegExp,
  more: Partial<QuantityRule> = {},
): QuantityRule => ({ name, words, keyUnit, unit, si, min, max, axes, replaces, ...more })

const both: readonly AxisName[] = ['massFraction', 'temperature_C']
const warm: readonly AxisName[] = ['temperature_C']

const density: [string, string, number] = ['kgPerM3', 'kg/m³', 1]
const viscosity: [string, string, number] = ['mPas', 'mPa·s', 1e-3]
const tension: [string, string, number] = ['mNperM', 'mN/m', 1e-3]
const diffusivity: [string, string, number] = ['m2PerS', 'm²/s', 1]
const thinner = {
  logarithmic: true,
  slope: { temperature_C: -1 },
  because: 'a liquid becomes thinner when it is warmed',
} as const

const MIXTURE: readonly QuantityRule[] = [
  rule('molarMass', 'molar mass', ['gPerMol', 'g/mol', 1e-3], [20, 200], [], /^molar mass/),
  rule('density', 'density', density, [500, 1500], both, /^density of/, { needsPure: true }),
  rule('viscosity', 'viscosity', viscosity, [0.1, 200], both, /^viscosity/, thinner),
  rule('surfaceTension', 'surface tension', tension, [5, 80], both, /^surface tension/, {
    slope: { massFraction: -1 },
    because: 'the threshold of spreading and the solver rest on a tension that falls with the alcohol',
  }),
  rule('activity', 'activity coefficients', ['', '', 1], [0, 0], [], /^activity/, {
    constants: {
      vanLaarA: { min: -5, max: 5, unit: '' },
      vanLaarB: { min: -5, max: 5, unit: '' },
    },
  }),
  rule(
    'vapourPressure',
    'vapour pressure of the alcohol',
    ['Pa', 'Pa', 1],
    [1, 200_000],
    warm,
    /^vapour pressure/,
    {
      logarithmic: true,
      slope: { temperature_C: 1 },
      because: 'a vapour pressure rises with the temperature',
      needsTemperature: true,
      constants: {
        antoineA_log10Pa: { min: 5, max: 15, unit: '' },
        antoineB_K: { min: 200, max: 5000, unit: 'K' },
        antoineC_K: { min: -150, max: 50, unit: 'K' },
      },
    },
  ),
  rule(
    'vapourDiffusivity',
    'diffusivity of the vapour in air',
    diffusivity,
    [1e-6, 1e-4],
    warm,
    /^diffusivity of the vapour/,
  ),
  rule(
    'liquidDiffusivity',
    'diffusivity in the liquid',
    diffusivity,
    [1e-12, 1e-7],
    both,
    /^diffusivity in the liquid/,
    {
      logarithmic: true,
    },
  ),
  rule('refractiveIndex', 'refractive index', ['', '', 1], [1.2, 1.8], both, /^refractive index/),
  rule('flashPoint', 'flash point', ['C', '°C', 1], [-50, 150], ['percentByVolume'], /flash point/, {
    slope: { percentByVolume: -1 },
    because: 'a stronger mixture catches fire at a lower temperature',
  }),
]

const OIL: readonly QuantityRule[] = [
  rule('density', 'density', density, [600, 1500], warm, /^density/),
  rule('viscosity', 'viscosity', viscosity, [1, 5000], warm, /^viscosity/, thinner),
  rule('surfaceTension', 'tension against air', tension, [10, 60], warm, /^tension against air/),
  rule('waterTension', 'tension against pure water', tension, [5, 60], warm, /^tension against pure water/),
  rule('alcoholSolubility', 'solubility of the alcohol in the oil', ['', '', 1], [0, 2], warm, /^solubility/),
  rule(
    'alcoholDiffusivity',
    'diffusivity of the alcohol in the oil',
    diffusivity,
    [1e-13, 1e-8],
    warm,
    /^diffusivity of the alcohol/,
    { logarithmic: true },
  ),
]

export const RULES: Record<OwnKind, readonly QuantityRule[]> = { mixture: MIXTURE, oil: OIL }

/** Longest texts and largest tables. */
export const LIMITS = { name: 60, text: 500, source: 300, range: 120, rows: 200, numbers: 2000 } as const

export const valueKey = ({ keyUnit }: QuantityRule): string => (keyUnit ? `value_${keyUnit}` : 'value')
export const valuesKey = ({ keyUnit }: QuantityRule): string => (keyUnit ? `values_${keyUnit}` : 'values')
