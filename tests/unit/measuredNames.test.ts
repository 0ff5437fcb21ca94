/** Names of curves and files as people write them (our own examples; the signs wt%, w/w, vol%, v/v are those of the trade: common practice, no source). */
import { describe, expect, it } from 'vitest'
import { namePattern, readByPattern, stemOf } from '../../src/measured/namePattern.ts'
import { offerOf, readName } from '../../src/measured/nameReading.ts'

describe('the name of a curve', () => {
  it.each([
    ['40 wt% EtOH', { alcoholFraction: 0.4, fractionBasis: 'mass', alcohol: 'ethanol' }],
    [
      'IPA 62,5 % v/v, 10 µL',
      { alcoholFraction: 0.625, fractionBasis: 'volume', alcohol: '2-propanol', volume_uL: 10 },
    ],
    ['60 vol.-% ethanol', { alcoholFraction: 0.6, fractionBasis: 'volume', alcohol: 'ethanol' }],
    [
      '50% w/w, 0.01 mL, MeOH',
      { alcoholFraction: 0.5, fractionBasis: 'mass', alcohol: 'methanol', volume_uL: 10 },
    ],
    ['drop 40 % by mass', { alcoholFraction: 0.4, fractionBasis: 'mass' }],
    [
      'n-PrOH_70wt%_12uL',
      { alcoholFraction: 0.7, fractionBasis: 'mass', alcohol: '1-propanol', volume_uL: 12 },
    ],
    ['1-propanol 30 m%', { alcoholFraction: 0.3, fractionBasis: 'mass', alcohol: '1-propanol' }],
    ['45 % ABV', { alcoholFraction: 0.45, fractionBasis: 'volume' }],
  ])('%s', (name, meta) => {
    expect(readName(name)).toEqual({ meta, doubt: '' })
  })

  it.each([
    'bench 3, 40 % RH',
    'RH 40 %',
    '40 % humidity, run 2',
    '55 % water',
    'methane 3',
    'run 40',
    'lipase',
  ])('gives nothing for %s', (name) => {
    expect(readName(name).meta).toEqual({})
  })

  it('keeps the strength beside the humidity', () => {
    expect(readName('EtOH 60 wt% at 40 % RH').meta).toEqual({
      alcohol: 'ethanol',
      alcoholFraction: 0.6,
      fractionBasis: 'mass',
    })
  })

  it('takes neither of two and says so', () => {
    expect(readName('40 wt% and 60 wt% EtOH')).toEqual({
      meta: { alcohol: 'ethanol' },
      doubt: 'it holds 2 strengths',
    })
    expect(readName('EtOH or MeOH').doubt).toMatch(/ethanol and methanol/)
    expect(readName('140 wt%')).toEqual({ meta: {}, doubt: 'a strength of 140 % is above 100 %' })
  })

  it('offers what is not stated yet, says what is stated otherwise', () => {
    expect(offerOf({ name: '40% EtOH', meta: {} })).toEqual({
      change: { alcohol: 'ethanol', alcoholFraction: 0.4, fractionBasis: 'mass' },
      against: '',
      doubt: 'it does not say whether its strength is by mass or by volume',
    })
    const stated = { alcoholFraction: 0.5, alcohol: 'ethanol' }
    expect(offerOf({ name: '40 wt% EtOH', meta: stated })).toMatchObject({
      change: {},
      against: '40 % by mass',
    })
    expect(offerOf({ name: '50 vol% EtOH', meta: stated }).against).toBe('50 % by volume')
    expect(offerOf({ name: '50 wt% EtOH', meta: stated })).toEqual({ change: {}, against: '', doubt: '' })
  })
})

const made = (text: string) => {
  const result = namePattern(text)
  if (!result.ok) throw new Error(result.message)
  return result.pattern
}

describe('a pattern of file names', () => {
  const pattern = made('{date}_{strength}pct_{volume}uL_{run}')

  it('gives what stands in its places, and a group without the run', () => {
    expect(readByPattern(pattern, 'shelf/2026-11-29_40pct_7,5µL_03.webm')).toEqual({
      meta: {
        date: '2026-11-29',
        alcoholFraction: 0.4,
        fractionBasis: 'mass',
        volume_uL: 7.5,
        group: '40pct_7,5uL',
      },
      missing: [],
      fits: true,
    })
  })

  it('says what a name does not give', () => {
    expect(readByPattern(pattern, 'calibration.png').fits).toBe(false)
    const read = readByPattern(pattern, '2026-02-30_140pct_10uL_b')
    expect(read.missing).toEqual([
      { field: 'date', why: '"2026-02-30" cannot be used. Permitted: a day as 2026-11-29' },
      { field: 'strength', why: '"140" cannot be used. Permitted: a number from 0 to 100 %' },
    ])
    expect(read.meta).toEqual({ volume_uL: 10, group: '140pct_10uL' })
  })

  it('takes the run from the middle, by volume, in any case of letters', () => {
    const read = readByPattern(
      made('{strength by volume} VOL {alcohol} r{run} {any} {temperature}C'),
      '60vol EtOH R2 lamp left −3.5C',
    )
    expect(read.meta).toEqual({
      alcoholFraction: 0.6,
      fractionBasis: 'volume',
      alcohol: 'EtOH',
      temperature_C: -3.5,
      group: '60vol EtOH R_lamp left −3.5C',
    })
  })

  it.each([
    ['', /holds no field/],
    ['{strenght}pct', /\{strenght\} is not known\. Known are \{date\}/],
    ['{strength}{volume}', /touch/],
    ['{strength}_{strength}', /twice/],
    ['{strength}_{strength by volume}', /one of the two/],
    ['{strength', /left open/],
  ])('refuses %s', (text, message) => {
    const result = namePattern(text)
    expect(result.ok ? '' : result.message).toMatch(message)
  })

  it('takes signs of expressions as they are', () => {
    expect(readByPattern(made('(a+b).{run}'), '(a+b).7').fits).toBe(true)
    expect(readByPattern(made('(a+b).{run}'), 'aab.7').fits).toBe(false)
  })

  it('knows an ending from a decimal', () => {
    expect(stemOf('a/b/drop 0.5.webm')).toBe('drop 0.5')
    expect(stemOf('drop 0.5')).toBe('drop 0.5')
  })
})
