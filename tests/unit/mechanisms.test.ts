/** A switched-off mechanism in files, links and everything that tells of a drop. */
import { describe, expect, it } from 'vitest'
import { keysText } from '../../src/cli/keysText.ts'
import { jsonObject, tableText } from '../../src/cli/output.ts'
import {
  defaultPreset,
  type Leaf,
  parsePreset,
  presetFromLink,
  presetToLink,
  serialisePreset,
  setKeys,
} from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life, Preset } from '../../src/life/types.ts'
import { receiveLife } from '../../src/page/actions.ts'
import { noRimWords } from '../../src/page/explain/rim.ts'
import { storyOf } from '../../src/page/explain/story.ts'
import { contentOf } from '../../src/page/report/compose.ts'
import { reportHtml } from '../../src/page/report/document.ts'
import { sentenceOf } from '../../src/page/sentence/sentence.ts'
import { createPageStore } from '../../src/page/store.ts'
import { labSheet } from '../../src/plan/sheet/labSheet.ts'
import { labSheetText } from '../../src/plan/sheet/text.ts'

const presetWith = (changes: [string, Leaf][], base = defaultPreset()): Preset => {
  const made = setKeys(base, [['model.accuracy', 'quick'], ...changes])
  if (!made.ok) throw new Error(made.problems.map(({ message }) => message).join(' '))
  return made.preset
}
const strong: [string, Leaf][] = [['drop.alcoholMassFraction', 0.6]]
const still: [string, Leaf] = ['mechanisms.evaporation', false]
const notice = 'Made with evaporation switched off: not a forecast of a real drop.'

function lifeOf(preset: Preset): Life {
  const result = runLifeSync(preset)
  if (!result.ok) throw new Error('no life')
  return result.life
}

describe('files and links', () => {
  it('a file without the group has all on, and is written without it', () => {
    const { mechanisms: _, ...older } = presetWith(strong)
    const read = parsePreset(JSON.stringify(older))
    expect(read.ok && Object.values(read.preset.mechanisms).every(Boolean)).toBe(true)
    expect(serialisePreset(presetWith(strong))).not.toContain('mechanisms')
  })
  it('only what is off is written, and comes back from file and link', () => {
    const preset = presetWith([...strong, still, ['mechanisms.levelling', false]])
    const text = serialisePreset(preset)
    expect(JSON.parse(text).mechanisms).toEqual({ evaporation: false, levelling: false })
    const read = parsePreset(text)
    expect(read.ok && read.preset).toEqual(preset)
    const link = presetToLink(preset)
    expect(link).toContain('mechanisms.evaporation=false')
    const back = presetFromLink(link)
    expect(back.ok && back.preset).toEqual(preset)
  })
  it('a wrong value is told with what is permitted', () => {
    const read = parsePreset('{"format":"rimtide-preset","version":1,"mechanisms":{"levelling":0}}')
    expect(!read.ok && read.problems[0]?.message).toMatch(
      /mechanisms\.levelling is 0\. Permitted: true or false/,
    )
  })
  it('--keys lists each with its limit in words', () => {
    for (const name of ['evaporation', 'tensionAbove', 'tensionBelow', 'bathDrag', 'levelling']) {
      expect(keysText()).toMatch(
        new RegExp(`mechanisms\\.${name}\n {4}Off: .+\n {4}true or false; default true`),
      )
    }
  })
})

describe('what took the alcohol is told', () => {
  const causeOf = (...changes: [string, Leaf][]) => lifeOf(presetWith([...strong, ...changes])).summary.cause
  it('both, the oil alone, or evaporation alone', () => {
    expect(causeOf()).toMatch(/^evaporation and the oil took the alcohol at the edge/)
    expect(causeOf(still)).toMatch(/^the oil took the alcohol at the edge/)
    expect(causeOf(['mechanisms.uptake', false])).toMatch(/^evaporation took the alcohol at the edge/)
  })
})

describe('a drop of which nothing evaporates and the oil takes nothing', () => {
  const life = lifeOf(presetWith([...strong, still, ['bath.solubility', 0]]))
  it('is told to be still growing, never to draw back, on page and command line', () => {
    expect(life.summary.outcome).toBe('spreads')
    const { text } = sentenceOf(life)
    expect(text).toMatch(/^Made with .* This drop has spread to a radius of .* and is still growing\./)
    expect(text).not.toMatch(/draw|drawn/)
    expect(tableText(life, 1, 1)).toMatch(/outcome +spreads, and is still spread at the end \(still growing/)
    expect(tableText(life, 1, 1)).not.toMatch(/draws? back/)
    const { steps, missing } = storyOf(life)
    const told = steps.map(({ title, answer, text: words }) => `${title} ${answer} ${words}`)
    expect(missing.join(' ')).toMatch(/nothing evaporates here/)
    expect(told.at(-1)).toMatch(/still spread.* What comes then is not known/)
    expect(told.join(' ')).not.toMatch(/draws? back|drawn together/)
  })
  it('carries the notice in sentence, table, JSON, sheet and report', () => {
    expect(sentenceOf(life).text.startsWith(notice)).toBe(true)
    expect(tableText(life, 1, 1)).toContain(`\n${notice}\n`)
    expect(jsonObject(life, 1, 1).switchedOff).toEqual(['evaporation'])
    const stock = { by: 'volume', value: 96 } as const
    const made = labSheet({ life, stock, mixture_mL: 50, frames: 200, pixels: 1080 })
    if (!made.ok) throw new Error('no sheet')
    expect(made.sheet.notice).toBe(notice)
    expect(labSheetText(made.sheet)).toContain(`\n${notice.toUpperCase()}\n`)
    const store = createPageStore(life.preset)
    receiveLife(store, life)
    const words = { title: '', names: '', date: '', text: '' }
    const html = reportHtml(contentOf(store.getState(), words, [])!)
    expect(html).toContain(`<main><p class="unreal">${notice}</p>`)
  })
  it('and none of it where all is on', () => {
    const whole = lifeOf(presetWith(strong))
    expect(sentenceOf(whole).text).not.toContain('switched off')
    expect(tableText(whole, 1, 1)).not.toContain('switched off')
    expect(jsonObject(whole, 1, 1).switchedOff).toEqual([])
    const store = createPageStore(whole.preset)
    receiveLife(store, whole)
    const words = { title: '', names: '', date: '', text: '' }
    expect(reportHtml(contentOf(store.getState(), words, [])!)).not.toContain('<p class="unreal">')
  })
})

describe('why no rim forms', () => {
  it('of an oil that no strength wets no stronger mixture is promised a rim', () => {
    const life = lifeOf(presetWith([...strong, ['bath.liquid', 'silicone-oil-50']]))
    expect(noRimWords(life)).toMatch(/no strength of this alcohol spreads/)
    expect(noRimWords(lifeOf(presetWith([['drop.alcoholMassFraction', 0.2]])))).toMatch(
      /a stronger mixture would/,
    )
  })
})
