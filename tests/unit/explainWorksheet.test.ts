/** The worksheet: what stands on it comes from the present drop; cautions and notice are never left out. */
import { describe, expect, it } from 'vitest'
import { defaultPreset, type Leaf, setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import { receiveLife, setKey } from '../../src/page/actions.ts'
import { EXERCISES } from '../../src/page/explain/exercises/list.ts'
import { worksheetOf } from '../../src/page/explain/worksheet/worksheetData.ts'
import { createPageStore } from '../../src/page/store.ts'

const steps = [{ title: 'The edge', question: 'What pulls it outward?', answer: 'The oil.' }]

function storeWith(...changes: [string, Leaf][]) {
  const made = setKeys(defaultPreset(), [['model.accuracy', 'quick'], ...changes])
  if (!made.ok) throw new Error(made.problems.map(({ message }) => message).join(' '))
  const store = createPageStore(made.preset)
  const result = runLifeSync(made.preset)
  if (!result.ok) throw new Error('no life')
  receiveLife(store, result.life)
  return store
}
const sheetOf = (...changes: [string, Leaf][]) =>
  worksheetOf(storeWith(...changes).getState(), steps, '2026-11-28')!

describe('worksheet', () => {
  it('holds the drop, the questions, the exercises, cautions, sources and the date', () => {
    const sheet = sheetOf(['drop.alcoholMassFraction', 0.6])
    const told = Object.fromEntries(sheet.drop.map(({ label, value }) => [label, value]))
    expect(told).toMatchObject({ Volume: '10 µL', 'Strength (by mass)': '60 %', Bath: 'rapeseed oil' })
    expect([sheet.date, sheet.steps, sheet.notice]).toEqual(['2026-11-28', steps, ''])
    expect(sheet.exercises.length).toBe(EXERCISES.length)
    for (const { task, begin } of sheet.exercises) expect(`${task} ${begin}`).not.toMatch(/NaN|undefined/)
    const extra = (title: string) => sheet.exercises.find((one) => one.title === title)?.begin
    expect(extra('Two curves')).toBe('The page draws the two curves.')
    expect(extra('What holds it back most?')).toMatch(/^To choose from: evaporation, uptake by the oil, /)
    expect(sheet.cautions[0]?.text).toMatch(/Local rules and the person responsible/)
    expect(sheet.cautions.map(({ label }) => label)).toEqual(expect.arrayContaining(['Fire', 'Waste']))
    expect(sheet.sources.length).toBeGreaterThan(3)
    expect(sheet.sentence).toMatch(/^This drop spreads to a radius of /)
  })
  it('says where a drop differs from what an exercise begins with', () => {
    const sheet = sheetOf(['drop.alcoholMassFraction', 0.2])
    expect(sheet.exercises.find(({ title }) => title === 'Hit a radius')?.begin).toMatch(
      /^Begin with Strength \(by mass\): [\d.]+ %\.$/,
    )
  })
  it('of methanol says that it is toxic; of a switched-off mechanism that it is no forecast', () => {
    expect(sheetOf(['drop.alcohol', 'methanol']).cautions.some(({ label }) => label === 'TOXIC')).toBe(true)
    expect(sheetOf(['mechanisms.uptake', false]).notice).toMatch(/^Made with uptake by the oil switched off/)
  })
  it('leaves out what these liquids do not allow, with the reason', () => {
    const sheet = sheetOf(['bath.liquid', 'silicone-oil-50'])
    expect(sheet.exercises.map(({ title }) => title)).toEqual(['Choose the oil'])
    expect(sheet.leftOut.length).toBe(EXERCISES.length - 1)
    expect(sheet.leftOut[0]).toMatch(/: No mixture of ethanol and water spreads on silicone oil/)
  })
  it('is none while the present drop has no life', () => {
    const store = storeWith()
    setKey(store, 'drop.volume_uL', 20)
    expect(worksheetOf(store.getState(), steps, '')).toBeNull()
  })
})
