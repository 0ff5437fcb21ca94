/** Whether, when and into how many drops the rim breaks. */
import { figure } from '../figures.ts'
import type { Changes } from './bench.ts'
import { atLeast, between, falls } from './judges.ts'
import { bursting, counted, medianOf, sizes, sizeWords } from './shed.ts'
import { HASEGAWA, KISHIMOTO, REFLETS } from './sources.ts'
import { type Fact, fact } from './types.ts'

const SUNFLOWER: Changes = { 'drop.alcohol': '2-propanol', 'drop.alcoholMassFraction': 0.4 }

const thousands = (oil: string, grade: string): Fact =>
  fact<{ count: number; radius_um: number }>({
    id: `thousands-${oil}`,
    fact: `40 % 2-propanol on sunflower oil breaks into thousands of child drops (taken as ${grade}, 10 µL; neither is stated).`,
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
      'agrees if waves on the rim grow e³-fold before the largest radius, so that beads begin; cannot tell if that depends on the assumed drop/oil tension. Their growing into long fingers is beyond a linear calculation',
    async measure(bench) {
      const { verdict, gainAtLargest, count } = await bench.fingers({ ...SUNFLOWER, 'bath.liquid': oil })
      return { verdict: { beads: 1, none: 0, depends: Number.NaN }[verdict], gain: gainAtLargest, count }
    },
    program: (n) =>
      `${grade}: ${Number.isNaN(n.verdict) ? 'whether the rim beads depends on the drop/oil tension' : n.verdict > 0 ? 'the rim beads' : 'the rim does not bead'}; ln of the growth at the largest radius ${figure(n.gain, 2)}${Number.isNaN(n.count) ? '' : `, ${counted(n.count)} waves`}`,
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

export const BURSTING: readonly Fact[] = [
  thousands('sunflower-oil', 'clean'),
  thousands('sunflower-oil-kitchen', 'kitchen grade'),
  front('sunflower-oil', 'clean'),
  front('sunflower-oil-kitchen', 'kitchen grade'),
  stronger,
  most,
  seconds,
]
