/** The worker of the first life: born before the rest of the page is read, so that its code is warm when it is asked. */
const bear = (): Worker =>
  new Worker(new URL('../../../workers/life.ts', import.meta.url), { type: 'module', name: 'life' })

let first: Worker | null = bear()

/** A worker for lives: the first one once, then new ones. */
export function lifeWorker(): Worker {
  const worker = first ?? bear()
  first = null
  return worker
}
