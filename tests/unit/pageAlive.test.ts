/** Workers that end without a word, or never begin, are noticed; those that only take long are not. Common practice, no source. */
import { expose } from 'comlink'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { bear, PATIENCE, TICK, WorkerDied } from '../../src/page/lives/alive.ts'

interface Api {
  alive(): void
  work(): Promise<string>
}

/** A worker of this test, on the other side of a channel; `busy` makes it deaf, `free` lets the work end. */
function fakeWorker() {
  const { port1, port2 } = new MessageChannel()
  let free: (answer: string) => void = () => {}
  const work = new Promise<string>((resolve) => {
    free = resolve
  })
  const api: Api = { alive() {}, work: () => work }
  const listen = () => expose(api, port2 as never)
  const worker = Object.assign(port1, { terminate: vi.fn(() => port2.close()) })
  port1.start()
  return { worker: worker as unknown as Worker & { terminate: () => void }, listen, free }
}

/** Time for messages to go to and fro. */
const settle = () => new Promise((resolve) => setTimeout(resolve, 15))
async function ticks(count: number): Promise<void> {
  for (let i = 0; i < count; i++) {
    vi.advanceTimersByTime(TICK)
    await settle()
  }
}
/** How a promise stands at present. */
const stateOf = (promise: Promise<unknown>) =>
  Promise.race([
    promise.then(
      (value) => `gave ${value}`,
      (error: Error) => `${error.name}: ${error.message}`,
    ),
    settle().then(() => 'open'),
  ])

beforeEach(() => void vi.useFakeTimers({ toFake: ['setInterval', 'clearInterval'] }))
afterEach(() => void vi.useRealTimers())

describe('a watched worker', () => {
  it('may take as long as it likes while it answers', async () => {
    const { worker, listen, free } = fakeWorker()
    listen()
    const alive = bear<Api>(() => worker)
    const answer = alive.watch<string>(alive.remote.work())
    await ticks(3 * PATIENCE.first)
    expect(await stateOf(answer)).toBe('open')
    free('done')
    expect(await stateOf(answer)).toBe('gave done')
    alive.end()
  })
  it('that never begins is given up after the first patience, not before', async () => {
    const { worker } = fakeWorker()
    const alive = bear<Api>(() => worker)
    const answer = alive.watch<string>(alive.remote.work())
    await ticks(PATIENCE.first)
    expect(await stateOf(answer)).toBe('open')
    await ticks(1)
    expect(await stateOf(answer)).toMatch(/not answered for 60 s/)
    const error = await alive.death.catch((reason: unknown) => reason)
    expect(error).toBeInstanceOf(WorkerDied)
    expect((error as WorkerDied).unborn).toBe(true)
    expect(worker.terminate).toHaveBeenCalled()
  })
  it('that is deaf but tells its progress lives on', async () => {
    const { worker } = fakeWorker()
    const alive = bear<Api>(() => worker)
    const answer = alive.watch<string>(alive.remote.work())
    for (let i = 0; i < 20; i++) {
      await ticks(2)
      alive.sign()
    }
    expect(await stateOf(answer)).toBe('open')
    await ticks(PATIENCE.later + 1)
    expect(await stateOf(answer)).toMatch(/not answered for 30 s/)
  })
  it('is not asked while nothing is wanted of it', async () => {
    const { worker } = fakeWorker()
    const alive = bear<Api>(() => worker)
    await ticks(3 * PATIENCE.first)
    expect(await stateOf(alive.death)).toBe('open')
    alive.end()
  })
})

describe('an error of a worker', () => {
  it('before anybody asks for anything is not lost', async () => {
    const { worker } = fakeWorker()
    const alive = bear<Api>(() => worker)
    worker.dispatchEvent(new Event('error'))
    await settle()
    expect(await stateOf(alive.watch(alive.remote.work()))).toMatch(/could not be loaded/)
  })
  it('while it is made is an end like any other', async () => {
    const alive = bear<Api>(() => {
      throw new Error('workers are switched off')
    })
    expect(await stateOf(alive.watch(alive.remote.work()))).toMatch(
      /does not start it: workers are switched off/,
    )
  })
})
