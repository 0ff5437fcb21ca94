/** Ctrl-C and its kin: asked once, what is done is kept, and the command ends. */
import type { EventEmitter } from 'node:events'

/** Exit codes as shells count them: 128 and the number of the signal. */
const CODES = { SIGINT: 130, SIGTERM: 143 } as const

export class Stop {
  /** Exit code once it was asked to stop, else 0. */
  code = 0
  // npm hands a Ctrl-C on that has come already: only the first counts.
  private readonly heard = Object.entries(CODES).map(([signal, code]) => ({
    signal,
    hear: () => {
      this.code ||= code
    },
  }))

  constructor(private readonly signals: EventEmitter) {
    for (const { signal, hear } of this.heard) signals.on(signal, hear)
  }

  end(): void {
    for (const { signal, hear } of this.heard) this.signals.off(signal, hear)
  }
}
