/**
 * What experiments report of drops of alcohol and water on oil, told by whole lives with the library's liquids.
 * Sources:
 * [K] Keiser, Bense, Colinet, Bico & Reyssat, Phys. Rev. Lett. 118, 074504 (2017), and the same authors' account in
 *     Reflets de la physique 59, 32 (2018): micro-drops the smaller the stronger the mixture; oil layers of about 1 cm;
 *     friction at a near floor holds the drop back.
 * [H] Hasegawa & Manzaki, “Marangoni fireworks: atomization dynamics of binary droplets on an oil pool”, Phys. Fluids 33 (3), 2021:
 *     40 % by mass of 2-propanol on sunflower oil spreads and breaks up into thousands of drops.
 * [R] a college physics report of 2021 (title not recorded): rapeseed oil under 40, 60 and 80 % ethanol spreads, nothing spreads on
 *     silicone oil, 40 % ethanol on castor oil does not break up. It does not say whether per cent are by mass or volume.
 */
import { describe, expect, it } from 'vitest'
import { defaultPreset, type Leaf, setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life, Preset } from '../../src/life/types.ts'
import { massFractionOfPercent } from '../../src/liquids/composition.ts'
import { mixtureOf, mixtures } from '../../src/liquids/registry.ts'
import { thresholdReach } from '../../src/plan/thresholdReach.ts'
import { expectClose } from '../matchers.ts'

interface Case {
  alcohol?: string
  oil: string
  /** Mass fraction. */
  w: number
  more?: Record<string, Leaf>
}

/** 10 µL on 10 mm of oil at 22 °C in moving air, the ring free to break up. */
function presetOf({ alcohol = 'ethanol', oil, w, more = {} }: Case): Preset {
  const result = setKeys(defaultPreset(), [
    ['drop.alcohol', alcohol],
    ['bath.liquid', oil],
    ['drop.alcoholMassFraction', w],
    ['ring.breakUp', true],
    ...Object.entries(more),
  ])
  if (!result.ok) throw new Error(result.problems.map((p) => p.message).join('\n'))
  return result.preset
}

function lifeOf(one: Case): Life {
  const result = runLifeSync(presetOf(one))
  if (!result.ok) throw new Error(result.problems.map((p) => p.message).join('\n'))
  return result.life
}

const outcomeOf = (one: Case): string => lifeOf(one).summary.outcome

describe('silicone oil [R]', () => {
  const strengths = [0.1, 0.3, 0.5, 0.7, 0.85, 1]
  for (const alcohol of Object.keys(mixtures)) {
    it(`${alcohol} of any strength stays a lens on it, S < 0 throughout`, () => {
      for (const oil of ['silicone-oil-50', 'silicone-oil-350']) {
        for (const w of strengths) {
          const { summary, facts } = lifeOf({ alcohol, oil, w, more: { 'model.accuracy': 'quick' } })
          expect(summary.outcome, `${oil}, w = ${w}`).toBe('lens')
          expect(Math.max(...facts.curve.S)).toBeLessThan(0)
        }
      }
    })
  }
})

describe('2-propanol on 10 mm of sunflower oil', () => {
  // The oil of [H] comes from a kitchen: 14.5 to 22.9 mN/m against water (refined oils), the clean triglyceride 23 to 26.
  it.each([16, 18])(
    '40 %% by mass spreads and sheds thousands [H] on an oil of %d mN/m that takes up nothing',
    (tension) => {
      const more = { 'interface.water_mNperM': tension, 'mechanisms.uptake': false }
      const { outcome, childDrops, maxRadius } = lifeOf({
        alcohol: '2-propanol',
        oil: 'sunflower-oil',
        w: 0.4,
        more,
      }).summary
      expect(outcome).toBe('sheds')
      expect(childDrops.count).toBeGreaterThan(1000)
      expect(maxRadius).toBeGreaterThan(3 * 2.5e-3)
    },
  )
  /*
   * Not reproduced with the middle value of what the oil takes up: the drop then sheds hundreds, not thousands. At the lower
   * end of what is known of it (a factor 2.2) it sheds about a thousand.
   */
  it('40 % by mass on kitchen-grade oil sheds about a thousand at the lower end of the uptake, hundreds at its middle', () => {
    const one = { alcohol: '2-propanol', oil: 'sunflower-oil-kitchen', w: 0.4 }
    const middle = lifeOf(one)
    const { solubility, factor } = middle.facts.uptake
    const low = lifeOf({ ...one, more: { 'bath.solubility': solubility / factor } })
    expect(middle.summary.outcome).toBe('sheds')
    expect(factor).toBeLessThan(2.5)
    expect(middle.summary.maxRadius).toBeGreaterThan(3 * 2.5e-3)
    expect(middle.summary.childDrops.count).toBeLessThan(0.5 * low.summary.childDrops.count)
    expect(low.summary.outcome).toBe('sheds')
    expect(low.summary.childDrops.count).toBeGreaterThan(700)
  })
  /*
   * Not reproduced on the clean oil (24 mN/m): there 40 % lies just above the threshold (S = 1.3 mN/m), the drop spreads,
   * and its rim hardly beads, in the full calculation (ln of the growth 2 at R_max) as by the closed formula.
   */
  it('40 % by mass spreads on the clean oil and hardly sheds', () => {
    const { summary } = lifeOf({ alcohol: '2-propanol', oil: 'sunflower-oil', w: 0.4 })
    expect(summary.outcome).toBe('recedes')
    expect(summary.maxRadius).toBeGreaterThan(3 * 2.5e-3)
  })
  // That weak mixtures stay a lens is in [K]; 20 % lies well below its threshold.
  it('20 % by mass stays a lens [K]', () => {
    expect(outcomeOf({ alcohol: '2-propanol', oil: 'sunflower-oil', w: 0.2 })).toBe('lens')
  })
})

describe('ethanol on rapeseed oil [R]', () => {
  it.each([60, 80])('%d per cent spreads, by mass as by volume', (percent) => {
    for (const w of [percent / 100, massFractionOfPercent(mixtureOf('ethanol'), percent)]) {
      for (const oil of ['rapeseed-oil', 'rapeseed-oil-kitchen']) {
        expect(['sheds', 'recedes'], `${oil}, w = ${w}`).toContain(outcomeOf({ oil, w }))
      }
    }
  })
  it('40 % by mass stays a lens on the clean oil', () => {
    expect(outcomeOf({ oil: 'rapeseed-oil', w: 0.4 })).toBe('lens')
  })

  /*
   * Not reproduced with the library's values: 40 % by mass misses spreading on the kitchen-grade oil by 0.24 mN/m at
   * 22 °C; the threshold comes out at 40.7 % by mass (48.4 % by volume). The tensions are known to about 1 mN/m
   * (oil/air) and 14.5 to 22.9 mN/m (oil/water), so the report's 40 % by mass lies within the reach of the threshold; by
   * volume (33.3 % by mass) it does not spread with any tension in those ranges.
   */
  describe('40 % on the kitchen-grade oil, which the report sees spread', () => {
    const oil = 'rapeseed-oil-kitchen'
    it('by mass it misses the threshold by less than a hundredth, which lies within the reach of the threshold', () => {
      const { summary, facts } = lifeOf({ oil, w: 0.4 })
      expect(summary.outcome).toBe('lens')
      expectClose(facts.S0, -0.24e-3, { atol: 0.02e-3 })
      expectClose(facts.criticalMassFraction, 0.407, { atol: 0.002 })
      expect(thresholdReach(presetOf({ oil, w: 0.4 })).low).toBeLessThan(0.4)
    })
    it('an oil/air tension of 34.5 instead of 34 mN/m is enough', () => {
      expect(['sheds', 'recedes']).toContain(
        outcomeOf({ oil, w: 0.4, more: { 'bath.tension_mNperM': 34.5 } }),
      )
    })
    it('by volume nothing within the known tensions makes it spread', () => {
      const w = massFractionOfPercent(mixtureOf('ethanol'), 40)
      const kindest = { 'bath.tension_mNperM': 35, 'interface.water_mNperM': 14.5 }
      expect(lifeOf({ oil, w, more: kindest }).facts.S0).toBeLessThan(0)
    })
  })
})

describe('castor oil', () => {
  it('40 % ethanol does not break up on it [R]', () => {
    expect(outcomeOf({ oil: 'castor-oil', w: 0.4 })).toBe('lens')
  })
  // Textbook viscous drag: castor oil has some fifteen times the viscosity.
  it.each([
    ['2-propanol', 0.4],
    ['2-propanol', 0.5],
    ['2-propanol', 0.6],
    ['ethanol', 0.6],
  ])('%s of w = %d grows more slowly and less far than on sunflower oil', (alcohol, w) => {
    const castor = lifeOf({ alcohol, oil: 'castor-oil', w }).summary
    const sunflower = lifeOf({ alcohol, oil: 'sunflower-oil', w }).summary
    expect(castor.maxRadius).toBeLessThan(0.9 * sunflower.maxRadius)
    expect(castor.maxRadiusTime).toBeGreaterThan(2 * sunflower.maxRadiusTime)
  })
})

describe('depth of the oil [K]', () => {
  it.each(['2-propanol', 'ethanol'])('2 mm hold a drop of %s back compared with 10 mm', (alcohol) => {
    const at = (depth: number) =>
      lifeOf({ alcohol, oil: 'sunflower-oil', w: 0.6, more: { 'bath.depth_mm': depth } }).summary
    const [shallow, deep] = [at(2), at(10)]
    expect(shallow.maxRadius).toBeLessThan(0.8 * deep.maxRadius)
    expect(shallow.maxRadiusTime).toBeGreaterThan(1.5 * deep.maxRadiusTime)
  })
})

// From the strength on at which more than the first thin ring breaks: just above it the few drops are small again.
describe('strength [K]', () => {
  it.each([
    ['2-propanol', [0.55, 0.65, 0.75]],
    ['ethanol', [0.65, 0.72, 0.8]],
    ['methanol', [0.7, 0.8, 0.9]],
    ['1-propanol', [0.5, 0.6, 0.7]],
  ] as const)('stronger mixtures of %s shed smaller drops', (alcohol, strengths) => {
    const more = { 'bath.dishRadius_mm': 100 }
    const radii = strengths.map((w) => {
      const { outcome, childDrops } = lifeOf({ alcohol, oil: 'sunflower-oil', w, more }).summary
      expect(outcome, `w = ${w}`).toBe('sheds')
      return childDrops.medianRadius
    })
    radii.slice(1).forEach((radius, k) => {
      expect(radius, `w = ${strengths[k + 1]}`).toBeLessThan(0.95 * radii[k]!)
    })
  })
})
