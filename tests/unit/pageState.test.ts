/** State of the page without a document: history, axes, scales of the sliders. Common practice, no source. */
import { describe, expect, it } from 'vitest'
import { KEYS, type NumberKey } from '../../src/life/keys.ts'
import { defaultPreset } from '../../src/life/preset.ts'
import type { Life } from '../../src/life/types.ts'
import {
  addCurves,
  keyValue,
  receiveLife,
  redo,
  removeCurve,
  say,
  setPlaying,
  setPreset,
  setTime,
  undo,
  withKey,
} from '../../src/page/actions.ts'
import { changeKey } from '../../src/page/controls/change.ts'
import { scaleOf, withUnit } from '../../src/page/controls/scale.ts'
import { roundUp } from '../../src/page/spans.ts'
import { createPageStore } from '../../src/page/store.ts'

const life = (end: number, widest: number, status: Life['status'] = 'done'): Life =>
  ({
    preset: defaultPreset(),
    status,
    frames: {},
    series: { t: Float64Array.of(0, end / 2, end), R: Float64Array.of(0.0025, widest, 0.003) },
    summary: { outcome: 'recedes', maxRadiusTime: end / 2, maxRadius: widest },
  }) as unknown as Life

const curve = (id: string, end: number) => ({
  id,
  name: id,
  file: `${id}.csv`,
  meta: {},
  time: Float64Array.of(0, end),
  radius: Float64Array.of(0.002, 0.01),
})

describe('history', () => {
  it('goes back and forth over presets and measured curves together', () => {
    const store = createPageStore(defaultPreset())
    changeKey(store, 'bath.depth_mm', 20)
    addCurves(store, [curve('a', 5), curve('b', 8)])
    removeCurve(store, 'a')
    expect(store.getState().measured.map(({ id }) => id)).toEqual(['b'])
    undo(store)
    expect(store.getState().measured.map(({ id }) => id)).toEqual(['a', 'b'])
    undo(store)
    undo(store)
    expect([store.getState().measured.length, store.getState().preset.bath.depth_mm]).toEqual([0, 10])
    redo(store)
    expect(store.getState().preset.bath.depth_mm).toBe(20)
    undo(store)
    undo(store)
    expect(store.getState().preset).toEqual(defaultPreset())
  })
  it('joins the steps of one drag, and forgets what was ahead after a new change', () => {
    const store = createPageStore(defaultPreset())
    for (let depth = 11; depth <= 30; depth++) changeKey(store, 'bath.depth_mm', depth)
    changeKey(store, 'air.temperature_C', 25)
    expect(store.getState().past.length).toBe(2)
    undo(store)
    expect([store.getState().preset.bath.depth_mm, store.getState().preset.air.temperature_C]).toEqual([
      30, 22,
    ])
    changeKey(store, 'air.temperature_C', 18)
    expect(store.getState().future.length).toBe(0)
  })
})

describe('changing keys', () => {
  it('refuses what is out of range and keeps the preset', () => {
    const store = createPageStore(defaultPreset())
    expect(changeKey(store, 'drop.volume_uL', 4000)).toMatch(/0\.5 to 100/)
    expect(store.getState().preset).toEqual(defaultPreset())
  })
  it('brings the closed-form liquids along as a pair, and takes them back as one step', () => {
    const store = createPageStore(defaultPreset())
    expect(changeKey(store, 'drop.alcohol', 'reference')).toBe('')
    const { preset, messages } = store.getState()
    expect([preset.drop.alcohol, preset.bath.liquid, preset.air.mode]).toEqual([
      'reference',
      'reference',
      'constant',
    ])
    expect(messages.length).toBe(1)
    undo(store)
    expect(store.getState().preset).toEqual(defaultPreset())
  })
  it('takes an optional key out again', () => {
    const own = withKey(defaultPreset(), 'bath.viscosity_mPas', 80)
    expect(keyValue(own, 'bath.viscosity_mPas')).toBe(80)
    expect(withKey(own, 'bath.viscosity_mPas', undefined)).toEqual(defaultPreset())
  })
})

describe('the clock', () => {
  it('rests at the largest radius of each new life until somebody moves it', () => {
    const store = createPageStore(defaultPreset())
    receiveLife(store, life(8, 0.02))
    expect(store.getState().time).toBe(4)
    receiveLife(store, life(6, 0.02))
    expect(store.getState().time).toBe(3)
    setTime(store, 1.5)
    receiveLife(store, life(8, 0.02))
    expect(store.getState().time).toBe(1.5)
  })
  it('begins anew when it is started at the end', () => {
    const store = createPageStore(defaultPreset())
    receiveLife(store, life(8, 0.02))
    setTime(store, 8)
    setPlaying(store, true)
    expect(store.getState().time).toBe(0)
  })
})

describe('lives and axes', () => {
  it('takes the errors of a life that it has already, without changing what is drawn', () => {
    const store = createPageStore(defaultPreset())
    const first = life(8, 0.02)
    receiveLife(store, first)
    receiveLife(store, { ...first, summary: { ...first.summary, maxRadiusError: 3e-4 } })
    expect(store.getState().life).toBe(first)
    expect(store.getState().neighbours.radiusError).toBe(3e-4)
    setPreset(store, withKey(defaultPreset(), 'bath.depth_mm', 12))
    expect(store.getState().neighbours.radiusError).toBeNaN()
  })
  it('marks a life of an older preset and keeps it while the new one grows', () => {
    const store = createPageStore(defaultPreset())
    const first = life(8, 0.02)
    receiveLife(store, first)
    expect(store.getState().stale).toBe(false)
    setPreset(store, withKey(defaultPreset(), 'bath.depth_mm', 12))
    expect(store.getState().stale).toBe(true)
    receiveLife(store, life(2, 0.01, 'growing'))
    expect(store.getState().outgoing).toBe(first)
    receiveLife(store, life(9, 0.021))
    expect([store.getState().outgoing, store.getState().stale]).toEqual([null, false])
  })
  it('holds the widest drop, never leaves the dish, and does not jump at small changes', () => {
    const store = createPageStore(defaultPreset())
    receiveLife(store, life(8, 0.031))
    const { radialSpan } = store.getState()
    expect(radialSpan).toBeGreaterThan(0.031)
    receiveLife(store, life(8, 0.029))
    expect(store.getState().radialSpan).toBe(radialSpan)
    receiveLife(store, life(8, 0.0699))
    expect(store.getState().radialSpan).toBe(0.07)
  })
  it('reaches to the end of the longest curve that is shown', () => {
    const store = createPageStore(defaultPreset())
    receiveLife(store, life(8, 0.02))
    addCurves(store, [curve('long', 19)])
    expect(store.getState().timeSpan).toBe(20)
  })
  it('rounds up to round numbers', () => {
    expect([roundUp(7.3), roundUp(0.031, 6), roundUp(10)]).toEqual([8, expect.closeTo(0.04, 12), 10])
  })
})

describe('messages', () => {
  it('says the same thing once and keeps the newest', () => {
    const store = createPageStore(defaultPreset())
    for (let i = 0; i < 3; i++) say(store, 'error', 'same')
    expect(store.getState().messages).toMatchObject([{ text: 'same', times: 3 }])
    for (let i = 0; i < 9; i++) say(store, 'note', `note ${i}`)
    expect(store.getState().messages.length).toBe(10)
    for (let i = 9; i < 40; i++) say(store, 'note', `note ${i}`)
    const { messages } = store.getState()
    expect(messages.length).toBe(30)
    expect(messages.at(-1)?.text).toBe('note 39')
    expect(messages.at(-1)?.times).toBeUndefined()
  })
})

describe('slider positions', () => {
  const numbers = KEYS.filter((key): key is NumberKey => key.kind === 'number')
  it.each(numbers.map((key) => [key.path, key] as const))(
    '%s: all positions lie in the range, in order',
    (_, key) => {
      for (const logarithmic of [key.logarithmic ?? false, key.min > 0]) {
        const scale = scaleOf(key, logarithmic)
        const values = Array.from({ length: scale.count + 1 }, (_, position) => scale.valueAt(position))
        expect(values[0]).toBe(key.min)
        expect(values.at(-1)).toBe(key.max)
        expect(values.every((value, i) => i === 0 || value >= values[i - 1]!)).toBe(true)
        if (key.fallback !== null) {
          const nearest = scale.valueAt(scale.positionOf(key.fallback))
          expect(Math.abs(nearest - key.fallback)).toBeLessThanOrEqual(
            0.05 * Math.max(key.fallback, (key.max - key.min) / 50),
          )
        }
      }
    },
  )
  it('shows fractions in per cent', () => {
    const strength = numbers.find(({ path }) => path === 'drop.alcoholMassFraction')!
    expect(withUnit(0.485, scaleOf(strength))).toBe('48.5 %')
  })
})
