/** Thin: marks drops in pictures away from the page's thread. */
import { expose, transfer } from 'comlink'
import { markDrop } from '../src/measured/video/mark.ts'
import type { Frame, FrameResult, Settings } from '../src/measured/video/types.ts'
import type { Living } from './living.ts'

export interface VideoWorker extends Living {
  /** Keeps a picture of the bare bath for all marks to come; null = none. */
  keepBare(frame: Frame | null): void
  /** Marks the drop in a picture whose bytes are handed over. Never rejects for a reason of the picture. */
  mark(frame: Frame, settings: Settings): FrameResult
}

let bare: Frame | null = null

const api: VideoWorker = {
  alive() {},
  keepBare(frame) {
    bare = frame
  },
  mark(frame, settings) {
    const result = markDrop(frame, settings, bare)
    return result.drop ? transfer(result, [result.drop.outline.buffer]) : result
  },
}

expose(api)
