/** Messages about what the user gave, kept to what can be read: a file can hold ten thousand mistakes, or one of a megabyte. */

/** Longest message that is told whole; the program's own are shorter, what they repeat of the user's may not be. */
export const LONGEST_MESSAGE = 3000
/** What is left of the end of a longer one: there it says what is permitted. */
const END = 600

/** A text of at most `most` characters: of a longer one, begin and end with an ellipsis between. No character is cut in two. */
export function shortened(text: string, most = LONGEST_MESSAGE): string {
  if (text.length <= most) return text
  const end = Math.min(END, Math.floor(most / 3))
  const first = text.slice(0, most - end - 3).replace(/[\uD800-\uDBFF]$/, '')
  const last = text.slice(text.length - end).replace(/^[\uDC00-\uDFFF]/, '')
  return `${first} … ${last}`
}

/** The first `most` messages, each shortened, and how many more there are. */
export function firstOf(messages: readonly string[], most: number): string[] {
  const told = messages.slice(0, most).map((message) => shortened(message))
  const rest = messages.length - told.length
  return rest > 0 ? [...told, `(and ${rest} more)`] : told
}
