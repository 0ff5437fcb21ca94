/** What parseArgs says about wrong arguments, in the words of the other messages. */

/** The sentence for an error of parseArgs; undefined for other errors. */
export function argumentWords(error: unknown): string | undefined {
  if (!(error as { code?: string }).code?.startsWith('ERR_PARSE_ARGS')) return undefined
  const { message } = error as Error
  const dashed = /^Option '(--[a-z-]+)[^']*' argument is ambiguous/.exec(message)
  if (dashed) return `${dashed[1]}: a value that begins with a dash is written as ${dashed[1]}=VALUE.`
  const missing = /^Option '(?:-\w, )?(--[a-z-]+) <value>' argument missing/.exec(message)
  if (missing) return `${missing[1]} needs a value.`
  const surplus = /^Option '(?:-\w, )?(--[a-z-]+)' does not take an argument/.exec(message)
  if (surplus) return `${surplus[1]} is a switch: it takes no value.`
  return message.split('. To specify')[0]!
}
