/** The worker of the first life: born before the rest of the page is read, so that its code is warm when it is asked. */
import type { LifeWorker } from '../../../workers/messages.ts'
import { type Alive, bear } from './alive.ts'

const make = (): Worker =>
  new Worker(new URL('../../../workers/life.ts', import.meta.url), { type: 'module', name: 'life' })

let first: Alive<LifeWorker> | null = bear<LifeWorker>(make)

/** A worker for lives: the first one once, then new ones. */
export function lifeWorker(): Alive<LifeWorker> {
  const worker = first ?? bear<LifeWorker>(make)
  first = null
  return worker
}
