/** A preset as text: JSON in, with line and column of what is wrong; JSON out in a fixed order. */
import { type ParseErrorCode, printParseErrorCode, visit } from 'jsonc-parser'
import { checkPreset, FORMAT, leavesOf, type PresetResult, problem, VERSION } from './presetCheck.ts'
import type { Preset, Problem } from './types.ts'

/** A preset is under 2 kB, with own liquids rarely over 100 kB; anything near this limit is some other file. */
export const MAX_LENGTH = 300_000

const WORDS: Record<string, string> = {
  InvalidSymbol: 'a word that JSON does not know',
  InvalidNumberFormat: 'a malformed number',
  PropertyNameExpected: 'a key in double quotes is expected',
  ValueExpected: 'a value is expected',
  ColonExpected: 'a colon is expected',
  CommaExpected: 'a comma is expected',
  CloseBraceExpected: 'a closing } is expected',
  CloseBracketExpected: 'a closing ] is expected',
  EndOfFileExpected: 'nothing more is expected after the closing }',
  InvalidCommentToken: 'JSON has no comments',
  UnexpectedEndOfComment: 'JSON has no comments',
  UnexpectedEndOfString: 'a text without closing quote',
  UnexpectedEndOfNumber: 'a malformed number',
  InvalidUnicode: 'a malformed \\u escape',
  InvalidEscapeCharacter: 'an unknown escape after a backslash',
  InvalidCharacter: 'a control character inside a text',
}

const place = (line: number, column: number): string => `line ${line + 1}, column ${column + 1}`

const syntaxProblem = (code: ParseErrorCode, line: number, column: number): Problem => {
  const words = WORDS[printParseErrorCode(code)] ?? 'not JSON'
  return problem(place(line, column), `Malformed JSON at ${place(line, column)}: ${words}.`)
}

/** Syntax errors (the first only: the rest follow from it) and keys that occur twice. */
function scan(text: string): Problem[] {
  const errors: Problem[] = []
  const twice: Problem[] = []
  const open: Set<string>[] = []
  visit(
    text,
    {
      onObjectBegin: () => void open.push(new Set()),
      onObjectEnd: () => void open.pop(),
      onObjectProperty: (name, _offset, _length, line, column, path) => {
        const names = open.at(-1)
        const full = [...path(), name].join('.')
        if (names?.has(name))
          twice.push(problem(full, `${full} is given twice (again at ${place(line, column)}). Keep one.`))
        names?.add(name)
      },
      onError: (code, _offset, _length, line, column) => void errors.push(syntaxProblem(code, line, column)),
    },
    { disallowComments: true, allowTrailingComma: false },
  )
  return errors.length > 0 ? errors.slice(0, 1) : twice
}

/** Reads JSON; what is wrong is told with line and column. */
export function readJson(text: string): { ok: true; value: unknown } | { ok: false; problems: Problem[] } {
  try {
    const problems = scan(text)
    if (problems.length > 0) return { ok: false, problems }
    return { ok: true, value: JSON.parse(text) }
  } catch {
    return { ok: false, problems: [problem('', 'This text is not JSON, or nested too deeply.')] }
  }
}

/**
 * Reads a preset file. A byte order mark is accepted. Malformed JSON is reported with line and column,
 * a key given twice with its place, everything else as checkPreset does. Never throws.
 */
export function parsePreset(text: string): PresetResult {
  const body = text.startsWith('\uFEFF') ? text.slice(1) : text
  if (body.length > MAX_LENGTH) {
    const message = `This text has ${body.length} characters; a preset has at most ${MAX_LENGTH}.`
    return { ok: false, problems: [problem('', message)] }
  }
  if (body.trim() === '') return { ok: false, problems: [problem('', 'The preset is empty.')] }
  const json = readJson(body)
  return json.ok ? checkPreset(json.value) : json
}

/** Lists of numbers stand on one line. A line break outside the quotes is the program's own, never part of a text. */
export const jsonText = (value: unknown): string =>
  `${JSON.stringify(value, null, 2).replace(/\[\n\s+([-\d.e+,\s]+)\n\s+\]/g, (_, list: string) => `[${list.replace(/\s+/g, ' ')}]`)}\n`

/** The preset as JSON text: keys in the order of the table, keys that are not set and mechanisms that are on left out, line end at the end. */
export function serialisePreset(preset: Preset): string {
  const out: Record<string, unknown> = { format: FORMAT, version: VERSION }
  for (const [path, value] of leavesOf(preset)) {
    const [group, name] = path.split('.') as [string, string?]
    if (group === 'mechanisms' && value === true) continue
    if (name === undefined) out[group] = value
    else out[group] = { ...(out[group] as object | undefined), [name]: value }
  }
  if (preset.liquids) out.liquids = preset.liquids
  return jsonText(out)
}
