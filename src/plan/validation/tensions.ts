/** Tension of the liquids against air. */
import { figure } from '../figures.ts'
import { kelvin, tabled } from './tabled.ts'
import type { Fact } from './types.ts'

const VAZQUEZ = 'Vázquez, Alvarez & Navaza, J. Chem. Eng. Data 40, 611 (1995)'
const PERCENT = [0, 5, 10, 15, 20, 25, 30, 40, 50, 60, 70, 80, 90, 100]

const tension = (id: string, source: string, values: readonly number[]): Fact => {
  const known = PERCENT.map((p, i) => [p, values[i]!] as const).filter(([, value]) => value > 0)
  return tabled({
    id: `tension-${id}`,
    fact: `Tension of ${id}–water against air at 25 °C, ${known.length} strengths: ${known.map(([p, v]) => `${p} % ${figure(v, 4)}`).join(', ')} mN/m.`,
    source,
    tolerance: 'agrees within 1.5 % everywhere: what two careful measurements of such mixtures differ by',
    wanted: known.map(([, value]) => value),
    found: ({ mixture }) =>
      known.map(([percent]) => 1e3 * mixture(id).surfaceTension(percent / 100, kelvin(25))),
    share: 0.015,
    unit: 'mN/m',
  })
}

const NO = Number.NaN
const MIXTURES: readonly Fact[] = [
  tension(
    'methanol',
    VAZQUEZ,
    [72.01, 62.77, 56.18, 51.17, 47.21, 43.78, 41.09, 36.51, 32.86, 29.83, 27.48, 25.54, 23.93, 22.51],
  ),
  tension(
    'ethanol',
    `${VAZQUEZ}, values from memory`,
    [72.01, 55.73, 47.53, 42.08, 37.97, 35.51, 32.98, 30.16, 27.96, 26.23, 25.01, 23.82, 22.72, 21.82],
  ),
  tension(
    '2-propanol',
    `${VAZQUEZ}, values from memory`,
    [72.01, 49.58, 40.42, 34.63, 30.57, 28.28, 26.82, 25.27, 24.26, 23.51, 22.68, 22.14, 21.69, 21.22],
  ),
  tension('1-propanol', `${VAZQUEZ}, values from memory`, [
    72.01,
    NO,
    34.32,
    NO,
    27.84,
    26.64,
    25.98,
    25.26,
    24.8,
    24.49,
    24.08,
    23.86,
    23.59,
    23.28,
  ]),
]

/** a − b t, mN/m, t in °C. */
const JASPER: Record<string, readonly [a: number, b: number]> = {
  methanol: [24, 0.0773],
  ethanol: [24.05, 0.0832],
  '1-propanol': [25.26, 0.0777],
  '2-propanol': [22.9, 0.0789],
}
const PURE = Object.entries(JASPER)
const pure = (celsius: number): Fact =>
  tabled({
    id: `pure-tension-${celsius}`,
    fact: `Tension of the pure alcohols at ${celsius} °C: ${PURE.map(([id, [a, b]]) => `${id} ${figure(a - b * celsius, 4)}`).join(', ')} mN/m.`,
    source: 'Jasper, J. Phys. Chem. Ref. Data 1, 841 (1972)',
    tolerance:
      'agrees within 1 %: twice the 0.1 mN/m to which good tables of pure liquids are stated (common practice, no source)',
    wanted: PURE.map(([, [a, b]]) => a - b * celsius),
    found: ({ mixture }) => PURE.map(([id]) => 1e3 * mixture(id).surfaceTension(1, kelvin(celsius))),
    note: 'the program takes the values of Vázquez et al. at 20 to 25 °C, which differ for methanol',
    share: 0.01,
    unit: 'mN/m',
  })

export const TENSIONS: readonly Fact[] = [...MIXTURES, pure(20), pure(30)]
