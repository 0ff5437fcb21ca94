/**
 * Presets kept in this browser: a JSON list of preset texts. A record that cannot be read (a later version, a damaged
 * one) stays where it is, to the letter; a list that cannot be read at all is set aside under a key of its own.
 */
import { parsePreset, serialisePreset } from '../life/preset.ts'
import type { Preset } from '../life/types.ts'

export const LIST_KEY = 'rimtide.presets'
/** Lists set aside have this before their number. */
export const ASIDE_STEM = 'rimtide.presets.unreadable-'

/** A record that cannot be read. `place` counts from 1. */
export interface Unread {
  place: number
  text: string
  reason: string
}

export interface KeptList {
  presets: Preset[]
  unread: Unread[]
  /** Key of a list that has just been set aside, '' if none was. */
  aside: string
  /** Why nothing may be written now, '' if all is well: writing would destroy something. */
  wrong: string
}

/** The records as they stand in the store; null if what stands there is no list. */
function recordsIn(text: string): unknown[] | null {
  try {
    const stored: unknown = JSON.parse(text)
    return Array.isArray(stored) ? stored : null
  } catch {
    return null
  }
}

/** Moves a list that cannot be read to a free key. The old place is emptied only once the new one holds it. */
function setAside(text: string): string {
  let number = 1
  while (localStorage.getItem(ASIDE_STEM + number) !== null) number++
  const key = ASIDE_STEM + number
  localStorage.setItem(key, text)
  if (localStorage.getItem(key) !== text) throw new Error('the copy differs')
  localStorage.removeItem(LIST_KEY)
  return key
}

const reasonOf = (error: unknown): string => (error instanceof Error ? error.message : 'no reason given')

const readRecord = (record: unknown) =>
  typeof record === 'string'
    ? parsePreset(record)
    : { ok: false as const, problems: [{ where: '', message: 'This is no text of a preset.' }] }

/** What is kept, read anew each time: other tabs write too. */
function look(): KeptList & { records: unknown[] } {
  const list: KeptList & { records: unknown[] } = {
    records: [],
    presets: [],
    unread: [],
    aside: '',
    wrong: '',
  }
  let text: string
  try {
    text = localStorage.getItem(LIST_KEY) || '[]'
  } catch (error) {
    return { ...list, wrong: `This browser did not keep the preset (${reasonOf(error)}).` }
  }
  const records = recordsIn(text)
  if (!records) {
    try {
      return { ...list, aside: setAside(text) }
    } catch (error) {
      const wrong = `The list of kept presets cannot be read, and this browser has no room to set it aside (${reasonOf(error)}). Nothing is written over it.`
      return { ...list, wrong }
    }
  }
  list.records = records
  records.forEach((record, i) => {
    const read = readRecord(record)
    if (read.ok) list.presets.push(read.preset)
    else {
      const reason = read.problems[0]?.message ?? 'no reason given'
      const unread = typeof record === 'string' ? record : JSON.stringify(record)
      list.unread.push({ place: i + 1, text: unread, reason })
    }
  })
  return list
}

export const keptPresets = (): KeptList => look()

/** Lists that were set aside, now or on an earlier visit, by their keys. */
export function listsAside(): { key: string; text: string }[] {
  try {
    return Object.keys(localStorage)
      .filter((key) => key.startsWith(ASIDE_STEM))
      .map((key) => ({ key, text: localStorage.getItem(key) ?? '' }))
  } catch {
    return []
  }
}

/** The list as it stands in the store, for whoever wants to save it where it could not be set aside. */
export function listText(): string {
  try {
    return localStorage.getItem(LIST_KEY) ?? ''
  } catch {
    return ''
  }
}

const titled = (record: unknown, title: string): boolean => {
  const read = readRecord(record)
  return read.ok && read.preset.title === title
}

/** What came of a change: `wrong` is '' if it is kept; `aside` as in KeptList. */
export type Written = Pick<KeptList, 'aside' | 'wrong'>

function write(change: (records: readonly unknown[]) => unknown[]): Written {
  const { records, aside, wrong } = look()
  if (wrong) return { aside, wrong }
  try {
    localStorage.setItem(LIST_KEY, JSON.stringify(change(records)))
    return { aside, wrong: '' }
  } catch (error) {
    return { aside, wrong: `This browser did not keep the preset (${reasonOf(error)}).` }
  }
}

/** Keeps a preset in this browser; one with the same title is replaced. Records that cannot be read stay. */
export const keepPreset = (preset: Preset): Written =>
  write((records) => [...records.filter((one) => !titled(one, preset.title)), serialisePreset(preset)])

/** Takes a kept preset out. Records that cannot be read stay. */
export const forgetPreset = (title: string): Written =>
  write((records) => records.filter((one) => !titled(one, title)))
