/** The command `validate`. */
import { describe, expect, it } from 'vitest'
import { main } from '../../src/cli/validate.ts'
import { runLifeSync } from '../../src/life/run.ts'
import { FACTS } from '../../src/plan/validation/facts.ts'
import { callOf } from '../fixtures/captured.ts'

const ORDER = ['disagrees', 'cannot tell', 'agrees']

const quick = FACTS.filter(({ id }) => ['water-tension', 'dye', 'azeotrope-ethanol'].includes(id))

describe('validate', () => {
  it('gives all facts, each recomputed, what disagrees first; what is certain agrees', async () => {
    const { code, out, err } = await callOf((to) => main(['--json'], to))
    expect({ code, err }).toEqual({ code: 0, err: '' })
    const findings = JSON.parse(out)
    expect(findings.length).toBe(FACTS.length)
    for (const one of findings) {
      expect(Object.keys(one).sort()).toEqual(['fact', 'program', 'source', 'tolerance', 'verdict'])
      for (const text of Object.values(one)) expect((text as string).trim()).not.toBe('')
      expect(one.program).not.toMatch(/NaN|undefined|Infinity|There is no number/)
      expect(ORDER).toContain(one.verdict)
    }
    const places = findings.map((one: { verdict: string }) => ORDER.indexOf(one.verdict))
    expect(places).toEqual(places.toSorted((a: number, b: number) => a - b))
    const verdictOf = (id: string) => {
      const words = FACTS.find((one) => one.id === id)!.fact
      return findings.find((one: { fact: string }) => one.fact === words).verdict
    }
    // By standard, closed form or the sign of S: the rest may change with the model.
    for (const id of ['silicone-50', 'silicone-350', 'water-tension', 'water-vapour', 'oiml-20', 'budget'])
      expect(verdictOf(id), id).toBe('agrees')
    for (const id of [
      'nothing-leaves',
      'resting-lens',
      'puddle',
      'gravity-current',
      'ridge',
      'levelling',
      'insoluble-layer',
    ])
      expect(verdictOf(id), id).toBe('agrees')
    for (const id of ['dye', 'merging', 'long-fingers']) expect(verdictOf(id), id).toBe('cannot tell')
  }, 600_000)

  it('writes a table that can be read', async () => {
    const { code, out } = await callOf((to) => main([], to, runLifeSync, quick))
    expect(code).toBe(0)
    expect(out).toMatch(/^Of 3 facts \d disagrees?, \d cannot be told and \d agrees?\.\n/)
    expect(out).toMatch(/^AGREES \(\d\)$/m)
    expect(out).toMatch(
      /^fact {7}Tension of water .*\n(?: {11}.*\n)*program {4}72\.736, 71\.972, 71\.194 mN\/m/m,
    )
    expect(out).toMatch(/^source {5}IAPWS R1-76\(2014\)$/m)
  })

  it('ends with 1 and the cause where a life failed', async () => {
    const failing = () => ({
      ok: false as const,
      reason: 'crashed' as const,
      problems: [{ where: 'engine', message: 'no oil left' }],
    })
    const facts = FACTS.filter(({ id }) => id === 'ratio')
    const { code, out, err } = await callOf((to) => main(['--json'], to, failing, facts))
    expect(code).toBe(1)
    expect(err).toBe('a life failed: no oil left\n')
    expect(JSON.parse(out)[0]).toMatchObject({ verdict: 'cannot tell' })
  })

  it.each([
    [['--jsn'], /Unknown option '--jsn'.*--help shows what there is\.\n$/],
    [['--json=yes'], /--json is a switch: it takes no value/],
    [['presets/reference.json'], /"presets\/reference\.json" is one too many: validate takes no file/],
  ])('refuses %j', async (argv, message) => {
    const { code, out, err } = await callOf((to) => main(argv, to, runLifeSync, []))
    expect({ code, out }).toEqual({ code: 2, out: '' })
    expect(err).toMatch(message)
  })

  it('has a help', async () => {
    const { code, out } = await callOf((to) => main(['--help'], to))
    expect(code).toBe(0)
    expect(out).toContain('npm run -s validate')
  })
})
