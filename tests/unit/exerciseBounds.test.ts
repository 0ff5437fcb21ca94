/**
 * The borders of the exercises: what each task says counts as right, and just beyond it does not. Lives of real presets with one
 * number of their summaries moved, so that the border itself is met; the permitted parts are those of the tasks' own words.
 */
import { describe, expect, it } from 'vitest'
import { defaultPreset, type Leaf, setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life, Preset, Summary } from '../../src/life/types.ts'
import { receiveLife } from '../../src/page/actions.ts'
import { EXERCISES } from '../../src/page/explain/exercises/list.ts'
import type { Answered, Exercise, Lives, Verdict } from '../../src/page/explain/exercises/types.ts'
import { worksheetOf } from '../../src/page/explain/worksheet/worksheetData.ts'
import { seenToLink, wantedOf } from '../../src/page/places/address.ts'
import { createPageStore } from '../../src/page/store.ts'
import { expectClose } from '../matchers.ts'

function presetWith(...changes: [string, Leaf][]): Preset {
  const made = setKeys(defaultPreset(), [['model.accuracy', 'quick'], ...changes])
  if (!made.ok) throw new Error(JSON.stringify(made.problems))
  return made.preset
}
function lifeOf(preset: Preset): Life {
  const result = runLifeSync(preset)
  if (!result.ok) throw new Error('no life')
  return result.life
}
const own = presetWith(['drop.alcoholMassFraction', 0.65])
const life = lifeOf(own)
const so = (change: Partial<Summary>): Life => ({ ...life, summary: { ...life.summary, ...change } })
const exercise = (id: string): Exercise => EXERCISES.find((one) => one.id === id)!

function said(id: string, lives: Lives, answer: Partial<Answered> = {}): Verdict {
  const start = exercise(id).start(own)
  return exercise(id).judge({ start, drop: start, seed: 0, number: Number.NaN, choice: '', ...answer }, lives)
}

describe('the borders of the exercises', () => {
  const R = life.summary.maxRadius
  it('a radius: four fifths to two per cent', () => {
    const at = (part: number) => said('hit-radius', { start: life, drop: so({ maxRadius: 0.8 * part * R }) })
    for (const part of [0.981, 1, 1.019]) expect(at(part).done).toBe(true)
    expect([at(0.979).done, at(1.021).done]).toEqual([false, false])
    expect(at(0.979).say).toMatch(/2\.1 % too little/)
    expect(at(1.021).say).toMatch(/2\.1 % too far/)
  })
  it('twice the volume: three per cent', () => {
    const lives = { start: life, twice: so({ maxRadius: 1.2 * R }) }
    const at = (part: number) => said('twice-the-volume', lives, { number: 1.2e3 * part * R })
    for (const part of [0.971, 1.029]) expect(at(part).done).toBe(true)
    for (const part of [0.969, 1.031]) expect(at(part).done).toBe(false)
  })
  it('twice the life: twice, from touch-down to the collapse, and what is missing is missing', () => {
    const ends = (collapseTime: number, lifeEnd = collapseTime) => so({ collapseTime, lifeEnd })
    const at = (now: Life) => said('twice-as-long', { start: ends(4), drop: now })
    expect(at(ends(8.01)).done).toBe(true)
    expect([at(ends(7.9)).done, at(ends(7.9)).say]).toEqual([
      false,
      expect.stringMatching(/7\.9 s instead of 4\.0 s, 1\.9\d times as long: 0\.10 s are missing/),
    ])
    expect(at(ends(6, 9)).say).toMatch(/6\.0 s instead of 4\.0 s/)
  })
  it('no rim: at least twice the start radius', () => {
    const even = lifeOf(presetWith(['mechanisms.evaporation', false], ['mechanisms.uptake', false]))
    const start = 1e-3 * own.drop.startRadius_mm
    const at = (times: number) =>
      said('no-rim', { drop: { ...even, summary: { ...even.summary, maxRadius: times * start } } })
    expect(at(2.01).done).toBe(true)
    expect([at(1.9).done, at(1.9).say]).toEqual([
      false,
      expect.stringMatching(/only 1\.9 times its start radius/),
    ])
  })
  it('another oil: four fifths at most, and it is so many times as thick', () => {
    const thick = (part: number): Life => {
      const now = so({ maxRadius: part * R })
      return { ...now, facts: { ...now.facts, oilViscosity: 12 * life.facts.oilViscosity } }
    }
    const at = (part: number) => said('slow-oil', { start: life, drop: thick(part) })
    expect([at(0.799).done, at(0.801).done]).toEqual([true, false])
    expect(at(0.799).say).toMatch(/This oil is 12 times as thick/)
    expect(at(0.799).say).toMatch(/80 % as far/)
  })
  it('the drops beside it are as much weaker or larger as the tasks say', () => {
    const beside = (id: string, name: string) => {
      const start = exercise(id).start(own)
      return [start.drop, exercise(id).lives({ start, drop: start })[name]!.drop] as const
    }
    for (const [id, by] of [
      ['threshold', 0.01],
      ['least-shedding', 0.02],
    ] as const) {
      const [drop, weaker] = beside(id, 'weaker')
      expect(drop.alcoholMassFraction - weaker.alcoholMassFraction).toBeCloseTo(by, 9)
    }
    const [drop, larger] = beside('widest-drop', 'larger')
    expect(larger.volume_uL / drop.volume_uL).toBeCloseTo(1.1, 9)
    const [once, twice] = beside('twice-the-volume', 'twice')
    expect(twice.volume_uL).toBe(2 * once.volume_uL)
  })
  it('two curves: the radius on 2 mm is that on 2 mm', () => {
    const lives = { shallow: so({ maxRadius: 0.015 }), deep: so({ maxRadius: 0.018 }) }
    const { say } = said('two-depths', lives, { choice: 'B' })
    expect(say).toMatch(/On 2 mm of oil the largest radius is 15\.0 mm, on 4 mm 18\.0 mm/)
  })
})

describe('the worksheet of a weak drop in a narrow dish', () => {
  const weak = presetWith(['drop.alcoholMassFraction', 0.2], ['bath.dishRadius_mm', 43])
  const store = createPageStore(weak)
  receiveLife(store, lifeOf(weak))
  const sheet = worksheetOf(store.getState(), [], '2026-11-28')!
  it('has its dish and its strength with their units', () => {
    const told = Object.fromEntries(sheet.drop.map(({ label, value }) => [label, value]))
    expect(told).toMatchObject({ 'Dish radius': '43 mm', 'Strength (by mass)': '20 %' })
  })
  it('tells with which strength an exercise begins, not which the drop has', () => {
    const { begin } = sheet.exercises.find(({ title }) => title === 'Hit a radius')!
    const start = exercise('hit-radius').start(weak)
    const value = Number(/Strength \(by mass\): ([\d.]+) %/.exec(begin)![1])
    expectClose(value, 100 * start.drop.alcoholMassFraction, { atol: 0.05 })
    expect(value).toBeGreaterThan(40)
  })
})

describe('each part of what is seen', () => {
  it('comes back from the address by itself, and brings nothing else along', () => {
    const start = createPageStore(own).getState()
    for (const [seen, wanted] of [
      [{ step: 2 }, { step: 2 }],
      [{ restAtMaximum: false, time: 0.25 }, { time: 0.25 }],
      [
        { colourBy: 'dyed', dye: 12 },
        { colourBy: 'dyed', dye: 12 },
      ],
      [
        { colourBy: 'mono', wavelength: 450 },
        { colourBy: 'mono', wavelength: 450 },
      ],
      [{ without: ['uptake'] }, { without: ['uptake'] }],
      [{ physics: true }, { physics: true }],
      [{ room: true }, { room: true }],
    ] as const)
      expect(wantedOf(`#${seenToLink({ ...start, ...seen })}`)).toEqual(wanted)
    expect(seenToLink({ ...start, step: 2 })).toBe('view.step=3')
  })
})
