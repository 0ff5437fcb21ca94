/** The page's side of the worker that marks drops. */
import { transfer } from 'comlink'
import type { VideoWorker } from '../../../workers/video.ts'
import type { Frame, FrameResult, Settings } from '../../measured/video/types.ts'
import { type Alive, bear } from '../lives/alive.ts'
import type { Shot } from './source.ts'

export interface MarkClient {
  /**
   * Marks a shot, with `bare` as the picture of the bath without a drop (null = none). Bytes are copied, so a shot can
   * be marked again. Rejects if the worker dies.
   */
  mark(shot: Shot, settings: Settings, bare: Frame | null): Promise<FrameResult>
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
    async mark({ frame, flag }, settings, bare) {
      if (!frame) return { flags: [flag ?? 'unreadable'], drop: null }
      const present = worker ?? start()
      if (kept !== bare) {
        kept = bare
        void present.remote.keepBare(bare)
      }
      const data = frame.data.slice()
      const copy = transfer({ width: frame.width, height: frame.height, data }, [data.buffer])
      return present.watch(present.remote.mark(copy, settings) as Promise<FrameResult>)
    },
    destroy,
  }
}
