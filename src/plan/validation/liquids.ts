/** Water, and density and viscosity of the mixtures, against standards and handbook tables. */
import { percentByVolume, pour } from '../../liquids/composition.ts'
import { kelvin, tabled } from './tabled.ts'
import type { Fact } from './types.ts'

const DEGREES = [20, 25, 30]
const WATER: readonly Fact[] = [
  tabled({
    id: 'water-tension',
    fact: 'Tension of water against air at 20, 25 and 30 °C: 72.736, 71.972, 71.194 mN/m.',
    source: 'IAPWS R1-76(2014)',
    tolerance: 'agrees within 0.001 mN/m: the same formula must give the same digits',
    wanted: [72.736, 71.972, 71.194],
    found: ({ water }) => DEGREES.map((t) => 1e3 * water.surfaceTension(kelvin(t))),
    gap: 1e-3,
    unit: 'mN/m',
    digits: 5,
  }),
  tabled({
    id: 'water-density',
    fact: 'Density of water at 20, 25 and 30 °C: 998.207, 997.048, 995.650 kg/m³.',
    source: 'IAPWS',
    tolerance: 'agrees within 0.01 kg/m³: two standards differ by less',
    wanted: [998.207, 997.048, 995.65],
    found: ({ water }) => DEGREES.map((t) => water.density(kelvin(t))),
    gap: 0.01,
    unit: 'kg/m³',
    digits: 6,
  }),
  tabled({
    id: 'water-viscosity',
    fact: 'Viscosity of water at 20, 25 and 30 °C: 1.0016, 0.8900, 0.7972 mPa·s.',
    source: 'IAPWS',
    tolerance: 'agrees within 0.1 %: the rounding of the values',
    wanted: [1.0016, 0.89, 0.7972],
    found: ({ water }) => DEGREES.map((t) => 1e3 * water.viscosity(kelvin(t))),
    share: 1e-3,
    unit: 'mPa·s',
  }),
  tabled({
    id: 'water-vapour',
    fact: 'Vapour pressure of water at 20 and 25 °C: 2339.3, 3169.9 Pa.',
    source: 'IAPWS',
    tolerance: 'agrees within 0.1 %: two standards differ by less',
    wanted: [2339.3, 3169.9],
    found: ({ water }) => [20, 25].map((t) => water.vapourPressure(kelvin(t))),
    share: 1e-3,
    unit: 'Pa',
    digits: 5,
  }),
]

const TENTHS = [0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1]
const OIML: Record<number, readonly number[]> = {
  20: [998.201, 981.848, 968.607, 953.784, 935.145, 913.771, 891.098, 867.611, 843.386, 817.883, 789.239],
  25: [997.043, 980.406, 966.351, 950.634, 931.424, 909.77, 886.94, 863.342, 839.041, 813.527, 784.954],
}
const oiml = (celsius: 20 | 25): Fact =>
  tabled({
    id: `oiml-${celsius}`,
    fact: `Density of ethanol–water at ${celsius} °C, in steps of 10 % by mass: ${OIML[celsius]!.join(', ')} kg/m³.`,
    source: 'OIML R 22, general formula',
    tolerance: 'agrees within 0.002 kg/m³: the same formula must give the same digits',
    wanted: OIML[celsius]!,
    found: ({ mixture }) => TENTHS.map((w) => mixture('ethanol').density(w, kelvin(celsius))),
    gap: 2e-3,
    unit: 'kg/m³',
    digits: 6,
  })

const CRC = 'CRC Handbook, 102nd ed., aqueous solutions, 20 °C'

const crc = (
  what: 'density' | 'viscosity',
  id: string,
  rows: readonly (readonly [percent: number, value: number])[],
): Fact => {
  const dense = what === 'density'
  return tabled({
    id: `${what}-${id}`,
    fact: `${dense ? 'Density' : 'Viscosity'} of ${id}–water at 20 °C: ${rows.map(([p, v]) => `${p} % ${v}`).join(', ')} ${dense ? 'g/cm³' : 'mPa·s'}.`,
    source: CRC,
    tolerance: dense
      ? 'agrees within 0.1 %: handbooks differ by less'
      : 'agrees within 2 %: viscosities of mixtures in handbooks differ by as much',
    wanted: rows.map(([, value]) => value),
    found: ({ mixture }) =>
      rows.map(([p]) =>
        dense
          ? 1e-3 * mixture(id).density(p / 100, kelvin(20))
          : 1e3 * mixture(id).viscosity(p / 100, kelvin(20)),
      ),
    share: dense ? 1e-3 : 0.02,
    unit: dense ? 'g/cm³' : 'mPa·s',
  })
}

const HANDBOOK: readonly Fact[] = [
  crc('density', 'methanol', [
    [10, 0.9816],
    [20, 0.9666],
    [40, 0.9347],
    [60, 0.8944],
    [80, 0.8468],
    [100, 0.7917],
  ]),
  crc('density', '1-propanol', [
    [10, 0.9829],
    [20, 0.9686],
    [40, 0.9288],
    [60, 0.8875],
    [80, 0.847],
    [100, 0.8034],
  ]),
  crc('density', '2-propanol', [
    [10, 0.9816],
    [20, 0.9696],
    [40, 0.9302],
    [60, 0.8824],
    [80, 0.8341],
    [100, 0.7848],
  ]),
  crc('viscosity', 'ethanol', [
    [10, 1.501],
    [20, 2.142],
    [40, 2.846],
    [60, 2.547],
    [80, 1.881],
    [100, 1.203],
  ]),
  crc('viscosity', 'methanol', [
    [10, 1.329],
    [20, 1.604],
    [40, 1.837],
    [60, 1.6],
    [80, 1.128],
    [100, 0.586],
  ]),
  crc('viscosity', '1-propanol', [
    [10, 1.577],
    [20, 2.218],
    [40, 3.01],
    [60, 3.186],
    [80, 2.822],
    [100, 2.227],
  ]),
  crc('viscosity', '2-propanol', [
    [10, 1.629],
    [20, 2.55],
    [100, 2.37],
  ]),
  tabled({
    id: 'viscosity-2-propanol-25',
    fact: 'Viscosity of 2-propanol–water at 25 °C, 10 to 100 % by mass: 1.33, 1.86, 2.4, 2.8, 3.0, 3.0, 2.9, 2.6, 2.3, 2.05 mPa·s.',
    source: 'from memory',
    tolerance: 'agrees within 10 %: as sure as the memory is',
    wanted: [1.33, 1.86, 2.4, 2.8, 3, 3, 2.9, 2.6, 2.3, 2.05],
    found: ({ mixture }) => TENTHS.slice(1).map((w) => 1e3 * mixture('2-propanol').viscosity(w, kelvin(25))),
    share: 0.1,
    unit: 'mPa·s',
    digits: 3,
  }),
]

const MIXING: readonly Fact[] = [
  tabled({
    id: 'mixing',
    fact: '50 mL of ethanol and 50 mL of water make 96.463 mL of 51.83 % by volume (20 °C).',
    source: 'OIML R 22',
    tolerance: 'agrees within 0.01 mL and 0.01 %: the digits given',
    wanted: [96.463, 51.83],
    found({ mixture }) {
      const { volume, percent } = pour(mixture('ethanol'), 50, 50)
      return [volume, percent]
    },
    gap: 0.01,
    unit: '',
    digits: 5,
  }),
  tabled({
    id: 'by-volume',
    fact: 'Ethanol of 33.300, 42.426, 62.386 and 92.408 % by mass is 40, 50, 70 and 95 % by volume.',
    source: 'OIML R 22',
    tolerance: 'agrees within 0.01 %: the digits given',
    wanted: [40, 50, 70, 95],
    found: ({ mixture }) =>
      [0.333, 0.42426, 0.62386, 0.92408].map((w) => percentByVolume(mixture('ethanol'), w)),
    gap: 0.01,
    unit: '%',
  }),
]

export const LIQUIDS: readonly Fact[] = [...WATER, oiml(20), oiml(25), ...HANDBOOK, ...MIXING]
