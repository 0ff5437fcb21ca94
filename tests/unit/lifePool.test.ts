/** Lives on several hands: who gets them, stops, hands that are lost. Common practice, no source. */
import { describe, expect, it } from 'vitest'
import { breath } from '../../src/cli/breath.ts'
import { FarHand, type Hand, HandLost, type Line, lend, OwnHand, type Task } from '../../src/life/hands.ts'
import { Foresight, type LifeRunner } from '../../src/life/lives.ts'
import { LifePool } from '../../src/life/pool.ts'
import { defaultPreset } from '../../src/life/preset.ts'
import type { LifeResult, Preset } from '../../src/life/types.ts'
import { digestOf, digestOfPreset } from '../fixtures/lifeDigest.ts'
import { madeUpRun } from '../fixtures/planLives.ts'

const { run: life } = madeUpRun(() => ({}))
const drop = (n: number): Preset => ({ ...defaultPreset(), title: String(n) })
const settle = () => new Promise((resolve) => setTimeout(resolve, 30))
const titleOf = (result: LifeResult) => (result.ok ? result.life.preset.title : result.reason)

/** A hand whose lives end when the test says so. */
class Puppet implements Hand {
  readonly given: string[] = []
  readonly stopped: string[] = []
  private readonly open = new Map<string, { end(): void; fail(error: Error): void }>()

  constructor(readonly takes = 1) {}

  begin(preset: Preset): Task {
    const { title } = preset
    this.given.push(title)
    const result = new Promise<LifeResult>((resolve, reject) => {
      this.open.set(title, { end: () => resolve(life(preset)), fail: reject })
    })
    return { result, stop: () => void this.stopped.push(title) }
  }
  end(title: string): void {
    this.open.get(title)!.end()
  }
  lose(): void {
    for (const { fail } of this.open.values()) fail(new HandLost('no reason given'))
  }
}

describe('a pool', () => {
  it('gives each hand a life before any gets a second one, in the order in which they were asked for', async () => {
    const [own, one, two] = [new Puppet(), new Puppet(2), new Puppet(2)]
    const pool = new LifePool(own, { most: 3 })
    pool.join(one)
    pool.join(two)
    const asked = [1, 2, 3, 4, 5, 6].map((n) => pool.run(drop(n)))
    await settle()
    expect([own.given, one.given, two.given]).toEqual([['1'], ['2', '4'], ['3', '5']])
    two.end('3')
    await settle()
    expect([own.given, one.given, two.given]).toEqual([['1'], ['2', '4'], ['3', '5', '6']])
    for (const [hand, title] of [
      [two, '5'],
      [two, '6'],
      [one, '4'],
      [one, '2'],
      [own, '1'],
    ] as const)
      hand.end(title)
    expect((await Promise.all(asked)).map(titleOf)).toEqual(['1', '2', '3', '4', '5', '6'])
  })

  it('asks for no hand while nothing waits, and for no more than there may be', async () => {
    let wanted = 0
    const own = new Puppet()
    const pool = new LifePool(own, { most: 3, patience: 0, grow: () => void wanted++ })
    expect(pool.run.atOnce).toBe(3)
    void pool.run(drop(0))
    await settle()
    expect(wanted).toBe(0)
    for (let n = 1; n < 9; n++) void pool.run(drop(n))
    await settle()
    expect(wanted).toBe(2)
  })

  it('lets another hand do what a lost one had, and asks for one in its place', async () => {
    const own = new Puppet()
    const others = [new Puppet(2), new Puppet(2)]
    let born = 0
    const pool = new LifePool(own, { most: 2, patience: 0, grow: () => pool.join(others[born++]!) })
    const asked = [1, 2, 3].map((n) => pool.run(drop(n)))
    await settle()
    expect(others[0]!.given).toEqual(['2', '3'])
    pool.leave(others[0]!)
    others[0]!.lose()
    await settle()
    expect(others[1]!.given.sort()).toEqual(['2', '3'])
    others[1]!.end('2')
    others[1]!.end('3')
    own.end('1')
    expect((await Promise.all(asked)).map(titleOf)).toEqual(['1', '2', '3'])
  })

  it('gives a life up that takes one hand after the other with it, and says so', async () => {
    const own = new Puppet()
    const pool = new LifePool(own, {
      most: 2,
      patience: 0,
      grow() {
        const hand = new Puppet(1)
        pool.join(hand)
        setTimeout(() => {
          pool.leave(hand)
          hand.lose()
        })
      },
    })
    void pool.run(drop(1))
    const result = await pool.run(drop(2))
    expect(result).toMatchObject({ ok: false, reason: 'crashed' })
    expect(result.ok || result.problems[0]!.message).toMatch(
      /broke off 2 times \(no reason given; no reason given\)/,
    )
  })

  it('goes on alone where no hand comes to anything', async () => {
    const own = new OwnHand(breath)
    let wanted = 0
    const pool = new LifePool(own, {
      most: 4,
      patience: 0,
      grow() {
        wanted++
        queueMicrotask(() => pool.miss())
      },
    })
    const drops = Array.from({ length: 12 }, (_, n) => quick(n))
    const results = await Promise.all(drops.map((one) => pool.run(one)))
    expect(results.every(({ ok }) => ok)).toBe(true)
    expect(wanted).toBe(3)
    expect(pool.run.atOnce).toBe(1)
  })

  it('answers at once for lives that are not wanted any more, running or waiting, and is of use again', async () => {
    const own = new Puppet()
    const pool = new LifePool(own, { most: 1 })
    let over = false
    const asked = [1, 2, 3].map((n) => pool.run(drop(n), { cancelled: () => over }))
    const wanted = pool.run(drop(4))
    over = true
    expect((await Promise.all(asked)).map(titleOf)).toEqual(['cancelled', 'cancelled', 'cancelled'])
    expect([own.given, own.stopped.length > 0]).toEqual([['1'], true])
    own.end('1')
    await settle()
    own.end('4')
    expect(titleOf(await wanted)).toBe('4')
  })
})

function quick(n: number): Preset {
  const preset = defaultPreset()
  return {
    ...preset,
    drop: { ...preset.drop, volume_uL: 5 + n },
    model: { ...preset.model, accuracy: 'quick' },
  }
}

/** Both ends of a line. */
function line(): [Line, Line] {
  const { port1, port2 } = new MessageChannel()
  return [port1, port2].map((port) => ({
    send: (message: unknown, handOver: ArrayBuffer[]) => port.postMessage(message, handOver),
    hear(listener: (message: unknown) => void) {
      port.addEventListener('message', ({ data }) => listener(data))
      port.start()
      ;(port as unknown as { unref(): void }).unref()
    },
  })) as [Line, Line]
}

describe('a hand at the far end of a line', () => {
  it('gives the same life to the last bit', async () => {
    const [near, far] = line()
    lend(new OwnHand(breath), far)
    const result = await new FarHand(near).begin(quick(0), 'quick').result
    if (!result.ok) throw new Error('no life')
    expect(digestOf(result.life)).toBe(digestOfPreset(quick(0)))
  })
  it('ends a life that is stopped, running or waiting', async () => {
    const [near, far] = line()
    lend(new OwnHand(breath), far)
    const hand = new FarHand(near)
    const fine = { ...quick(0), model: { ...quick(0).model, accuracy: 'fine' as const } }
    const [running, waiting] = [hand.begin(fine, 'fine'), hand.begin(fine, 'fine')]
    await settle()
    waiting.stop()
    running.stop()
    const first = await running.result
    expect(first.ok && first.life.status).toBe('stopped')
    expect(titleOf(await waiting.result)).toBe('cancelled')
    expect(titleOf(await hand.begin(quick(3), 'quick').result)).toBe('New drop')
  })
  it('turns first to the line of the lower rank', async () => {
    const hand = new OwnHand(breath)
    const ended: string[] = []
    const ask = (name: string, rank: number) =>
      hand.begin(quick(1), 'quick', true, rank).result.then(() => void ended.push(name))
    await Promise.all([ask('running', 1), ask('idle', 1), ask('idle too', 1), ask('asked', 0)])
    expect(ended).toEqual(['running', 'asked', 'idle', 'idle too'])
  })
})

describe('foresight', () => {
  /** A runner of several lives at the same time that notes what was begun. */
  function runner(atOnce: number): { run: LifeRunner; begun: string[] } {
    const begun: string[] = []
    const run = async (preset: Preset) => {
      begun.push(preset.title)
      await breath()
      return life(preset)
    }
    return { run: Object.assign(run, { atOnce }), begun }
  }
  const drops = Array.from({ length: 100 }, (_, n) => drop(n))

  it('begins nothing where one life is computed after the other', async () => {
    const { run, begun } = runner(1)
    const foresight = new Foresight(run, () => false)
    for (const one of foresight.over(drops.slice(0, 3), (it) => void foresight.begin(it))) {
      expect(begun).toHaveLength(Number(one.title))
      await foresight.life(one)
    }
    expect(begun).toEqual(['0', '1', '2'])
  })
  it('begins each life once, only so far ahead, and gives them in their order', async () => {
    const { run, begun } = runner(2)
    const foresight = new Foresight(run, () => false)
    const seen: string[] = []
    for (const one of foresight.over(drops, (it) => void foresight.begin(it))) {
      expect(begun.length).toBeLessThanOrEqual(Number(one.title) + foresight.reach + 1)
      seen.push(titleOf(await foresight.life(one)))
    }
    expect(begun).toEqual(drops.map(({ title }) => title))
    expect(seen).toEqual(begun)
  })
  it('tells lives of one drop at several levels apart', async () => {
    const levels: (string | undefined)[] = []
    const run: LifeRunner = Object.assign(
      (preset: Preset, _: unknown, level?: string) => {
        levels.push(level)
        return life({ ...preset, title: level ?? 'its own' })
      },
      { atOnce: 2 },
    )
    const foresight = new Foresight(run, () => false)
    foresight.begin(drop(1), 'coarse')
    expect(titleOf(await foresight.life(drop(1)))).toBe('its own')
    expect(titleOf(await foresight.life(drop(1), 'coarse'))).toBe('coarse')
    expect(levels).toEqual(['coarse', undefined])
  })
  it('gives up what nobody asks for', async () => {
    let open: (() => boolean) | undefined
    const run: LifeRunner = Object.assign(
      (preset: Preset, hooks?: { cancelled?(): boolean }) => {
        open = hooks?.cancelled
        return life(preset)
      },
      { atOnce: 2 },
    )
    const foresight = new Foresight(run, () => false)
    foresight.begin(drop(1))
    expect(open!()).toBe(false)
    foresight.drop()
    expect(open!()).toBe(true)
  })
})
