/** Frames by their names, and what was seen in one. */
import type { DropMark, FrameResult } from './types.ts'

/** Readings and corrections go by the frame's time in whole microseconds: frames have no other name. */
export const keyOf = (time: number): number => Math.round(time * 1e6)

/** A frame in which something was found. */
export interface Sight {
  key: number
  drop: DropMark
}

/** A frame that was looked at. `time` is the recording's own, s. */
export interface Reading {
  time: number
  result: FrameResult
}

export type RejectionKind =
  | 'glare'
  | 'present'
  | 'faint'
  | 'ragged'
  | 'broken'
  | 'jumped'
  | 'collapsed'
  | 'reversed'

export interface Rejection {
  kind: RejectionKind
  /** In plain words; `length` writes a length in px with its unit. */
  text(length: (pixels: number) => string): string
}
