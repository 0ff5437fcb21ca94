/** Thin: marks drops in pictures away from the page's thread. */
import { expose, transfer } from 'comlink'
import { markDrop } from '../src/measured/video/mark.ts'
import type { Frame, FrameResult, Settings } from '../src/measured/video/types.ts'

export interface VideoWorker {
  /** Marks the drop in a picture whose bytes are handed over. Never rejects for a reason of the picture. */
  mark(frame: Frame, settings: Settings): FrameResult
}

const api: VideoWorker = {
  mark(frame, settings) {
    const result = markDrop(frame, settings)
    return result.drop ? transfer(result, [result.drop.outline.buffer]) : result
  },
}

expose(api)
