/** A switched-off mechanism in files, links and everything that tells of a drop; what-ifs from the drop as set. */
import { describe, expect, it } from 'vitest'
import { jsonObject, tableText } from '../../src/cli/output.ts'
import { keysText } from '../../src/cli/keysText.ts'
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
import { receiveLife, setPreset, tryVariant, undo, withKey } from '../../src/page/actions.ts'
import { pinOf } from '../../src/page/lives/pins.ts'
import { contentOf } from '../../src/page/report/compose.ts'
import { reportHtml } from '../../src/page/report/document.ts'
import { noRimWords, rimSteps } from '../../src/page/rim/model.ts'
import { baseOf, besideWords, QUESTIONS, variantOf } from '../../src/page/rim/whatIf.ts'
import { sentenceOf } from '../../src/page/sentence/sentence.ts'
import { createPageStore } from '../../src/page/store.ts'
import { labSheet, labSheetText } from '../../src/plan/labSheet.ts'

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
    const told = rimSteps(life).map(({ title, text: words }) => `${title} ${words}`)
    expect(told.join(' ')).toMatch(/Nothing evaporates here/)
    expect(told.at(-1)).toMatch(/still spread. What comes then is not known/)
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

describe('what-ifs', () => {
  const question = (start: string) => QUESTIONS.find(({ name }) => name.startsWith(start))!
  const base = presetWith(strong)
  const ask = (store: ReturnType<typeof createPageStore>, start: string) => {
    const from = baseOf(store.getState())
    tryVariant(store, variantOf(from, question(start))!, { name: question(start).name, base: from }, null)
  }

  it('one after the other begin from the drop as set; what the user changes meanwhile stays', () => {
    const store = createPageStore(base)
    ask(store, 'What if nothing evaporated')
    ask(store, 'Only 2 mm')
    const { preset } = store.getState()
    expect(preset.mechanisms.evaporation).toBe(true)
    expect(preset.bath.depth_mm).toBe(2)
    setPreset(store, withKey(preset, 'drop.volume_uL', 20), 'drop.volume_uL')
    ask(store, 'What if the oil dragged')
    const now = store.getState().preset
    expect([now.drop.volume_uL, now.bath.depth_mm]).toEqual([20, base.bath.depth_mm])
    expect(now.mechanisms.bathDrag).toBe(false)
    expect(store.getState().whatIf?.base).toEqual(withKey(base, 'drop.volume_uL', 20))
    undo(store)
    undo(store)
    expect(store.getState().whatIf?.base).toEqual(base)
    // Another drop is no what-if.
    setPreset(store, defaultPreset())
    expect(store.getState().whatIf).toBeNull()
  })

  it('switching back on by hand ends it', () => {
    const store = createPageStore(base)
    ask(store, 'What if nothing evaporated')
    const path = 'mechanisms.evaporation'
    setPreset(store, withKey(store.getState().preset, path, true), path)
    expect(store.getState().whatIf).toBeNull()
    expect(store.getState().preset).toEqual(base)
  })

  it('a question that changes nothing, or would not say what happens, is not asked', () => {
    const gone = (changes: [string, Leaf][], start: string) => variantOf(presetWith(changes), question(start))
    expect(gone([['bath.depth_mm', 1]], 'Only 2 mm')).toBeNull()
    expect(gone([['bath.viscosity_mPas', 5000]], 'Oil like honey')).toBeNull()
    expect(gone([still], 'What if nothing evaporated')).toBeNull()
    expect(
      gone(
        [
          ['air.mode', 'constant'],
          ['air.constantRate_umPerS', 0],
        ],
        'What if nothing evaporated',
      ),
    ).toBeNull()
    expect(gone(strong, 'Without break-up')).toBeNull()
    expect(gone(strong, 'With break-up')).not.toBeNull()
  })

  const corners: [string, [string, Leaf][]][] = [
    ['1 µL', [...strong, ['drop.volume_uL', 1], ['drop.startRadius_mm', 1]]],
    ['silicone oil', [...strong, ['bath.liquid', 'silicone-oil-50']]],
    ['too weak', [['drop.alcoholMassFraction', 0.2]]],
    ['the usual', strong],
  ]
  for (const [name, changes] of corners) {
    it(`tell of both drops what the lives are: ${name}`, { timeout: 120_000 }, () => {
      const drop = presetWith(changes)
      const store = createPageStore(drop)
      const own = lifeOf(drop)
      receiveLife(store, own)
      const pin = pinOf(store.getState())
      for (const one of QUESTIONS) {
        const variant = variantOf(drop, one)
        if (!variant) continue
        tryVariant(store, variant, { name: one.name, base: drop }, store.getState().whatIf ? null : pin)
        expect(besideWords(store.getState())).toMatch(/The change is being worked out\.$/)
        const life = lifeOf(variant)
        receiveLife(store, life)
        const words = besideWords(store.getState())
        expect(words.startsWith(`${one.name} As you set it, the drop `)).toBe(true)
        const said = words.slice(words.indexOf('With this change it'))
        const { outcome } = life.summary
        expect(outcome).not.toBe('failed')
        if (/draws back/.test(said)) expect(outcome).toBe('recedes')
        if (/still/.test(said)) expect(outcome).toBe('spreads')
        if (/point/.test(said)) expect([outcome, variant.mechanisms.levelling]).toEqual(['lens', false])
        if (/stays a lens/.test(said)) expect([outcome, life.facts.S0 < 0]).toEqual(['lens', true])
        // A drop that is drawn together to a point is not said to stay a lens anywhere.
        if (/point/.test(said))
          expect(`${sentenceOf(life).text} ${rimSteps(life)[0]?.text}`).not.toMatch(/stays a lens/)
      }
    })
  }

  it('of an oil that no strength wets no stronger mixture is promised a rim', () => {
    const life = lifeOf(presetWith([...strong, ['bath.liquid', 'silicone-oil-50']]))
    expect(noRimWords(life)).toMatch(/no strength of this alcohol spreads/)
    expect(noRimWords(lifeOf(presetWith([['drop.alcoholMassFraction', 0.2]])))).toMatch(
      /a stronger mixture would/,
    )
  })
})
