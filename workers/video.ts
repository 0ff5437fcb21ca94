/** Thin: marks drops in pictures away from the page's thread. */
import { expose, transfer } from 'comlink'
import type { OwnBath } from '../src/measured/video/bathPaint.ts'
import { fingersIn } from '../src/measured/video/fingersInFrame.ts'
import { markDrop } from '../src/measured/video/mark.ts'
import { bathFrom } from '../src/measured/video/ownBath.ts'
import type { Circle, Frame, FrameResult, Settings } from '../src/measured/video/types.ts'
import type { Living } from './living.ts'

export interface VideoWorker extends Living {
  /** Keeps a picture of the bare bath for all marks to come; null = none. */
  keepBare(frame: Frame | null): void
  /**
   * Marks the drop in a picture whose bytes are handed over, and counts its fingers. Never rejects for a reason of the
   * picture.
   */
  mark(frame: Frame, settings: Settings, expected: Circle | null): FrameResult
  /** Keeps a frame of the recording for `makeBath`; null = forgets those that are kept. */
  lookAt(frame: Frame | null): void
  /** The bath without a drop from the frames that are kept, which are let go. */
  makeBath(): OwnBath
}

let bare: Frame | null = null
let looked: Frame[] = []

const api: VideoWorker = {
  alive() {},
  keepBare(frame) {
    bare = frame
  },
  lookAt(frame) {
    if (frame) looked.push(frame)
    else looked = []
  },
  makeBath() {
    const made = bathFrom(looked)
    looked = []
    return made.picture ? transfer(made, [made.picture.data.buffer]) : made
  },
  mark(frame, settings, expected) {
    const marked = markDrop(frame, settings, bare, expected)
    const result = { ...marked, fingers: fingersIn(frame, settings, bare, marked) }
    return result.drop ? transfer(result, [result.drop.outline.buffer]) : result
  },
}

expose(api)
