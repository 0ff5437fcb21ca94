/** With and without: the user's drop never changes by a companion, and the sentence says what both lives are. */
import { describe, expect, it } from 'vitest'
import { withErrorsSync } from '../../src/life/errors.ts'
import { offNotice } from '../../src/life/mechanisms.ts'
import { defaultPreset, type Leaf, presetToLink, setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life, Preset } from '../../src/life/types.ts'
import { receiveLife, setKey, setPreset, setWithout, takeCompanion, undo } from '../../src/page/actions.ts'
import { storyOf } from '../../src/page/explain/story.ts'
import { followCompanion } from '../../src/page/explain/without/companion.ts'
import { differenceWords, withKnownErrors } from '../../src/page/explain/without/difference.ts'
import { createMirror } from '../../src/page/explain/without/mirror.ts'
import { chosenWords, companionOf, SWITCHES } from '../../src/page/explain/without/switches.ts'
import { tellPair } from '../../src/page/explain/without/view.ts'
import type { LifeClientEvents } from '../../src/page/lives/workerClient.ts'
import { sentenceOf } from '../../src/page/sentence/sentence.ts'
import { createPageStore, noNeighbours } from '../../src/page/store.ts'

const presetWith = (changes: [string, Leaf][], base = defaultPreset()): Preset => {
  const made = setKeys(base, [['model.accuracy', 'quick'], ...changes])
  if (!made.ok) throw new Error(made.problems.map(({ message }) => message).join(' '))
  return made.preset
}
const strong: [string, Leaf][] = [['drop.alcoholMassFraction', 0.6]]
const base = presetWith(strong)

const lives = new Map<string, Life>()
function lifeOf(preset: Preset): Life {
  const of = presetToLink(preset)
  const known = lives.get(of)
  if (known) return known
  const result = runLifeSync(preset)
  if (!result.ok) throw new Error('no life')
  const life = withErrorsSync(result.life)
  lives.set(of, life)
  return life
}
const off = (preset: Preset): string[] =>
  Object.entries(preset.mechanisms).flatMap(([name, on]) => (on ? [] : [name]))

/** A client that answers at once, by the engine itself; `asked` keeps what it was asked for. */
function clientFor(asked: Preset[]) {
  return (events: LifeClientEvents) => ({
    request(preset: Preset) {
      asked.push(preset)
      events.life(lifeOf(preset), 0, true)
    },
    destroy() {},
  })
}

describe('companion drops', () => {
  it('begin from the drop as set, alone or together, and never change it', () => {
    const store = createPageStore(base)
    setWithout(store, ['evaporation'])
    setWithout(store, ['shallow'])
    const { preset, without, past } = store.getState()
    expect([preset, past.length]).toEqual([base, 0])
    const shallow = companionOf(preset, without)!
    expect([shallow.bath.depth_mm, off(shallow)]).toEqual([2, []])
    const both = companionOf(preset, ['evaporation', 'shallow'])!
    expect([both.bath.depth_mm, off(both)]).toEqual([2, ['evaporation']])
    expect(chosenWords(preset, ['shallow', 'uptake', 'evaporation'])).toBe(
      'without evaporation and uptake by the oil, with only 2 mm of oil',
    )
  })

  it('follow what the user changes meanwhile, and another drop', () => {
    const store = createPageStore(base)
    setWithout(store, ['bathDrag'])
    setKey(store, 'drop.volume_uL', 20)
    const one = companionOf(store.getState().preset, store.getState().without)!
    expect([one.drop.volume_uL, off(one)]).toEqual([20, ['bathDrag']])
    undo(store)
    expect(store.getState().preset).toEqual(base)
    setPreset(store, presetWith([['bath.liquid', 'castor-oil']]))
    const other = companionOf(store.getState().preset, store.getState().without)!
    expect([other.bath.liquid, off(other)]).toEqual(['castor-oil', ['bathDrag']])
  })

  it('one becomes the drop in one step of undo, and nothing is chosen any more', () => {
    const store = createPageStore(base)
    setWithout(store, ['evaporation', 'honey'])
    takeCompanion(store, companionOf(base, store.getState().without)!)
    const { preset, without, past } = store.getState()
    expect([off(preset), preset.bath.viscosity_mPas, without, past.length]).toEqual([
      ['evaporation'],
      5000,
      [],
      1,
    ])
    expect(offNotice(preset)).toBe('Made with evaporation switched off: not a forecast of a real drop.')
    // What is off already cannot be compared with, and what is left is compared with the new drop.
    expect(companionOf(preset, ['evaporation'])).toBeNull()
    undo(store)
    expect(store.getState().preset).toEqual(base)
  })

  it('a switch that would say nothing tells why and changes nothing', () => {
    const idle = (changes: [string, Leaf][], id: string) => {
      const preset = presetWith(changes)
      expect(companionOf(preset, [id])).toBeNull()
      return SWITCHES.find((one) => one.id === id)!.idle(preset)
    }
    expect(idle([['mechanisms.evaporation', false]], 'evaporation')).toBe('already off in your drop')
    expect(idle([['bath.depth_mm', 1]], 'shallow')).toMatch(/no deeper/)
    expect(idle([['bath.viscosity_mPas', 5000]], 'honey')).toMatch(/as thick/)
    expect(idle([['bath.solubility', 0]], 'uptake')).toMatch(/takes up nothing/)
    const closed: [string, Leaf][] = [
      ['drop.alcohol', 'reference'],
      ['bath.liquid', 'reference'],
      ['air.mode', 'constant'],
      ['air.constantRate_umPerS', 0],
    ]
    expect(idle(closed, 'evaporation')).toMatch(/nothing evaporates/)
    expect(idle(closed, 'cooling')).toMatch(/know no cooling/)
    expect(companionOf(base, ['nonsense'])).toBeNull()
    expect(companionOf(presetWith([['ring.breakUp', true]]), ['breakUp'])?.ring.breakUp).toBe(false)
    expect(companionOf(base, ['breakUp'])?.ring.breakUp).toBe(true)
  })
})

describe('the life of a companion', () => {
  it('is asked for only while it is looked at, once, and given back when it is not', () => {
    const store = createPageStore(base)
    receiveLife(store, lifeOf(base))
    const spans = () => [store.getState().radialSpan, store.getState().timeSpan]
    const alone = spans()
    const asked: Preset[] = []
    let shown = false
    const companion = followCompanion(
      store,
      () => shown,
      () => {},
      clientFor(asked),
    )
    setWithout(store, ['evaporation', 'uptake'])
    companion.follow()
    expect([asked.length, store.getState().companion]).toEqual([0, null])
    shown = true
    companion.follow()
    companion.follow()
    expect(asked).toEqual([companionOf(base, ['evaporation', 'uptake'])])
    const other = store.getState().companion!
    expect(presetToLink(other.preset)).toBe(presetToLink(asked[0]!))
    // One scale and one time for both: that of the wider and of the longer.
    expect(spans()[0]).toBeGreaterThanOrEqual(Math.max(...other.series.R))
    expect(spans()[1]).toBeGreaterThanOrEqual(other.series.t.at(-1)!)
    expect(spans()[0]).toBeGreaterThan(alone[0]!)
    shown = false
    companion.follow()
    expect(store.getState().companion).toBeNull()
    expect([spans()[0]! <= alone[0]!, spans()[1]]).toEqual([true, alone[1]])
    shown = true
    companion.follow()
    expect([asked.length, store.getState().companion]).toEqual([1, other])
    setWithout(store, [])
    companion.follow()
    expect([companion.wanted, store.getState().companion]).toEqual([null, null])
  })

  it('that does not come is told, and the next change asks again', () => {
    const store = createPageStore(base)
    let events: LifeClientEvents | null = null
    let asked = 0
    const companion = followCompanion(
      store,
      () => true,
      () => {},
      (mine) => {
        events = mine
        return { request: () => asked++, destroy() {} }
      },
    )
    setWithout(store, ['evaporation'])
    companion.follow()
    events!.died('no reason given', false)
    expect(tellPair(store.getState(), companion).text).toMatch(/does not run \(no reason given\)/)
    setWithout(store, ['uptake'])
    companion.follow()
    expect([asked, companion.trouble]).toEqual([2, ''])
  })

  it('is seen by its stage with the clock, spans and colours of the page, and hands the marked radius back', () => {
    const store = createPageStore(base)
    const mirror = createMirror(store)
    const other = lifeOf(companionOf(base, ['uptake'])!)
    mirror.show(other.preset, other, false)
    store.setState({ time: 1.5, dark: true, colourBy: 'alcohol' })
    const { life, preset, time, dark, colourBy } = mirror.store.getState()
    expect([life, preset, time, dark, colourBy]).toEqual([other, other.preset, 1.5, true, 'alcohol'])
    mirror.store.setState({ cursorRadius: 0.004 })
    expect([store.getState().cursorRadius, store.getState().preset]).toEqual([0.004, base])
    mirror.destroy()
  })
})

describe('the sentence of the difference', () => {
  const corners: [string, [string, Leaf][]][] = [
    ['the usual', strong],
    [
      'break-up',
      [
        ['drop.alcoholMassFraction', 0.65],
        ['ring.breakUp', true],
      ],
    ],
    ['1 µL', [...strong, ['drop.volume_uL', 1], ['drop.startRadius_mm', 1]]],
    ['silicone oil', [...strong, ['bath.liquid', 'silicone-oil-50']]],
    ['too weak', [['drop.alcoholMassFraction', 0.2]]],
    ['just above the threshold', [['drop.alcoholMassFraction', 0.49]]],
    ['narrow dish', [...strong, ['bath.dishRadius_mm', 12]]],
    ['a short computed time', [...strong, ['model.horizon_s', 0.5]]],
    ['its own evaporation is off', [...strong, ['mechanisms.evaporation', false]]],
    [
      'closed forms',
      [
        ['drop.alcohol', 'reference'],
        ['bath.liquid', 'reference'],
        ['air.mode', 'constant'],
      ],
    ],
  ]
  for (const [name, changes] of corners) {
    it(`says what the lives are: ${name}`, { timeout: 120_000 }, () => {
      const drop = presetWith(changes)
      const store = createPageStore(drop)
      const own = lifeOf(drop)
      receiveLife(store, own)
      const companion = followCompanion(
        store,
        () => true,
        () => {},
        clientFor([]),
      )
      const choices = [
        ...SWITCHES.map(({ id }) => [id]),
        ['evaporation', 'uptake'],
        ['tensionAbove', 'tensionBelow'],
      ]
      for (const without of choices) {
        setWithout(store, without)
        companion.follow()
        if (!companion.wanted) continue
        const life = store.getState().companion!
        const { text, notice, late } = tellPair(store.getState(), companion)
        expect([late, notice]).toEqual([false, offNotice(life.preset)])
        const words = chosenWords(drop, without)
        if (own.summary.outcome === 'failed' || life.summary.outcome === 'failed') {
          expect(text).toMatch(
            /^The drop .* could not be followed beyond .*, so no difference is told: .*\.$/,
          )
          continue
        }
        const start = `${words.charAt(0).toUpperCase()}${words.slice(1)} `
        expect(text.startsWith(start)).toBe(true)
        expect(text).not.toMatch(/NaN|undefined|–|being worked out|\.\./)
        const [first] = text.slice(start.length).split(/\. /)
        const [it, instead = ''] = first!.split(/,? instead of (?=[a-z])/)
        expectTrue(it!, life, drop)
        if (instead) expectTrue(instead, own, drop)
        expectDifference(first!, life, own)
        // A drop that is drawn together to a point is not said to stay a lens anywhere.
        if (/point/.test(it!))
          expect(`${sentenceOf(life).text} ${storyOf(life).steps[0]?.text}`).not.toMatch(/stays a lens/)
      }
    })
  }

  function expectTrue(said: string, life: Life, drop: Preset): void {
    const { outcome } = life.summary
    if (/dr(ew|aw|awn|awing) back/.test(said)) expect(['recedes', 'sheds']).toContain(outcome)
    if (/child drops/.test(said)) expect(outcome).toBe('sheds')
    if (/growing|that wide/.test(said)) expect(outcome).toBe('spreads')
    if (/point/.test(said)) expect([outcome, life.preset.mechanisms.levelling]).toEqual(['lens', false])
    if (/lens of [\d.]+ mm/.test(said)) expect(outcome).toBe('lens')
    if (/wall/.test(said))
      expect([outcome, drop.bath.dishRadius_mm]).toEqual(['reaches-wall', drop.bath.dishRadius_mm])
    if (/dr(ies|ying) where/.test(said)) expect(outcome).toBe('dries')
  }

  /** The two largest radii are told apart exactly where the stated errors can tell them apart. */
  function expectDifference(said: string, life: Life, own: Life): void {
    const radii = /spreads to ([\d.]+) mm instead of ([\d.]+) mm/.exec(said)
    const [a, b] = [life.summary, own.summary]
    const error = Math.hypot(a.maxRadiusError, b.maxRadiusError)
    if (radii) {
      expect(Math.abs(a.maxRadius - b.maxRadius)).toBeGreaterThan(error)
      expect(Number(radii[1])).toBeCloseTo(1e3 * a.maxRadius, 1)
      expect(Number(radii[2])).toBeCloseTo(1e3 * b.maxRadius, 1)
    } else if (/^it spreads to [\d.]+ mm \(no difference|^nothing changes/.test(said))
      expect(Math.abs(a.maxRadius - b.maxRadius)).toBeLessThanOrEqual(error)
  }

  it('of the same life twice is that nothing changes', () => {
    const life = lifeOf(base)
    expect(differenceWords('without cooling by evaporation', life, life)).toMatch(
      /^Without cooling by evaporation nothing changes that the calculation could tell: it spreads to [\d.]+ mm and has drawn back by [\d.]+ s \(errors ± [\d.]+ mm and ± [\d.]+ s\)\.$/,
    )
    const lens = lifeOf(presetWith([['drop.alcoholMassFraction', 0.2]]))
    expect(differenceWords('without evaporation', lens, lens)).toMatch(
      /^Without evaporation it stays a lens as well, of [\d.]+ mm radius \(no difference beyond the calculation’s error of ± [\d.]+ mm\)\.$/,
    )
  })

  it('waits with "no difference" until the errors are known', () => {
    const bare = runLifeSync(base)
    if (!bare.ok) throw new Error('no life')
    const said = differenceWords('without cooling by evaporation', bare.life, bare.life)
    expect(said).toMatch(/still being worked out/)
    const { maxRadiusError, collapseTimeError } = lifeOf(base).summary
    const known = withKnownErrors(bare.life, {
      ...noNeighbours,
      radiusError: maxRadiusError,
      collapseError: collapseTimeError,
    })
    expect(differenceWords('without cooling by evaporation', known, known)).not.toMatch(/worked out/)
  })

  it('tells of a calculation that had to end, of one in doubt, and of one that failed', () => {
    const life = lifeOf(base)
    const so = (change: Partial<Life['summary']>): Life => ({
      ...life,
      summary: { ...life.summary, ...change },
    })
    expect(differenceWords('without uptake by the oil', so({ cut: true }), life)).toMatch(
      /\. The calculation of the drop without uptake by the oil had to end after [\d.]+ s\.$/,
    )
    expect(differenceWords('without uptake by the oil', life, so({ otherOutcome: 'lens' }))).toMatch(
      /\. What becomes of the drop as it is is in doubt: /,
    )
    const failed = so({ outcome: 'failed', cause: 'the calculation stuck.', lifeEnd: 0.8 })
    expect(differenceWords('without uptake by the oil', failed, life)).toBe(
      'The drop without uptake by the oil could not be followed beyond 0.80 s, so no difference is told: the calculation stuck.',
    )
    expect(differenceWords('without uptake by the oil', life, failed)).toMatch(/^The drop as it is could not/)
  })

  it('a drop that nothing holds back grows on, instead of drawing back', () => {
    const drop = presetWith([...strong, ['bath.dishRadius_mm', 200], ['model.horizon_s', 12]])
    const other = companionOf(drop, ['evaporation', 'uptake'])!
    expect(differenceWords('without evaporation and uptake by the oil', lifeOf(other), lifeOf(drop))).toMatch(
      /^Without evaporation and uptake by the oil it has spread to [\d.]+ mm by 12 s and is still growing, instead of spreading to [\d.]+ mm in [\d.]+ s and drawing back by [\d.]+ s\.$/,
    )
  })
})
