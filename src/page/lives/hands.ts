/**
 * Further workers that compute single lives for the workers that plan, which share them. They are born when work takes long
 * enough to be worth it, and end after a while without any.
 */
import { proxy, transfer } from 'comlink'
import type { HandWorker } from '../../../workers/hand.ts'
import type { PlanWorker } from '../../../workers/planMessages.ts'
import { type Alive, bear } from './alive.ts'

/** What is known of the machine; the memory in GB, undefined where the browser does not tell. */
export interface Machine {
  cores: number
  memory: number | undefined
  /** It is worked with fingers: a phone or a tablet. */
  handheld: boolean
}

/** Lives at the same time at the most: each worker holds a compiled engine, some 20 MB. */
const MOST = 8
/** The same where memory is short, or where that may be and the browser does not tell. */
const MOST_SMALL = 2
/** Memory up to which it is short, GB. */
const SMALL = 4

/** How many lives are computed at the same time for one planning worker, its own included: one core is left for the sliders. */
export function handsFor({ cores, memory, handheld }: Machine): number {
  const small = memory === undefined ? handheld : memory <= SMALL
  return Math.max(1, Math.min(cores - 1, small ? MOST_SMALL : MOST))
}

const machine = (): Machine => ({
  cores: navigator.hardwareConcurrency || 1,
  memory: (navigator as { deviceMemory?: number }).deviceMemory,
  handheld: matchMedia('(pointer: coarse)').matches,
})

/** Time without work after which the hands end, ms. */
const IDLE = 60_000
/** Hands that never began after which no more are born. */
const PATIENCE = 3

interface User {
  id: number
  plan: Alive<PlanWorker>
  rank: number
}
interface Born {
  id: number
  alive: Alive<HandWorker>
  ready: boolean
}

const make = (): Worker =>
  new Worker(new URL('../../../workers/hand.ts', import.meta.url), { type: 'module', name: 'hand' })

export class Hands {
  private readonly users = new Map<Alive<PlanWorker>, User>()
  private readonly born = new Set<Born>()
  private readonly work = new Set<Promise<unknown>>()
  private next = 0
  private misses = 0
  private resting: ReturnType<typeof setTimeout> | undefined

  /** @param most lives at the same time, those of the planning worker included */
  constructor(
    private readonly most: number,
    private readonly birth: () => Alive<HandWorker> = () => bear<HandWorker>(make),
  ) {}

  /** A planning worker may use the hands from now on; the work of the lower rank comes first. */
  serve(plan: Alive<PlanWorker>, rank: number): void {
    if (this.most < 2) return
    const user = { id: this.next++, plan, rank }
    this.users.set(plan, user)
    plan.death.catch(() => this.release(plan))
    const grow = proxy(() => this.grow())
    plan.remote.helped(this.most, grow).catch(() => {})
    for (const hand of this.born) if (hand.ready) this.connect(hand, user)
  }

  /** A planning worker has ended. */
  release(plan: Alive<PlanWorker>): void {
    const user = this.users.get(plan)
    this.users.delete(plan)
    if (user) for (const { alive } of this.born) alive.remote.leave(user.id).catch(() => {})
  }

  /** Something is asked of a planning worker: until the answer the hands are watched. */
  during(answer: Promise<unknown>): void {
    clearTimeout(this.resting)
    const over = answer.then(
      () => {},
      () => {},
    )
    this.work.add(over)
    for (const { alive, ready } of this.born) if (ready) this.watch(alive, over)
    void over.then(() => {
      this.work.delete(over)
      if (this.work.size === 0) this.resting = setTimeout(() => this.rest(), IDLE)
    })
  }

  private watch(alive: Alive<HandWorker>, over: Promise<unknown>): void {
    alive.watch(over).catch(() => {})
  }

  private grow(): void {
    if (this.born.size >= this.most - 1 || this.misses >= PATIENCE) return
    const hand: Born = { id: this.next++, alive: this.birth(), ready: false }
    this.born.add(hand)
    hand.alive.death.catch((error: Error) => this.lost(hand, error.message))
    hand.alive
      .watch(hand.alive.remote.ready())
      .then(() => this.begin(hand))
      .catch(() => {})
  }

  private begin(hand: Born): void {
    if (!this.born.has(hand)) return
    hand.ready = true
    for (const user of this.users.values()) this.connect(hand, user)
    for (const over of this.work) this.watch(hand.alive, over)
  }

  private connect({ id, alive }: Born, { id: user, plan, rank }: User): void {
    const { port1, port2 } = new MessageChannel()
    alive.remote.lend(user, transfer(port1, [port1]), rank).catch(() => {})
    plan.remote.join(id, transfer(port2, [port2])).catch(() => {})
  }

  private lost(hand: Born, reason: string): void {
    if (!this.born.delete(hand)) return
    if (!hand.ready) this.misses++
    for (const { plan } of this.users.values()) {
      const told = hand.ready ? plan.remote.leave(hand.id, reason) : plan.remote.miss()
      told.catch(() => {})
    }
  }

  private rest(): void {
    for (const hand of [...this.born].filter(({ ready }) => ready)) {
      this.lost(hand, 'nothing was to be done')
      hand.alive.end()
    }
  }
}

let shared: Hands | null = null
/** The hands of this page. */
export function pageHands(): Hands {
  shared ??= new Hands(handsFor(machine()))
  return shared
}
