/** Vapour over the mixtures: boiling points, azeotropes, measured equilibria, diluted alcohol. */
import { massFraction } from '../../liquids/composition.ts'
import type { Mixture } from '../../liquids/types.ts'
import { figure } from '../figures.ts'
import type { Liquids } from './bench.ts'
import { atMost, between } from './judges.ts'
import { kelvin, tabled } from './tabled.ts'
import { type Fact, fact } from './types.ts'

const ATMOSPHERE = 101_325

/** Pressure over a mixture of alcohol mole fraction x, Pa, and the alcohol's share of the vapour. */
function vapourOver({ water }: Liquids, mixture: Mixture, x: number, T: number): { p: number; y: number } {
  const [ga, gw] = mixture.activity(x, T)
  const alcohol = x * ga * mixture.vapourPressure(T)
  const p = alcohol + (1 - x) * gw * water.vapourPressure(T)
  return { p, y: alcohol / p }
}

/** The value between low and high at which a rising function is zero; NaN if it has none there. */
export function rootOf(rising: (x: number) => number, low: number, high: number): number {
  if (!(rising(low) <= 0 && rising(high) >= 0)) return Number.NaN
  let [a, b] = [low, high]
  for (let k = 0; k < 60; k++) {
    const middle = (a + b) / 2
    if (rising(middle) > 0) b = middle
    else a = middle
  }
  return (a + b) / 2
}

/** Boiling temperature at 1 atm, K. */
const boiling = (liquids: Liquids, mixture: Mixture, x: number): number =>
  rootOf((T) => vapourOver(liquids, mixture, x, T).p - ATMOSPHERE, kelvin(20), kelvin(110))

/** Where liquid and vapour are alike at 1 atm: alcohol mass fraction and °C. */
function azeotrope(liquids: Liquids, mixture: Mixture): { w: number; celsius: number } {
  const x = rootOf((x) => x - vapourOver(liquids, mixture, x, boiling(liquids, mixture, x)).y, 0.1, 0.9999)
  return { w: massFraction(mixture.molarMass, x), celsius: boiling(liquids, mixture, x) - 273.15 }
}

const POINTS: readonly (readonly [string, number])[] = [
  ['methanol', 64.6],
  ['ethanol', 78.24],
  ['1-propanol', 97.2],
  ['2-propanol', 82.3],
]

const boilingPoints = tabled({
  id: 'boiling',
  fact: `The alcohols boil at 1 atm at ${POINTS.map(([id, t]) => `${id} ${t}`).join(', ')} °C.`,
  source: 'CRC Handbook, from memory',
  tolerance: 'agrees within 0.3 K: handbooks differ by 0.2 K',
  wanted: POINTS.map(([, celsius]) => celsius),
  found: (liquids) => POINTS.map(([id]) => boiling(liquids, liquids.mixture(id), 1) - 273.15),
  gap: 0.3,
  unit: '°C',
})

/** As a sentence begins. */
const begun = (id: string): string => id[0]!.toUpperCase() + id.slice(1)

const azeotropeOf = (id: string, w: number, celsius: number): Fact =>
  fact<{ w: number; celsius: number }>({
    id: `azeotrope-${id}`,
    fact: `${begun(id)} and water boil together unchanged at ${figure(100 * w)} % by mass and ${celsius} °C (1 atm).`,
    source: 'handbook value of the azeotrope, as collected for this project',
    tolerance: 'agrees within 1 % by mass and 0.5 K: handbooks differ by as much',
    measure: ({ liquids }) => azeotrope(liquids, liquids.mixture(id)),
    program: (n) => `${figure(100 * n.w)} % by mass, ${figure(n.celsius)} °C`,
    judge: (n) => atMost(Math.max(Math.abs(n.w - w) / 0.01, Math.abs(n.celsius - celsius) / 0.5), 1),
  })

/** t in °C, alcohol mole fractions of liquid and vapour at 1 atm. */
type Equilibrium = readonly [t: number, x: number, y: number]

const equilibria = (id: string, source: string, rows: readonly Equilibrium[]): Fact =>
  fact<{ temperature_K: number; share: number }>({
    id: `equilibria-${id}`,
    fact: `${begun(id)}–water boils at 1 atm with, °C, mole fraction in liquid and vapour: ${rows.map((row) => row.join(' ')).join('; ')}.`,
    source,
    tolerance: 'agrees within 0.5 K and 0.02 in the vapour: twice what good measurements differ by',
    measure({ liquids }) {
      const mixture = liquids.mixture(id)
      let [temperature, share] = [0, 0]
      for (const [t, x, y] of rows) {
        const T = boiling(liquids, mixture, x)
        temperature = Math.max(temperature, Math.abs(T - kelvin(t)))
        share = Math.max(share, Math.abs(vapourOver(liquids, mixture, x, T).y - y))
      }
      return { temperature_K: temperature, share }
    },
    program: (n) => `off by at most ${figure(n.temperature_K, 2)} K and ${figure(n.share, 2)} in the vapour`,
    judge: (n) => atMost(Math.max(n.temperature_K / 0.5, n.share / 0.02), 1),
  })

const dilute = (id: string, gamma: number, share: number, source: string, reason: string): Fact =>
  fact<{ gamma: number }>({
    id: `dilute-${id}`,
    fact: `A trace of ${id} in water at 25 °C has an activity coefficient of ${gamma}.`,
    source,
    tolerance: `agrees within ${figure(100 * share, 2)} %: ${reason}`,
    measure: ({ liquids }) => ({ gamma: liquids.mixture(id).activity(1e-9, kelvin(25))[0] }),
    program: (n) => `${figure(n.gamma)}, ${figure(n.gamma / gamma, 2)} times as much`,
    judge: (n) => between(n.gamma / gamma, 1 - share, 1 + share),
  })

export const BOILING: readonly Fact[] = [
  boilingPoints,
  azeotropeOf('ethanol', 0.956, 78.2),
  azeotropeOf('2-propanol', 0.877, 80.3),
  azeotropeOf('1-propanol', 0.717, 87.7),
  equilibria('2-propanol', 'measured equilibria at 1 atm, as collected for this project', [
    [81.48, 0.9535, 0.9325],
    [80.37, 0.809, 0.7745],
    [80.11, 0.6955, 0.6915],
    [80.67, 0.446, 0.592],
    [81.28, 0.298, 0.551],
  ]),
  equilibria('ethanol', 'Perry’s Chemical Engineers’ Handbook', [
    [95.5, 0.019, 0.17],
    [85.3, 0.124, 0.47],
    [80.7, 0.397, 0.612],
    [78.74, 0.676, 0.739],
  ]),
  dilute(
    'ethanol',
    3.7,
    0.2,
    'Henry constant 1.9 mol/(m³ Pa), Sander’s compilation',
    'measured Henry constants scatter by as much',
  ),
  dilute('2-propanol', 7, 0.3, 'from memory', 'as sure as the memory is'),
]
