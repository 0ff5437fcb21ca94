/**
 * Words that a user reads: one word for one thing, and none of the phrases that readers stumbled over. A crude look at the
 * string literals of what speaks to users; names in formats (keys, JSON fields, CSV headers) are no words of a text. Our own wording.
 */
import { readdirSync, readFileSync } from 'node:fs'
import { join, relative } from 'node:path'
import { describe, expect, it } from 'vitest'
import { KEYS } from '../../src/life/keys.ts'

const root = join(import.meta.dirname, '../../src')
const folders = ['page', 'plan', 'cli', 'life', 'liquids', 'measured']
const files = folders
  .flatMap((folder) =>
    readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' }).map((name) => `${folder}/${name}`),
  )
  // Programs of the graphics processor are texts that nobody reads.
  .filter((name) => /\.(ts|html)$/.test(name) && !name.endsWith('/shaders.ts'))

/** Literals of a file with comments and plain ${…} taken out; what holds words itself stays. */
function literalsOf(source: string): string[] {
  const bare = source.replace(/\/\*[\s\S]*?\*\//g, '').replace(/(^|[\s;{}(,])\/\/.*$/gm, '$1')
  const still = bare.replace(/\$\{[^{}'"`]*\}/g, '…')
  return still.match(/'(?:[^'\\\n]|\\.)*'|"(?:[^"\\\n]|\\.)*"|`(?:[^`\\]|\\.)*`/g) ?? []
}

/** Texts with at least one blank, so no keys, no names of fields, classes or files. */
const texts = files
  .filter((name) => name.endsWith('.ts'))
  .flatMap((name) =>
    literalsOf(readFileSync(join(root, name), 'utf8')).map((text) => ({ name: relative('.', name), text })),
  )
  .filter(({ text }) => /[A-Za-z]{2,} |^.[A-Z][a-z]+.$/.test(text))

/** Texts about other rings than the drop's. */
const OTHER_RINGS = [/solved over rings: in the limits/]

const disused: [string, RegExp][] = [
  ['ring (rim is the word)', /\brings?\b(?![_.])(?!['"`]\])/i],
  ['refuse', /see it refuse/],
  ['coverage cut-off without what it means', /depends on the coverage cut-off/],
  ['does not ask', /does not ask what/],
  ['nine tenths', /nine tenths/],
  ['left over', /What is left over/],
  ['comes of', /\b(?:comes|came|come) of\b/],
  ['leaves by it', /leaves the drop by it/],
  ['leads to its control', /[Ee]ach leads to/],
  ['carried on', /carried on beyond/],
  ['shows its collapse', /series shows its collapse|a spread needs two/],
  ['counted in the rows', /counted in the rows/],
  ['done by itself', /done by itself/],
  ['hangs on', /\bhangs? on\b/],
  ['told', /(?:is|are) not told|neither is told/],
  ['good to', /\bgood to (?:a|±|about)/],
  ['in no bottle', /in no bottle/],
]

describe('what users read', () => {
  it('is found at all', () => {
    expect(texts.length).toBeGreaterThan(1200)
    expect(texts.some(({ text }) => text.includes('stays a lens on this oil'))).toBe(true)
  })
  it.each(disused)('has no more: %s', (_, phrase) => {
    const found = texts.filter(
      ({ text }) => phrase.test(text) && !OTHER_RINGS.some((other) => other.test(text)),
    )
    expect(found).toEqual([])
  })
  it('explains each input in a sentence, not by a symbol alone', () => {
    for (const { path, help } of KEYS) {
      expect([path, help]).toEqual([path, expect.stringMatching(/^(?:An |A |How |[A-Z][a-z]+)[^.]{12,}[.:]/)])
      expect([path, help.split(/[.:;] /)[0]!.length < 170]).toEqual([path, true])
    }
  })
})
