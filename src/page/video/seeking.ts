/**
 * A video file as a recording, where frames cannot be decoded one by one. They are reached by seeking; their times are
 * those that the browser tells of what it shows.
 */
import { mediaTypeOf, sniff, videoFailure } from '../../measured/video/sniff.ts'
import { createReader, type FrameSource, readingSize, type Shot, SourceProblem } from './source.ts'

/** Longest wait for a video to open or to seek, ms. */
const patience = 15_000
/**
 * Some browsers present nothing after a seek that stays within the shown frame; others are only slow. Waited this
 * long after the seek's end before the frame counts as the same, ms.
 */
const grace = 1000

/** Waits for one event; refuses on another or when patience ends. */
function waitFor(video: HTMLVideoElement, good: string, act: () => void): Promise<void> {
  return new Promise((resolve, reject) => {
    const end = () => {
      clearTimeout(timer)
      video.removeEventListener(good, onGood)
      video.removeEventListener('error', onBad)
    }
    const onGood = () => {
      end()
      resolve()
    }
    const onBad = () => {
      end()
      reject(new Error(video.error?.message || 'no reason given'))
    }
    const timer = setTimeout(onBad, patience)
    video.addEventListener(good, onGood)
    video.addEventListener('error', onBad)
    act()
  })
}

async function failureOf(file: File): Promise<SourceProblem> {
  const part = 1 << 20
  const head = new Uint8Array(await file.slice(0, part).arrayBuffer())
  const tail = new Uint8Array(await file.slice(Math.max(0, file.size - part)).arrayBuffer())
  const sniffed = sniff(head, tail)
  const type = mediaTypeOf(sniffed)
  const playable = type === null ? undefined : document.createElement('video').canPlayType(type) !== ''
  return new SourceProblem(videoFailure(file.name, sniffed, playable))
}

/** Played at half speed, and looked at for this long after its end, ms: a busy machine shows the last frame late. */
const slowly = 0.5
const afterwards = 400

/**
 * Plays from where the video stands to its end and gives the time of the frame that is shown then; null if that is not
 * told. Some decoders hold back the last frame from every seek.
 */
async function playOut(video: HTMLVideoElement): Promise<number | null> {
  if (typeof video.requestVideoFrameCallback !== 'function') return null
  let shown: number | null = null
  let ended = false
  const follow = (_: number, { mediaTime }: VideoFrameCallbackMetadata) => {
    shown = mediaTime
    if (!ended) video.requestVideoFrameCallback(follow)
  }
  video.requestVideoFrameCallback(follow)
  try {
    video.playbackRate = slowly
    await waitFor(video, 'ended', () => void video.play().catch(() => {}))
    await new Promise((resolve) => setTimeout(resolve, afterwards))
  } catch {
    video.pause()
  }
  video.playbackRate = 1
  ended = true
  return shown
}

interface Seeker {
  (time: number): Promise<number>
  /** The video was moved by something else. */
  forget(): void
}

/** Moves to a moment and gives the time of the frame that is then shown. */
function createSeeker(video: HTMLVideoElement): Seeker {
  let shown = 0
  let aim = Number.NaN
  const tells = typeof video.requestVideoFrameCallback === 'function'
  const seek = (time: number): Promise<number> => {
    if (time === aim) return Promise.resolve(shown)
    aim = time
    return new Promise((resolve, reject) => {
      let presented: number | null = null
      let settled = false
      const finish = () => {
        if (presented === null || !settled) return
        clearTimeout(timer)
        video.removeEventListener('seeked', onSeeked)
        shown = presented
        resolve(shown)
      }
      const onSeeked = () => {
        settled = true
        finish()
        setTimeout(() => {
          if (presented !== null) return
          presented = tells ? shown : video.currentTime
          finish()
        }, grace)
      }
      const timer = setTimeout(() => {
        video.removeEventListener('seeked', onSeeked)
        aim = Number.NaN
        reject(new SourceProblem(`The video could not be moved to ${time.toFixed(3)} s.`))
      }, patience)
      video.addEventListener('seeked', onSeeked)
      if (tells) {
        video.requestVideoFrameCallback((_, { mediaTime }) => {
          presented = mediaTime
          finish()
        })
      }
      video.currentTime = time
    })
  }
  const forget = () => {
    aim = Number.NaN
  }
  return Object.assign(seek, { forget })
}

/** Some recordings do not tell their length until they are moved to their end. */
async function lengthOf(video: HTMLVideoElement): Promise<number> {
  if (!Number.isFinite(video.duration)) {
    await waitFor(video, 'seeked', () => {
      video.currentTime = 1e6
    })
  }
  return Number.isFinite(video.duration) ? video.duration : video.currentTime
}

/**
 * Goes through the first frames in small steps to see how far apart they are, s. Too small an answer only costs time
 * later, too large a one would pass over frames: hence 1/25 s where the first frame lasts long.
 */
async function firstInterval(seek: Seeker, first: number, end: number): Promise<number> {
  const step = 1 / 250
  let last = first
  let shortest = Number.POSITIVE_INFINITY
  let found = 0
  for (let time = first + step, tries = 0; time < end && tries < 90 && found < 3; time += step, tries++) {
    const shown = await seek(time)
    if (shown <= last + 1e-5) continue
    shortest = Math.min(shortest, shown - last)
    last = shown
    found++
  }
  return Math.min(shortest, found < 3 ? 1 / 25 : Number.POSITIVE_INFINITY)
}

/**
 * Opens a video. Throws a SourceProblem in words if the file is empty, damaged, no video, of a codec that this browser
 * cannot decode, or holds no frame.
 */
export async function openBySeeking(file: File): Promise<FrameSource> {
  if (file.size === 0) throw await failureOf(file)
  const video = document.createElement('video')
  video.muted = true
  video.playsInline = true
  video.preload = 'auto'
  const address = URL.createObjectURL(file)
  const close = () => {
    video.removeAttribute('src')
    video.load()
    URL.revokeObjectURL(address)
  }
  try {
    await waitFor(video, 'loadeddata', () => {
      video.src = address
    })
  } catch {
    close()
    throw await failureOf(file)
  }
  try {
    if (video.videoWidth === 0) {
      throw new SourceProblem(`${file.name} holds no picture: 0 frames (perhaps only sound).`)
    }
    return await sourceOf(file.name, video, close)
  } catch (error) {
    close()
    throw error
  }
}

/** Moments of one frame as told in two ways differ by less than this, s. */
const sameFrame = 1e-4

/** Time of the picture that a video shows now, s; null if this browser does not tell. */
function timeOfPicture(video: HTMLVideoElement): number | null {
  if (typeof VideoFrame === 'undefined') return null
  try {
    const picture = new VideoFrame(video)
    const time = picture.timestamp / 1e6
    picture.close()
    return time
  } catch {
    return null
  }
}

async function sourceOf(name: string, video: HTMLVideoElement, close: () => void): Promise<FrameSource> {
  const end = await lengthOf(video)
  if (!(end > 0)) throw new SourceProblem(`${name} has a length of 0 s: it holds no frames.`)
  /** Last moment that is sought: at the very end a video would start anew when played. */
  const last = Math.max(0, end - 1e-4)
  const seek = createSeeker(video)
  const first = await seek(0)
  const fullWidth = video.videoWidth
  const fullHeight = video.videoHeight
  const size = readingSize(fullWidth, fullHeight)
  const read = createReader(size.width, size.height)
  let interval = await firstInterval(seek, first, end)
  const tellsTime = Math.abs((timeOfPicture(video) ?? Number.NaN) - first) < sameFrame
  /** The picture of a moment; a busy machine may show another one than the browser has told, and is asked again. */
  async function shot(time: number): Promise<Shot> {
    for (let tries = 0; tries < 5; tries++) {
      if (video.videoWidth !== fullWidth || video.videoHeight !== fullHeight) {
        return { time, frame: null, flag: 'size-changed' }
      }
      const before = tellsTime ? timeOfPicture(video) : time
      const frame = read(video)
      const after = tellsTime ? timeOfPicture(video) : time
      if (before === after && Math.abs((before ?? Number.NaN) - time) < sameFrame) return { time, frame }
      seek.forget()
      await new Promise((resolve) => setTimeout(resolve, 40 * 2 ** tries))
      await seek(Math.min(time + 1e-4, last))
    }
    return { time, frame: null, flag: 'unreadable' }
  }
  /** Time of the last frame, once it is known. */
  let finalFrame = Number.POSITIVE_INFINITY
  async function toTheEnd(): Promise<number | null> {
    const shown = await playOut(video)
    seek.forget()
    return shown
  }
  async function beyondSeeking(time: number): Promise<number | null> {
    finalFrame = Math.max(time, (await toTheEnd()) ?? time)
    return finalFrame > time + 1e-5 ? finalFrame : null
  }
  async function reach(time: number): Promise<number> {
    const shown = await seek(Math.min(Math.max(time, 0), last))
    if (time < finalFrame - 1e-5 || shown >= finalFrame - 1e-5) return shown
    return (await toTheEnd()) ?? shown
  }

  /** The next frame: a little over one interval on; where frames are closer or farther apart, halfway or farther. */
  async function nextTime(time: number): Promise<number | null> {
    if (time >= Math.min(finalFrame, end) - 1e-5) return null
    for (let target = time + 1.3 * interval; ; target += 0.7 * interval) {
      const shown = await seek(Math.min(target, last))
      if (shown <= time + 1e-5) {
        if (target >= last) return beyondSeeking(time)
        continue
      }
      if (shown - time < 1.05 * interval) return shown
      const between = await seek(time + (shown - time) / 2)
      if (between <= time + 1e-5) return seek(shown + 1e-4)
      interval = between - time
      return between
    }
  }

  return {
    name,
    kind: 'video',
    way: 'seeking',
    ...size,
    end,
    get interval() {
      return interval
    },
    at: async (time) => shot(await reach(time)),
    async after(time, count) {
      let now: number | null = time
      for (let k = 0; k < count && now !== null; k++) now = await nextTime(now)
      return now === null ? null : shot(now)
    },
    async before(time, count) {
      let now = time
      for (let k = 0; k < count && now > first; k++) now = await seek(Math.max(0, now - 0.2 * interval))
      return shot(now)
    },
    close,
  }
}
