/** Bytes of a file → text, or a message that says what the file seems to be. */
import type { Problem } from './types.ts'

/** Largest file that is read, in bytes (40 MB: a million rows with three columns). */
export const LARGEST_FILE = 40_000_000

export type Decoded = { ok: true; text: string; warnings: string[] } | { ok: false; problems: Problem[] }

const WORKBOOK = 'a spreadsheet workbook or a ZIP archive: save the sheet as CSV and choose that file'

/** First bytes of common files that are no tables: [offset, bytes as Latin letters, what it is]. */
const MAGIC: readonly (readonly [number, string, string])[] = [
  [0, '\x89PNG', 'a PNG picture'],
  [0, '\xff\xd8\xff', 'a JPEG picture'],
  [0, 'GIF8', 'a GIF picture'],
  [0, 'BM', 'a BMP picture'],
  [0, 'II*\0', 'a TIFF picture'],
  [0, 'MM\0*', 'a TIFF picture'],
  [0, 'PK\x03\x04', WORKBOOK],
  [
    0,
    '\xd0\xcf\x11\xe0',
    'an old spreadsheet or text document, or one with a password: save the sheet as xlsx without a password, or as CSV',
  ],
  [0, '%PDF', 'a PDF document'],
  [0, '\x1f\x8b', 'a gzip archive'],
  [0, '7z\xbc\xaf', 'a 7z archive'],
  [0, '\x1aE\xdf\xa3', 'a WebM or Matroska video'],
  [4, 'ftyp', 'an MP4 or QuickTime video'],
  [0, 'RIFF', 'an AVI video, a WAV sound or a WebP picture'],
  [0, '\x89HDF', 'an HDF5 file'],
  [0, 'MATLAB 5', 'a MAT file: export the table as CSV'],
  [0, 'SQLite format', 'an SQLite database'],
  [0, '{\\rtf', 'a rich-text document: save it as plain text'],
  [0, '\xff\xfe\0\0', 'text in UTF-32: save it as UTF-8'],
  [0, '\0\0\xfe\xff', 'text in UTF-32: save it as UTF-8'],
]

/**
 * Decodes UTF-8, UTF-16 (with or without byte order mark) and, failing these, Windows-1252 with a warning.
 * Refuses empty files, files above `LARGEST_FILE` (before looking inside) and files that are no text.
 */
export function decodeTable(bytes: Uint8Array, name: string): Decoded {
  const refuse = (message: string): Decoded => ({ ok: false, problems: [{ where: name, message }] })
  if (bytes.length > LARGEST_FILE) {
    return refuse(
      `The file has ${megabytes(bytes.length)} MB; the limit is ${megabytes(LARGEST_FILE)} MB. Cut it or keep fewer rows.`,
    )
  }
  if (bytes.length === 0) return refuse('The file is empty.')
  const kind = MAGIC.find(([at, letters]) => startsWith(bytes, at, letters) && !isPlainBM(bytes, letters))
  if (kind) return refuse(`This is no table of text; it seems to be ${kind[2]}.`)
  const decoded = decodeText(bytes)
  if (decoded === null) return refuse('This is no table of text; it seems to be a binary file.')
  const markup = markupKind(decoded.text)
  if (markup) return refuse(`This is no table; it seems to be ${markup}.`)
  return { ok: true, ...decoded }
}

/** True for a file that begins like a ZIP archive, as workbooks (xlsx) do. */
export const looksLikeArchive = (bytes: Uint8Array): boolean => startsWith(bytes, 0, 'PK\x03\x04')

const megabytes = (n: number) => String(Math.ceil(n / 1e5) / 10)

function startsWith(bytes: Uint8Array, at: number, letters: string): boolean {
  if (bytes.length < at + letters.length) return false
  for (let i = 0; i < letters.length; i++) if (bytes[at + i] !== letters.charCodeAt(i)) return false
  return true
}

/** A table may begin with the letters BM; a picture has NUL bytes close behind them. */
function isPlainBM(bytes: Uint8Array, letters: string): boolean {
  return letters === 'BM' && !bytes.subarray(0, 32).includes(0)
}

function markupKind(text: string): string | null {
  const start = text.slice(0, 300).trimStart().toLowerCase()
  if (start.startsWith('<!doctype html') || start.startsWith('<html')) return 'a web page'
  if (start.startsWith('<?xml') || start.startsWith('<svg')) return 'an XML file'
  if (/^\{\s*"/.test(start) || /^\[\s*[[{"\d]/.test(start)) return 'a JSON file'
  return null
}

function decodeText(bytes: Uint8Array): { text: string; warnings: string[] } | null {
  const wide = wideEncoding(bytes)
  if (wide) {
    const text = decodeStrictly(bytes, wide)
    return text === null || text.includes('\0') ? null : { text, warnings: [] }
  }
  if (bytes.includes(0)) return null
  const utf8 = decodeStrictly(bytes, 'utf-8')
  const text = utf8 ?? new TextDecoder('windows-1252').decode(bytes)
  if (controlShare(text) > 0.002) return null
  const warnings = utf8 === null ? ['The file is not valid UTF-8; it was read as Windows-1252 text.'] : []
  return { text, warnings }
}

/** UTF-16 by its byte order mark, or by NUL bytes at every second place (letters of a Latin table). */
function wideEncoding(bytes: Uint8Array): 'utf-16le' | 'utf-16be' | null {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return 'utf-16le'
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return 'utf-16be'
  const n = Math.min(bytes.length, 2000) & ~1
  if (n < 4 || bytes.length % 2) return null
  const nul = [0, 0]
  for (let i = 0; i < n; i++) if (bytes[i] === 0) nul[i % 2]!++
  if (nul[1]! > 0.4 * n && nul[0] === 0) return 'utf-16le'
  if (nul[0]! > 0.4 * n && nul[1] === 0) return 'utf-16be'
  return null
}

function decodeStrictly(bytes: Uint8Array, encoding: string): string | null {
  try {
    return new TextDecoder(encoding, { fatal: true }).decode(bytes)
  } catch {
    return null
  }
}

/** Share of control characters other than tab and line ends. */
function controlShare(text: string): number {
  let count = 0
  for (let i = 0; i < text.length; i++) {
    const c = text.charCodeAt(i)
    if ((c < 32 && c !== 9 && c !== 10 && c !== 13 && c !== 12) || c === 127 || c === 0xfffd) count++
  }
  return count / Math.max(1, text.length)
}
