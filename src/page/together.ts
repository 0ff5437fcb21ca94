/** What several files chosen together give to say: one message, in which each can still be read. */
import { newId } from './newId.ts'
import type { Message, MessageKind, Store } from './store.ts'

/** Stores whose messages are gathered for now, by the copy that was made for it. */
const gathered = new WeakMap<Store, Message[]>()

/** True if a message is taken here, to be told together with others. */
export function gather(store: Store, message: Message): boolean {
  const list = gathered.get(store)
  list?.push(message)
  return list !== undefined
}

/** Does the work on one of several files; gives what it had to say. What is said later is said at once. */
export async function gathering(store: Store, work: (store: Store) => Promise<void>): Promise<Message[]> {
  const own: Store = { ...store }
  const list: Message[] = []
  gathered.set(own, list)
  try {
    await work(own)
  } finally {
    gathered.delete(own)
  }
  return list
}

const order: readonly MessageKind[] = ['error', 'warning', 'note']
const worst = (list: readonly Message[]): MessageKind =>
  order.find((kind) => list.some((one) => one.kind === kind)) ?? 'note'

const phrases: Record<MessageKind, [one: string, many: string]> = {
  error: ['one cannot be used', 'cannot be used'],
  warning: ['one has something left out or doubtful', 'have something left out or doubtful'],
  note: ['of one there is a note', 'have a note'],
}

/** "Of 3 files, 2 cannot be used, of one there is a note." */
function summary(files: readonly (readonly Message[])[]): string {
  if (files.every((list) => worst(list) === 'error')) return `None of the ${files.length} files can be used.`
  const told = order.flatMap((kind) => {
    const count = files.filter((list) => list.length > 0 && worst(list) === kind).length
    const [one, many] = phrases[kind]
    return count === 0 ? [] : [count === 1 ? one : `${count} ${many}`]
  })
  return `Of ${files.length} files, ${told.join(', ')}.`
}

/** One message out of what was said of each file; null if nothing was, the message itself if there is one alone. */
export function together(files: readonly (readonly Message[])[]): Message | null {
  const parts = files.flat()
  if (parts.length < 2) return parts[0] ?? null
  const kept = [...new Set(parts.map((one) => one.kept).filter(Boolean))]
  const same = kept.length === 1 && parts.every((one) => one.kept === kept[0])
  return {
    id: newId('message'),
    kind: worst(parts),
    text: summary(files),
    kept: same ? kept[0]! : '',
    parts: same ? parts.map((one) => ({ ...one, kept: '' })) : parts,
  }
}
