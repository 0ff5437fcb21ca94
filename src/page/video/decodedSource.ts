/**
 * A video file as a recording, frame by frame: the file's own list of frames says which there are and when, and each is
 * decoded by itself or from those before it. Nothing is sought and nothing played.
 */
import {
  BlobSource,
  EncodedPacketSink,
  Input,
  type InputVideoTrack,
  Logging,
  LogLevel,
  MATROSKA,
  MP4,
  MPEG_TS,
  OGG,
  QTFF,
  type VideoSample,
  VideoSampleSink,
  WEBM,
} from 'mediabunny'
import { createFrameReader, type FrameSource, readingSize, type Shot } from './source.ts'

/** Two moments nearer than this are the same frame's, s: files and decoders round to microseconds. */
const sameMoment = 2e-6
/** Farther on than so many frames, decoding begins anew at the nearest frame that stands by itself. */
const farOn = 40

/** Times of all frames, in order, each once. */
async function timesOf(track: InputVideoTrack): Promise<number[]> {
  const times: number[] = []
  const packets = new EncodedPacketSink(track).packets(undefined, undefined, { metadataOnly: true })
  for await (const { timestamp, duration } of packets) {
    // What ends before the beginning is there for later frames to build on and never shown.
    if (timestamp >= 0 || timestamp + duration > sameMoment) times.push(timestamp)
  }
  return times.sort((a, b) => a - b).filter((time, i) => i === 0 || time - times[i - 1]! > sameMoment)
}

/** Middle one of the distances between neighbouring frames, s; a second for a single frame. */
function usualInterval(times: readonly number[]): number {
  const steps = times.slice(1).map((time, i) => time - times[i]!)
  return steps.sort((a, b) => a - b)[Math.floor(steps.length / 2)] ?? 1
}

/** True if the decoded picture is marked as that of this moment, not only in the order of those of other moments. */
function ownTime(sample: VideoSample, time: number): boolean {
  const picture = sample.toCanvasImageSource()
  return !(picture instanceof VideoFrame) || Math.abs(picture.timestamp / 1e6 - time) <= sameMoment
}

interface Decoding {
  samples: AsyncGenerator<VideoSample, void, unknown>
  /** Frame that comes next, and one that was decoded ahead of its turn. */
  next: number
  held: VideoSample | null
}

/** Gives pictures by their number; what was decoded last goes on, so that frames in order cost one decoding each. */
function createDecoder(track: InputVideoTrack, times: readonly number[]) {
  const sink = new VideoSampleSink(track)
  let decoding: Decoding | null = null

  async function stop(): Promise<void> {
    const last = decoding
    decoding = null
    last?.held?.close()
    await last?.samples.return()
  }

  /** The picture of a moment; null if none comes for it, though later ones do. */
  async function advance(from: Decoding, time: number): Promise<VideoSample | null> {
    for (;;) {
      const sample = from.held ?? ((await from.samples.next()).value || null)
      from.held = null
      if (!sample) return null
      if (sample.timestamp > time + sameMoment) {
        from.held = sample
        return null
      }
      if (sample.timestamp >= time - sameMoment) return sample
      sample.close()
    }
  }

  return {
    stop,
    async picture(index: number): Promise<VideoSample | null> {
      const time = times[index]!
      if (!decoding || index < decoding.next || index - decoding.next > farOn) {
        await stop()
        decoding = { samples: sink.samples(time), next: index, held: null }
      }
      try {
        const sample = await advance(decoding, time)
        decoding.next = index + 1
        if (!sample || ownTime(sample, time)) return sample
        sample.close()
        return null
      } catch {
        await stop().catch(() => {})
        return null
      }
    },
  }
}

/** One after another: a decoder does one thing at a time. */
function createTurns(): <T>(work: () => Promise<T>) => Promise<T> {
  let last: Promise<unknown> = Promise.resolve()
  return (work) => {
    const mine = last.then(work, work)
    last = mine.catch(() => {})
    return mine
  }
}

async function sourceOf(name: string, input: Input, track: InputVideoTrack): Promise<FrameSource | null> {
  const times = await timesOf(track)
  if (times.length === 0) return null
  const decoder = createDecoder(track, times)
  const first = await decoder.picture(0)
  if (!first) return null
  const [fullWidth, fullHeight] = [first.displayWidth, first.displayHeight]
  first.close()
  const size = readingSize(fullWidth, fullHeight)
  const read = createFrameReader(size.width, size.height)
  const inTurn = createTurns()

  async function shot(index: number): Promise<Shot> {
    const time = times[index]!
    const sample = await inTurn(() => decoder.picture(index))
    if (!sample) return { time, frame: null, flag: 'unreadable' }
    const same = sample.displayWidth === fullWidth && sample.displayHeight === fullHeight
    const frame = same ? read((context) => sample.draw(context, 0, 0, size.width, size.height)) : null
    sample.close()
    return frame ? { time, frame } : { time, frame: null, flag: 'size-changed' }
  }
  /** Number of the frame that is shown at a moment. */
  const indexAt = (time: number): number => {
    let [low, high] = [0, times.length - 1]
    while (low < high) {
      const middle = Math.ceil((low + high) / 2)
      if (times[middle]! <= time + sameMoment) low = middle
      else high = middle - 1
    }
    return low
  }
  return {
    name,
    kind: 'video',
    way: 'own-times',
    ...size,
    end: times.at(-1)!,
    interval: usualInterval(times),
    at: (time) => shot(indexAt(time)),
    async after(time, count) {
      const index = indexAt(time) + count
      return index < times.length ? shot(index) : null
    },
    before: (time, count) => shot(Math.max(0, indexAt(time) - count)),
    close() {
      void inTurn(() => decoder.stop()).finally(() => input.dispose())
    },
  }
}

/**
 * Opens a video frame by frame; null where that cannot be done: no decoder in this browser, or none for this codec, a
 * container that is not known, no list of frames, a first frame that cannot be decoded. Never rejects.
 */
export async function openDecoded(file: File): Promise<FrameSource | null> {
  if (typeof VideoDecoder === 'undefined') return null
  Logging.level = LogLevel.Silent
  const input = new Input({
    source: new BlobSource(file, { handleUnhandledError: () => {} }),
    formats: [MP4, QTFF, MATROSKA, WEBM, OGG, MPEG_TS],
  })
  try {
    const track = await input.getPrimaryVideoTrack()
    const source = track && (await track.canDecode()) ? await sourceOf(file.name, input, track) : null
    if (!source) input.dispose()
    return source
  } catch {
    input.dispose()
    return null
  }
}
