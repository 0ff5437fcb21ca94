/** The command `sensitivity`: from a preset or a plan in a file to text, object and table. Lives are made up. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { main } from '../../src/cli/sensitivity.ts'
import { callOf } from '../fixtures/captured.ts'
import { madeUpRun } from '../fixtures/planLives.ts'

const folder = mkdtempSync(join(tmpdir(), 'rimtide-sensitivity-'))
afterAll(() => rmSync(folder, { recursive: true }))
const spreads = join(import.meta.dirname, '../../presets/harbour-lane-spreads.json')

/** R = volume + strength: of ± 0.5 µL and ± 0.5 % by mass at 100 mm, equal parts. */
const { run } = madeUpRun(({ drop }) => ({
  maxRadius: 1e-3 * (drop.volume_uL + 100 * drop.alcoholMassFraction),
}))
const call = (...argv: string[]) => callOf((to) => main(argv, to, run))

function planFile(name: string, plan: unknown): string {
  const file = join(folder, name)
  writeFileSync(file, JSON.stringify(plan))
  return file
}
writeFileSync(join(folder, 'drop.json'), readFileSync(spreads))

describe('sensitivity', () => {
  it('tells what matters most, with the widths and what is left out', async () => {
    const { code, out } = await call(spreads, '--base', '64', '--outputs', 'maxRadius_mm')
    expect(code).toBe(0)
    expect(out).toMatch(
      /matters most for the largest radius is the (volume of the drop|strength of the mixture)/,
    )
    expect(out).toMatch(/^ +volume of the drop +± 5 % +[3-7]\d ± \d/m)
    expect(out).not.toMatch(/NaN|undefined|null|Infinity/)
  })
  it('takes a plan beside its preset, with widths, ranges and outputs of its own', async () => {
    const file = planFile('plan.json', {
      preset: 'drop.json',
      inputs: { volume: { width: 0.1 }, 'bath.depth_mm': { from: 5, to: 10 } },
      outputs: ['maxRadius_mm', 'life_s'],
      base: 32,
    })
    const csv = join(folder, 'shares.csv')
    const { code, out } = await call(file, '--json', '--csv', csv)
    expect(code).toBe(0)
    const told = JSON.parse(out)
    expect(told).toMatchObject({ status: 'done', basePoints: 32, lives: 128 })
    expect(told.inputs.map(({ id, amount }: { id: string; amount: string }) => `${id} ${amount}`)).toEqual([
      'bath.depth_mm 5 to 10 mm, evenly',
      'volume ± 10 %',
    ])
    const [radius] = told.outputs
    expect(radius.shares[0]).toMatchObject({ input: 'volume' })
    // The depth does not act: all of the spread is the volume's.
    expect(Math.abs(radius.shares[0].total - 1)).toBeLessThan(3 * radius.shares[0].totalError)
    expect(radius.shares[1]).toMatchObject({ input: 'bath.depth_mm', total: 0 })
    expect(readFileSync(csv, 'utf8').split('\n')[1]).toMatch(/^largest radius,volume of the drop,± 10 %,/)
  })
  it.each([
    [{ preset: 'drop.json', input: {} }, /"input" means nothing in a plan/],
    [{ preset: 'drop.json', inputs: { volume: 0.1 } }, /input volume is "?0\.1"?: write \{ "width"/],
    [{ preset: 'drop.json', inputs: { volume: { width: -1 } } }, /Permitted: 0 or more/],
    [{ preset: 'drop.json', inputs: { wind: { width: 1 } } }, /no such input\. There are: temperature/],
    [{ preset: 'drop.json', outputs: ['size'] }, /"size", which is no output/],
    [{ preset: 'drop.json', base: 5 }, /Permitted: 16 to 4096/],
    [{ preset: 'none.json' }, /there is no such file/],
    [{ preset: 7 }, /path of a preset file/],
  ])('refuses the plan %j', async (plan, message) => {
    const { code, err, out } = await call(planFile('wrong.json', plan))
    expect([code, out]).toEqual([2, ''])
    expect(err).toMatch(message)
  })
  it('refuses what is no option, and to write over what it reads', async () => {
    expect((await call(spreads, '--base', '3')).err).toMatch(/--base is "3"\. Permitted: 16 to 4096/)
    expect((await call(spreads, '--outputs', 'size')).err).toMatch(/no output\. There are: maxRadius_mm/)
    const file = planFile('own.json', { preset: 'drop.json' })
    expect((await call(file, '--csv', join(folder, 'drop.json'))).code).toBe(2)
    expect((await call()).err).toMatch(/Which drop/)
  })
  it('ends with 1 where lives fail, and says why', async () => {
    const failing = madeUpRun(({ drop }) =>
      drop.volume_uL > 10.5
        ? { outcome: 'failed', cause: 'no step small enough' }
        : { maxRadius: 1e-3 * drop.volume_uL },
    )
    const { code, err, out } = await callOf((to) =>
      main([spreads, '--base', '32', '--outputs', 'maxRadius_mm'], to, failing.run),
    )
    expect(code).toBe(1)
    expect(err).toContain('no step small enough')
    expect(out).toMatch(/base points hold lives without it and are left out/)
  })
})
