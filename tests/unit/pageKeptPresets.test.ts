/** Presets kept in the browser: what cannot be read is never lost. Common practice, no source. */
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { defaultPreset, serialisePreset } from '../../src/life/preset.ts'
import {
  ASIDE_STEM,
  forgetPreset,
  keepPreset,
  keptPresets,
  LIST_KEY,
  listsAside,
} from '../../src/page/keptPresets.ts'
import { Storage } from '../fixtures/storage.ts'

const named = (title: string) => ({ ...defaultPreset(), title })
const later = serialisePreset(named('from a later version')).replace('"version": 1', '"version": 7')
const stored = () => JSON.parse(localStorage.getItem(LIST_KEY)!) as unknown[]

beforeEach(() => {
  Storage.room = Number.POSITIVE_INFINITY
  vi.stubGlobal('localStorage', new Storage())
})
afterEach(() => vi.unstubAllGlobals())

describe('records that cannot be read', () => {
  const odd = [later, { title: 'no text' }, 'rubbish', null]
  beforeEach(() => localStorage.setItem(LIST_KEY, JSON.stringify([serialisePreset(named('mine')), ...odd])))

  it('are told with their place and the reason', () => {
    const { presets, unread } = keptPresets()
    expect(presets.map(({ title }) => title)).toEqual(['mine'])
    expect(unread.map(({ place }) => place)).toEqual([2, 3, 4, 5])
    expect(unread[0]!.reason).toMatch(/version is 7/)
  })
  it('stay to the letter when others are kept, replaced and taken out', () => {
    expect(keepPreset(named('second')).wrong).toBe('')
    expect(keepPreset({ ...named('mine'), note: 'again' }).wrong).toBe('')
    expect(stored().slice(0, odd.length)).toEqual(odd)
    expect(keptPresets().presets.map(({ title, note }) => [title, note])).toEqual([
      ['second', ''],
      ['mine', 'again'],
    ])
    forgetPreset('mine')
    forgetPreset('second')
    expect(stored()).toEqual(odd)
  })
})

describe('a list that cannot be read', () => {
  it.each(['[{"broken', '{"a": 1}', 'null'])('is set aside: %s', (text) => {
    localStorage.setItem(LIST_KEY, text)
    localStorage.setItem(`${ASIDE_STEM}1`, 'an older one')
    expect(keptPresets().aside).toBe(`${ASIDE_STEM}2`)
    expect(keepPreset(named('new')).wrong).toBe('')
    expect(keptPresets().presets).toHaveLength(1)
    expect(listsAside().map(({ text: one }) => one)).toEqual(['an older one', text])
  })
  it('is set aside by keeping too, and tells so', () => {
    localStorage.setItem(LIST_KEY, '[[')
    expect(keepPreset(named('new'))).toEqual({ aside: `${ASIDE_STEM}1`, wrong: '' })
    expect(localStorage.getItem(`${ASIDE_STEM}1`)).toBe('[[')
  })
  it('is not written over where there is no room to set it aside', () => {
    const text = `[${' '.repeat(800)}`
    localStorage.setItem(LIST_KEY, text)
    Storage.room = 1500
    expect(keptPresets().wrong).toMatch(/no room[\s\S]*quota/)
    expect(keepPreset(named('new')).wrong).toMatch(/no room/)
    expect(localStorage.getItem(LIST_KEY)).toBe(text)
  })
})
