/** How far and how the drop spreads. */
import { spreadAbout } from '../../measured/scaling.ts'
import { figure } from '../figures.ts'
import { type Bench, type Changes, NOTHING_LEAVES, type Told } from './bench.ts'
import { atLeast, between, falls } from './judges.ts'
import { REFLETS } from './sources.ts'
import { type Fact, fact, PRACTICE } from './types.ts'

/** The drops of which the rules of practice speak; every other value is the default. */
const STRENGTHS = [0.4, 0.5, 0.6, 0.7, 0.8]
const WORDS = '2-propanol 40 to 80 % by mass on sunflower oil, 12.5 µL, 22 °C'
const series = (w: number): Changes => ({
  'drop.alcohol': '2-propanol',
  'bath.liquid': 'sunflower-oil',
  'drop.volume_uL': 12.5,
  'air.temperature_C': 22,
  'drop.alcoholMassFraction': w,
})

async function livesOfSeries(bench: Bench): Promise<Told[]> {
  const lives: Told[] = []
  for (const w of STRENGTHS) lives.push(await bench.life(series(w)))
  return lives
}

const list = (values: readonly number[], digits = 3): string =>
  values.map((x) => figure(x, digits)).join(', ')

/** Share of the variance that a straight line explains (R²). */
export function straightness(x: readonly number[], y: readonly number[]): number {
  const mean = (v: readonly number[]) => v.reduce((a, b) => a + b, 0) / v.length
  const [mx, my] = [mean(x), mean(y)]
  const sum = (term: (i: number) => number) => x.reduce((total, _, i) => total + term(i), 0)
  const xy = sum((i) => (x[i]! - mx) * (y[i]! - my))
  return xy ** 2 / (sum((i) => (x[i]! - mx) ** 2) * sum((i) => (y[i]! - my) ** 2))
}

/**
 * Spread of R/R* over t/t* about the mean curve, in parts of the mean of the largest R/R*, over the scaled times that all
 * lives cover; NaN where there are no scales.
 */
export function collapseSpread(
  lives: readonly Pick<Told, 'series' | 'summary'>[],
  scale: (life: Pick<Told, 'summary'>) => { radius: number; time: number },
): number {
  const scales = lives.map(scale)
  const shortest = Math.min(...lives.map(({ series: { t } }, i) => t[t.length - 1]! / scales[i]!.time))
  const height = lives.reduce((sum, { summary }, i) => sum + summary.maxRadius / scales[i]!.radius, 0)
  if (!Number.isFinite(shortest + height)) return Number.NaN
  const scaled = lives.map(({ series: { t, R }, summary }, i) => ({
    name: String(i),
    x: t.map((s) => s / (scales[i]!.time * shortest)),
    y: R.map((r) => (r * lives.length) / (scales[i]!.radius * height)),
    maxRadius: summary.maxRadius,
    collapse: Number.NaN,
  }))
  return spreadAbout(scaled)?.spread ?? Number.NaN
}

const straight = fact<{ radii_mm: number[]; straightness: number; rise: number }>({
  id: 'straight',
  fact: `The largest radius grows about in a straight line with the strength (${WORDS}).`,
  source: PRACTICE,
  tolerance:
    'agrees if a straight line explains 95 % of the variance (R² 0.95) and rises: five radii read to 3 %, on a line that doubles them, give 0.98',
  async measure(bench) {
    const radii_mm = (await livesOfSeries(bench)).map(({ summary }) => 1e3 * summary.maxRadius)
    return {
      radii_mm,
      straightness: straightness(STRENGTHS, radii_mm),
      rise: radii_mm.at(-1)! - radii_mm[0]!,
    }
  },
  program: (n) => `largest radii ${list(n.radii_mm)} mm; R² of a straight line ${figure(n.straightness, 2)}`,
  judge: (n) => (n.rise > 0 ? atLeast(n.straightness, 0.95) : between(n.rise, 0, 1e9)),
})

const oneCurve = fact<{ film: number; bath: number }>({
  id: 'one-curve',
  fact: `Scaled by R* and t*, the radius curves of all strengths fall on one (${WORDS}).`,
  source: PRACTICE,
  tolerance:
    'agrees if the curves lie within 10 % (r.m.s.) of their mean in the scales of the film, the published ones as far as they could be reconstructed: as wide as a line and its points on a usual logarithmic plot',
  async measure(bench) {
    const lives = await livesOfSeries(bench)
    return {
      film: collapseSpread(lives, ({ summary: { scale } }) => ({
        radius: scale.filmRadius,
        time: scale.filmTime,
      })),
      bath: collapseSpread(lives, ({ summary: { scale } }) => scale),
    }
  },
  program: (n) =>
    `the scaled curves lie ${figure(100 * n.film, 2)} % from their mean in the scales of the film, ${figure(100 * n.bath, 2)} % in those of the bath`,
  judge: (n) => between(n.film, 0, 0.1),
})

const ratio = fact<{ ratios: number[]; mean: number }>({
  id: 'ratio',
  fact: `The largest radius is about 0.28 R*, with the scale R* of the film (${WORDS}).`,
  source: PRACTICE,
  tolerance:
    'agrees if the mean is within 10 % of 0.28: R* goes with the fourth root of the evaporation, which is known to 30 %, hence 8 %',
  async measure(bench) {
    const ratios = (await livesOfSeries(bench)).map(
      ({ summary: { maxRadius, scale } }) => maxRadius / scale.filmRadius,
    )
    return { ratios, mean: ratios.reduce((a, b) => a + b, 0) / ratios.length }
  },
  program: (n) => `R_max/R* ${list(n.ratios)}; mean ${figure(n.mean)}`,
  judge: (n) => between(n.mean, 0.9 * 0.28, 1.1 * 0.28),
})

/** A drop in mid-range, whose film and rim are looked at. */
const MIDDLE: Changes = { 'bath.liquid': 'rapeseed-oil', 'drop.alcoholMassFraction': 0.65 }
const MIDDLE_WORDS = '65 % ethanol on rapeseed oil'

const centre = fact<{ early_um: number; largest_um: number }>({
  id: 'centre',
  fact: 'The film is a fraction of a millimetre thick in the middle.',
  source: REFLETS,
  tolerance:
    'agrees if the middle is 0.1 to 1 mm thick at the largest radius; cannot tell if it is so at a quarter of that time only, since the moment is not told',
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
  fact: 'A ring of liquid gathers at the rim of the spreading drop.',
  source: REFLETS,
  tolerance:
    'agrees if, at the largest radius, something at the rim is twice as thick as the thinnest film inside it: less could not be seen',
  async measure(bench) {
    const { series, summary } = await bench.life(MIDDLE)
    const k = series.t.findIndex((t) => t >= summary.maxRadiusTime)
    // No ring is an answer, not a missing number.
    return { ring_um: 1e6 * (series.ringHeight[k]! || 0), thin_um: 1e6 * (series.thin[k]! || 0) }
  },
  program: (n) =>
    n.ring_um > 0
      ? `${MIDDLE_WORDS}: ring ${figure(n.ring_um, 2)} µm, thin spot ${figure(n.thin_um, 2)} µm`
      : `${MIDDLE_WORDS}: no ring at the largest radius`,
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

export const SPREADING: readonly Fact[] = [
  straight,
  oneCurve,
  ratio,
  centre,
  thin,
  rim,
  stops,
  nothingLeaves,
  shallow,
]
