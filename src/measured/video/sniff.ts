/** What a file is by its first bytes, and what to say when the browser cannot show it. */

export type FileKind = 'picture' | 'video' | 'unknown' | 'empty'

export interface Sniffed {
  kind: FileKind
  /** Container or picture format in words. */
  format: string
  /** Video codec, if the bytes name one that is known. */
  codec?: string
}

const ascii = (bytes: Uint8Array, from: number, to: number): string =>
  String.fromCharCode(...bytes.subarray(from, to))

/** Codec marks in MP4 and QuickTime sample descriptions (registry of the MP4 Registration Authority). */
const marks: readonly [string, string][] = [
  ['avc1', 'H.264'],
  ['avc3', 'H.264'],
  ['hvc1', 'H.265'],
  ['hev1', 'H.265'],
  ['av01', 'AV1'],
  ['vp09', 'VP9'],
  ['mp4v', 'MPEG-4 part 2'],
  ['apch', 'ProRes'],
  ['apcn', 'ProRes'],
  ['apcs', 'ProRes'],
  ['ap4h', 'ProRes'],
  ['MJPG', 'Motion JPEG'],
  ['mjpa', 'Motion JPEG'],
  ['jpeg', 'Motion JPEG'],
  ['DIVX', 'DivX'],
  ['XVID', 'Xvid'],
  // Codec names of Matroska and WebM (RFC 9559 and its codec registry).
  ['V_VP9', 'VP9'],
  ['V_VP8', 'VP8'],
  ['V_AV1', 'AV1'],
  ['V_MPEG4/ISO/AVC', 'H.264'],
  ['V_MPEGH/ISO/HEVC', 'H.265'],
]

function codecIn(bytes: Uint8Array): string | undefined {
  const text = new TextDecoder('latin1').decode(bytes)
  return marks.find(([mark]) => text.includes(mark))?.[1]
}

/** Looks at the first bytes of a file (a megabyte is enough; `tail` may add the last ones). */
export function sniff(bytes: Uint8Array, tail: Uint8Array = new Uint8Array()): Sniffed {
  if (bytes.length === 0) return { kind: 'empty', format: 'empty file' }
  const picture = pictureFormat(bytes)
  if (picture) return { kind: 'picture', format: picture }
  const format = videoFormat(bytes)
  if (!format) return { kind: 'unknown', format: 'unknown' }
  const codec = codecIn(bytes) ?? codecIn(tail)
  return { kind: 'video', format, ...(codec ? { codec } : {}) }
}

function pictureFormat(bytes: Uint8Array): string | null {
  const start = (...values: number[]) => values.every((value, i) => bytes[i] === value)
  if (start(0x89, 0x50, 0x4e, 0x47)) return 'PNG'
  if (start(0xff, 0xd8, 0xff)) return 'JPEG'
  if (ascii(bytes, 0, 4) === 'GIF8') return 'GIF'
  if (ascii(bytes, 0, 4) === 'RIFF' && ascii(bytes, 8, 12) === 'WEBP') return 'WebP'
  if (ascii(bytes, 0, 2) === 'BM' && bytes.length > 26 && bytes[14]! >= 12) return 'BMP'
  if (start(0x49, 0x49, 0x2a, 0) || start(0x4d, 0x4d, 0, 0x2a)) return 'TIFF'
  if (ascii(bytes, 4, 8) === 'ftyp' && /^(avif|heic|heix|mif1)/.test(ascii(bytes, 8, 12)))
    return 'HEIF or AVIF'
  return null
}

function videoFormat(bytes: Uint8Array): string | null {
  const box = ascii(bytes, 4, 8)
  if (box === 'ftyp') return ascii(bytes, 8, 10) === 'qt' ? 'QuickTime' : 'MP4'
  if (box === 'moov' || box === 'mdat' || box === 'wide') return 'QuickTime'
  if (bytes[0] === 0x1a && bytes[1] === 0x45 && bytes[2] === 0xdf && bytes[3] === 0xa3) {
    return new TextDecoder('latin1').decode(bytes.subarray(0, 64)).includes('webm') ? 'WebM' : 'Matroska'
  }
  if (ascii(bytes, 0, 4) === 'RIFF' && ascii(bytes, 8, 11) === 'AVI') return 'AVI'
  if (ascii(bytes, 0, 4) === 'OggS') return 'Ogg'
  if (bytes[0] === 0x47 && bytes[188] === 0x47) return 'MPEG transport stream'
  if (bytes[0] === 0 && bytes[1] === 0 && bytes[2] === 1 && bytes[3] === 0xba) return 'MPEG'
  if (bytes[0] === 0x30 && bytes[1] === 0x26 && bytes[2] === 0xb2 && bytes[3] === 0x75) return 'Windows Media'
  return null
}

/** Containers that browsers read at all. */
const readable = /^(MP4|QuickTime|WebM|Ogg)$/

const advice = 'Convert it to MP4 with H.264 or to WebM with VP9, or export still pictures (PNG).'

/**
 * Why a video could not be opened, in words. `playable` tells whether the browser says that it can play the codec;
 * undefined when the codec is not known.
 */
export function videoFailure(name: string, { kind, format, codec }: Sniffed, playable?: boolean): string {
  if (kind === 'empty') return `${name} is empty (0 bytes).`
  if (kind === 'unknown') return `${name} is not a video or a picture that is known here. ${advice}`
  if (!readable.test(format)) return `${name} is a ${format} file, which this browser cannot open. ${advice}`
  if (codec && playable === false) {
    return `${name} holds ${codec} video, which this browser cannot decode. ${advice}`
  }
  if (codec)
    return `${name} is damaged or cut short: its ${format} frame is there, but no picture can be decoded.`
  return `${name} is a ${format} file in which no video can be found: it is damaged, cut short, or of a kind that this browser cannot decode. ${advice}`
}

/** Media type to ask a browser about, for codecs that some browsers lack. */
export const mediaTypeOf = ({ codec }: Sniffed): string | null => {
  const types: Record<string, string> = {
    'H.264': 'video/mp4; codecs="avc1.42E01E"',
    'H.265': 'video/mp4; codecs="hvc1.1.6.L93.B0"',
    AV1: 'video/mp4; codecs="av01.0.04M.08"',
    VP9: 'video/webm; codecs="vp9"',
    VP8: 'video/webm; codecs="vp8"',
    'MPEG-4 part 2': 'video/mp4; codecs="mp4v.20.9"',
  }
  if (!codec) return null
  return types[codec] ?? 'video/x-none'
}
