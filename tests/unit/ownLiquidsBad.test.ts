/** Liquid files with something wrong: each message names the place, what stands there and what is permitted. */
import { describe, expect, it } from 'vitest'
import { defaultPreset, parseLiquid, parsePreset, setKeys } from '../../src/life/preset.ts'

const said = { source: 'a test', quality: 'measured' }
const mixture = (rest: object, head: object = {}) =>
  JSON.stringify({
    format: 'rimtide-liquid',
    version: 1,
    kind: 'mixture',
    name: 'x',
    like: 'ethanol',
    ...head,
    ...rest,
  })
const oil = (rest: object) => mixture(rest, { kind: 'oil', like: 'olive-oil' })
const tension = (more: object) => mixture({ surfaceTension: { ...said, ...more } })
const viscosity = (more: object) => oil({ viscosity: { ...said, ...more } })
const pressure = (more: object) => mixture({ vapourPressure: { ...said, ...more } })

const bad: [string, string, RegExp][] = [
  ['empty', ' ', /The liquid file is empty/],
  ['no JSON', '{"format": "rimtide-liquid",}', /Malformed JSON at line 1, column \d+: /],
  ['a list', '[1]', /A liquid is a group in \{ \}; this is a list/],
  [
    'a preset',
    '{"format":"rimtide-preset","version":1}',
    /format is "rimtide-preset"; a liquid file has "format": "rimtide-liquid"/,
  ],
  ['a later version', mixture({ version: 2 }), /version is 2; this program reads version 1/],
  ['an unknown kind', mixture({ kind: 'gas' }), /kind is "gas"\. Permitted: mixture .*, oil/],
  ['no name', mixture({ name: undefined }), /name is missing; it must be a text/],
  ['an empty name', mixture({ name: ' ' }), /name is empty/],
  ['a long name', mixture({ name: 'n'.repeat(61) }), /name has 61 characters\. Permitted: at most 60/],
  [
    'an unknown like',
    mixture({ like: 'etanol' }),
    /like is "etanol".*Permitted: ethanol, .*Did you mean ethanol\?/,
  ],
  ['an oil that is like an alcohol', oil({ like: 'ethanol' }), /like is "ethanol".*Permitted: rapeseed-oil/],
  ['an unknown quantity', mixture({ tension: said }), /tension is not a key of a mixture/],
  [
    'a misspelt quantity',
    mixture({ visosity: said }),
    /visosity is not a key of a mixture\. Did you mean viscosity\?/,
  ],
  ['a number for a group', mixture({ density: 790 }), /density is 790; it must be a group of keys/],
  [
    'no value',
    oil({ density: said }),
    /density holds no value\. Give value_kgPerM3, or values_kgPerM3 with temperature_C/,
  ],
  [
    'value and table',
    viscosity({ value_mPas: 50, values_mPas: [60, 50], temperature_C: [20, 25] }),
    /holds both value_mPas and values_mPas/,
  ],
  [
    'a wrong unit in the key',
    viscosity({ value_cP: 50 }),
    /viscosity\.value_cP is not a key of viscosity\. Did you mean value_mPas\?/,
  ],
  ['no source', oil({ density: { value_kgPerM3: 900, quality: 'measured' } }), /density\.source is missing/],
  [
    'an unknown quality',
    oil({ density: { value_kgPerM3: 900, source: 'x', quality: 'good' } }),
    /density\.quality is "good"\. Permitted: measured, correlated, derived, assumed, from memory/,
  ],
  [
    'a value out of range',
    oil({ density: { value_kgPerM3: 9.2, ...said } }),
    /density\.value_kgPerM3 is 9\.2\. Permitted: 600 to 1500 kg\/m³/,
  ],
  [
    'a number as text',
    oil({ density: { value_kgPerM3: '900', ...said } }),
    /which is text; write a number without quotes.*600 to 1500/,
  ],
  [
    'a hole in a table',
    viscosity({ temperature_C: [20, 25], values_mPas: [60, null] }),
    /viscosity\.values_mPas, number 2, is null, which is not a number/,
  ],
  [
    'a table without abscissae',
    viscosity({ values_mPas: [60, 50] }),
    /values_mPas stands alone; a table needs temperature_C/,
  ],
  [
    'abscissae that fall',
    viscosity({ temperature_C: [25, 20], values_mPas: [50, 60] }),
    /temperature_C, number 2, is 20 after 25; the numbers must rise/,
  ],
  [
    'abscissae twice',
    tension({ massFraction: [0, 0.5, 0.5, 1], values_mNperM: [72, 40, 39, 22] }),
    /massFraction, number 3, is 0\.5 after 0\.5; the numbers must rise/,
  ],
  [
    'percent for a fraction',
    tension({ massFraction: [0, 50, 100], values_mNperM: [72, 28, 22] }),
    /massFraction, number 2, is 50\. Permitted: 0 to 1/,
  ],
  [
    'a single row',
    tension({ massFraction: [0], values_mNperM: [72] }),
    /massFraction has 1 row\. Permitted: 2 to 200/,
  ],
  [
    'too few values',
    tension({ massFraction: [0, 0.5, 1], values_mNperM: [72, 22] }),
    /values_mNperM has 2 rows\. Permitted: a list of 3 numbers/,
  ],
  [
    'a ragged table',
    mixture({
      viscosity: { massFraction: [0, 1], temperature_C: [20, 25], values_mPas: [[1, 0.9], [1.2]], ...said },
    }),
    /values_mPas, number 2, has 1 number\. Permitted: a list of 2 numbers, one for each temperature_C/,
  ],
  [
    'a tension that rises with the alcohol',
    tension({ massFraction: [0, 0.5, 1], values_mNperM: [72, 28, 29] }),
    /goes from 28 mN\/m at massFraction 0\.5 to 29 mN\/m at 1\. It must not rise/,
  ],
  [
    'a viscosity that rises with warmth',
    viscosity({ temperature_C: [20, 25], values_mPas: [50, 60] }),
    /It must not rise: a liquid becomes thinner/,
  ],
  [
    'a vapour pressure that falls with warmth',
    pressure({ temperature_C: [20, 25], values_Pa: [6000, 5000] }),
    /It must rise: a vapour pressure rises/,
  ],
  [
    'a vapour pressure without temperature',
    pressure({ value_Pa: 6000 }),
    /say with at_C at which temperature/,
  ],
  [
    'one temperature twice',
    viscosity({ temperature_C: [20, 25], values_mPas: [60, 50], at_C: 20 }),
    /at_C is given beside temperature_C/,
  ],
  ['half of Antoine', pressure({ antoineA_log10Pa: 10 }), /antoineB_K is missing\. Permitted: 200 to 5000 K/],
  [
    'Antoine for °C',
    pressure({ antoineA_log10Pa: 10.2, antoineB_K: 1642.9, antoineC_K: 230.3 }),
    /antoineC_K is 230\.3\. Permitted: -150 to 50 K/,
  ],
  [
    'Antoine of no volatile liquid',
    pressure({ antoineA_log10Pa: 5, antoineB_K: 5000, antoineC_K: 0 }),
    /comes to [\d.e+-]+ Pa at 10 °C\. Permitted: 1 to 200000 Pa.*log10\(p\/Pa\)/,
  ],
  [
    'a density without the pure liquid',
    mixture({ density: { massFraction: [0, 0.6], values_kgPerM3: [998, 891], ...said } }),
    /massFraction ends at 0\.6; it must end at 1/,
  ],
  [
    'van Laar without model',
    mixture({ activity: { vanLaarA: 1.6, vanLaarB: 0.9, ...said } }),
    /activity\.model is missing\. Permitted: van-laar, ideal/,
  ],
  [
    'van Laar of two signs',
    mixture({ activity: { model: 'van-laar', vanLaarA: 1.6, vanLaarB: -0.9, ...said } }),
    /Permitted: both above 0, or both below/,
  ],
  [
    'constants of an ideal mixture',
    mixture({ activity: { model: 'ideal', vanLaarA: 1, ...said } }),
    /given beside the model "ideal"/,
  ],
  [
    'tables without a common temperature',
    oil({
      viscosity: { temperature_C: [10, 15], values_mPas: [90, 80], ...said },
      surfaceTension: { temperature_C: [20, 25], values_mNperM: [33, 32], ...said },
    }),
    /share no temperature/,
  ],
  [
    'a key twice',
    '{"format":"rimtide-liquid","version":1,"kind":"oil","name":"a","name":"b","like":"olive-oil"}',
    /name is given twice/,
  ],
]

const told = (text: string): string => {
  const read = parseLiquid(text)
  return read.ok ? 'accepted' : read.problems.map(({ message }) => message).join(' | ')
}

describe('bad liquid files', () => {
  it.each(bad)('%s', (_, text, message) => {
    expect(told(text)).toMatch(message)
  })

  it('tell everything that is wrong at once', () => {
    const text = mixture({ like: 'x', density: { value_kgPerM3: 1, ...said }, viscosity: 3 })
    const read = parseLiquid(text)
    expect(read.ok ? [] : read.problems.map(({ where }) => where)).toEqual([
      'like',
      'density.value_kgPerM3',
      'viscosity',
    ])
  })

  it('within a preset are told with their whole path', () => {
    const liquids = { mixture: { name: 'x', like: 'ethanol', density: { value_kgPerM3: 1, ...said } } }
    const read = parsePreset(JSON.stringify({ format: 'rimtide-preset', version: 1, liquids }))
    expect(read.ok ? [] : read.problems[0]!.message).toMatch(
      /^liquids\.mixture\.density\.value_kgPerM3 is 1\. Permitted/,
    )
    const strange = parsePreset(
      JSON.stringify({ format: 'rimtide-preset', version: 1, liquids: { oils: {} } }),
    )
    expect(strange.ok ? [] : strange.problems[0]!.message).toMatch(
      /liquids\.oils is not a key.*Permitted in liquids: mixture, oil/,
    )
  })

  it('"own" without a liquid tells how to load one', () => {
    const made = setKeys(defaultPreset(), [['drop.alcohol', 'own']])
    expect(made.ok ? '' : made.problems[0]!.message).toMatch(/holds no liquids\.mixture.*--liquid FILE/)
  })
})
