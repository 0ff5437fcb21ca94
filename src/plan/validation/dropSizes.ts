/** What the oil makes of the child drops: their sizes on thin and thick oils, and where nothing is shed. */
import { percentText } from '../figures.ts'
import type { Changes } from './bench.ts'
import { atMost, falls, size } from './judges.ts'
import { bursting, medianOf, shareOf, sizes, sizeWords } from './shed.ts'
import { REPORT, UNNAMED } from './sources.ts'
import { type Fact, fact } from './types.ts'

const PLANT: Changes = { 'bath.liquid': 'rapeseed-oil-kitchen', 'drop.alcoholMassFraction': 0.7 }
/** 108 mm²/s, as reported of the peanut oil at a temperature that was not told, times 0.914 g/cm³ (handbook range of edible oils). */
const PEANUT: Changes = { ...PLANT, 'bath.viscosity_mPas': 98.7, 'bath.density_kgPerM3': 914 }
const CASTOR: Changes = { 'bath.liquid': 'castor-oil', 'drop.alcoholMassFraction': 0.7 }
const SIZE =
  'agrees within a factor 2, as well as drops in a photograph are measured; since it is not stated whether radius or diameter is meant, both readings must agree or fail, else it cannot be told'

const sized = (id: string, oil: string, reported_um: number, drop: Changes): Fact =>
  fact<{ radius_um: number }>({
    id,
    fact: `70 % ethanol on ${oil} leaves drops of about ${reported_um} µm.`,
    source: UNNAMED,
    tolerance: SIZE,
    measure: async (bench) => ({ radius_um: medianOf(await bursting(bench, drop)) }),
    program: (n) => `70 % by mass, the drops that leave the rim: ${sizeWords(n.radius_um)}`,
    judge: (n) => size(n.radius_um, reported_um, 2),
  })

const THICKNESSES = [50, 100, 200, 500]
const thicker = fact<{ radii_um: number[] }>({
  id: 'thicker-smaller',
  fact: 'The drops that are left in the end are smaller on thicker oil.',
  source: REPORT,
  tolerance:
    'agrees if each median radius is smaller than the one before; the oils differ in viscosity alone, while in the report the thickest was castor oil, which also dissolves alcohol',
  async measure(bench) {
    const radii_um: number[] = []
    for (const viscosity of THICKNESSES)
      radii_um.push(medianOf(await bursting(bench, { ...PLANT, 'bath.viscosity_mPas': viscosity })))
    return { radii_um }
  },
  program: (n) =>
    `70 % ethanol on oils of ${THICKNESSES.join(', ')} mPa·s: median radii of the drops that leave ${sizes(n.radii_um)}`,
  judge: (n) => falls(n.radii_um),
})

const castorSmaller = fact<{ plant_um: number; castor_um: number }>({
  id: 'castor-smaller',
  fact: '70 % ethanol breaks into smaller drops on castor oil than on a thin plant oil.',
  source: REPORT,
  tolerance: 'agrees if the median radius is smaller',
  async measure(bench) {
    return {
      plant_um: medianOf(await bursting(bench, PLANT)),
      castor_um: medianOf(await bursting(bench, CASTOR)),
    }
  },
  program: (n) =>
    `kitchen-grade rapeseed oil: ${sizeWords(n.plant_um)}; castor oil: ${sizeWords(n.castor_um)}`,
  judge: (n) => falls([n.plant_um, n.castor_um]),
})

const castorWeak = fact<{ share: number }>({
  id: 'castor-weak',
  fact: '40 % ethanol on castor oil does not break up.',
  source: REPORT,
  tolerance:
    'agrees if less than 1 % of the drop is shed, from where on the program itself speaks of shedding',
  async measure(bench) {
    return { share: shareOf(await bursting(bench, { ...CASTOR, 'drop.alcoholMassFraction': 0.4 })) }
  },
  program: (n) => `${percentText(n.share, 2)} of the drop is shed`,
  judge: (n) => atMost(n.share, 0.01),
})

const DEPTHS = [10, 2, 1]
const floor = fact<{ shares: number[] }>({
  id: 'floor',
  fact: 'Close to the floor, friction holds the bursting back (oil 10, 2 and 1 mm deep).',
  source: UNNAMED,
  tolerance:
    'agrees if each shallower bath sheds a smaller part of the drop, by a tenth at least: less could not be seen',
  async measure(bench) {
    const shares: number[] = []
    for (const depth of DEPTHS) {
      const drop = { ...PLANT, 'drop.alcoholMassFraction': 0.6, 'bath.depth_mm': depth }
      shares.push(shareOf(await bursting(bench, drop)))
    }
    return { shares }
  },
  program: (n) =>
    `60 % ethanol on kitchen-grade rapeseed oil sheds ${n.shares.map((x) => percentText(x, 2)).join(', ')} of the drop at ${DEPTHS.join(', ')} mm`,
  judge: (n) => falls(n.shares, 0.1),
})

export const DROP_SIZES: readonly Fact[] = [
  sized('peanut-size', 'peanut oil', 74, PEANUT),
  sized('castor-size', 'castor oil', 10, CASTOR),
  thicker,
  castorSmaller,
  castorWeak,
  floor,
]
