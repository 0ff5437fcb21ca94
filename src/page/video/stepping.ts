/** Moves through the frames: one movement at a time, key presses meanwhile are added up. */
import type { SessionStore } from './session.ts'
import type { FrameSource, Shot } from './source.ts'

export interface Stepper {
  /** So many frames on (or back, if negative). */
  step(count: number): void
  /** To the frame at a moment, s. */
  go(time: number): void
}

export function createStepper(session: SessionStore, say: (text: string) => void): Stepper {
  let count = 0
  let aim: number | null = null
  let moving = false

  async function next(source: FrameSource, shown: Shot): Promise<Shot | null> {
    if (aim !== null) {
      const time = aim
      aim = null
      return source.at(time)
    }
    const by = count
    count = 0
    return by > 0 ? source.after(shown.time, by) : source.before(shown.time, -by)
  }

  async function move(): Promise<void> {
    if (moving) return
    moving = true
    try {
      while (count !== 0 || aim !== null) {
        const { source, shot, run } = session.getState()
        if (!source || !shot || run.state === 'running') break
        const found = await next(source, shot)
        if (found && session.getState().source === source && session.getState().run.state !== 'running') {
          session.setState({ shot: found, marked: null })
        }
      }
    } catch (error) {
      say((error as Error).message)
    } finally {
      count = 0
      aim = null
      moving = false
    }
  }

  return {
    step(by) {
      count += by
      void move()
    },
    go(time) {
      aim = time
      count = 0
      void move()
    },
  }
}
