/** Which of two drops a number belongs to: lives of two presets → the sentence that compares them. The first told is the changed one. */
import { describe, expect, it } from 'vitest'
import { KEYS } from '../../src/life/keys.ts'
import { defaultPreset, type Leaf, setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import { radiusAt } from '../../src/life/sample.ts'
import type { Life, Summary } from '../../src/life/types.ts'
import { receiveCompanion, receiveLife } from '../../src/page/actions.ts'
import { differenceWords, withKnownErrors } from '../../src/page/explain/without/difference.ts'
import { createMirror } from '../../src/page/explain/without/mirror.ts'
import { pairPanel } from '../../src/page/explain/without/plot.ts'
import { chosenWords, companionOf, SWITCHES } from '../../src/page/explain/without/switches.ts'
import { playedTo } from '../../src/page/spans.ts'
import { createPageStore, noNeighbours } from '../../src/page/store.ts'
import { expectClose } from '../matchers.ts'

const presetWith = (...changes: [string, Leaf][]) => {
  const made = setKeys(defaultPreset(), [
    ['model.accuracy', 'quick'],
    ['drop.alcoholMassFraction', 0.6],
    ...changes,
  ])
  if (!made.ok) throw new Error(made.problems.map(({ message }) => message).join(' '))
  return made.preset
}
/** A life with stated errors, m and s. */
function lifeOf(changes: [string, Leaf][], radiusError = 1e-4, timeError = 0.05): Life {
  const result = runLifeSync(presetWith(...changes))
  if (!result.ok) throw new Error(JSON.stringify(result.problems))
  return so(result.life, { maxRadiusError: radiusError, collapseTimeError: timeError })
}
const so = (life: Life, change: Partial<Summary>): Life => ({
  ...life,
  summary: { ...life.summary, ...change },
})
const said = (other: Life, own: Life): string => differenceWords('with a change', other, own)
const found = (text: string, pattern: RegExp): number[] => {
  const match = pattern.exec(text)
  expect(match, text).not.toBeNull()
  return match!.slice(1).map(Number)
}

const own = lifeOf([])
const later = lifeOf([['bath.viscosity_mPas', 200]])

describe('the sentence that compares two drops', () => {
  it('tells the changed drop first: how far, and when it has drawn back', () => {
    for (const [a, b] of [
      [later, own],
      [own, later],
    ] as const) {
      const text = said(a, b)
      const [R, R0] = found(text, /spreads to ([\d.]+) mm instead of ([\d.]+) mm/)
      expectClose(R!, 1e3 * a.summary.maxRadius, { rtol: 0.006 })
      expectClose(R0!, 1e3 * b.summary.maxRadius, { rtol: 0.006 })
      const [t, t0] = found(text, /has drawn back by ([\d.]+) s instead of ([\d.]+) s/)
      expectClose(t!, a.summary.collapseTime, { rtol: 0.006, atol: 0.51 })
      expectClose(t0!, b.summary.collapseTime, { rtol: 0.006, atol: 0.51 })
    }
  })
  it('tells lenses, walls and growing drops in the same order', () => {
    const lens = (R: number) =>
      so(lifeOf([['drop.alcoholMassFraction', 0.2]]), { maxRadius: R, maxRadiusError: 1e-5 })
    expect(said(lens(0.004), lens(0.003))).toMatch(/a lens as well, of 4\.00 mm radius instead of 3\.00 mm/)
    const wall = (dish: number) => lifeOf([['bath.dishRadius_mm', dish]])
    const [near, far] = [wall(12), wall(16)]
    const [t, t0] = found(said(far, near), /wall of the dish after ([\d.]+) s instead of ([\d.]+) s/)
    expect(t!).toBeGreaterThan(t0!)
    expectClose(t!, far.summary.lifeEnd, { rtol: 0.06 })
    const closed: [string, Leaf][] = [
      ['mechanisms.evaporation', false],
      ['mechanisms.uptake', false],
      ['bath.dishRadius_mm', 200],
    ]
    const short = lifeOf([...closed, ['model.horizon_s', 2]])
    const slow = lifeOf([...closed, ['model.horizon_s', 4], ['bath.viscosity_mPas', 500]])
    expect([short, slow].map(({ summary }) => summary.outcome)).toEqual(['spreads', 'spreads'])
    for (const [a, b] of [
      [short, slow],
      [slow, short],
    ] as const) {
      const text = said(a, b)
      // At the last moment that both reach.
      const [R, R0, at] = found(text, /has spread to ([\d.]+) mm instead of ([\d.]+) mm by ([\d.]+) s/)
      expect(at).toBe(2)
      expectClose(R!, 1e3 * radiusAt(a.series, 2), { rtol: 0.006 })
      expectClose(R0!, 1e3 * radiusAt(b.series, 2), { rtol: 0.006 })
    }
  })
  it('tells what becomes of each where they end differently', () => {
    const dries = lifeOf([
      ['mechanisms.tensionAbove', false],
      ['mechanisms.tensionBelow', false],
    ])
    expect(dries.summary.outcome).toBe('dries')
    expect(said(dries, own)).toMatch(/and dries where it lies by .* instead of drawing back by /)
    expect(said(own, dries)).toMatch(/and has drawn back by .* instead of drying where it lies by /)
  })
  it('takes the end of a life that has drawn back from the collapse, not from where its calculation ended', () => {
    const { collapseTime } = own.summary
    const text = said(so(own, { lifeEnd: 3 * collapseTime }), so(own, { lifeEnd: 2 * collapseTime }))
    expect(text).toMatch(/^With a change nothing changes that the calculation could tell/)
    expectClose(found(text, /drawn back by ([\d.]+) s/)[0]!, collapseTime, { rtol: 0.006, atol: 0.51 })
  })
  it('states the errors of both together, each in its unit', () => {
    const one = so(own, { maxRadiusError: 3e-4, collapseTimeError: 0.06 })
    const two = so(own, { maxRadiusError: 4e-4, collapseTimeError: 0.08 })
    expect(said(one, two)).toMatch(/\(errors ± 0\.5 mm and ± 0\.1 s\)\.$/)
    // A difference that lies just beyond both errors together is told; one just within is not.
    const wider = (by: number) => so(one, { maxRadius: two.summary.maxRadius + by })
    expect(said(wider(5.1e-4), two)).toMatch(/spreads to [\d.]+ mm instead of/)
    expect(said(wider(4.9e-4), two)).not.toMatch(/spreads to [\d.]+ mm instead of/)
    const longer = (by: number) => so(one, { collapseTime: two.summary.collapseTime + by })
    expect(said(longer(0.11), two)).toMatch(/by [\d.]+ s instead of [\d.]+ s/)
    expect(said(longer(0.09), two)).not.toMatch(/by [\d.]+ s instead of/)
  })
  it('says which error has become known: that of the radius and that of the time', () => {
    const bare = so(own, { maxRadiusError: Number.NaN, collapseTimeError: Number.NaN })
    const { summary } = withKnownErrors(bare, { ...noNeighbours, radiusError: 2e-4, collapseError: 0.3 })
    expect([summary.maxRadiusError, summary.collapseTimeError]).toEqual([2e-4, 0.3])
    expect(
      said(withKnownErrors(bare, { ...noNeighbours, radiusError: 2e-4, collapseError: 0.3 }), own),
    ).toMatch(/± 0\.2 mm and ± 0\.3 s/)
  })
  it('tells a difference of a twentieth before the errors are known, and none of a hundredth', () => {
    const bare = so(own, { maxRadiusError: Number.NaN, collapseTimeError: Number.NaN })
    const wider = (factor: number) => so(bare, { maxRadius: factor * own.summary.maxRadius })
    expect(said(wider(1.05), bare)).toMatch(/spreads to [\d.]+ mm instead of/)
    expect(said(wider(1.01), bare)).toMatch(/still being worked out/)
  })
})

describe('what a switch is called', () => {
  it('is what it does: above, below, with, without, how thick, how deep', () => {
    const drop = presetWith()
    for (const { id } of SWITCHES) {
      const key = KEYS.find(({ path }) => path === `mechanisms.${id}`)
      if (!key) continue
      // The last word of the key's own name that says which one it is: "above", "below", "evaporation", "levelling".
      const name = key.label.toLowerCase().split(/[\s’]+/)
      const words = chosenWords(drop, [id]).toLowerCase()
      expect(
        name.some(
          (word) => word.length > 3 && word !== 'tension' && word !== 'gradient' && words.includes(word),
        ),
        words,
      ).toBe(true)
    }
    for (const breakUp of [true, false]) {
      const one = presetWith(['ring.breakUp', breakUp])
      const with_ = companionOf(one, ['breakUp'])!.ring.breakUp
      expect(chosenWords(one, ['breakUp'])).toBe(`${with_ ? 'with' : 'without'} break-up of the rim`)
    }
    const told = (id: string) => Number(/[\d.]+/.exec(chosenWords(drop, [id]))![0])
    expect(companionOf(drop, ['shallow'])!.bath.depth_mm).toBe(told('shallow'))
    expect(companionOf(drop, ['honey'])!.bath.viscosity_mPas).toBe(1e3 * told('honey'))
  })
})

describe('both drops side by side', () => {
  it('have one clock that runs to the end of the longer, and lose the companion’s part of it with the companion', () => {
    const store = createPageStore(own.preset)
    receiveLife(store, own)
    const alone = store.getState().timeSpan
    expect(later.series.t.at(-1)!).toBeGreaterThan(alone)
    receiveCompanion(store, later)
    expect(playedTo(store.getState())).toBe(later.series.t.at(-1))
    expect(store.getState().timeSpan).toBeGreaterThanOrEqual(later.series.t.at(-1)!)
    receiveCompanion(store, null)
    expect([playedTo(store.getState()), store.getState().timeSpan]).toEqual([own.series.t.at(-1), alone])
  })
  it('are drawn each as its own curve', () => {
    const { lines } = pairPanel({ own, other: later, words: 'with a change', old: false }, 20, false, '#000')
    const highest = (label: string) => Math.max(...Array.from(lines.find((line) => line.label === label)!.y))
    expectClose(highest('as it is'), 1e3 * own.summary.maxRadius, { rtol: 1e-3 })
    expectClose(highest('changed'), 1e3 * later.summary.maxRadius, { rtol: 1e-3 })
  })
  it('share colouring, heights and marked radius, whichever stage they are changed on, and look alike', () => {
    const store = createPageStore(own.preset)
    const mirror = createMirror(store)
    mirror.show(later.preset, later, false)
    for (const change of [
      { colourBy: 'tension' },
      { heightFactor: 7 },
      { logHeight: true },
      { cursorRadius: 0.002 },
    ] as const) {
      mirror.store.setState(change)
      expect(store.getState()).toMatchObject(change)
    }
    const camera = { turn: 0.4, tilt: 0.6, zoom: 2, panX: 0.001, panY: 0 }
    store.setState({ camera })
    expect(mirror.store.getState().camera).toEqual(camera)
    expect([store.getState().life, store.getState().preset]).toEqual([null, own.preset])
    mirror.destroy()
  })
})
