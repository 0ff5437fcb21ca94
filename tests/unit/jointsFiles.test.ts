/** Files and keys of the user's own liquids: what is lacking is told, and a file is known for what it is. */
import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { isLiquidText, withLiquid } from '../../src/life/liquidFile.ts'
import { defaultPreset, parseLiquid, setKeys } from '../../src/life/preset.ts'
import { presetFromLink, presetToLink } from '../../src/life/presetLink.ts'

const read = (file: string) => readFileSync(new URL(`../../presets/${file}`, import.meta.url), 'utf8')

describe('"own" without a liquid', () => {
  it.each([
    ['drop.alcohol', 'mixture', 'an alcohol'],
    ['bath.liquid', 'oil', 'an oil'],
  ])('%s: tells which file is to be loaded, or what to choose instead', (path, kind, instead) => {
    const made = setKeys(defaultPreset(), [[path, 'own']])
    expect(made.ok).toBe(false)
    if (made.ok) return
    expect(made.problems.map(({ where }) => where)).toEqual([path])
    const { message } = made.problems[0]!
    expect(message).toContain(`${path} is "own", but the preset holds no liquids.${kind}`)
    expect(message).toContain(`Load a liquid file of kind "${kind}"`)
    expect(message).toContain(`or choose ${instead} from the library`)
  })
})

describe('a file of a liquid', () => {
  it.each(['liquids/harbour-lane-oil.json', 'liquids/harbour-lane-spirit.json'])(
    '%s is known, however it is spaced',
    (file) => {
      const text = read(file)
      expect(isLiquidText(text)).toBe(true)
      expect(isLiquidText(JSON.stringify(JSON.parse(text)))).toBe(true)
      expect(isLiquidText(text.replace('"format":', '"format" \n :\t'))).toBe(true)
    },
  )
  it('a preset is none, nor is a text that only speaks of one', () => {
    expect(isLiquidText(read('reference.json'))).toBe(false)
    expect(isLiquidText('{"note": "format rimtide-liquid"}')).toBe(false)
    expect(isLiquidText('')).toBe(false)
  })
})

describe('a link with a liquid', () => {
  const file = parseLiquid(read('liquids/harbour-lane-oil.json'))
  if (!file.ok) throw new Error('no liquid')
  const made = withLiquid(defaultPreset(), file.kind, file.liquid)
  if (!made.ok) throw new Error('no preset')
  const link = presetToLink(made.preset)
  const problemsOf = (text: string) => {
    const result = presetFromLink(text)
    return result.ok ? [] : result.problems
  }
  it('brings it back', () => {
    const back = presetFromLink(`#${link}`)
    expect(back.ok && back.preset.liquids).toEqual({ oil: file.liquid })
  })
  it('that a mail program has cut off says so and where', () => {
    const problems = problemsOf(link.slice(0, -20))
    expect(problems).toEqual([
      { where: 'liquids.oil', message: 'liquids.oil in the link is cut off or damaged.' },
    ])
  })
  it('that has it twice says so', () => {
    const again = link.slice(link.indexOf('&liquids.oil='))
    expect(problemsOf(link + again).map(({ message }) => message)).toEqual([
      'liquids.oil is given twice in the link.',
    ])
  })
})
