/** The page's side of the worker that marks drops. */
import { transfer } from 'comlink'
import type { VideoWorker } from '../../../workers/video.ts'
import type { OwnBath } from '../../measured/video/bathPaint.ts'
import type { Circle, Frame, FrameResult, Settings } from '../../measured/video/types.ts'
import { type Alive, bear } from '../lives/alive.ts'
import type { Shot } from './source.ts'

export interface MarkClient {
  /**
   * Marks a shot, with `bare` as the picture of the bath without a drop (null = none) and the drop `expected` where it was
   * last. Bytes are copied, so a shot can be marked again. Rejects if the worker dies.
   */
  mark(shot: Shot, settings: Settings, bare: Frame | null, expected?: Circle | null): Promise<FrameResult>
  /** A picture of the bath from frames of the recording; `next` gives one after the other, null at the end. */
  makeBath(next: () => Promise<Frame | null>): Promise<OwnBath>
  destroy(): void
}

const make = (): Worker =>
  new Worker(new URL('../../../workers/video.ts', import.meta.url), { type: 'module' })

export function createMarkClient(): MarkClient {
  let worker: Alive<VideoWorker> | null = null
  /** What the worker has. */
  let kept: Frame | null = null

  function start(): Alive<VideoWorker> {
    const born = bear<VideoWorker>(make)
    worker = born
    kept = null
    born.death.catch(() => {
      if (worker === born) worker = null
    })
    return born
  }

  function destroy(): void {
    worker?.end()
    worker = null
  }

  return {
    async mark({ frame, flag }, settings, bare, expected = null) {
      if (!frame) return { flags: [flag ?? 'unreadable'], drop: null }
      const present = worker ?? start()
      if (kept !== bare) {
        kept = bare
        void present.remote.keepBare(bare)
      }
      const data = frame.data.slice()
      const copy = transfer({ width: frame.width, height: frame.height, data }, [data.buffer])
      return present.watch(present.remote.mark(copy, settings, expected) as Promise<FrameResult>)
    },
    async makeBath(next) {
      const present = worker ?? start()
      await present.watch(present.remote.lookAt(null) as Promise<void>)
      for (let frame = await next(); frame; frame = await next()) {
        const data = frame.data.slice()
        const copy = transfer({ width: frame.width, height: frame.height, data }, [data.buffer])
        await present.watch(present.remote.lookAt(copy) as Promise<void>)
      }
      return present.watch(present.remote.makeBath() as Promise<OwnBath>)
    },
    destroy,
  }
}
