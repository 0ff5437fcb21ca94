/** Messages of a length that can be read: on the command line and on the page. Common practice, no source. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { defaultPreset, parsePreset } from '../../src/life/preset.ts'
import { firstOf, LONGEST_MESSAGE, shortened } from '../../src/life/problemWords.ts'
import { say } from '../../src/page/actions.ts'
import { refuse } from '../../src/page/refuse.ts'
import { createPageStore } from '../../src/page/store.ts'
import { launch, ROOT } from '../fixtures/spawned.ts'

const LONG = 'a'.repeat(100_000)
const strangers = Object.fromEntries(Array.from({ length: 10_000 }, (_, i) => [`stranger${i}`, i]))
const crowded = JSON.stringify({ format: 'rimtide-preset', version: 1, drop: strangers })
const drop = join(ROOT, 'presets/harbour-lane-lens.json')
let folder: string
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'rimtide-words-'))
  writeFileSync(join(folder, 'crowded.json'), crowded)
  writeFileSync(
    join(folder, 'twice.json'),
    `{"format":"rimtide-preset","version":1,"drop":{"${LONG}":1,"${LONG}":2}}`,
  )
  writeFileSync(
    join(folder, 'liquid.json'),
    JSON.stringify({ format: 'rimtide-liquid', version: 1, kind: 'oil', name: 'x', ...strangers }),
  )
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

describe('a long text', () => {
  it('keeps begin and end, and is no longer than permitted', () => {
    const text = `begin ${LONG} end`
    const cut = shortened(text)
    expect(cut.length).toBeLessThanOrEqual(LONGEST_MESSAGE)
    expect(cut).toMatch(/^begin a+ … a+ end$/)
    expect(shortened(text, 60).length).toBeLessThanOrEqual(60)
    expect(shortened('short')).toBe('short')
  })
  it('is never cut within a character', () => {
    for (let most = 40; most < 60; most++)
      expect(() => encodeURIComponent(shortened('💧'.repeat(100), most))).not.toThrow()
  })
})

describe('many messages', () => {
  it('are the first, and how many more', () => {
    expect(firstOf(['a', 'b', 'c', 'd'], 2)).toEqual(['a', 'b', '(and 2 more)'])
    expect(firstOf(['a', 'b'], 2)).toEqual(['a', 'b'])
    expect(firstOf([], 2)).toEqual([])
  })
})

describe('the command line', () => {
  it.each(['simulate crowded.json', `simulate ${drop} --liquid liquid.json`, 'scaling crowded.json'])(
    'tells twenty of ten thousand mistakes: %s',
    async (line) => {
      const args = line.replace(/\w+\.json$/, (name) => join(folder, name)).split(' ')
      const { code, out, err } = await launch(args)
      expect({ code, out }).toEqual({ code: 2, out: '' })
      expect(err.split('\n')).toHaveLength(22)
      expect(err).toMatch(/is not a key of .*\n\(and 99\d\d more\)\n$/s)
      expect(err.length).toBeLessThan(5000)
    },
  )
  it.each([
    ['a title', ['simulate', drop, '--set', `title=${LONG}`], /title has 100000 .* at most 200\.\n$/],
    ['a key', ['simulate', drop, '--set', `${LONG}=1`], /is not a key of a preset/],
    ['a value', ['compare', drop, drop, '--scan', LONG], /Permitted: auto, always, never/],
    ['an option', ['recipe', `--${LONG}`], /Unknown option/],
    ['a file', ['simulate', LONG], /there is no such file/],
    ['a key given twice', ['simulate', 'twice.json'], /is given twice/],
  ])('does not repeat %s of any length', async (_, args, message) => {
    const { code, out, err } = await launch(args.map((arg) => arg.replace(/^twice/, `${folder}/twice`)))
    expect({ code, out }).toEqual({ code: 2, out: '' })
    expect(err).toMatch(message)
    expect(err.length).toBeLessThan(LONGEST_MESSAGE + 100)
  })
})

describe('the page', () => {
  const store = () => createPageStore(defaultPreset())
  it('tells the first of ten thousand mistakes', () => {
    const page = store()
    const read = parsePreset(crowded)
    refuse(page, 'crowded.json is not a preset that can be used.', read.ok ? [] : read.problems)
    const { text } = page.getState().messages[0]!
    expect(text).toMatch(/^crowded\.json is not .*\(and 9996 more\)$/)
    expect(text.length).toBeLessThan(1000)
  })
  it('does not repeat a text of any length', () => {
    const page = store()
    refuse(page, `${LONG} cannot be used.`, [{ message: `${LONG} is given twice.` }])
    say(page, 'note', LONG)
    for (const { text } of page.getState().messages) expect(text.length).toBeLessThanOrEqual(LONGEST_MESSAGE)
    expect(page.getState().messages).toHaveLength(2)
  })
})
