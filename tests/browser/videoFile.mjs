/** Encodes drawn frames with the browser's own encoder and packs them into WebM or Matroska (RFC 8794, RFC 9559). */

/**
 * In the page, which has its brush: encoded frames as base64 with their times, and what the container must know; null if
 * it cannot. With `builds` most frames build on those before them.
 */
export async function encodeFrames({ size, drawn, times, codec, builds = false }) {
  if (typeof VideoEncoder === 'undefined') return null
  const config = {
    codec,
    ...size,
    bitrate: 6e6,
    ...(codec.startsWith('avc') ? { avc: { format: 'avc' } } : {}),
  }
  const support = await VideoEncoder.isConfigSupported(config).catch(() => ({ supported: false }))
  if (!support.supported) return null
  const base64 = (bytes) => {
    let text = ''
    for (const byte of bytes) text += String.fromCharCode(byte)
    return btoa(text)
  }
  const frames = []
  let known = null
  let failure = null
  const encoder = new VideoEncoder({
    output(chunk, meta) {
      const bytes = new Uint8Array(chunk.byteLength)
      chunk.copyTo(bytes)
      const { description } = meta?.decoderConfig ?? {}
      if (description) known = base64(new Uint8Array(description.buffer ?? description))
      frames.push({ time: chunk.timestamp / 1000, key: chunk.type === 'key', data: base64(bytes) })
    },
    error(error) {
      failure = error
    },
  })
  encoder.configure(config)
  const canvas = document.createElement('canvas')
  Object.assign(canvas, size)
  const c = canvas.getContext('2d')
  drawn.forEach((r, i) => {
    globalThis.drawDrop(c, size, r)
    const frame = new VideoFrame(canvas, { timestamp: times[i] * 1000 })
    // Each by itself: frames that build on others keep pieces of them (Chromium 156), and the drop is then not round.
    encoder.encode(frame, { keyFrame: !builds || i % 12 === 0 })
    frame.close()
  })
  await encoder.flush().catch((error) => {
    failure = error
  })
  return failure ? null : { frames, known }
}

/** One element: id, length in eight bytes, contents. */
function element(id, ...contents) {
  const body = Buffer.concat(contents.map((part) => (Buffer.isBuffer(part) ? part : Buffer.from(part))))
  const length = Buffer.alloc(8)
  length.writeBigUInt64BE(BigInt(body.length) | (1n << 56n))
  return Buffer.concat([Buffer.from(id, 'hex'), length, body])
}

function unsigned(id, value) {
  const bytes = Buffer.alloc(4)
  bytes.writeUInt32BE(value)
  return element(id, bytes)
}

function float(id, value) {
  const bytes = Buffer.alloc(8)
  bytes.writeDoubleBE(value)
  return element(id, bytes)
}

function block({ time, key, data }) {
  const head = Buffer.from([0x81, 0, 0, key ? 0x80 : 0])
  head.writeInt16BE(Math.round(time), 1)
  return element('a3', head, Buffer.from(data, 'base64'))
}

/** The whole file; `length` in ms, times of the frames in ms below 32768. */
export function packFrames({ frames, known }, { size, webm, codecName, length }) {
  const head = element(
    '1a45dfa3',
    unsigned('4286', 1),
    unsigned('42f7', 1),
    unsigned('42f2', 4),
    unsigned('42f3', 8),
    element('4282', webm ? 'webm' : 'matroska'),
    unsigned('4287', 4),
    unsigned('4285', 2),
  )
  const info = element(
    '1549a966',
    unsigned('2ad7b1', 1_000_000),
    float('4489', length),
    element('4d80', 'test'),
    element('5741', 'test'),
  )
  const track = element(
    'ae',
    unsigned('d7', 1),
    unsigned('73c5', 1),
    unsigned('83', 1),
    element('86', codecName),
    ...(known ? [element('63a2', Buffer.from(known, 'base64'))] : []),
    element('e0', unsigned('b0', size.width), unsigned('ba', size.height)),
  )
  const cluster = element('1f43b675', unsigned('e7', 0), ...frames.map(block))
  return Buffer.concat([head, element('18538067', info, element('1654ae6b', track), cluster)])
}
