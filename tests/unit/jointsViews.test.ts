/**
 * From a computed life to what the page shows of it: on which side, how far, how much room. What must come out follows from
 * the lives themselves: a curve of a larger drop is wider, a band about a curve lies on both its sides.
 */
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest'
import { defaultPreset } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import { seriesAt } from '../../src/life/sample.ts'
import type { Life } from '../../src/life/types.ts'
import { besideOf } from '../../src/measured/fit/ownDrop.ts'
import type { MeasuredCurve } from '../../src/measured/types.ts'
import { learn, receiveLife } from '../../src/page/actions.ts'
import { drawCurves, scalesFor } from '../../src/page/clock/drawing.ts'
import { residualDetail } from '../../src/page/measured/residual.ts'
import { radiusPanel } from '../../src/page/plots/tracesModel.ts'
import { createPageStore, type Store } from '../../src/page/store.ts'
import { answerOf } from '../../src/plan/answer.ts'
import type { Envelope } from '../../src/plan/envelope.ts'
import { samplePoints } from '../../src/plan/samplePoints.ts'
import { samplesOf } from '../../src/plan/samples.ts'
import { envelopeOf } from '../../src/plan/sureness.ts'
import { movedAll, spreadsOf } from '../../src/plan/uncertain.ts'
import { type Change, lifeOf, presetWith } from '../fixtures/presetLives.ts'

const preset = presetWith(defaultPreset(), ['model.accuracy', 'quick'], ['drop.alcoholMassFraction', 0.6])
const life = lifeOf(preset)
const DRAWN_LIVES = 32
const { acting } = spreadsOf(preset)
/** The lives that the band is made of, by a way of their own. */
const others = samplePoints(acting.length, 0, DRAWN_LIVES).map((z) => {
  const made = runLifeSync(movedAll(preset, acting, z))
  if (!made.ok) throw new Error('no life')
  return made.life
})
const envelope = envelopeOf(await samplesOf(preset, runLifeSync, { count: DRAWN_LIVES })) as Envelope

function storeWith(shown: Life): Store {
  const store = createPageStore(shown.preset)
  receiveLife(store, shown)
  return store
}

/** Part of the largest radius that the drawing may add or take: the band has 96 moments. */
const DRAWN = 2e-3

/** At how many moments a band of radii (m) holds another part of the drawn lives than 68 %, and how wide it is at most, m. */
function judge(times: ArrayLike<number>, low: (i: number) => number, high: (i: number) => number) {
  const slack = DRAWN * life.summary.maxRadius
  let widest = 0
  let outside = 0
  for (let i = 0; i < times.length; i++) {
    const t = times[i]!
    const radii = others.map(({ series }) => seriesAt(series, t).R)
    const within = (more: number) =>
      radii.filter((R) => R > low(i) - more && R < high(i) + more).length / radii.length
    // 68 % of 32 lives are 21.8: 5 or 6 lie beside it on either side.
    if (within(slack) < 0.65 || within(-slack) > 0.72) outside++
    widest = Math.max(widest, high(i) - low(i))
  }
  return { outside, widest }
}

describe('the band of drawn lives', () => {
  it('holds 68 of 100 in the plot of the radius', () => {
    const choice = { timeSpan: 9, dark: false, lifeColour: '#14507a', pins: [], measured: [], envelope }
    const band = radiusPanel(life, choice).lines.find(({ key }) => key === 'reach')!
    const { outside, widest } = judge(
      band.x,
      (i) => 1e-3 * band.base![i]!,
      (i) => 1e-3 * band.y[i]!,
    )
    expect(outside).toBe(0)
    expect(widest).toBeGreaterThan(0.05 * life.summary.maxRadius)
  })

  describe('on the clock strip', () => {
    beforeAll(() => {
      const element = (_: string, tag: string) => {
        const attributes: Record<string, string> = { tag }
        return {
          attributes,
          append: () => {},
          setAttribute: (name: string, to: string) => (attributes[name] = to),
        }
      }
      vi.stubGlobal('document', { createElementNS: element })
    })
    afterAll(() => vi.unstubAllGlobals())

    it('holds as many', () => {
      const store = storeWith(life)
      learn(store, { envelope })
      const scales = scalesFor(store.getState(), 900, 300)
      const parts = drawCurves(store.getState(), scales) as unknown as {
        attributes: Record<string, string>
      }[]
      const path = parts.find(({ attributes }) => attributes.class === 'reach')!.attributes.d!
      const points = path
        .match(/[\d.-]+ [\d.-]+/g)!
        .map((pair) => pair.split(' ').map(Number) as [number, number])
      const half = points.length / 2
      const radius = ([, y]: [number, number]) =>
        (scales.radiusTop * (scales.height - scales.bottom - y)) /
        (scales.height - scales.bottom - scales.top)
      const times = points.slice(0, half).map(([x]) => scales.timeAt(x))
      const { outside, widest } = judge(
        times,
        (i) => radius(points[points.length - 1 - i]!),
        (i) => radius(points[i]!),
      )
      // Drawn to a tenth of a pixel: the steep ends need as much again.
      expect(outside).toBeLessThan(0.1 * half)
      expect(widest).toBeGreaterThan(0.05 * life.summary.maxRadius)
    })
  })
})

/** The radii of a life as if they had been measured. */
function measuredFrom({ series, summary }: Life): MeasuredCurve {
  const time = Float64Array.from({ length: 20 }, (_, i) => (summary.maxRadiusTime * (i + 1)) / 20)
  const radius = time.map((t) => seriesAt(series, t).R)
  return { id: 'a', name: 'a', file: 'a.csv', meta: {}, time, radius }
}

describe('a measured drop', () => {
  it.each([
    [7, 'narrower', 'wider'],
    [14, 'wider', 'narrower'],
  ] as const)('of %s µL beside one of 10 µL is %s', (volume, side, other) => {
    const curve = measuredFrom(lifeOf(preset, ['drop.volume_uL', volume]))
    const error = { radius: 1e-4, collapse: 0.05 }
    const said = answerOf({ life, sentence: '', curves: [curve], lives: new Map(), error, band: null })
    expect(said.sentences.join(' ')).toContain(side)
    expect(said.sentences.join(' ')).not.toContain(other)
    const detail = residualDetail(besideOf(curve, life, new Map()))
    expect(detail).toMatch(new RegExp(`on average .* ${side} than this life`))
  })
})

describe('the radial axis', () => {
  const spanOf = (shown: Life) => storeWith(shown).getState().radialSpan
  const volumes = [1, 1.5, 2, 3, 4, 5, 7, 10, 14, 20, 28, 40]
  const drops = volumes.map((volume) => lifeOf(preset, ['drop.volume_uL', volume]))
  const widest = ({ series }: Life) => Math.max(...series.R)
  // A margin of at least a tenth beside the drop: common practice, no source.
  it('leaves room beside the widest drop, and not much', () => {
    for (const drop of drops) {
      const room = spanOf(drop) / widest(drop)
      expect(room).toBeGreaterThan(1.1)
      expect(room).toBeLessThan(1.6)
    }
  })
  it('ends with the dish', () => {
    const small: Change = ['bath.dishRadius_mm', 15]
    expect(spanOf(lifeOf(preset, small))).toBe(0.015)
  })
})
