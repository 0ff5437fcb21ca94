/**
 * Spreadsheet workbooks (xlsx: Office Open XML, ISO/IEC 29500) → one text a sheet, which is read like any other table. Cells
 * give what they hold, formulas their last result; merged cells are filled in the first only. The library for it is loaded
 * when the first workbook comes.
 */
import { strFromU8, strToU8, unzipSync, zipSync } from 'fflate'
import { LARGEST_FILE } from './decode.ts'
import type { Sheet } from './sheets.ts'
import type { Problem } from './types.ts'

/** `sheets` holds only those with something in them, at least one. */
export type WorkbookResult = { ok: true; sheets: Sheet[] } | { ok: false; problems: Problem[] }

/** Most bytes of all parts of a workbook once they are unpacked. */
const LARGEST_UNPACKED = 400_000_000
/** Most cells of a sheet. */
const MOST_CELLS = 20_000_000

type Cell = string | number | boolean | Date | null

/** Reads all sheets. What cannot be read is said; never throws. */
export async function readWorkbook(bytes: Uint8Array, name: string): Promise<WorkbookResult> {
  const refuse = (message: string): WorkbookResult => ({ ok: false, problems: [{ where: name, message }] })
  if (bytes.length > LARGEST_FILE)
    return refuse(
      `The file has ${Math.ceil(bytes.length / 1e6)} MB; the limit is ${LARGEST_FILE / 1e6} MB. Keep fewer rows.`,
    )
  const unpacked = unpack(bytes)
  if (typeof unpacked === 'string') return refuse(unpacked)
  try {
    const { default: read } = await import('read-excel-file/universal')
    const rows = async (timed: boolean) =>
      (await read(packed(unpacked, timed), { trim: false })) as unknown as {
        sheet: string
        data: Cell[][]
      }[]
    const sheets = await rows(true)
    const from1904 = /\bdate1904=["'](?:1|true)["']/.test(strFromU8(unpacked['xl/workbook.xml']!))
    // A moment's number of days is wanted as it stands in the file, not rounded to a date.
    const raw = sheets.some(({ data }) => data.some(hasDate)) ? await rows(false) : sheets
    const filled = sheets.flatMap(({ sheet, data }, k) => {
      if (!data.some((row) => row.some((cell) => cell !== null && cell !== ''))) return []
      return [{ name: sheet, text: sheetText(data, raw[k]!.data, from1904 ? TO_1904 : 0) }]
    })
    const cells = sheets.reduce((sum, { data }) => sum + data.length * (data[0]?.length ?? 0), 0)
    if (cells > MOST_CELLS) return refuse(`The workbook has ${cells} cells; at most ${MOST_CELLS} are read.`)
    return filled.length > 0 ? { ok: true, sheets: filled } : refuse('The workbook holds no cells.')
  } catch (error) {
    const said = error instanceof Error ? error.message.slice(0, 200) : 'no reason given'
    return refuse(`This workbook cannot be read (${said}). Save the sheet as CSV and choose that file.`)
  }
}

/** The parts of the workbook that are needed, by their paths; or what is wrong with it. */
function unpack(bytes: Uint8Array): Record<string, Uint8Array> | string {
  let size = 0
  try {
    const parts = unzipSync(bytes, {
      filter: ({ name, originalSize }) => {
        const wanted = /\.(xml|rels)$/.test(name)
        if (wanted) size += originalSize
        return wanted && size <= LARGEST_UNPACKED
      },
    })
    if (size > LARGEST_UNPACKED)
      return `Unpacked, the workbook has ${Math.ceil(size / 1e6)} MB; at most ${LARGEST_UNPACKED / 1e6} MB are read.`
    const sums = checksums(bytes)
    if (Object.entries(parts).some(([path, part]) => sums.get(path) !== crc32(part)))
      return 'The workbook is damaged: what is in it does not agree with its own checksums.'
    if (parts['xl/workbook.xml']) return parts
  } catch {
    return 'This file begins like a workbook, but it is damaged or cut off.'
  }
  return 'This is an archive, but no workbook of the kind xlsx: save the sheet as xlsx or CSV and choose that file.'
}

/** Checksums of the parts by their paths, as the archive's directory has them (ISO/IEC 21320-1: a ZIP file). */
function checksums(zip: Uint8Array): Map<string, number> {
  const view = new DataView(zip.buffer, zip.byteOffset, zip.byteLength)
  const sums = new Map<string, number>()
  let end = zip.length - 22
  while (end > 0 && view.getUint32(end, true) !== 0x06054b50) end--
  let at = view.getUint32(end + 16, true)
  for (let k = view.getUint16(end + 10, true); k > 0; k--) {
    if (view.getUint32(at, true) !== 0x02014b50) break
    const name = view.getUint16(at + 28, true)
    sums.set(strFromU8(zip.subarray(at + 46, at + 46 + name)), view.getUint32(at + 16, true))
    at += 46 + name + view.getUint16(at + 30, true) + view.getUint16(at + 32, true)
  }
  return sums
}

const CRC_TABLE = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n
  for (let k = 0; k < 8; k++) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1
  return c
})

/** The checksum of ZIP files: CRC-32 (ISO/IEC 8802-3), as an unsigned number. */
function crc32(bytes: Uint8Array): number {
  let crc = 0xffffffff
  for (let i = 0; i < bytes.length; i++) crc = CRC_TABLE[(crc ^ bytes[i]!) & 0xff]! ^ (crc >>> 8)
  return (crc ^ 0xffffffff) >>> 0
}

/**
 * The archive once more, not compressed, so that the library unpacks it without helpers of its own, which the page forbids;
 * with one format for all cells that hold moments (if `timed`) and the general one for all others.
 */
function packed(parts: Record<string, Uint8Array>, timed: boolean): ArrayBuffer {
  const styled = Object.fromEntries(
    Object.entries(parts).map(([path, part]) => [
      path,
      /styles\.xml$/.test(path) ? strToU8(plainStyles(strFromU8(part), timed)) : part,
    ]),
  )
  const made = zipSync(styled, { level: 0 })
  return made.buffer.slice(made.byteOffset, made.byteOffset + made.length) as ArrayBuffer
}

/** ISO/IEC 29500-1, 18.8.30: the numbers of built-in formats; hours:minutes:seconds, and general. */
const TIME_FORMAT = 21
const GENERAL_FORMAT = 0

function plainStyles(styles: string, timed: boolean): string {
  const own = new Map<string, string>()
  for (const [element] of styles.matchAll(/<(?:\w+:)?numFmt\b[^>]*>/g)) {
    const id = /numFmtId=["'](\d+)["']/.exec(element)?.[1]
    const code = /formatCode=(?:"([^"]*)"|'([^']*)')/.exec(element)
    if (id && code) own.set(id, code[1] ?? code[2] ?? '')
  }
  return styles.replace(
    /(<(?:\w+:)?xf\b[^>]*?\bnumFmtId=)(["'])(\d+)\2/g,
    (_, before: string, mark: string, id: string) => {
      const format = timed && isTimeFormat(Number(id), own.get(id)) ? TIME_FORMAT : GENERAL_FORMAT
      return `${before}${mark}${format}${mark}`
    },
  )
}

/** Whether a number format shows moments: a built-in one (ISO/IEC 29500-1, 18.8.30), or a code with y, m, d, h or s. */
function isTimeFormat(id: number, code: string | undefined): boolean {
  if (code === undefined)
    return (
      (id >= 14 && id <= 22) || (id >= 27 && id <= 36) || (id >= 45 && id <= 47) || (id >= 50 && id <= 58)
    )
  const bare = code
    .replace(/&quot;/g, '"')
    .replace(/"[^"]*"/g, '')
    .replace(/\\.|_.|\*./g, '')
    .replace(/\[(?!(?:h+|m+|s+)\])[^\]]*\]/gi, '')
    .replace(/general/gi, '')
  return /[ymdhs]/i.test(bare)
}

const hasDate = (row: readonly Cell[]) => row.some((cell) => cell instanceof Date)

function sheetText(data: readonly Cell[][], raw: readonly Cell[][], shift: number): string {
  return data
    .map((row, i) =>
      row
        .map((cell, k) => (cell instanceof Date ? momentText(raw[i]?.[k], shift) : cellText(cell)))
        .join('\t'),
    )
    .join('\n')
}

/** A cell as text that neither ends its column nor its line; a quotation mark at its beginning is doubled within others. */
function cellText(cell: Cell): string {
  if (cell === null || cell === undefined) return ''
  if (typeof cell !== 'string') return String(cell)
  const text = cell.replace(/[\t\r\n\u2028\u2029]+/g, ' ')
  return text.startsWith('"') ? `"${text.replaceAll('"', '""')}"` : text
}

/** First number of days that is a day of the calendar rather than a duration: no run was made in 1900. */
const FIRST_YEAR = 366
/** Days from the origin of the calendar of workbooks (1899-12-30) to that of Unix. */
const UNIX = 25_569
/** Days by which a calendar that begins in 1904 is behind (ISO/IEC 29500-1, 18.17.4.1). */
const TO_1904 = 1462

/** Days → "h:mm:ss.s" for a duration or a time of the day, "2026-11-29" or "2026-11-29 10:00:05" for a day. */
function momentText(days: Cell | undefined, shift: number): string {
  if (typeof days !== 'number' || !Number.isFinite(days)) return ''
  if (days < 0) return `${days} days`
  const seconds = Number((days * 86_400).toFixed(6))
  if (days < FIRST_YEAR) {
    const [whole, part = ''] = String(Number((seconds % 60).toFixed(6))).split('.')
    const minutes = String(Math.floor(seconds / 60) % 60).padStart(2, '0')
    const hours = Math.floor(seconds / 3600)
    return `${hours}:${minutes}:${whole!.padStart(2, '0')}${part && `.${part}`}`
  }
  const iso = new Date(Math.round((days + shift - UNIX) * 86_400_000)).toISOString()
  return iso.endsWith('T00:00:00.000Z') ? iso.slice(0, 10) : iso.slice(0, 19).replace('T', ' ')
}
