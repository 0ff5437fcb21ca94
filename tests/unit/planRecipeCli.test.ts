/** The command `recipe`: arguments, text, JSON, refusals. */
import { describe, expect, it, test } from 'vitest'
import { main } from '../../src/cli/recipe.ts'
import { callOf } from '../fixtures/captured.ts'
import { expectClose } from '../matchers.ts'

const call = (line: string) => callOf((to) => main(line.split(' ').filter(Boolean), to))

describe('recipe', () => {
  it('gives the amounts as JSON', async () => {
    // OIML R 22 (1973) at 20 °C, by hand: 45.68855 g of w = 0.5, of which 5/9 are stock of w = 0.9 at 817.883 kg/m³.
    const { code, out, err } = await call('--stock 90%w --want 0.50w --volume 50 --json')
    expect({ code, err }).toEqual({ code: 0, err: '' })
    const recipe = JSON.parse(out)
    expectClose(recipe.stock_mL, 31.0344, { atol: 2e-4 })
    expectClose(recipe.water_g, 20.306, { atol: 2e-4 })
    expect(recipe).toMatchObject({ alcohol: 'ethanol', temperature_C: 20, volume_mL: 50 })
  })
  it('says the same as a text', async () => {
    const { code, out } = await call('--alcohol ethanol --stock 90%w --want 0.50w')
    expect(code).toBe(0)
    expect(out).toMatch(/stock +31\.0 mL +or +25\.4 g/)
    expect(out).toMatch(/water +20\.3 mL +or +20\.3 g/)
    expect(out).toContain('shrink by 1.4 mL')
    expect(out).toContain('half and half')
    expect(out).not.toMatch(/NaN|undefined|null/)
  })
  it('takes the errors of the pipette', async () => {
    const { out } = await call('--stock 90%w --want 50%w --smallest 0.5 --error 0 --error-percent 2 --json')
    const { errors, pipette } = JSON.parse(out)
    expect(pipette).toEqual({ smallest_mL: 0.5, absolute_mL: 0, relative: 0.02 })
    expectClose(errors.stock_mL, 0.62069, { atol: 1e-4 })
  })
  it('puts right what is there', async () => {
    // OIML R 22: half of 47.6892 g, see planRecipe.test.ts.
    const { code, out } = await call('--stock 90%w --want 50%w --have 30%w --volume 50')
    expect(code).toBe(0)
    expect(out).toContain('Add 29.2 mL (23.8 g) of stock.')
    expect((await call('--stock 90%w --want 50%w --have 50%w')).out).toContain('already')
  })
  it('helps', async () => {
    const { code, out } = await call('--help')
    expect(code).toBe(0)
    expect(out).toContain('--stock STRENGTH')
  })
})

describe('recipe refuses', () => {
  test.each([
    ['', /Which --stock\?/],
    ['--stock 96%vol', /Which --want\?/],
    ['--stock 96 --want 50%w', /by mass or by volume/],
    ['--stock 70%vol --want 80%vol', /above that of the stock/],
    ['--stock 0%vol --want 50%w', /no alcohol/],
    ['--stock 96%vol --want 0w', /plain water/],
    ['--stock 96%vol --want=-5%w', /−5 % by mass.*Permitted: 0 to 100 %/],
    ['--stock 96%vol --want -5%w', /--want=VALUE/],
    ['--stock 96%vol --want nanw', /NaN/],
    ['--stock 96%vol --want 50%w --volume 1,5', /decimal point/],
    ['--stock 96%vol --want 50%w --volume lots', /not a number/],
    ['--stock 96%vol --want 50%w --volume 0', /0\.001 to 10000 mL/],
    ['--stock 96%vol --want 50%w --temperature 60', /10 to 35 °C/],
    ['--stock 96%vol --want 50%w --alcohol whisky', /Known: ethanol/],
    ['--stock 96%vol --want 50%w --colour red', /--colour.*--help/],
    ['much', /much.*--help/],
  ])('%j', async (line, message) => {
    const { code, out, err } = await call(line)
    expect({ code, out }).toEqual({ code: 2, out: '' })
    expect(err).toMatch(message)
    expect(err).not.toContain('    at ')
  })
})
