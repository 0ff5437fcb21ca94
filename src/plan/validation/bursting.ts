/** What the rim sheds: how many drops, how large, and when. */
import { figure, percentText } from '../figures.ts'
import type { Bench, Changes, Told } from './bench.ts'
import { atLeast, atMost, between, falls, size } from './judges.ts'
import { HASEGAWA, KISHIMOTO, REFLETS, REPORT, SEYFERT, UNNAMED } from './sources.ts'
import { type Fact, fact, PRACTICE } from './types.ts'

const bursting = (bench: Bench, changes: Changes): Promise<Told> =>
  bench.life({ ...changes, 'ring.breakUp': true })

/** Part of the drop that is shed. */
const shareOf = ({ summary: { childDrops }, preset }: Told): number =>
  childDrops.volume / (1e-9 * preset.drop.volume_uL)

/** Median radius by volume of the child drops, µm; NaN unless they hold a hundredth of the drop. */
const medianOf = (life: Told): number =>
  shareOf(life) > 0.01 ? 1e6 * life.summary.childDrops.medianRadius : Number.NaN

const sizes = (values: readonly number[]): string =>
  values.map((x) => (Number.isNaN(x) ? 'nothing shed' : `${figure(x, 2)} µm`)).join(', ')

const sizeWords = (radius_um: number): string =>
  Number.isNaN(radius_um) ? 'less than 1 % of the drop is shed' : `median radius ${figure(radius_um, 2)} µm`

/** Two digits are enough; from ten thousand on thousands stand apart. */
function counted(count: number): string {
  const rounded = String(Number(count.toPrecision(2)))
  return rounded.length < 5 ? rounded : rounded.replace(/\B(?=(\d{3})+$)/g, ' ')
}

const SUNFLOWER: Changes = { 'drop.alcohol': '2-propanol', 'drop.alcoholMassFraction': 0.4 }

const thousands = (oil: string, grade: string): Fact =>
  fact<{ count: number; radius_um: number }>({
    id: `thousands-${oil}`,
    fact: `40 % 2-propanol on sunflower oil breaks into thousands of child drops (taken as ${grade}, 10 µL; neither is told).`,
    source: HASEGAWA,
    tolerance: 'agrees from 1000 to 10 000: what the word says',
    async measure(bench) {
      const life = await bursting(bench, { ...SUNFLOWER, 'bath.liquid': oil })
      return { count: life.summary.childDrops.count, radius_um: medianOf(life) }
    },
    program: (n) =>
      `${grade}: ${Number.isNaN(n.radius_um) ? '' : `${counted(n.count)} drops, `}${sizeWords(n.radius_um)}`,
    judge: (n) => between(n.count, 1000, 10_000),
  })

const front = (oil: string, grade: string): Fact =>
  fact<{ verdict: number; gain: number; count: number }>({
    id: `front-${oil}`,
    fact: `Fingers grow on the spreading front of 40 % 2-propanol on sunflower oil (taken as ${grade}).`,
    source: `${HASEGAWA}; ${KISHIMOTO}`,
    tolerance:
      'agrees if waves on the rim grow e³-fold before the largest radius, so that beads begin; cannot tell if that hangs on the assumed drop/oil tension. Their growing into long fingers is beyond a linear calculation',
    async measure(bench) {
      const { verdict, gainAtLargest, count } = await bench.fingers({ ...SUNFLOWER, 'bath.liquid': oil })
      return { verdict: { beads: 1, none: 0, depends: Number.NaN }[verdict], gain: gainAtLargest, count }
    },
    program: (n) =>
      `${grade}: ${Number.isNaN(n.verdict) ? 'it hangs on the drop/oil tension whether the rim beads' : n.verdict > 0 ? 'the rim beads' : 'the rim does not bead'}; ln of the growth at the largest radius ${figure(n.gain, 2)}${Number.isNaN(n.count) ? '' : `, ${counted(n.count)} waves`}`,
    judge: (n) => atLeast(n.verdict, 0.5),
  })

const STRONGER = [0.55, 0.65, 0.75]
const stronger = fact<{ radii_um: number[] }>({
  id: 'stronger-smaller',
  fact: 'Stronger mixtures break into smaller drops.',
  source: REFLETS,
  tolerance: 'agrees if each median radius is smaller than the one before',
  async measure(bench) {
    const radii_um: number[] = []
    for (const w of STRONGER)
      radii_um.push(
        medianOf(
          await bursting(bench, { 'bath.liquid': 'rapeseed-oil-kitchen', 'drop.alcoholMassFraction': w }),
        ),
      )
    return { radii_um }
  },
  program: (n) =>
    `ethanol ${STRONGER.map((w) => figure(100 * w, 2)).join(', ')} % on kitchen-grade rapeseed oil: ${sizes(n.radii_um)}`,
  judge: (n) => falls(n.radii_um),
})

const STRONG = [0.6, 0.7, 0.8, 0.9]
const most = fact<{ count: number; median_um: number }>({
  id: 'thousand-million',
  fact: 'A drop breaks into up to 1e9 micro-drops.',
  source: REFLETS,
  tolerance:
    'agrees if one of four strong drops sheds at least 1e8: a power of ten below the largest number told',
  async measure(bench) {
    let best = { count: 0, median_um: Number.NaN }
    for (const w of STRONG) {
      const life = await bursting(bench, {
        'drop.alcohol': '2-propanol',
        'bath.liquid': 'sunflower-oil-kitchen',
        'drop.alcoholMassFraction': w,
      })
      const { count } = life.summary.childDrops
      if (count > best.count) best = { count, median_um: medianOf(life) }
    }
    return best
  },
  program: (n) =>
    `2-propanol 60 to 90 % on kitchen-grade sunflower oil, 10 µL: at most ${counted(n.count)} drops, ${sizeWords(n.median_um)}. (1e9 drops out of 10 µL have a mean radius of ${figure(1e6 * Math.cbrt((3 * 1e-17) / (4 * Math.PI)), 2)} µm.)`,
  judge: (n) => atLeast(n.count, 1e8),
})

const seconds = fact<{ from_s: number; to_s: number }>({
  id: 'in-seconds',
  fact: 'The drop breaks up in seconds.',
  source: REFLETS,
  tolerance: 'agrees if the drop is gone or has stopped 1 to 60 s after touch-down, and sheds before',
  async measure(bench) {
    const { summary } = await bursting(bench, {
      'bath.liquid': 'rapeseed-oil-kitchen',
      'drop.alcoholMassFraction': 0.65,
    })
    return { from_s: summary.firstBreakUp, to_s: summary.lifeEnd }
  },
  program: (n) =>
    `65 % ethanol on kitchen-grade rapeseed oil: the first drops leave at ${figure(n.from_s, 2)} s, it is over at ${figure(n.to_s, 2)} s`,
  judge: (n) => (Number.isNaN(n.from_s) ? 'disagrees' : between(n.to_s, Math.max(1, n.from_s), 60)),
})

const PLANT: Changes = { 'bath.liquid': 'rapeseed-oil-kitchen', 'drop.alcoholMassFraction': 0.7 }
/** 108 mm²/s, as reported of the peanut oil at a temperature that was not told, times 0.914 g/cm³ (handbook range of edible oils). */
const PEANUT: Changes = { ...PLANT, 'bath.viscosity_mPas': 98.7, 'bath.density_kgPerM3': 914 }
const CASTOR: Changes = { 'bath.liquid': 'castor-oil', 'drop.alcoholMassFraction': 0.7 }
const SIZE =
  'agrees within a factor 2, as well as drops in a photograph are measured; since radius or diameter is not told, both readings must agree or fail, else it cannot be told'

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

/** What a round drop cannot tell, whatever its numbers. */
const untold = (id: string, what: string, source: string, why: string): Fact =>
  fact({
    id,
    fact: what,
    source,
    tolerance: 'no number of the program bears on it',
    measure: () => ({}),
    program: () => why,
    judge: () => 'cannot tell',
  })

export const BURSTING: readonly Fact[] = [
  thousands('sunflower-oil', 'clean'),
  thousands('sunflower-oil-kitchen', 'kitchen grade'),
  front('sunflower-oil', 'clean'),
  front('sunflower-oil-kitchen', 'kitchen grade'),
  stronger,
  most,
  seconds,
  sized('peanut-size', 'peanut oil', 74, PEANUT),
  sized('castor-size', 'castor oil', 10, CASTOR),
  thicker,
  castorSmaller,
  castorWeak,
  floor,
  untold(
    'dye',
    'A dye in the drop changes how it spreads and breaks up.',
    SEYFERT,
    'there is no dye in the equations: dyes gather at surfaces and lower their tension, which the tension curves do not know',
  ),
  untold(
    'merging',
    'Child drops that touch merge, so that those counted after a minute are fewer and larger.',
    PRACTICE,
    'the calculation is round: child drops leave it as numbers and sizes and have no places at which they could meet',
  ),
  untold(
    'long-fingers',
    'The fingers grow long, and drops pinch off at their tips.',
    KISHIMOTO,
    'a linear calculation on a round drop tells whether and where waves begin, not what shape they take once they are as large as the rim',
  ),
]
