import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { KEYS } from '../../src/life/keys.ts'
import {
  checkPreset,
  defaultPreset,
  getKey,
  type Leaf,
  type PresetResult,
  parsePreset,
  presetFromLink,
  presetToLink,
  serialisePreset,
  setKey,
  setKeys,
} from '../../src/life/preset.ts'
import type { Preset } from '../../src/life/types.ts'

const head = { format: 'rimtide-preset', version: 1 }

const presetOf = (result: PresetResult): Preset => {
  if (!result.ok) throw new Error(result.problems.map((p) => p.message).join('\n'))
  return result.preset
}
const messages = (result: PresetResult): string[] => {
  if (result.ok) throw new Error('accepted')
  return result.problems.map((p) => p.message)
}
const places = (result: PresetResult): string[] => (result.ok ? [] : result.problems.map((p) => p.where))
const text = (rest: object): string => JSON.stringify({ ...head, ...rest })

/** Any values over their ranges; real liquids or both reference. */
const anyPreset = fc
  .tuple(
    fc.boolean(),
    fc.string({ maxLength: 200 }),
    ...KEYS.map((key): fc.Arbitrary<Leaf | null> => {
      if (key.kind === 'switch') return fc.boolean()
      if (key.kind === 'choice')
        return fc.constantFrom(...key.options.map((o) => o.value).filter((name) => name !== 'own'))
      const number = key.integer
        ? fc.integer({ min: key.min, max: key.max })
        : fc.double({ min: key.min, max: key.max, noNaN: true })
      return fc.option(number)
    }),
  )
  .map(([reference, title, ...values]): PresetResult => {
    const changes = new Map<string, Leaf | null>(KEYS.map((key, i) => [key.path, values[i]!]))
    changes.set('title', title)
    changes.set('bath.dishRadius_mm', 70)
    if (reference) changes.set('air.mode', 'constant')
    if (reference || changes.get('drop.alcohol') === 'reference') changes.set('drop.alcohol', 'ethanol')
    if (changes.get('bath.liquid') === 'reference') changes.set('bath.liquid', 'olive-oil')
    if (reference) changes.set('drop.alcohol', 'reference').set('bath.liquid', 'reference')
    return setKeys(defaultPreset(), changes)
  })

describe('default and missing keys', () => {
  it('fills every key that has a default and leaves the others absent', () => {
    const preset = presetOf(parsePreset(text({})))
    for (const key of KEYS) expect(getKey(preset, key.path)).toBe(key.fallback ?? undefined)
    expect(presetOf(checkPreset(defaultPreset()))).toEqual(defaultPreset())
  })
  it('takes null as the default', () => {
    const preset = presetOf(parsePreset(text({ drop: { volume_uL: null, viscosity_mPas: null }, air: null })))
    expect(preset.drop.volume_uL).toBe(10)
    expect('viscosity_mPas' in preset.drop).toBe(false)
    expect(preset.air.mode).toBe('moving')
  })
  it('accepts the ends of every range and refuses what lies beyond, naming key, value, range and unit', () => {
    for (const key of KEYS) {
      if (key.kind !== 'number') continue
      const dish = key.path === 'bath.dishRadius_mm' ? [] : [['bath.dishRadius_mm', 300] as const]
      for (const end of [key.min, key.max]) {
        expect(
          setKeys(defaultPreset(), [...dish, ['drop.startRadius_mm', 2.5], [key.path, end]]).ok,
          key.path,
        ).toBe(true)
      }
      for (const beyond of [key.min - 1e-3 * (1 + Math.abs(key.min)), key.max * 1.001]) {
        const [message] = messages(setKey(defaultPreset(), key.path, beyond))
        for (const part of [key.path, String(beyond), String(key.min), String(key.max), key.unit]) {
          expect(message).toContain(part)
        }
      }
    }
  })
})

describe('what is refused', () => {
  it.each([
    [
      '{"format": "rimtide-preset",\n "version": 1,\n "drop": { "volume_uL": }\n}',
      /line 3, column 25.*value/,
    ],
    ['{"format": "rimtide-preset" "version": 1}', /line 1, column 29.*comma/],
    ['{"format": "rimtide-preset", // hm\n "version": 1}', /comments/],
    ['{"format": "rimtide-preset", "version": 1', /Malformed JSON at line 1/],
    ['PK\u0003\u0004\u0000\u0000', /Malformed JSON at line 1, column 1/],
    ['{"format": "rimtide-preset", "version": 1, "drop": {"volume_uL": NaN}}', /line 1, column 66/],
    ['   ', /empty/],
    ['[1, 2]', /a list/],
    ['"text"', /"text"/],
    ['{}', /format is missing/],
    ['{"format": "rimtide-preset"}', /version is missing/],
    [text({ version: 2 }), /version is 2.*version 1/],
    [text({ version: '1' }), /version is "1"/],
    [text({ format: 'other' }), /format is "other"/],
    [text({ drop: { volume_uL: 200 } }), /drop\.volume_uL is 200\. Permitted: 0\.5 to 100 µL/],
    [text({ drop: { volume_uL: '10' } }), /"10", which is text; write a number without quotes/],
    [text({ drop: { volume_uL: [10] } }), /drop\.volume_uL is a list/],
    [text({ drop: 5 }), /drop is 5; it must be a group/],
    [text({ drop: { volume: 5 } }), /drop\.volume is not a key.*drop\.volume_uL/],
    [text({ dropp: {} }), /dropp is not a key.*drop\?/],
    [text({ depth_mm: 4 }), /bath\.depth_mm/],
    [text({ ring: { breakUp: 'yes' } }), /ring\.breakUp is "yes".*true or false/],
    [text({ bath: { liquid: 'butter' } }), /bath\.liquid is "butter".*olive-oil/],
    [text({ model: { innerCells: 60.5 } }), /innerCells is 60\.5.*20 to 400, whole numbers/],
    [text({ title: 'x'.repeat(201) }), /title has 201 characters.*200/],
    [text({ note: 'x'.repeat(2001) }), /note has 2001 characters.*2000/],
    [text({ title: 7 }), /title is 7; it must be text/],
    [
      '{"format":"rimtide-preset","version":1,"drop":{"volume_uL":5,\n"volume_uL":6}}',
      /volume_uL.*twice.*line 2/,
    ],
    ['{"format":"rimtide-preset","version":1,"drop":{},"drop":{}}', /drop is given twice/],
    [
      '{"format":"rimtide-preset","version":1,"drop":{"volume_uL":1e999}}',
      /not a finite number.*0\.5 to 100 µL/,
    ],
    ['{"format":"rimtide-preset","version":1,"__proto__":{"x":1}}', /__proto__ is not a key/],
    ['{"format":"rimtide-preset","version":1,"drop":{"__proto__":{"x":1}}}', /drop\.__proto__ is not a key/],
    ['{"format":"rimtide-preset","version":1,"constructor":{}}', /constructor is not a key/],
    ['{"format":"rimtide-preset","version":1,"drop":{"toString":1}}', /toString is not a key/],
    [' '.repeat(300_001), /300001 characters/],
  ])('case %#', (input, pattern) => {
    expect(messages(parsePreset(input)).join('\n')).toMatch(pattern)
  })
  it('survives deep nesting', () => {
    expect(messages(parsePreset('['.repeat(90_000))).join()).toMatch(/Malformed|nested/)
  })
  it('reports all wrong keys at once, each at its place', () => {
    const result = parsePreset(text({ drop: { volume_uL: -1, nonsense: 1 }, bath: { depth_mm: 1000 } }))
    expect(places(result)).toEqual(['drop.volume_uL', 'drop.nonsense', 'bath.depth_mm'])
  })
  it('refuses NaN and infinities that come as values', () => {
    for (const value of [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]) {
      expect(messages(checkPreset({ ...head, drop: { volume_uL: value } }))[0]).toContain('drop.volume_uL')
    }
  })
  it('changes no prototype', () => {
    parsePreset(
      '{"format":"rimtide-preset","version":1,"__proto__":{"polluted":1},"drop":{"__proto__":{"polluted":1}}}',
    )
    expect(({} as Record<string, unknown>).polluted).toBeUndefined()
  })
  it('never throws on any text or value', () => {
    fc.assert(fc.property(fc.string({ unit: 'binary' }), (s) => parsePreset(s).ok === false))
    fc.assert(
      fc.property(fc.anything({ withNullPrototype: true }), (value) => {
        checkPreset(value)
        checkPreset({ ...head, drop: value })
      }),
    )
  })
})

describe('rules between keys', () => {
  const set = (pairs: [string, Leaf][]) => setKeys(defaultPreset(), pairs)
  it('wants both liquids "reference" or neither', () => {
    expect(messages(set([['drop.alcohol', 'reference']]))[0]).toMatch(/bath\.liquid is "rapeseed-oil".*both/)
    expect(places(set([['bath.liquid', 'reference']]))).toEqual(['drop.alcohol'])
  })
  it('wants the constant rate with "reference", and takes it when no mode is given', () => {
    const both: [string, Leaf][] = [
      ['drop.alcohol', 'reference'],
      ['bath.liquid', 'reference'],
    ]
    expect(messages(set([...both]))[0]).toMatch(/air\.mode is "moving".*constant/)
    expect(set([...both, ['air.mode', 'constant']]).ok).toBe(true)
    const file = text({ drop: { alcohol: 'reference' }, bath: { liquid: 'reference' } })
    expect(presetOf(parsePreset(file)).air.mode).toBe('constant')
  })
  it('wants the drop smaller than its dish', () => {
    const result = set([
      ['drop.startRadius_mm', 12],
      ['bath.dishRadius_mm', 12],
    ])
    expect(messages(result)[0]).toMatch(/startRadius_mm is 12.*12 mm/)
  })
})

describe('setKey', () => {
  it('reads text as a value of the kind of the key and leaves the old preset alone', () => {
    const before = defaultPreset()
    const frozen = JSON.stringify(before)
    expect(presetOf(setKey(before, 'drop.volume_uL', ' 2e1 ')).drop.volume_uL).toBe(20)
    expect(presetOf(setKey(before, 'ring.breakUp', 'true')).ring.breakUp).toBe(true)
    expect(presetOf(setKey(before, 'bath.liquid', 'olive-oil')).bath.liquid).toBe('olive-oil')
    expect(presetOf(setKey(before, 'title', '<b>x</b>')).title).toBe('<b>x</b>')
    expect(JSON.stringify(before)).toBe(frozen)
  })
  it('takes null, "" and "null" as the default', () => {
    const thick = presetOf(setKey(defaultPreset(), 'drop.viscosity_mPas', 7))
    expect(thick.drop.viscosity_mPas).toBe(7)
    for (const none of [null, '', 'null']) {
      expect('viscosity_mPas' in presetOf(setKey(thick, 'drop.viscosity_mPas', none)).drop).toBe(false)
    }
  })
  it.each([
    ['drop.volume_uL', '3,5', /decimal point/],
    ['drop.volume_uL', '0x10', /not a finite number/],
    ['drop.volume_uL', 'Infinity', /not a finite number/],
    ['drop.volume_uL', true, /is true, which is not a number/],
    ['drop.volume_ul', 3, /Did you mean drop\.volume_uL/],
    ['ring.breakUp', 1, /true or false/],
    ['model.accuracy', 'best', /quick, normal, fine/],
    ['drop.volum', 3, /Did you mean drop\.volume_uL/],
    ['bath.depth_cm', 1, /Did you mean bath\.depth_mm/],
    ['viscosity', 1, /Did you mean (drop|bath)\.viscosity_mPas/],
    ['ring.breakup', 1, /Did you mean ring\.breakUp/],
    ['xylophone.quux', 1, /not a key of a preset\.$/],
    ['', 1, /not a key/],
  ])('%s = %s is refused', (path, value, pattern) => {
    expect(messages(setKey(defaultPreset(), path, value as Leaf))[0]).toMatch(pattern)
  })
})

describe('writing and reading back', () => {
  it('gives the same preset and the same text, as a file and as a link', () => {
    fc.assert(
      fc.property(anyPreset, (result) => {
        const preset = presetOf(result)
        const file = serialisePreset(preset)
        expect(presetOf(parsePreset(file))).toEqual(preset)
        expect(serialisePreset(presetOf(parsePreset(file)))).toBe(file)
        expect(presetOf(presetFromLink(`#${presetToLink(preset)}`))).toEqual(preset)
      }),
      { numRuns: 300 },
    )
  })
  it('writes keys in a fixed order and leaves out what is not set', () => {
    const file = serialisePreset(defaultPreset())
    expect(Object.keys(JSON.parse(file))).toEqual([
      'format',
      'version',
      'title',
      'note',
      'drop',
      'bath',
      'air',
      'ring',
      'model',
    ])
    expect(file).not.toContain('viscosity')
  })
  it('keeps links short', () => {
    const preset = presetOf(setKey({ ...defaultPreset(), title: '' }, 'drop.volume_uL', 12))
    expect(presetToLink(preset)).toBe('rimtide=1&drop.volume_uL=12')
  })
  it.each([
    ['', /no preset/],
    ['#', /no preset/],
    ['#%E0%A4%A', /no preset/],
    ['rimtide=1&%E0%A4%A=%', /not a key/],
    ['rimtide=9', /version "9"/],
    ['rimtide=1&drop.volume_uL=1&drop.volume_uL=2', /twice/],
    ['rimtide=1&drop.volume_uL=1e9', /0\.5 to 100 µL/],
    ['rimtide=1&__proto__=1', /__proto__ is not a key/],
    [`rimtide=1&title=${'x'.repeat(30_000)}`, /characters/],
  ])('a link with rubbish gives a message: case %#', (hash, pattern) => {
    expect(messages(presetFromLink(hash)).join()).toMatch(pattern)
  })
  it('passes over what belongs to the page', () => {
    expect(presetOf(presetFromLink('#rimtide=1&view.time=3&drop.volume_uL=4')).drop.volume_uL).toBe(4)
  })
  it('never throws on any link', () => {
    fc.assert(fc.property(fc.string({ unit: 'binary' }), (s) => void presetFromLink(`rimtide=1&${s}`)))
  })
})
