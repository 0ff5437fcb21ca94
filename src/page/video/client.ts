/** The page's side of the worker that marks drops. */
import { type Remote, releaseProxy, transfer, wrap } from 'comlink'
import type { VideoWorker } from '../../../workers/video.ts'
import type { Frame, FrameResult, Settings } from '../../measured/video/types.ts'
import type { Shot } from './source.ts'

export interface MarkClient {
  /**
   * Marks a shot, with `bare` as the picture of the bath without a drop (null = none). Bytes are copied, so a shot can
   * be marked again. Rejects if the worker dies.
   */
  mark(shot: Shot, settings: Settings, bare: Frame | null): Promise<FrameResult>
  destroy(): void
}

export function createMarkClient(): MarkClient {
  let worker: Worker | null = null
  let remote: Remote<VideoWorker> | null = null
  let death: Promise<never> = new Promise(() => {})

  /** What the worker has. */
  let kept: Frame | null = null

  function start(): Remote<VideoWorker> {
    const born = new Worker(new URL('../../../workers/video.ts', import.meta.url), { type: 'module' })
    worker = born
    kept = null
    death = new Promise((_, reject) => {
      born.addEventListener('error', (event) => {
        destroy()
        reject(new Error(event.message || 'no reason given'))
      })
    })
    death.catch(() => {})
    remote = wrap<VideoWorker>(born)
    return remote
  }

  function destroy(): void {
    remote?.[releaseProxy]()
    worker?.terminate()
    worker = null
    remote = null
  }

  return {
    async mark({ frame, flag }, settings, bare) {
      if (!frame) return { flags: [flag ?? 'unreadable'], drop: null }
      const present = remote ?? start()
      if (kept !== bare) {
        kept = bare
        void present.keepBare(bare)
      }
      const data = frame.data.slice()
      const copy = transfer({ width: frame.width, height: frame.height, data }, [data.buffer])
      return Promise.race([present.mark(copy, settings) as Promise<FrameResult>, death])
    },
    destroy,
  }
}
