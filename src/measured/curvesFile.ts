/** The whole set of curves as one file: JSON of our own, numbers to the last bit. */
import { visit } from 'jsonc-parser'
import { checkCurve } from './checkCurve.ts'
import { curveId } from './curves.ts'
import type { MeasuredCurve, Problem, Progress } from './types.ts'

export const CURVES_FORMAT = 'rimtide-curves'
const CURVES_VERSION = 1
/** Most characters of such a file. */
export const LONGEST_CURVES_FILE = 200_000_000
/** Most curves of one file. */
const mostCurves = 2000

/** Shares of the whole reading that are done when the text is looked through, and when its numbers are read. */
const SCANNED = 0.7
const PARSED = 0.85
/** Progress is told every so many characters. */
const STRIDE = 1_000_000

export type CurvesFileResult = { ok: true; curves: MeasuredCurve[] } | { ok: false; problems: Problem[] }

/**
 * The set as JSON text. Times in s, radii and uncertainties in m (null = not known), `excluded` = numbers of the points
 * set aside, counted from 1. Numbers are written so that they read back to the same bits.
 */
export function writeCurvesFile(curves: readonly MeasuredCurve[]): string {
  const head = `{\n  "format": "${CURVES_FORMAT}",\n  "version": ${CURVES_VERSION},\n  "curves": [`
  return `${head}${curves.map(curveText).join(',')}\n  ]\n}\n`
}

function curveText({ id, name, file, meta, origin, ...numbers }: MeasuredCurve): string {
  const excluded = [...(numbers.excluded?.keys() ?? [])].filter((i) => numbers.excluded![i] === 1)
  const entries: [string, string][] = [
    ['id', JSON.stringify(id)],
    ['name', JSON.stringify(name)],
    ['file', JSON.stringify(file)],
    ['meta', JSON.stringify(meta)],
    ['time_s', listText(numbers.time)],
    ['radius_m', listText(numbers.radius)],
  ]
  if (numbers.uncertainty) entries.push(['uncertainty_m', listText(numbers.uncertainty)])
  if (numbers.shared)
    entries.push([
      'shared_m',
      `{ ${numbers.shared.map(({ cause, shift }) => `"${cause}": ${listText(shift)}`).join(', ')} }`,
    ])
  if (excluded.length > 0) entries.push(['excluded', JSON.stringify(excluded.map((i) => i + 1))])
  if (origin) entries.push(['origin', JSON.stringify(origin)])
  if (numbers.provenance) entries.push(['provenance', JSON.stringify(numbers.provenance)])
  return `\n    {\n${entries.map(([key, text]) => `      "${key}": ${text}`).join(',\n')}\n    }`
}

/** JSON knows −0 but JSON.stringify does not write it. */
const listText = (values: Float64Array): string =>
  `[${Array.from(values, (x) => (Number.isNaN(x) ? 'null' : Object.is(x, -0) ? '-0' : String(x))).join(', ')}]`

/** True when a text seems to be meant as such a file; it may still be wrong. */
export const looksLikeCurvesFile = (start: string): boolean =>
  new RegExp(`"format"\\s*:\\s*"${CURVES_FORMAT}"`).test(start.slice(0, 5000))

/** Reads a file of curves. Everything that is wrong is said, with its place; never throws. `progress` is told on the way. */
export function readCurvesFile(text: string, progress: Progress = () => {}): CurvesFileResult {
  const refuse = (where: string, message: string): CurvesFileResult => ({
    ok: false,
    problems: [{ where, message }],
  })
  const body = text.startsWith('\uFEFF') ? text.slice(1) : text
  if (body.length > LONGEST_CURVES_FILE) {
    return refuse('', `The file has ${body.length} characters; at most ${LONGEST_CURVES_FILE} are read.`)
  }
  const problems = scan(body, progress)
  if (problems.length > 0) return { ok: false, problems }
  let value: unknown
  progress(SCANNED, 'reading its numbers')
  try {
    value = JSON.parse(body)
  } catch {
    return refuse('', 'This text is not JSON, or nested too deeply.')
  }
  if (!isBag(value) || value.format !== CURVES_FORMAT) {
    return refuse(
      'format',
      `This is no file of measured curves; it would begin with "format": "${CURVES_FORMAT}".`,
    )
  }
  if (value.version !== CURVES_VERSION) {
    const found = value.version === undefined ? 'missing' : JSON.stringify(value.version)
    return refuse('version', `version is ${found}; this program reads version ${CURVES_VERSION}.`)
  }
  if (!Array.isArray(value.curves)) return refuse('curves', 'curves is missing; it must be a list.')
  if (value.curves.length > mostCurves) {
    return refuse('curves', `The file has ${value.curves.length} curves; at most ${mostCurves} are read.`)
  }
  const more = unknownKeys(value, ['format', 'version', 'curves'], '')
  return readList(value.curves, more, progress)
}

function readList(list: readonly unknown[], problems: Problem[], progress: Progress): CurvesFileResult {
  const curves: MeasuredCurve[] = []
  const ids = new Map<string, number>()
  list.forEach((entry, i) => {
    progress(PARSED + (1 - PARSED) * (i / list.length), 'checking the curves')
    const read = readOne(entry, `curve ${i + 1}`)
    if (!read.ok) {
      problems.push(...read.problems)
      return
    }
    const before = ids.get(read.curve.id)
    if (before === undefined) {
      ids.set(read.curve.id, i)
      curves.push(read.curve)
    } else {
      problems.push({ where: `curve ${i + 1}`, message: `It has the same id as curve ${before + 1}.` })
    }
  })
  return problems.length > 0 ? { ok: false, problems } : { ok: true, curves }
}

const KEYS = [
  'id',
  'name',
  'file',
  'meta',
  'time_s',
  'radius_m',
  'uncertainty_m',
  'shared_m',
  'excluded',
  'origin',
  'provenance',
]

function readOne(entry: unknown, place: string) {
  if (!isBag(entry)) return checkCurve(entry, place)
  const name = typeof entry.name === 'string' ? entry.name : ''
  const where = name ? `${place} (“${name.slice(0, 40)}”)` : place
  const count = Array.isArray(entry.time_s) ? entry.time_s.length : 0
  const excluded = marksOf(entry.excluded, count)
  const problems = unknownKeys(entry, KEYS, where)
  if (excluded === null) {
    const message = `excluded must be a list of point numbers from 1 to ${count}.`
    problems.push({ where, message })
  }
  const given = typeof entry.id === 'string' && entry.id !== ''
  const checked = checkCurve(
    {
      id: given ? entry.id : entry.id === undefined ? 'new' : entry.id,
      name: entry.name,
      file: entry.file ?? '',
      meta: entry.meta,
      time: entry.time_s,
      radius: entry.radius_m,
      uncertainty: entry.uncertainty_m,
      shared: isBag(entry.shared_m)
        ? Object.entries(entry.shared_m).map(([cause, shift]) => ({ cause, shift }))
        : entry.shared_m,
      excluded: excluded ?? undefined,
      origin: entry.origin,
      provenance: entry.provenance,
    },
    where,
  )
  if (problems.length > 0 || !checked.ok) {
    return {
      ok: false as const,
      problems: [...problems, ...(checked.ok ? [] : checked.problems.map(withUnits))],
    }
  }
  const { curve } = checked
  return { ok: true as const, curve: given ? curve : { ...curve, id: curveId(curve.file, curve) } }
}

/** Names of lists as they stand in the file. */
const withUnits = ({ where, message }: Problem): Problem => ({
  where,
  message: message
    .replace(/^(time) (?=is|holds|has)/, '$1_s ')
    .replace(/^(radius|uncertainty) (?=is|holds|has)/, '$1_m '),
})

/** Point numbers → one mark per point; null if they are none. */
function marksOf(value: unknown, count: number): Uint8Array | undefined | null {
  if (value === undefined || value === null) return undefined
  const fits = (entry: unknown) =>
    Number.isInteger(entry) && (entry as number) >= 1 && (entry as number) <= count
  if (!Array.isArray(value) || !value.every(fits)) return null
  const marks = new Uint8Array(count)
  for (const number of value as number[]) marks[number - 1] = 1
  return marks
}

type Bag = Record<string, unknown>
const isBag = (value: unknown): value is Bag =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

function unknownKeys(value: Bag, known: readonly string[], where: string): Problem[] {
  return Object.keys(value)
    .filter((key) => !known.includes(key))
    .map((key) => ({
      where,
      message: `${JSON.stringify(key.slice(0, 60))} is not known here; known are ${known.join(', ')}.`,
    }))
}

/** The first syntax error, or keys that occur twice, with line and column. */
function scan(text: string, progress: Progress): Problem[] {
  const errors: Problem[] = []
  const twice: Problem[] = []
  const open: Set<string>[] = []
  let next = STRIDE
  const place = (line: number, column: number) => `line ${line + 1}, column ${column + 1}`
  try {
    visit(
      text,
      {
        onObjectBegin: () => void open.push(new Set()),
        onObjectEnd: () => void open.pop(),
        onObjectProperty(name, _offset, _length, line, column) {
          const names = open.at(-1)
          const where = place(line, column)
          if (names?.has(name))
            twice.push({ where, message: `"${name}" is given twice (again at ${where}).` })
          names?.add(name)
        },
        onSeparator(_character, offset) {
          if (offset < next) return
          next = offset + STRIDE
          progress(SCANNED * (offset / text.length), 'looking through the file')
        },
        onError(_code, _offset, _length, line, column) {
          const where = place(line, column)
          errors.push({ where, message: `Malformed JSON at ${where}.` })
        },
      },
      { disallowComments: true, allowTrailingComma: false },
    )
  } catch {
    return [{ where: '', message: 'This text is not JSON, or nested too deeply.' }]
  }
  return errors.length > 0 ? errors.slice(0, 1) : twice.slice(0, 10)
}
