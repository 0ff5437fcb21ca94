/** The report as a document: text stays text, nothing runs, nothing is fetched, ids are unique. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { momentsIn } from '../../src/page/report/choice.ts'
import { type ReportContent, reportHtml, withOwnIds } from '../../src/page/report/document.ts'
import { offeredParts, offerPart, watchParts } from '../../src/page/report/parts.ts'
import { titledSvg } from '../../src/page/report/titled.ts'

const table = (title: string, cell: string) => ({
  title,
  columns: [
    { name: 'a', label: 'a', unit: 'mm' },
    { name: 'b', label: 'b', unit: '' },
  ],
  rows: [[cell, 1.23456]],
})

const picture =
  '<svg xmlns="http://www.w3.org/2000/svg" width="700" height="300" viewBox="0 0 700 300"><clipPath id="clip0"><rect/></clipPath><g clip-path="url(#clip0)"/></svg>'

const contentWith = (words: string): ReportContent => ({
  title: words,
  names: words,
  date: words,
  text: words,
  drop: words,
  note: words,
  notice: words,
  sentence: words,
  results: table(words, words),
  figures: [
    { title: words, caption: words, svg: picture, table: table(words, words) },
    { title: words, caption: words, svg: picture },
    { title: words, caption: words, table: table(words, words) },
  ],
  measured: table(words, words),
  leftOut: [words],
  settings: table(words, words),
  sources: [words],
  errors: table(words, words),
  warnings: [words],
  limits: [words],
  cautions: [
    { label: words, text: words },
    { label: words, text: words },
  ],
})

/** Names of the elements in a text of HTML, as a reader of tags sees them. */
const tags = (html: string): string[] =>
  [...html.matchAll(/<([a-z][a-z0-9]*)/gi)].map(([, name]) => name!.toLowerCase())

describe('the document', () => {
  const plain = reportHtml(contentWith('words'))

  it('has the same elements whatever the user wrote', () => {
    const texts = [
      '<script>alert(1)</script>',
      '"><img src=x onerror=alert(1)>',
      "' onmouseover='alert(1)",
      '</style><script src=//example.org/x.js></script>',
      '<!-- --> ]]> &lt;b&gt; \u0000 \u202e',
    ]
    for (const words of texts) {
      const html = reportHtml(contentWith(words))
      expect(tags(html), words).toEqual(tags(plain))
      expect(html, words).not.toMatch(/ on[a-z]+ ?=\s*["'](?!&)/)
    }
    expect(reportHtml(contentWith(texts[0]!))).toContain('&#60;script&#62;alert(1)&#60;/script&#62;')
  })
  it('any text at all', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 60 }), (words) => {
        // Empty texts leave their paragraph out; that is not what is looked at here.
        const html = reportHtml(contentWith(`x${words}x`))
        expect(tags(html)).toEqual(tags(plain))
      }),
      { numRuns: 200 },
    )
  })
  it('holds no script, no address, and forbids both', () => {
    expect(tags(plain)).not.toContain('script')
    expect(plain).not.toMatch(/https?:|\bsrc=|\bhref=|@import|url\((?!#)/)
    expect(plain).toContain("default-src 'none'; style-src 'unsafe-inline'; img-src data:")
  })
  it('gives each picture ids of its own, a number, and a name for those who hear it', () => {
    const ids = [...plain.matchAll(/ id="([^"]*)"/g)].map(([, id]) => id)
    expect(ids).toEqual(['f1-clip0', 'f2-clip0'])
    expect([...plain.matchAll(/url\(#([^)]*)\)/g)].map(([, id]) => id)).toEqual(['f1-clip0', 'f2-clip0'])
    expect(plain).toContain('Figure 2. words.')
    expect(plain).not.toContain('Figure 3')
    expect(plain.match(/<svg role="img" aria-label="words"/g)).toHaveLength(2)
  })
  it('numbers stand right with the digits of reading, units in the head', () => {
    expect(plain).toContain('<th scope="col">a, mm</th>')
    expect(plain).toContain('<td class="number">1.23</td>')
  })
})

it('ids that begin alike do not get mixed up', () => {
  const svg = '<svg><clipPath id="c1"/><clipPath id="c10"/><g clip-path="url(#c10)"/><use href="#c1"/></svg>'
  expect(withOwnIds(svg, 'p-')).toBe(
    '<svg><clipPath id="p-c1"/><clipPath id="p-c10"/><g clip-path="url(#p-c10)"/><use href="#p-c1"/></svg>',
  )
})

it('a single picture carries its title, escaped, above the figure', () => {
  const text = titledSvg({ title: 'a < b', caption: '', svg: picture }, 'drop & oil')
  expect(text).toMatch(
    /^<svg xmlns="http:\/\/www\.w3\.org\/2000\/svg" width="156.58mm" height="78.74mm" viewBox="0 0 700 352"/,
  )
  expect(text).toContain('a &#60; b')
  expect(text).toContain('drop &#38; oil')
  expect(text).toContain('<svg y="52" width="700"')
})

describe('moments', () => {
  it('are read with decimal point or comma, in order, once each', () => {
    expect(momentsIn('6; 0,5 3.0, 3', 8, 2)).toEqual({ ok: true, times: [0.5, 3, 6] })
    expect(momentsIn('', 8, 2)).toEqual({ ok: true, times: [2] })
    expect(momentsIn(' ', 8, 20)).toEqual({ ok: true, times: [8] })
  })
  it('outside the life, or no numbers, are refused with the range', () => {
    for (const text of ['9', '-1', 'noon', '1;;x']) {
      expect(momentsIn(text, 8, 2), text).toMatchObject({
        ok: false,
        message: expect.stringContaining('0 to 8 s'),
      })
    }
    expect(momentsIn('0;1;2;3;4;5;6;7;8', 8, 2)).toMatchObject({
      ok: false,
      message: expect.stringContaining('at most 8'),
    })
  })
})

describe('parts', () => {
  it('come in order, replace those of the same id, and go again', () => {
    let told = 0
    const end = watchParts(() => told++)
    const part = (id: string, order: number, label = id) => ({
      id,
      label,
      order,
      first: true,
      lacks: () => '',
      make: () => [],
    })
    const ends = [offerPart(part('b', 2)), offerPart(part('a', 1)), offerPart(part('b', 2, 'new'))]
    expect(offeredParts().map(({ label }) => label)).toEqual(['a', 'new'])
    ends[0]!()
    expect(offeredParts()).toHaveLength(2)
    ends[1]!()
    ends[2]!()
    expect(offeredParts()).toHaveLength(0)
    expect(told).toBe(5)
    end()
  })
})
