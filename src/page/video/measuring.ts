/** Measures frame after frame, with stop and resume; and keeps the mark of the shown frame up to date. */

import { framesFor } from '../../measured/video/ownBath.ts'
import { keyOf } from '../../measured/video/series.ts'
import { adviceFor } from '../lives/alive.ts'
import type { MarkClient } from './client.ts'
import { addReading, comparedWith, expectedAt, type SessionStore } from './session.ts'
import type { Shot } from './source.ts'

export interface Measuring {
  /** Measures from the start frame on; earlier readings go, except those of frames with a radius by hand. */
  begin(): Promise<void>
  /** Goes on after the last frame that was measured. */
  resume(): Promise<void>
  /** Ends after the frame in hand. */
  stop(): void
  /** Marks the shown frame anew. */
  refresh(): void
  /** Makes a picture of the bath from the recording, if there is none yet. */
  makeBath(): Promise<void>
}

/** `say` gets a message when the work could not be done. */
export function createMeasuring(
  session: SessionStore,
  client: MarkClient,
  say: (text: string) => void,
): Measuring {
  let wanted = false
  let marking = false
  /** A resumed run ends the one before it. */
  let turn = 0

  /** The newest frame and settings win; one mark at a time. */
  async function refresh(): Promise<void> {
    wanted = true
    if (marking) return
    marking = true
    try {
      while (wanted) {
        wanted = false
        const state = session.getState()
        const { shot, settings } = state
        if (!shot || state.run.state === 'running') continue
        const against = comparedWith(state)
        const marked = await client.mark(shot, settings, against, expectedAt(state, shot.time))
        const now = session.getState()
        if (now.shot === shot && now.settings === settings && comparedWith(now) === against)
          session.setState({ marked })
      }
    } catch (error) {
      say(`The frame could not be examined (${(error as Error).message}).${adviceFor(error)}`)
    } finally {
      marking = false
    }
  }

  async function run(first: () => Promise<Shot | null>): Promise<void> {
    const { id, source, settings } = session.getState()
    if (!source) return
    const mine = ++turn
    let shot: Shot | null = null
    try {
      shot = await first()
      while (shot) {
        const now = session.getState()
        if (turn !== mine || now.id !== id || now.source !== source || now.run.state !== 'running') return
        const [result, next]: [Awaited<ReturnType<MarkClient['mark']>>, Shot | null] = await Promise.all([
          client.mark(shot, settings, comparedWith(now), expectedAt(now, shot.time)),
          source.after(shot.time, now.stride),
        ])
        if (turn !== mine || session.getState().id !== id || session.getState().source !== source) return
        session.setState({ shot, marked: result })
        addReading(session, { time: shot.time, result })
        shot = next
      }
      end('done')
    } catch (error) {
      end('stopped')
      say(
        `Measuring stopped (${(error as Error).message}). What was measured is kept; “Go on” resumes.${adviceFor(error)}`,
      )
    }
  }

  /**
   * A picture of the bath from frames spread over the whole recording, where there is none and one is wanted. That it could
   * not be made is no failure: the smooth surface is taken then.
   */
  async function makeBath(): Promise<void> {
    const { id, source, bare, made, settings } = session.getState()
    if (!source || source.withoutPictures || bare || made || settings.ownBath === false) return
    session.setState({ making: true })
    const count = framesFor(source.width, source.height)
    let [next, seen] = [0, Number.NaN]
    const frames = async () => {
      while (next < count && session.getState().id === id) {
        const { time, frame } = await source.at((source.end * next++) / (count - 1))
        const known = time === seen
        seen = time
        if (frame && !known && frame.width === source.width && frame.height === source.height) return frame
      }
      return null
    }
    const found = await client.makeBath(frames).catch((error: Error) => ({
      picture: null,
      filled: 0,
      lacks: `that failed (${error.message})`,
    }))
    if (session.getState().id === id) session.setState({ made: found, making: false })
  }

  /** What the first frame shows, if it was taken before touch-down. */
  async function lookBefore(): Promise<void> {
    const { source, start, settings } = session.getState()
    if (!source) return
    const first = await source.at(0)
    if (!first.frame || !(start - first.time > 0.5 * source.interval)) return
    const before = await client.mark(first, settings, comparedWith(session.getState()))
    if (session.getState().source === source) session.setState({ before })
  }

  function end(state: 'done' | 'stopped'): void {
    session.setState((now) => ({ run: { ...now.run, state } }))
  }

  return {
    makeBath,
    refresh: () => void refresh(),
    async begin() {
      const { source, start, settings, bare, readings, corrections } = session.getState()
      if (!source) return
      const byHand = [...readings].filter(([key]) => corrections.get(key)?.radius !== undefined)
      session.setState({
        readings: new Map(byHand),
        before: null,
        readWith: { settings, bare },
        run: { state: 'running', at: start, from: start },
      })
      await run(async () => {
        await makeBath()
        await lookBefore()
        return source.at(start)
      })
    },
    async resume() {
      const { source, run: last, stride, readings } = session.getState()
      if (!source) return
      session.setState({ run: { ...last, state: 'running' } })
      // Stopped before the first frame was measured, it begins with that one.
      const begun = readings.has(keyOf(last.at))
      await run(async () => {
        await makeBath()
        return begun ? source.after(last.at, stride) : source.at(last.at)
      })
    },
    stop() {
      if (session.getState().run.state === 'running') end('stopped')
    },
  }
}
