/** The command `choose`. */
import { mkdtempSync, readFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { main } from '../../src/cli/choose.ts'
import { runHere } from '../../src/life/hands.ts'
import { callOf } from '../fixtures/captured.ts'
import { closedLife } from '../fixtures/fitCurves.ts'

const reference = join(import.meta.dirname, '../../presets/reference.json')
const spreads = join(import.meta.dirname, '../../presets/harbour-lane-spreads.json')

/** Lives in closed form: R ∝ (V/(η j))^¼, t ∝ (V η/j)^½, so that only the size of the drop varies what is seen. */
const quickly = (...argv: string[]) => callOf((to) => main(argv, to, closedLife))
const RATE = 'air.constantRate_umPerS'
const small = [
  reference,
  '--unknown',
  RATE,
  '--vary',
  'drop.volume_uL=2,10,40',
  '--drops',
  '3',
  '--draws',
  '2',
]

describe('choose', () => {
  it('tells drops, errors, runs and what is taken, and the same again', async () => {
    const { code, out, err } = await quickly(...small)
    expect(code).toBe(0)
    expect(err).toContain('3 kinds of drops at 2 values of the unknowns: 18 quick lives')
    expect(out).toMatch(/3 drops of 3 kinds \(D-optimal, seed 1, 18 lives\)/)
    expect(out).toMatch(/3 × 40 µL/)
    expect(out).toMatch(/Constant rate +0\.40 ± 0\.12 µm\/s/)
    expect(out).toContain('Taken as known beforehand')
    expect((await quickly(...small)).out).toBe(out)
  })

  it('puts largest drops down where the noise of each radius is all that errs: the error falls as 1/√n', async () => {
    const told = JSON.parse((await quickly(...small, '--json', '--noise', '1', '--scale-error', '0')).out)
    expect(told.drops).toEqual([{ 'drop.volume_uL': 40, times: 3, outcome: 'recedes', remark: '' }])
    const [first, , third] = told.byNumber.map(
      ({ relativeError }: { relativeError: Record<string, number> }) => relativeError[RATE]!,
    )
    const prior = (1 / 0.3) ** 2
    // What the drops tell, without what was known, adds up.
    expect((1 / third ** 2 - prior) / (1 / first ** 2 - prior)).toBeCloseTo(3, 2)
  })

  it('warns where two unknowns cannot be told apart', async () => {
    // In the closed form depth and viscosity act as one quotient.
    const { out } = await quickly(
      ...[reference, '--unknown', 'bath.viscosity_mPas,bath.depth_mm', '--vary', 'drop.volume_uL=2,10,40'],
      ...[
        '--drops',
        '4',
        '--draws',
        '2',
        '--prior',
        'bath.viscosity_mPas=50:25',
        '--prior',
        'bath.depth_mm=10:5',
      ],
    )
    expect(out).toMatch(/warning: .*cannot be told apart \(correlation (?:0\.9[5-9]|1\.0)/)
  })

  it('only tells the cost where that is asked', async () => {
    const { code, out } = await quickly(...small, '--cost', '--json')
    expect(code).toBe(0)
    expect(JSON.parse(out)).toEqual({ kinds: 3, combinations: 3, draws: 2, lives: 18 })
    const many = ['--vary', 'drop.alcoholMassFraction=0.1..0.9/30', '--vary', 'bath.depth_mm=2..20/10']
    expect((await quickly(...small, ...many, '--cost')).out).toContain('150 of 900 kinds of drops')
  })

  it('writes the plan of runs', async () => {
    const csv = join(mkdtempSync(join(tmpdir(), 'choose-')), 'plan.csv')
    await quickly(...small, '--csv', csv)
    const lines = readFileSync(csv, 'utf8').trimEnd().split('\n')
    expect(lines).toHaveLength(4)
    expect(lines[0]).toMatch(/^run,volume/)
  })

  it('with real lives: a strength that spreads is chosen over one that stays a lens', async () => {
    const argv = [
      ...[spreads, '--unknown', 'air.filmCoefficient_mmPerS', '--vary', 'drop.alcoholMassFraction=0.3,0.65'],
      ...['--drops', '2', '--draws', '1', '--json'],
    ]
    const { code, out } = await callOf((to) => main(argv, to, runHere))
    expect(code).toBe(0)
    const told = JSON.parse(out)
    expect(told.drops).toEqual([
      { 'drop.alcoholMassFraction': 0.65, times: 2, outcome: 'recedes', remark: '' },
    ])
    expect(told.notes.join(' ')).toContain('1 of 2 kinds of drops stay a lens')
  }, 60_000)
})

describe('choose refuses', () => {
  const refused = async (more: readonly string[], message: RegExp) => {
    const { code, out, err } = await quickly(...more)
    expect([code, out]).toEqual([2, ''])
    expect(err).toMatch(message)
  }
  const unknown = ['--unknown', RATE]
  const vary = ['--vary', 'drop.volume_uL=2,10']
  it.each<[string, string[], RegExp]>([
    ['no unknown', [reference, ...vary, '--drops', '3'], /Which --unknown\?/],
    ['nothing varied', [reference, ...unknown, '--drops', '3'], /What may --vary\?/],
    ['no number', [reference, ...unknown, ...vary], /How many --drops\?.*1 to 24/],
    ['too many drops', [reference, ...unknown, ...vary, '--drops', '25'], /--drops is "25".*1 to 24/],
    ['another criterion', [...small, '--optimal', 'E'], /--optimal is "E". Permitted: D, A/],
    ['a key that cannot vary', [...small, '--vary', 'air.mode=still'], /"air.mode" cannot vary/],
    [
      'a value out of range',
      [...small, '--vary', 'bath.depth_mm=0.001,5'],
      /bath.depth_mm is 0.001.*Permitted/,
    ],
    ['a bad range', [...small, '--vary', 'bath.depth_mm=5..2/3'], /it goes from 5 to 2/],
    ['a range without steps', [...small, '--vary', 'bath.depth_mm=2..5'], /2..5/],
    ['an unknown twice', [...small, '--unknown', RATE], /named twice/],
    [
      'an unknown that is varied',
      [...small, '--unknown', 'drop.volume_uL'],
      /unknown and varied at the same time/,
    ],
    ['an unknown that does nothing', [...small, '--unknown', 'air.layer_mm'], /has no effect with air.mode/],
    ['an unknown of 0', [...small, '--set', `${RATE}=0`], /no value above 0 with this drop/],
    ['the contact', [...small, '--unknown', 'startTime'], /found from its own curve/],
    ['an oil with closed forms', [...small, '--vary', 'bath.liquid=olive-oil'], /closed-form liquids/],
    ['a key varied twice', [...small, '--vary', 'drop.volume_uL=3,4'], /varied twice/],
    ['a value twice', [reference, ...unknown, '--vary', 'drop.volume_uL=3,3', '--drops', '1'], /has 3 twice/],
    ['a single drop', [reference, ...unknown, '--vary', 'drop.volume_uL=3', '--drops', '1'], /a single drop/],
    ['a prior of something else', [...small, '--prior', 'bath.depth_mm=5:1'], /is no unknown of this choice/],
    ['a noise of 0', [...small, '--noise', '0'], /noise is 0. Permitted: 0.001 to 10 mm/],
    [
      'an oil’s number with several oils',
      [
        ...[spreads, '--unknown', 'bath.viscosity_mPas', '--drops', '2'],
        ...['--vary', 'bath.liquid=olive-oil,rapeseed-oil'],
      ],
      /belongs to one oil/,
    ],
  ])('%s', async (_, argv, message) => refused(argv, message))
})
