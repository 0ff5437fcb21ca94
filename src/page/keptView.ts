/** What the menu of presets tells about kept records and lists that cannot be read: how many, why, where they are. */
import { say } from './actions.ts'
import { el } from './dom.ts'
import { cut } from './format.ts'
import { type KeptList, LIST_KEY, listsAside, listText, type Unread } from './keptPresets.ts'
import { saveText } from './presets.ts'
import type { Store } from './store.ts'

/** Most records told one by one. */
const MOST = 3
/** Longest reason, characters. */
const LONGEST = 200

const saveButton = (label: string, name: string, text: () => string) =>
  el('button', { type: 'button', onclick: () => saveText(name, text(), 'application/json') }, label)

const asFile = (key: string): string => `${key.replaceAll('.', '-')}.json`

function unreadNote(unread: readonly Unread[]): HTMLElement {
  const count = unread.length
  const told = unread.slice(0, MOST).map(({ place, reason }) => `Record ${place}: ${cut(reason, LONGEST)}`)
  const more = count > MOST ? [`(and ${count - MOST} more)`] : []
  const head = `${count} kept ${count === 1 ? 'preset' : 'presets'} cannot be read.`
  const tail = count === 1 ? 'It stays where it is.' : 'They stay where they are.'
  const all = () => JSON.stringify(unread.map(({ text }) => text))
  return el(
    'div',
    { class: 'unread note' },
    el('p', {}, [head, ...told, ...more, tail].join(' ')),
    saveButton(count === 1 ? 'Save it as a file' : 'Save them as a file', asFile(`${LIST_KEY}.unread`), all),
  )
}

function asideNote(key: string, text: string, refill: () => void): HTMLElement {
  const forget = () => {
    localStorage.removeItem(key)
    refill()
  }
  return el(
    'div',
    { class: 'unread note' },
    el('p', {}, `A list of kept presets that could not be read is set aside in this browser as “${key}”.`),
    el(
      'div',
      { class: 'buttons' },
      saveButton('Save it as a file', asFile(key), () => text),
      el('button', { type: 'button', 'aria-label': `Forget ${key}`, onclick: forget }, 'Forget'),
    ),
  )
}

/** The notes for the menu; none if everything can be read. */
export function keptNotes({ unread, wrong }: KeptList, refill: () => void): HTMLElement[] {
  const notes = listsAside().map(({ key, text }) => asideNote(key, text, refill))
  if (unread.length > 0) notes.push(unreadNote(unread))
  if (wrong && listText()) {
    const save = saveButton('Save it as a file', asFile(LIST_KEY), listText)
    notes.push(el('div', { class: 'unread note' }, el('p', {}, wrong), save))
  }
  return notes
}

/** Says that a list has been set aside; '' = none has. */
export function sayAside(store: Store, key: string): void {
  if (!key) return
  const text = localStorage.getItem(key) ?? ''
  say(
    store,
    'warning',
    `The list of presets kept in this browser cannot be read. It is set aside in the browser's storage as “${key}”, and a new list is begun.`,
    'Nothing of it is lost: the menu of presets offers it too.',
    { label: 'Save it as a file', run: () => saveText(asFile(key), text, 'application/json') },
  )
}
