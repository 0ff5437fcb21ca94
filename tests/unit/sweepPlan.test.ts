/** The plan of a sweep: what it means, and everything that can be wrong with it. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { planOf } from '../../src/cli/sweep/planFile.ts'
import { OUTPUTS } from '../../src/plan/outputs.ts'
import { planObject } from '../../src/plan/sweep/checkPlan.ts'
import { planDifferences } from '../../src/plan/sweep/differences.ts'
import { ROOT } from '../fixtures/spawned.ts'

const file = join(ROOT, 'presets', 'plan.json')
const start = {
  format: 'rimtide-sweep',
  version: 1,
  preset: 'reference.json',
  inputs: { 'drop.volume_uL': { from: 5, to: 20 } } as Record<string, unknown>,
  design: 'sobol',
  count: 8,
}
const read = (more: object) => planOf(JSON.stringify({ ...start, ...more }), file)
const wrong = (more: object): string[] => {
  const made = read(more)
  return made.ok ? [] : made.messages.map((message) => message.replace(`${file}: `, ''))
}
const plan = (more: object) => {
  const made = read(more)
  if (!made.ok) throw new Error(made.messages.join('\n'))
  return made.plan
}

describe('a plan', () => {
  it('takes all outputs, quick lives and seed 0 unless it says otherwise', () => {
    expect(plan({})).toMatchObject({
      accuracy: 'quick',
      seed: 0,
      count: 8,
      outputs: OUTPUTS.map(({ id }) => id),
    })
  })
  it('is a plan again as it was understood, and then means the same', () => {
    for (const more of [
      { accuracy: 'fine', outputs: ['life_s'], seed: 7, design: 'latin' },
      {
        design: 'grid',
        count: undefined,
        inputs: {
          'ring.breakUp': { values: [true, false] },
          'drop.volume_uL': { from: 5, to: 20, count: 3 },
        },
      },
      {
        design: 'list',
        count: undefined,
        inputs: undefined,
        rows: [{ 'drop.volume_uL': 5 }, { 'drop.volume_uL': 9 }],
      },
      { inputs: { 'model.accuracy': { values: ['quick', 'normal'] } } },
    ]) {
      const once = plan(more)
      const again = planOf(JSON.stringify(planObject(once)), file)
      expect(again).toMatchObject({ ok: true })
      expect(again.ok && planObject(again.plan)).toEqual(planObject(once))
    }
  })
  it('name files from their own folder on, or by a whole path', () => {
    expect(plan({ preset: join(ROOT, 'presets', 'reference.json') }).preset).toEqual(plan({}).preset)
  })
  it("carries liquids of one's own whole", () => {
    const own = plan({ preset: 'harbour-lane-lens.json', liquid: 'liquids/harbour-lane-spirit.json' })
    expect(own.preset).toMatchObject({ drop: { alcohol: 'own' }, liquids: { mixture: { name: /Harbour/ } } })
    expect(planObject(own)).toMatchObject({ preset: { liquids: { mixture: {} } } })
    const choice = { 'drop.alcohol': { values: ['own', 'ethanol'] } }
    expect(plan({ preset: planObject(own).preset, inputs: choice }).inputs).toEqual([
      { key: 'drop.alcohol', values: ['own', 'ethanol'] },
    ])
  })
  it('counts the rows of a grid and of a list', () => {
    const inputs = {
      'drop.volume_uL': { from: 5, to: 20, count: 4 },
      'ring.breakUp': { values: [true, false] },
    }
    expect(plan({ design: 'grid', count: undefined, inputs }).count).toBe(8)
    expect(
      plan({ design: 'list', count: undefined, inputs: { 'drop.volume_uL': { values: [5, 6, 7] } } }).count,
    ).toBe(3)
  })
  it('says that a seed changes nothing on a grid', () => {
    const made = read({
      design: 'grid',
      count: undefined,
      seed: 1,
      inputs: { 'ring.breakUp': { values: [true] } },
    })
    expect(made.ok && made.notes).toEqual([
      `${file}: seed changes nothing in a grid; nothing is drawn by chance.`,
    ])
  })
})

const volume = (given: unknown) => ({ inputs: { 'drop.volume_uL': given } })
const grid = { design: 'grid', count: undefined }
const list = { design: 'list', count: undefined }

describe('what is wrong with a plan is told with place and permitted range:', () => {
  it.each<[string, object, RegExp[]]>([
    ['no format', { format: undefined }, [/^format is missing; a plan has "format": "rimtide-sweep"\.$/]],
    ['another version', { version: 2 }, [/^version is 2; this program reads version 1\.$/]],
    ['an unknown part', { desing: 1 }, [/^desing is no part of a plan\. .* Did you mean design\?$/]],
    [
      'a design',
      { design: 'sobel' },
      [/^design is "sobel"\. Permitted: grid, list, latin, sobol\. Did you mean sobol\?$/],
    ],
    [
      'a design and inputs',
      { design: 'x', inputs: { 'drop.volume_uL': { from: 0, to: 5, count: 3 } } },
      [/^design is "x"/, /from: drop\.volume_uL is 0\. Permitted/],
    ],
    [
      'a key',
      { inputs: { 'drop.volum_uL': { from: 1, to: 2 } } },
      [/not a key of a preset\. Did you mean drop\.volume_uL\?$/],
    ],
    ['a group', { inputs: { drop: { from: 1, to: 2 } } }, [/drop is a group of keys/]],
    ['no input', { inputs: {} }, [/^inputs is empty; it must be a group of keys/]],
    ['no inputs at all', { inputs: undefined }, [/^inputs is missing/]],
    [
      'a plain number',
      volume(5),
      [/^inputs, drop\.volume_uL is 5; it must be \{ "from": …, "to": … \} or \{ "values": \[…\] \}\.$/],
    ],
    ['neither', volume({}), [/has neither values nor from and to/]],
    ['both', volume({ from: 5, to: 6, values: [5] }), [/has values and from/]],
    [
      'out of range',
      volume({ from: 0.1, to: 2000 }),
      [
        /^inputs, drop\.volume_uL, from: drop\.volume_uL is 0\.1\. Permitted: 0\.5 to 100 µL\.$/,
        /^inputs, drop\.volume_uL, to: drop\.volume_uL is 2000\. Permitted: 0\.5 to 100 µL\.$/,
      ],
    ],
    ['backwards', volume({ from: 6, to: 5 }), [/from is 6, to is 5\. Permitted: from below to/]],
    ['one end', volume({ from: 6 }), [/to: drop\.volume_uL is missing, which is not a number/]],
    ['a text', volume({ from: '6', to: 7 }), [/"6", which is text; write a number without quotes/]],
    [
      'logarithmic',
      volume({ from: 6, to: 7, logarithmic: 'yes' }),
      [/logarithmic is "yes"\. Permitted: true, false/],
    ],
    [
      'ratio from 0',
      { inputs: { 'drop.alcoholMassFraction': { from: 0, to: 1, logarithmic: true } } },
      [/from is 0\. Permitted: above 0/],
    ],
    [
      'a part of an input',
      volume({ from: 6, till: 7 }),
      [/till is no part of an input\. Permitted: from, to, count/, /to: drop\.volume_uL is missing/],
    ],
    [
      'a span of choices',
      { inputs: { 'ring.breakUp': { from: 0, to: 1 } } },
      [/no numbers to go from and to: give \{ "values": \[…\] \}, of true, false/],
    ],
    [
      'a value',
      { inputs: { 'bath.liquid': { values: ['castor-oil', 'caster-oil'] } } },
      [/^inputs, bath\.liquid, value 2: bath\.liquid is "caster-oil"\. Permitted: /],
    ],
    ['no values', volume({ values: [] }), [/has 0 entries/]],
    ['a count with Sobol', volume({ from: 5, to: 6, count: 3 }), [/count is for a grid/]],
    [
      'no count',
      { count: undefined },
      [/^count is missing\. Permitted: whole numbers from 1 to 10000000\.$/],
    ],
    ['half a life', { count: 1.5 }, [/^count is 1\.5\. Permitted: whole/]],
    ['a seed', { seed: -1 }, [/^seed is -1\. Permitted: whole numbers from 0 to 4294967295\.$/]],
    ['an accuracy', { accuracy: 'rough' }, [/^accuracy is "rough"\. Permitted: quick, normal, fine\./]],
    [
      'two accuracies',
      { accuracy: 'fine', inputs: { 'model.accuracy': { values: ['quick'] } } },
      [/model\.accuracy is among the inputs as well/],
    ],
    [
      'an output',
      { outputs: ['life'] },
      [/^outputs, number 1 is "life"\. Permitted: maxRadius_mm, .* Did you mean life_s\?$/],
    ],
    [
      'an output twice',
      { outputs: ['life_s', 'beads', 'life_s'] },
      [/^outputs, number 3: life_s is given twice\.$/],
    ],
    ['no outputs', { outputs: [] }, [/^outputs is an empty list/]],
    [
      'a grid without count',
      { ...grid, ...volume({ from: 5, to: 6 }) },
      [/count is missing\. Permitted: whole numbers from 2/],
    ],
    [
      'another count of a grid',
      { ...grid, count: 9, ...volume({ values: [5, 6] }) },
      [/^count is 9; this grid has 2 rows\. Leave count out\.$/],
    ],
    [
      'a huge grid',
      {
        ...grid,
        inputs: {
          'drop.volume_uL': { from: 5, to: 6, count: 10000 },
          'bath.depth_mm': { from: 5, to: 6, count: 10000 },
        },
      },
      [/10000 × 10000 = 100000000 rows\. Permitted: at most 10000000/],
    ],
    [
      'a list of unequal length',
      { ...list, inputs: { 'drop.volume_uL': { values: [5] }, 'bath.depth_mm': { values: [5, 6] } } },
      [/drop\.volume_uL has 1 values, bath\.depth_mm has 2/],
    ],
    ['a span in a list', { ...list, ...volume({ from: 5, to: 6 }) }, [/from and to are not for a list/]],
    ['rows and inputs', { ...list, rows: [{ 'drop.volume_uL': 5 }] }, [/inputs or rows, not both/]],
    [
      'rows of another key',
      { ...list, inputs: undefined, rows: [{ 'drop.volume_uL': 5 }, { 'bath.depth_mm': 5 }] },
      [/^rows, row 2 must have the keys of row 1: drop\.volume_uL\.$/],
    ],
    [
      'a value in rows',
      { ...list, inputs: undefined, rows: [{ 'drop.volume_uL': 5 }, { 'drop.volume_uL': 500 }] },
      [/^rows, row 2: drop\.volume_uL is 500\. Permitted: 0\.5 to 100 µL\.$/],
    ],
    ['rows in a grid', { ...grid, rows: [] }, [/rows are for the design "list"/]],
    [
      'too many for Latin',
      {
        design: 'latin',
        count: 10_000_000,
        inputs: Object.fromEntries(
          [
            'drop.volume_uL',
            'bath.depth_mm',
            'bath.viscosity_mPas',
            'air.layer_mm',
            'air.temperature_C',
            'drop.startRadius_mm',
          ].map((key) => [key, { values: [null] }]),
        ),
      },
      [/^count is 10000000\. Permitted for "latin" with 6 inputs: at most 8333333/],
    ],
    [
      'several at once',
      { seed: 'x', design: 'sobol', count: 0, accuracy: 'x', outputs: ['x'] },
      [/^outputs/, /^seed/, /^accuracy/],
    ],
    ['no preset there', { preset: 'nothing.json' }, [/presets\/nothing\.json: there is no such file\.$/]],
    [
      'a preset of numbers',
      { preset: 5 },
      [/^preset is 5; it must be the path of a preset, or a preset in \{ \}\.$/],
    ],
    [
      'a wrong preset',
      { preset: { format: 'rimtide-preset', version: 1, drop: { volume_uL: 0 } } },
      [/preset: drop\.volume_uL is 0\. Permitted/],
    ],
    ['a liquid', { liquid: 5 }, [/^liquid is 5; it must be the path of a liquid file/]],
    ['preset and inputs', { preset: 'nothing.json', seed: 'x' }, [/no such file/, /^seed is "x"/]],
  ])('%s', (_, more, expected) => {
    const messages = wrong(more)
    expect(messages).toHaveLength(expected.length)
    expected.forEach((pattern, i) => {
      expect(messages[i]).toMatch(pattern)
    })
  })
  it('text that is no JSON, with line and column; a key given twice', () => {
    expect(planOf('{\n  "format": rimtide }', 'p.json')).toMatchObject({
      messages: [/^p\.json: Malformed JSON at line 2, column 13/],
    })
    const twice = JSON.stringify(start).replace('"count":8', '"count":8,"count":9')
    expect(planOf(twice, file)).toMatchObject({ messages: [/count is given twice/] })
    expect(planOf('[]', 'p.json')).toMatchObject({
      messages: ['p.json: A plan is a group in { }; this is a list.'],
    })
  })
})

describe('two plans', () => {
  it('are compared key by key', () => {
    const was = planObject(
      plan({ inputs: { 'drop.volume_uL': { from: 5, to: 20 }, 'ring.breakUp': { values: [true] } } }),
    )
    const changed = JSON.parse(readFileSync(join(ROOT, 'presets/reference.json'), 'utf8'))
    changed.bath.depth_mm = 8
    const now = planObject(
      plan({
        preset: changed,
        seed: 3,
        inputs: { 'drop.volume_uL': { from: 5, to: 25 }, 'bath.depth_mm': { values: [1] } },
      }),
    )
    expect(planDifferences(was, was)).toEqual([])
    expect(planDifferences(was, now)).toEqual([
      'preset.bath.depth_mm was 10, now is 8',
      'inputs.drop.volume_uL.to was 20, now is 25',
      'inputs.ring.breakUp was {"values":[true]}, now is not there',
      'inputs.bath.depth_mm was not there, now is {"values":[1]}',
      'seed was 0, now is 3',
    ])
  })
  it('differ by the order of their inputs, on which the rows depend', () => {
    const [a, b] = [{ 'drop.volume_uL': { from: 5, to: 20 } }, { 'ring.breakUp': { values: [true] } }]
    const was = planObject(plan({ inputs: { ...a, ...b } }))
    expect(planDifferences(was, planObject(plan({ inputs: { ...b, ...a } })))).toEqual([
      'the order of inputs was drop.volume_uL, ring.breakUp, now is ring.breakUp, drop.volume_uL',
    ])
  })
})
