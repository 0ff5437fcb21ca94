/** Wrong calls of every command: exit code 2, a message that says what and what is permitted, nothing else. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import * as compare from '../../src/cli/compare.ts'
import * as recipe from '../../src/cli/recipe.ts'
import * as scaling from '../../src/cli/scaling.ts'
import * as sheet from '../../src/cli/sheet.ts'
import * as simulate from '../../src/cli/simulate.ts'
import * as threshold from '../../src/cli/threshold.ts'
import { callOf } from '../fixtures/captured.ts'

const presets = join(import.meta.dirname, '../../presets')
let folder: string
const files: Record<string, string | Buffer> = {
  'empty.json': '',
  'cut.json': '{"format":"rimtide-preset","version":1,"drop":{',
  'list.json': '[]',
  'future.json': '{"format":"rimtide-preset","version":9}',
  'latin.json': Buffer.from([0x7b, 0xe4, 0xf6, 0x7d]),
  'empty.csv': '',
  'binary.csv': Buffer.from([0, 1, 2, 255]),
  'head.csv': 'time_s,radius_mm\n',
  'words.csv': 'hello world\nthis is no table\n',
  'nounit.csv': 't,R\n0,1\n1,2\n2,3\n',
  'negative.csv': 'time_s,radius_mm\n0,1\n1,-2\n2,3\n',
  'good.csv': 'time_s,radius_mm\n0,2.5\n1,10\n2,12\n',
}
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'rimtide-bad-'))
  mkdirSync(join(folder, 'folder'))
  for (const [name, text] of Object.entries(files)) writeFileSync(join(folder, name), text)
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const never = () => {
  throw new Error('no life should be run')
}

/** P, R, L and O stand for files that ship; "tmp:" for those above, "none" for no text at all. */
function argument(text: string): string {
  const shipped: Record<string, string> = {
    P: 'harbour-lane-spreads.json',
    R: 'reference.json',
    L: 'liquids/harbour-lane-spirit.json',
    O: 'liquids/harbour-lane-oil.json',
  }
  if (shipped[text]) return join(presets, shipped[text])
  return text.replace('tmp:', `${folder}/`).replace(/none$/, '')
}

function call(line: string) {
  const [name, ...rest] = line.split(' ')
  const argv = rest.map(argument)
  return callOf((to) => {
    if (name === 'simulate') return simulate.main(argv, { ...to, run: never })
    if (name === 'recipe') return recipe.main(argv, to)
    return { sheet, compare, scaling, threshold }[name as 'sheet'].main(argv, to, never)
  })
}

const wrong: [string, RegExp][] = [
  ['simulate', /Which drop\? Give a preset file/],
  ['simulate nofile.json', /nofile\.json: there is no such file/],
  ['simulate none', /A file name is empty/],
  ['simulate tmp:folder', /this is a folder/],
  ['simulate tmp:empty.json', /The preset is empty/],
  ['simulate tmp:cut.json', /Malformed JSON at line 1, column 48/],
  ['simulate tmp:list.json', /A preset is a group in \{ \}; this is a list/],
  ['simulate tmp:future.json', /version is 9; this program reads version 1/],
  ['simulate tmp:latin.json', /not a text in UTF-8/],
  ['simulate L', /format is "rimtide-liquid"; a preset has "format": "rimtide-preset"/],
  ['simulate P P', /One preset file at a time/],
  ['simulate P --jsn', /Unknown option '--jsn'/],
  ['simulate P --json=yes', /--json is a switch: it takes no value/],
  ['simulate P --set', /--set needs a value/],
  ['simulate P --set drop', /write it as --set KEY=VALUE/],
  ['simulate P --set drop=5', /drop is a group of keys: drop\.volume_uL, /],
  ['simulate P --set liquids.oil=5', /a liquid comes from a liquid file/],
  ['simulate P --set __proto__.x=1', /__proto__\.x is not a key/],
  ['simulate P --set drop.volume_uL=1e999', /not a finite number\. Permitted: 0\.5 to 100 µL/],
  ['simulate P --set drop.volume_uL=10,5', /write it with a decimal point/],
  ['simulate P --set drop.volum_uL=5', /Did you mean drop\.volume_uL\?/],
  ['simulate P --set drop.alcohol=vodka', /Permitted: ethanol, /],
  ['simulate P --set bath.liquid=own', /holds no liquids\.oil.*--liquid FILE/],
  ['simulate P --every -1', /--every: a value that begins with a dash is written as --every=VALUE/],
  ['simulate P --every=-1', /--every is "-1"\. Permitted: 0\.001 to 3600/],
  ['simulate P --until 0', /model\.horizon_s is 0\. Permitted: 0\.5 to 3600 s/],
  ['simulate P --repeat 1e9', /--repeat is "1e9"\. Permitted: 1 to 1000/],
  ['simulate P --csv=none', /--csv is empty/],
  ['simulate P --csv P', /one of the inputs; it is not overwritten/],
  ['simulate P --csv tmp:folder', /this is a folder/],
  ['simulate P --liquid', /--liquid needs a value/],
  ['simulate P --liquid=none', /A file name is empty/],
  ['simulate P --liquid nofile', /nofile: there is no such file/],
  ['simulate P --liquid P', /a liquid file has "format": "rimtide-liquid"/],
  ['simulate P --liquid L --liquid L', /a second volatile liquid.*one of each kind/],
  ['simulate R --liquid O', /only come as a pair\. Take a preset with real liquids/],
  ['sheet', /Which drop\?/],
  ['sheet P', /Which --stock\? Write it as 96%vol/],
  ['sheet P --stock 96', /by mass or by volume\?/],
  ['sheet P --stock 96,5%vol', /write it with a decimal point/],
  ['sheet P --stock 96%vol --volume fifty', /--volume is "fifty", which is not a number/],
  ['sheet P --stock 96%vol --set air.temperature_C=99', /Permitted: 10 to 35 °C/],
  ['recipe', /Which --stock\?/],
  ['recipe --stock 96%vol --want 99%vol', /above that of the stock/],
  ['recipe --stock 96%vol --want 0%w', /plain water/],
  ['recipe --stock 0%vol --want 50%w', /The stock holds no alcohol/],
  ['recipe --stock 96%vol --want=-1%w', /The wanted strength is −1 % by mass\. Permitted: 0 to 100 %/],
  ['recipe --stock 96%vol --want 50%w --volume=-5', /The volume of the mixture is −5 mL\. Permitted: 0\.001/],
  ['recipe --stock 96%vol --want 50%w --temperature 300', /Permitted: 10 to 35 °C/],
  ['recipe --alcohol beer --stock 96%vol --want 50%w', /alcohol "beer"\. Known: ethanol/],
  ['recipe --alcohol own --stock 96%vol --want 50%w', /"own" needs a liquid file/],
  ['recipe --liquid O --stock 96%vol --want 50%w', /this is an oil/],
  ['recipe --liquid L --alcohol methanol --stock 96%vol --want 50%w', /exclude each other/],
  ['compare P', /Give a preset and at least one table/],
  ['compare P nofile.csv', /no such file/],
  ['compare P tmp:empty.csv', /The file is empty/],
  ['compare P tmp:binary.csv', /binary file/],
  ['compare P tmp:head.csv', /no rows of data/],
  ['compare P tmp:words.csv', /No column of times/],
  ['compare P tmp:nounit.csv', /Answer with --time-unit, --radius-unit/],
  ['compare P tmp:negative.csv', /line 3, column 2 .*cannot be negative/],
  ['compare P tmp:good.csv --fit foo', /foo/],
  ['compare P tmp:good.csv --fit bath.viscosity_mPas --limit x', /--limit KEY=LOW:HIGH/],
  ['compare P tmp:good.csv --limit bath.viscosity_mPas=40:90', /is no unknown of a --fit/],
  ['compare P tmp:good.csv --scan maybe', /Permitted: auto, always, never/],
  ['compare P tmp:good.csv --start=nobody=3', /there is no curve "nobody"/],
  ['compare P tmp:good.csv --csv tmp:good.csv', /one of the inputs; it is not overwritten/],
  ['compare P tmp:good.csv --liquid nofile', /nofile: there is no such file/],
  ['scaling', /Which series\?/],
  ['scaling P --strengths 0.4,2', /"2" is no mass fraction\. Permitted: 0 to 1/],
  ['scaling P --strengths ,', /has 0 values/],
  ['scaling P --rule foo', /Permitted: below-0\.3/],
  ['scaling P --by mole', /Permitted: mass, volume/],
  ['scaling tmp:good.csv --lives', /--lives needs a preset/],
  ['scaling tmp:good.csv --liquid L', /--liquid changes presets, and none is given/],
  ['scaling P --liquid L --liquid L', /one of each kind/],
  ['threshold', /Which drop\?/],
  ['threshold P --all --liquid L', /--all and --liquid exclude each other/],
  ['threshold P --all --json', /--all and --json exclude each other/],
  ['threshold P --brief --csv P', /it is not overwritten/],
  ['threshold P --set drop.volume_uL=0', /Permitted: 0\.5 to 100 µL/],
]

describe('wrong calls', () => {
  it.each(wrong)('%s', async (line, message) => {
    const { code, out, err } = await call(line)
    expect({ code, out }).toEqual({ code: 2, out: '' })
    expect(err).toMatch(message)
    expect(err).not.toMatch(/\n {4}at |undefined|\[object|E[A-Z]{4,}:/)
    expect(err.endsWith('\n')).toBe(true)
  })
})
