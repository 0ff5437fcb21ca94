/** Thin: computes single lives for the workers that plan. */
import { expose } from 'comlink'
import { lend, OwnHand } from '../src/life/hands.ts'
import { lineOf } from './line.ts'
import type { Living } from './living.ts'
import { pause } from './pause.ts'

export interface HandWorker extends Living {
  /** Answers when its code has been compiled. */
  ready(): Promise<void>
  /** Lets the worker at the far end of a port ask for lives; those of a lower rank come first. */
  lend(user: number, port: MessagePort, rank: number): void
  /** The user has ended: nobody waits for its lives. */
  leave(user: number): void
}

const hand = new OwnHand(pause)
const warm = hand.warmUp()
const users = new Map<number, () => void>()

const api: HandWorker = {
  alive() {},
  ready: () => warm,
  lend(user, port, rank) {
    users.set(user, lend(hand, lineOf(port), rank))
  },
  leave(user) {
    users.get(user)?.()
    users.delete(user)
  },
}

expose(api)
