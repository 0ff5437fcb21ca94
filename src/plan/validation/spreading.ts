/** How the drop spreads: its film, its rim, its end, the floor. */
import { figure } from '../figures.ts'
import { type Changes, NOTHING_LEAVES } from './bench.ts'
import { atLeast, between, falls } from './judges.ts'
import { series } from './scaled.ts'
import { REFLETS } from './sources.ts'
import { type Fact, fact } from './types.ts'

const list = (values: readonly number[]): string => values.map((x) => figure(x)).join(', ')

/** A drop in mid-range, whose film and rim are looked at. */
const MIDDLE: Changes = { 'bath.liquid': 'rapeseed-oil', 'drop.alcoholMassFraction': 0.65 }
const MIDDLE_WORDS = '65 % ethanol on rapeseed oil'

const centre = fact<{ early_um: number; largest_um: number }>({
  id: 'centre',
  fact: 'The film is a fraction of a millimetre thick in the middle.',
  source: REFLETS,
  tolerance:
    'agrees if the middle is 0.1 to 1 mm thick at the largest radius; cannot tell if it is so at a quarter of that time only, since the moment is not stated',
  async measure(bench) {
    const { series, summary } = await bench.life(MIDDLE)
    const at = (time: number) => 1e6 * series.centre[series.t.findIndex((t) => t >= time)]!
    return { early_um: at(0.25 * summary.maxRadiusTime), largest_um: at(summary.maxRadiusTime) }
  },
  program: (n) =>
    `${MIDDLE_WORDS}: ${figure(n.largest_um, 2)} µm at the largest radius, ${figure(n.early_um, 2)} µm at a quarter of that time`,
  judge(n) {
    const late = between(n.largest_um, 100, 1000)
    return late === 'disagrees' && between(n.early_um, 100, 1000) === 'agrees' ? 'cannot tell' : late
  },
})

const thin = fact<{ thinnest_um: number }>({
  id: 'thin-edge',
  fact: 'Near the edge the film is sometimes thinner than 1 µm.',
  source: REFLETS,
  tolerance: 'agrees below 1 µm',
  async measure(bench) {
    return { thinnest_um: 1e6 * (await bench.life(MIDDLE)).summary.thinnest.thickness }
  },
  program: (n) => `${MIDDLE_WORDS}: ${figure(n.thinnest_um, 2)} µm at the thin spot`,
  judge: (n) => (n.thinnest_um < 1 ? 'agrees' : between(n.thinnest_um, 0, 1)),
})

const rim = fact<{ ring_um: number; thin_um: number }>({
  id: 'rim',
  fact: 'A rim of liquid gathers just inside the edge of the spreading drop.',
  source: REFLETS,
  tolerance:
    'agrees if, at the largest radius, something near the edge is twice as thick as the thinnest film inside it: less could not be seen',
  async measure(bench) {
    const { series, summary } = await bench.life(MIDDLE)
    const k = series.t.findIndex((t) => t >= summary.maxRadiusTime)
    // No ring is an answer, not a missing number.
    return { ring_um: 1e6 * (series.ringHeight[k]! || 0), thin_um: 1e6 * (series.thin[k]! || 0) }
  },
  program: (n) =>
    n.ring_um > 0
      ? `${MIDDLE_WORDS}: rim ${figure(n.ring_um, 2)} µm, thin spot ${figure(n.thin_um, 2)} µm`
      : `${MIDDLE_WORDS}: no rim at the largest radius`,
  judge: (n) => (n.ring_um > 0 ? atLeast(n.ring_um / n.thin_um, 2) : 'disagrees'),
})

const stops = fact<{ left: number[]; critical: number[] }>({
  id: 'stops',
  fact: 'The process stops once the mixture no longer wets the oil.',
  source: REFLETS,
  tolerance:
    'agrees if what is left of each drop at the end of its life has a mean strength below that at which S = 0; drops that are used up (under 5 % left) say nothing',
  async measure(bench) {
    const drops: Changes[] = [
      series(0.5),
      series(0.6),
      { 'bath.liquid': 'rapeseed-oil-kitchen', 'drop.alcoholMassFraction': 0.55, 'ring.breakUp': true },
      { 'bath.liquid': 'rapeseed-oil-kitchen', 'drop.alcoholMassFraction': 0.6, 'ring.breakUp': true },
    ]
    const left: number[] = []
    const critical: number[] = []
    for (const drop of drops) {
      const { series: s, facts } = await bench.life(drop)
      const end = s.t.length - 1
      if (s.volume[end]! < 0.05 * s.volume[0]!) continue
      left.push(s.alcohol[end]! / s.volume[end]!)
      critical.push(facts.criticalPhi)
    }
    return { left, critical }
  },
  program: (n) =>
    n.left.length === 0
      ? 'nothing is left of any of the drops'
      : `alcohol left, by volume: ${list(n.left.map((x) => 100 * x))} %; S = 0 at ${list(n.critical.map((x) => 100 * x))} %`,
  judge: (n) =>
    n.left.length === 0
      ? 'cannot tell'
      : between(Math.max(...n.left.map((x, i) => x - n.critical[i]!)), Number.NEGATIVE_INFINITY, 0),
})

const nothingLeaves = fact<{ least: number; largest_mm: number; until_s: number }>({
  id: 'nothing-leaves',
  fact: 'Without evaporation, in a wide dish, nothing draws the drop back.',
  source: 'derived for this project: the composition and with it the pull S stay as they are',
  tolerance:
    'agrees if the radius never falls by more than 1 % of the largest one before it: the accuracy of the calculation',
  async measure(bench) {
    const { series: s } = await bench.life({
      ...MIDDLE,
      ...NOTHING_LEAVES,
      'bath.dishRadius_mm': 300,
    })
    let largest = 0
    let least = 1
    for (const R of s.R) {
      largest = Math.max(largest, R)
      least = Math.min(least, R / largest)
    }
    return { least, largest_mm: 1e3 * largest, until_s: s.t[s.t.length - 1]! }
  },
  program: (n) =>
    `${MIDDLE_WORDS}, no loss, dish of 300 mm radius: up to ${figure(n.largest_mm)} mm by ${figure(n.until_s)} s, never below ${figure(100 * n.least)} % of the largest radius before`,
  judge: (n) => atLeast(n.least, 0.99),
})

const shallow = fact<{ radii_mm: number[] }>({
  id: 'shallow',
  fact: 'Friction on the floor holds the spreading back: the shallower the oil, the smaller the drop (10, 2 and 1 mm).',
  source: 'lubrication theory: the drag goes as the viscosity over the depth; derived for this project',
  tolerance:
    'agrees if each radius is at least 3 % smaller than the one before, more than the error of the calculation',
  async measure(bench) {
    const radii_mm: number[] = []
    for (const depth of [10, 2, 1])
      radii_mm.push(1e3 * (await bench.life({ ...MIDDLE, 'bath.depth_mm': depth })).summary.maxRadius)
    return { radii_mm }
  },
  program: (n) => `${MIDDLE_WORDS}: ${list(n.radii_mm)} mm at depths of 10, 2 and 1 mm`,
  judge: (n) => falls(n.radii_mm, 0.03),
})

export const SPREADING: readonly Fact[] = [centre, thin, rim, stops, nothingLeaves, shallow]
