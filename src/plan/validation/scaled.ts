/** Rules of practice about the largest radius over the strength, and about curves that are one when scaled. */
import { spreadAbout } from '../../measured/scaling.ts'
import { figure } from '../figures.ts'
import type { Bench, Changes, Told } from './bench.ts'
import { atLeast, between } from './judges.ts'
import { type Fact, fact, PRACTICE } from './types.ts'

/** The drops of which the rules of practice speak; every other value is the default. */
const STRENGTHS = [0.4, 0.5, 0.6, 0.7, 0.8]
const WORDS = '2-propanol 40 to 80 % by mass on sunflower oil, 12.5 µL, 22 °C'

/** A drop of the series. */
export const series = (w: number): Changes => ({
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

const list = (values: readonly number[]): string => values.map((x) => figure(x)).join(', ')

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
    collapseError: Number.NaN,
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

export const SCALED: readonly Fact[] = [straight, oneCurve, ratio]
